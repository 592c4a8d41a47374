"""A solved skirt, or the refusal that stands in its place, as plain data for a page."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from skirtloft.checks.finding import Finding
from skirtloft.design.read import design_digest, parse_design
from skirtloft.desk.beside import taken_up
from skirtloft.desk.concerns import keys_of
from skirtloft.drawing.page import Stamp
from skirtloft.drawing.template import distinct
from skirtloft.errors import DesignError, ShapeError, SkirtloftError, SolveError
from skirtloft.pipeline import Shaped, Skirt, finished, shape, with_pieces
from skirtloft.report import limit_text, plain_lines, value_text, verdict_line

Json = dict[str, Any]


@dataclass(frozen=True, eq=False)
class Solved:
    """A revision of the text and the skirt made from it."""

    revision: int
    text: str
    digest: str
    skirt: Skirt
    is_whole: bool = True  # False: without its pieces and the rules on them
    inflation: str = ""  # text of the inflation saved beside it
    unused: str = ""  # why that is not used

    @property
    def stamp(self) -> Stamp:
        """What every sheet says of this revision."""
        failing = tuple(finding.rule for finding in self.skirt.findings if finding.verdict == "fail")
        return Stamp(self.skirt.design.project, failed=failing)


@dataclass(frozen=True, eq=False)
class Sketched:
    """A revision of the text and the shape made from it: what can be drawn before the skirt is worked out.

    `failed`: the rules that failed when last a skirt was worked out; sheets drawn meanwhile go on saying so.
    """

    revision: int
    text: str
    skirt: Shaped
    failed: tuple[str, ...] = ()
    inflation: str = ""  # text of the inflation saved beside it

    @property
    def stamp(self) -> Stamp:
        """What every sheet says of this revision."""
        return Stamp(self.skirt.design.project, failed=self.failed)


@dataclass(frozen=True, eq=False)
class Refused:
    """A revision of the text from which no skirt comes, and why."""

    revision: int
    error: SkirtloftError


def sketch(revision: int, text: str, failed: tuple[str, ...] = (), inflation: str = "") -> Sketched | Refused:
    """Return the shape that comes of a design's text, in less than half the time of `solve`; refusals are values."""
    try:
        return Sketched(revision, text, shape(parse_design(text)), failed, inflation)
    except SkirtloftError as error:
        return Refused(revision, error)


def finish(sketched: Sketched) -> Solved | Refused:
    """Return the skirt of which the shape is there, as `solve` does."""
    try:
        skirt, unused = taken_up(finished(sketched.skirt, cut=False), sketched.inflation)
    except SkirtloftError as error:
        return Refused(sketched.revision, error)
    digest = design_digest(sketched.text)
    return Solved(sketched.revision, sketched.text, digest, skirt, False, sketched.inflation, unused)


def solve(revision: int, text: str, inflation: str = "") -> Solved | Refused:
    """Return what comes of a design's text, without pieces: those take longer; refusals are values here."""
    found = sketch(revision, text, inflation=inflation)
    return finish(found) if isinstance(found, Sketched) else found


def cut(solved: Solved, between: Callable[[], None]) -> Solved | Refused:
    """Return a solved skirt with its pieces and the rules on them; `between` as for `with_pieces`."""
    try:
        return replace(solved, skirt=with_pieces(solved.skirt, between), is_whole=True)
    except SkirtloftError as error:
        return Refused(solved.revision, error)


def refusal_data(refused: Refused) -> Json:
    """Return the reason and what would do: ``{kind, reason, would_do, problems: [{key, given, wrong, would_do}]}``."""
    error = refused.error
    data: Json = {"type": "refused", "revision": refused.revision, "problems": [], "would_do": ""}
    if isinstance(error, DesignError):
        problems = [{"key": p.path, "given": p.given, "wrong": p.wrong, "would_do": p.would_do} for p in error.problems]
        first = error.problems[0]
        return {**data, "kind": "file", "problems": problems, "reason": f"{first.path}: {first.wrong}",
                "would_do": first.would_do}  # fmt: skip
    if isinstance(error, ShapeError):
        return {**data, "kind": "shape", "reason": f"{error.where}: {error.why}", "would_do": error.would_do}
    if isinstance(error, SolveError):
        return {**data, "kind": "solve", "reason": f"{error.stage}: no answer.", "would_do": error.hint}
    return {**data, "kind": "other", "reason": str(error)}


def answer_data(solved: Solved) -> Json:
    """Return everything but the drawings: verdict, facts, findings, stations, pieces."""
    skirt = solved.skirt
    stations = skirt.plan.stations
    raw = tomllib.loads(solved.text)
    return {
        "type": "answer",
        "revision": solved.revision,
        "digest": solved.digest,
        "verdict": verdict_line(skirt).partition("  ")[0],
        "sentence": verdict_line(skirt).partition("  ")[2],
        "facts": facts(skirt),
        "findings": [finding_data(finding, raw) for finding in skirt.findings],
        "stations": [
            {
                "id": name,
                "run": stations.runs[i].replace("_", " "),
                "x": round(float(stations.joint[i, 0]), 4),
                "y": round(float(stations.joint[i, 1]), 4),
                "at": round(float(stations.at[i]), 4),
                "out": [round(float(part), 5) for part in stations.outward[i]],
            }
            for i, name in enumerate(stations.ids)
        ],
        "whole": solved.is_whole,
        "pieces": piece_rows(skirt),
        "depth": skirt.design.skirt.depth,
        "clearance": skirt.design.hull.clearance,
        "gap": skirt.design.air.gap,
        "inflation": {"used": skirt.inflated is not None, "why": solved.unused},
    }


def facts(skirt: Skirt) -> list[tuple[str, str]]:
    """Return the lines of `solve` as (name, words); a line without a name of its own follows the one before."""
    found: list[tuple[str, str]] = []
    for line in plain_lines(skirt):
        name, words = line[:10].strip(), line[10:].strip()
        found.append((name, words))
    return found


def finding_data(finding: Finding, raw: Json) -> Json:
    """Return one finding with its words and the keys it is about."""
    value = finding.value if math.isfinite(finding.value) else None
    return {
        "rule": finding.rule,
        "title": finding.title,
        "verdict": finding.verdict,
        "value": value,
        "words": value_text(finding),
        "limit": limit_text(finding),
        "where": finding.where.replace("_", " "),
        "why": finding.why,
        "change": finding.change,
        "source": finding.source,
        "keys": keys_of(finding, raw),
    }


def piece_rows(skirt: Skirt) -> list[Json]:
    """Return one row per template: code, name, how many, cloth, size, run, stations."""
    rows = []
    for piece, quantities in distinct(skirt.pieces):
        size = 1000.0 * (piece.cut_line.max(axis=0) - piece.cut_line.min(axis=0))
        rows.append(
            {
                "code": piece.base,
                "name": piece.name,
                "kind": piece.kind,
                "cloth": piece.cloth,
                "quantities": quantities,
                "count": sum(quantities.values()),
                "run": piece.run.replace("_", " "),
                "stations": piece.stations,
                "size_mm": [round(float(size[0]), 1), round(float(size[1]), 1)],
                "letters": [edge.letter for edge in piece.edges if edge.letter],
                "mass_kg": round(piece.mass, 4),
            }
        )
    return rows
