"""The choices of the design, why they are what they are, and every finding with what to do about it."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from skirtloft.book.subject import Subject, listed, printed, run_words
from skirtloft.book.types import Block, Chapter, Heading, Table, Text
from skirtloft.checks.finding import Finding
from skirtloft.design.defaults import DEFAULTS
from skirtloft.design.units import format_angle, format_areal_mass, format_pressure
from skirtloft.explain.ask import WORKINGS
from skirtloft.maths.frozen import Floats
from skirtloft.report import verdict_line

WORD = {"pass": "holds", "warn": "to watch", "fail": "FAILS", "note": "note"}


@dataclass(frozen=True)
class Decision:
    """A choice: what it is called, its value in words, and the rules that judge it or else the default's reason."""

    name: str
    value: Callable[[Subject], str]
    rules: tuple[str, ...]
    default: str = ""


def _inset(run: str) -> Callable[[Subject], str]:
    def words(subject: Subject) -> str:
        inset = getattr(subject.skirt.design.skirt, run)
        if inset.tip_inside is not None:
            return f"tips {subject.length(inset.tip_inside)} inside the hull edge"
        if inset.joint_inside is not None:
            return f"joint {subject.length(inset.joint_inside)} inside the hull edge"
        return ""

    return words


def _angles(values: Floats) -> str:
    low, high = (format_angle(float(end)) for end in (np.min(values), np.max(values)))
    return low if low == high else f"{low} to {high}"


def _radii(subject: Subject) -> str:
    arcs = [run for run in subject.skirt.plan.runs if math.isfinite(run.radius)]
    return listed(f"{run_words(run.name)} {subject.length(run.radius)}" for run in arcs)


def _diaphragm(subject: Subject) -> str:
    wanted = subject.skirt.design.skirt.diaphragm
    return "" if wanted is None else f"loops cut short by {wanted.margin:.2g} of the diaphragm's pull"


DECISIONS = (
    Decision(
        "Cushion pressure",
        lambda s: format_pressure(s.skirt.cushions[0].pressure, s.show),
        ("pressure-range",),
    ),
    Decision(
        "Clearance of the bottom", lambda s: s.length(s.skirt.design.hull.clearance), ("clearance-to-width",)
    ),
    Decision(
        "Depth of the segments",
        lambda s: s.span(s.skirt.sections.depth),
        ("depth-to-pitch", "inner-fixing-on-planing-surface"),
    ),
    Decision("Slope of the face", lambda s: _angles(s.skirt.sections.face_angle), ("face-angle",), "skirt.face_angle"),
    Decision("Angle at the tip", lambda s: _angles(s.skirt.statics.shape.tip_angle), ("tip-angle",), "skirt.tip_angle"),
    Decision(
        "Inner fixing inboard of the joint",
        lambda s: s.span(s.skirt.sections.inboard),
        ("inner-fixing-far-enough", "force-line-margin"),
    ),
    Decision("Pitch, as fitted", lambda s: s.span(r.fitted_pitch for r in s.skirt.plan.runs), ("pitch-fit",)),
    Decision("Bow", _inset("bow"), ("bow-joint-inset", "bow-tip-inset", "bow-taut-limit")),
    Decision("Sides", _inset("side"), ("side-tip-inset", "side-joint-inset")),
    Decision("Stern", _inset("stern"), ("stern-tip-inset", "stern-joint-inset")),
    Decision("Corners, radius of the joint line", _radii, ("corner-inner-room",)),
    Decision(
        "Hull edge above the joint", lambda s: s.span(s.skirt.sections.rise), ("hull-edge-height", "section-stable")
    ),
    Decision("Length of the loop", lambda s: s.span(s.skirt.sections.length), ("loop-lifts-joint", "upper-edge-taut")),
    Decision("Gap under the tips", lambda s: s.length(s.skirt.design.air.gap), ("fan-gap",), "air.gap"),
    Decision("Diaphragm", _diaphragm, ("diaphragm-place", "diaphragm-margin", "diaphragm-taut")),
    Decision(
        "Loop cloth", lambda s: format_areal_mass(s.skirt.design.cloth.loop.mass, s.show), ("cloth-weight-loop",)
    ),
    Decision(
        "Segment cloth",
        lambda s: format_areal_mass(s.skirt.design.cloth.segment.mass, s.show),
        ("cloth-weight-segment",),
    ),
    Decision("Lap of the seams", lambda s: s.length(s.skirt.design.making.seam), ("seam-allowance",), "making.seam"),
    Decision(
        "Left on below the tips", lambda s: s.length(s.skirt.design.making.tip_trim), (), "making.tip_trim"
    ),
)  # fmt: skip


def decisions(subject: Subject) -> Chapter:
    """Return the choices of the file with the reasons for them."""
    rows = tuple(row for decision in DECISIONS if (row := _row(subject, decision)) is not None)
    return Chapter(
        "Decisions and why",
        (
            Text(
                "These are the choices that make this skirt what it is. Each stands beside what goes wrong without it"
                " and what the rules make of it here; the chapter on findings has every rule. Where a choice is"
                " changed, make the book again: every number follows."
            ),
            Table(("Choice", "Value", "Why", "Here"), rows, (1.6, 2.0, 3.2, 4.0)),
        ),
    )


def _row(subject: Subject, decision: Decision) -> tuple[str, ...] | None:
    value = decision.value(subject)
    if not value:
        return None
    every = [finding for rule in decision.rules if (finding := subject.finding(rule)) is not None]
    found = [finding for finding in every if finding is every[0] or finding.verdict in ("warn", "fail")]
    why = " ".join(dict.fromkeys(finding.why for finding in found))
    if not found and decision.default:
        why = DEFAULTS[decision.default].reason
    here = "; ".join(f"{_filled(subject, f)}, wanted {subject.limits(f)}: {WORD[f.verdict]}" for f in found)
    return decision.name, value, why or "As the file has it.", here or "no rule looks at it"


def _filled(subject: Subject, finding: Finding) -> str:
    """Return how the value of a finding comes about here."""
    working = WORKINGS.get(finding.rule)
    return subject.value(finding) if working is None else working.filled(subject.skirt, finding)


def findings(subject: Subject) -> Chapter:
    """Return every finding: failures and warnings with what to change, then what holds."""
    every = subject.skirt.findings
    blocks: list[Block] = [Text(verdict_line(subject.skirt).split("  ", 1)[1] + ".", bold=True)]
    for verdict, title in (("fail", "Fails: do not cut"), ("warn", "To watch"), ("note", "Notes")):
        mine = [finding for finding in every if finding.verdict == verdict]
        if mine:
            blocks.append(Heading(title))
            blocks += [block for finding in mine for block in _told(subject, finding)]
    holds = [finding for finding in every if finding.verdict == "pass"]
    blocks += [
        Heading("What holds"),
        Text("Value and limit of every rule that holds, the worst place of the craft, and where the limit is from."),
        Table(
            ("Rule", "Here", "Wanted", "Worst at", "Source"),
            tuple((f.title, subject.value(f), subject.limits(f), f.where, printed(f.source)) for f in holds),
            (3.2, 1.3, 1.6, 1.8, 3.6),
        ),
    ]
    return Chapter("Findings", tuple(blocks))


def _told(subject: Subject, finding: Finding) -> Iterator[Block]:
    yield Text(
        f"{finding.title}: {subject.value(finding)}, wanted {subject.limits(finding)}, at {finding.where}.", bold=True
    )
    filled = f" Here: {_filled(subject, finding)}."
    yield Text(printed(f"{finding.why}{filled} To change it: {finding.change} [{finding.source}]"))
