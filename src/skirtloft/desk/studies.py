"""What takes longer than a drawing and is worked out only when somebody looks: sits, water, rides, layout.

A new one: a function here and a line in `STUDIES`. It runs in a process of its own, see `backroom`.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from skirtloft.answers.attitude_words import told_rest
from skirtloft.answers.bounce_words import CAUTIONS, heave_sentences, margin_sentences
from skirtloft.answers.rides import rides_lines
from skirtloft.answers.rides import verdict_line as rides_verdict
from skirtloft.answers.sits import NOT_CARRIED, sits_answer
from skirtloft.answers.told import Told
from skirtloft.answers.under_way import thrust_told, water_answer
from skirtloft.checks.finding import Finding, as_sentence
from skirtloft.desk.answer import Refused, Solved, finding_data, solve
from skirtloft.desk.drawings import Drawn, sheet_data
from skirtloft.desk.shaded import (
    STRAIN_CAUTION,
    shaded_gaps,
    shaded_strain,
    strain_sentences,
    with_exact_panels,
)
from skirtloft.desk.tables import line_rows
from skirtloft.drawing.rides_sheets import rides_sheets
from skirtloft.drawing.roll_sheets import roll_sheets
from skirtloft.drawing.sheet import Sheet
from skirtloft.drawing.sits_sheets import sits_sheets
from skirtloft.drawing.strain_sheet import strain_sheets
from skirtloft.drawing.water_sheets import water_sheets
from skirtloft.errors import ExportError, SkirtloftError
from skirtloft.layout.blanks import problems
from skirtloft.layout.report import layout_lines
from skirtloft.layout.saved import from_text
from skirtloft.layout.search import quick_layout
from skirtloft.physics.bounce.types import SCREENING
from skirtloft.physics.water.plough import CAUTION as BOW_CAUTION
from skirtloft.pipeline import build
from skirtloft.rides.findings import rides_findings
from skirtloft.rides.rides_of import rides_of

Json = dict[str, Any]


@dataclass(frozen=True)
class Asked:
    """What is to be worked out: of which text, and what layout and inflation are saved beside it ("": none)."""

    name: str
    revision: int
    text: str
    layout: str = ""
    inflation: str = ""


@dataclass(frozen=True, eq=False)
class Study:
    """An answer: its verdict, sentences for somebody on the craft, everything as the command line says it, sheets."""

    verdict: str
    sentences: tuple[str, ...]
    cautions: tuple[str, ...]
    lines: tuple[str, ...]
    sheets: tuple[Sheet, ...]
    findings: tuple[Finding, ...] = ()
    drawn: tuple[Drawn, ...] = ()  # sheets with a sentence, numbers and a place of their own, after the others


class Worker:
    """Works out one study after the other; keeps the skirt of the newest text, as several studies need it."""

    def __init__(self) -> None:
        self._solved: Solved | Refused | None = None
        self._made_of = ("", "")

    def data(self, asked: Asked) -> Json:
        """Return a study as plain data; a design it cannot be made for is told by `why`, never raised."""
        base: Json = {"type": "study", "name": asked.name, "revision": asked.revision}
        solved = self._solved_of(asked)
        if isinstance(solved, Refused):
            return {**base, "why": str(solved.error)}
        try:
            study = STUDIES[asked.name](solved, asked.layout)
        except SkirtloftError as error:
            return {**base, "why": str(error)}
        raw = tomllib.loads(asked.text)
        return {
            **base,
            "why": "",
            "verdict": study.verdict,
            "sentences": study.sentences,
            "cautions": study.cautions,
            "lines": "\n".join(study.lines),
            "findings": [finding_data(one, raw) for one in study.findings],
            "sheets": [sheet_data(solved, one.sheet.name, one) for one in _drawn(study)],
        }

    def _solved_of(self, asked: Asked) -> Solved | Refused:
        made_of = (asked.text, asked.inflation)
        if self._solved is None or self._made_of != made_of:
            self._solved, self._made_of = solve(asked.revision, *made_of), made_of
        elif isinstance(self._solved, Solved):
            self._solved = replace(self._solved, revision=asked.revision)
        return self._solved


def study_sheet(solved: Solved, name: str, layout: str = "") -> Sheet | None:
    """Return the sheet of that name of a study, worked out now; None where no study has such a sheet.

    Raises
    ------
    KeyError
        Sheets of that study have other names in this design.
    """
    subject = {"roll": "layout"}.get(name.partition("-")[0], name.partition("-")[0])
    if subject not in STUDIES or "-" not in name:
        return None
    for one in _drawn(STUDIES[subject](solved, layout)):
        if one.sheet.name == name:
            return one.sheet
    raise KeyError(name)


def _drawn(study: Study) -> tuple[Drawn, ...]:
    """Every sheet of a study with a sentence and the numbers that its answer tells."""
    rows = line_rows(study.lines)
    said = [one for one in (*study.sentences, study.verdict) if one]
    plain = []
    for sheet in study.sheets:
        number = re.fullmatch(r"sits-gap-(\d+)", sheet.name)
        sentence = said[min(int(number[1]) - 1 if number else 0, len(said) - 1)] if said else ""
        plain.append(Drawn(sheet, f"{sheet.title}. {sentence}".strip(), rows))
    return (*plain, *study.drawn)


def _sits(solved: Solved, _: str) -> Study:
    skirt, show = solved.skirt, solved.skirt.design.project.show
    lines, sits, findings = sits_answer(skirt)
    told = [told_rest(load.name, load.rests, show) for load in sits.loads]
    sentences = [one.sentence for one in told]
    sentences += [f"{load.name}: {NOT_CARRIED}" for load in sits.loads if not load.flies]
    sheets = sits_sheets(skirt, sits, solved.stamp)
    shaded = shaded_gaps(solved, sits)
    return Study(lines[0], tuple(sentences), _cautions(told), tuple(lines), tuple(sheets), findings, shaded)


def _water(solved: Solved, _: str) -> Study:
    skirt = solved.skirt
    lines, water, findings = water_answer(skirt)
    sits = sits_answer(skirt)[1]
    told = thrust_told(skirt, water, water.loads[0])
    sheets = water_sheets(skirt, sits, water, solved.stamp)
    sentences = tuple(f"With {water.loads[0].name!r}: {one.sentence}" for one in told)
    cautions = tuple(dict.fromkeys([*_cautions(told), as_sentence(BOW_CAUTION)]))
    return Study(lines[0], sentences, cautions, tuple(lines), tuple(sheets), findings)


def _rides(solved: Solved, _: str) -> Study:
    skirt, show = solved.skirt, solved.skirt.design.project.show
    rides = rides_of(skirt)
    hover, findings = rides.hover, rides_findings(rides, show)
    sentences = [
        *heave_sentences(rides.held, hover.point.gap, rides.least_gap, show=show),
        *margin_sentences(rides.margins, hover.names, hover.runs.loss_factor.tolist())[
            :2
        ],  # all of them; the worst run
    ]
    lines = rides_lines(skirt, rides, findings)
    said = tuple(one for one in sentences if one != SCREENING)
    sheets = tuple(rides_sheets(skirt, solved.stamp))
    return Study(" ".join(rides_verdict(rides).split()), said, (SCREENING, *CAUTIONS), tuple(lines), sheets, findings)


def _layout(solved: Solved, saved: str) -> Study:
    """The layout that is saved beside the design where it still fits, else the quick one."""
    skirt = build(solved.skirt.design, preview=False)  # the panels that the pack cuts, as `layout` lays them out
    wanted, show = problems(skirt.design, skirt.pieces), skirt.design.project.show
    said = "This is the quick layout; a better one, once looked for, is kept beside the design."
    found = None
    if saved:
        try:
            found, said = from_text(saved, wanted), "This is the layout kept beside the design."
        except ExportError as error:
            said = f"The layout kept beside the design is not of these pieces: {error} {said}"
    laid = tuple(found) if found is not None else tuple(quick_layout(problem) for problem in wanted)
    lines = [line for one in laid for line in layout_lines(one, show)]
    sentences = tuple(as_sentence(" ".join(f"{line[:10].strip()} {line[10:]}".split())) for line in lines)
    sheets = roll_sheets(laid, solved.stamp, skirt.design.making.paper)
    return Study(said, sentences, (BEFORE_CUTTING,), tuple(lines), tuple(sheets))


def _strain(solved: Solved, _: str) -> Study:
    """What flattening costs each loop panel, as the file has them made."""
    skirt = with_exact_panels(solved.skirt)
    rules = ("thread-strain", "panel-deviation", "true-panel-edges")
    findings = tuple(one for one in skirt.findings if one.rule in rules)
    sentences = strain_sentences(skirt)
    sheets = tuple(strain_sheets(skirt, solved.stamp))
    return Study(
        sentences[0], sentences[1:], (STRAIN_CAUTION,), sentences, sheets, findings, shaded_strain(solved, skirt)
    )


def _cautions(told: Sequence[Told]) -> tuple[str, ...]:
    return tuple(as_sentence(caution) for caution in dict.fromkeys(one.caution for one in told) if caution)


BEFORE_CUTTING = (
    "Measure the roll before you cut: width between the selvedges, length, flaws. Mark every piece, check the count,"
    " then cut."
)
STUDIES: dict[str, Callable[[Solved, str], Study]] = {
    "sits": _sits,
    "water": _water,
    "rides": _rides,
    "layout": _layout,
    "strain": _strain,
}
