"""All rules applied to one design."""

from __future__ import annotations

from skirtloft.checks.air_rules import air_findings
from skirtloft.checks.finding import Finding
from skirtloft.checks.hull_rules import hull_findings
from skirtloft.checks.making_rules import making_findings, pressure_finding
from skirtloft.checks.plan_rules import plan_findings
from skirtloft.checks.section_rules import section_findings
from skirtloft.design.model import Design
from skirtloft.lift.types import LiftAir
from skirtloft.physics.types import Cushion, Sections
from skirtloft.pieces.types import CutPiece
from skirtloft.shape.develop import Development
from skirtloft.shape.types import Plan


def check(
    design: Design,
    plan: Plan,
    cushions: tuple[Cushion, ...],
    air: LiftAir,
    sections: Sections,
    development: Development,
    pieces: tuple[CutPiece, ...],
) -> tuple[Finding, ...]:
    """Return every finding, in the order plan, sections, hull, air, making; each rule once, at its worst place.

    Without pieces, those on making are left out.
    """
    return (
        *check_without_pieces(design, plan, cushions, sections),
        *air_findings(design, air),
        *(making_findings(design, development, pieces) if pieces else ()),
    )


def check_without_pieces(
    design: Design, plan: Plan, cushions: tuple[Cushion, ...], sections: Sections
) -> tuple[Finding, ...]:
    """Return the findings that need no air, no panel and no piece: all but those of the fan and of what can be cut."""
    return (
        *plan_findings(design, plan),
        *section_findings(plan.stations, sections),
        *hull_findings(design, plan, sections),
        pressure_finding(cushions),
    )


def failed(findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Return the findings that fail."""
    return tuple(finding for finding in findings if finding.verdict == "fail")
