"""All rules applied to one design."""

from __future__ import annotations

from skirtloft.checks.air_rules import air_findings
from skirtloft.checks.finding import Finding
from skirtloft.checks.making_rules import making_findings
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
    """Return every finding, in the order plan, sections, air, making; each rule once, at its worst place."""
    return (
        *plan_findings(design, plan),
        *section_findings(plan.stations, sections),
        *air_findings(design, air),
        *making_findings(design, cushions, development, pieces),
    )


def failed(findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Return the findings that fail."""
    return tuple(finding for finding in findings if finding.verdict == "fail")
