"""One door to the answers on air: which question, asked of which design."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from skirtloft.answers.compare import compare_lines
from skirtloft.answers.electric import electric_lines
from skirtloft.answers.feed import feed_lines
from skirtloft.answers.limits import limit_lines
from skirtloft.answers.size import free_flow_lines, smallest_lines
from skirtloft.answers.subject import Subject, subject_of, with_load
from skirtloft.answers.surfaces import surface_lines
from skirtloft.answers.water import water_lines
from skirtloft.answers.working_point import point_lines, verdict
from skirtloft.design.model import Design
from skirtloft.errors import DesignError, Problem
from skirtloft.pipeline import build
from skirtloft.report import finding_lines

Question = Literal["feed", "surfaces", "compare", "water", "battery", "smallest"]

ANSWERS: dict[Question, Callable[[Subject], list[str]]] = {
    "feed": feed_lines,
    "surfaces": surface_lines,
    "compare": compare_lines,
    "water": water_lines,
    "battery": electric_lines,
    "smallest": smallest_lines,
}


@dataclass(frozen=True)
class Asked:
    """What is asked.

    Parameters
    ----------
    questions : tuple of Question  none: will this fan do
    limits : bool  what gives first
    load, mass : str or None  a load by name, or another mass, in place of the file's loads
    free_flow, power : str or None  a fan as an advertisement tells it
    """

    questions: tuple[Question, ...] = ()
    limits: bool = False
    load: str | None = None
    mass: str | None = None
    free_flow: str | None = None
    power: str | None = None


def answer(design: Design, asked: Asked) -> tuple[list[str], bool]:
    """Return the lines that answer, and whether a rule on the air fails.

    Raises
    ------
    DesignError
        The request is wrong, or the fan of the file cannot be.
    """
    if (asked.free_flow is None) != (asked.power is None):
        missing = "--power" if asked.power is None else "--free-flow"
        wrong = "A free-air flow and the power it is taken from belong together."
        raise DesignError([Problem(missing, "(nothing)", wrong, 'Write --free-flow "3 m3/s" --power "1 hp".')])
    subject = subject_of(design, asked.load, asked.mass)
    parts = [ANSWERS[question](subject) for question in asked.questions]
    if asked.limits:
        parts.append(limit_lines(build(with_load(design, asked.load, asked.mass))))
    if asked.free_flow is not None and asked.power is not None:
        parts.append(free_flow_lines(subject, asked.free_flow, asked.power))
    if not parts:
        parts.append([*point_lines(subject), *finding_lines(subject.findings, subject.design.project.show)])
    lines = [verdict(subject)]
    for part in parts:
        lines += part if part is parts[0] else ["", *part]
    return lines, any(finding.verdict == "fail" for finding in subject.findings)
