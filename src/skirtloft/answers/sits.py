"""How it sits: every load at rest, what holds it, where the centre of gravity may be, masses moved, in words."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from skirtloft.answers.attitude_words import (
    HOLD_CAUTION,
    hold_caution,
    told_diaphragm,
    told_hold,
    told_limits,
    told_loll,
    told_place,
    told_range,
    told_rest,
    told_shift,
)
from skirtloft.answers.drag_words import told_movers
from skirtloft.answers.table import prose, table
from skirtloft.answers.told import Told, degrees, told_lines
from skirtloft.checks.finding import Finding
from skirtloft.design.model import Show
from skirtloft.design.quantity import parse_length, parse_mass, shown
from skirtloft.design.units import format_length, format_mass, format_whole_length
from skirtloft.errors import DesignError, Problem
from skirtloft.maths.frozen import Floats
from skirtloft.physics.attitude.heel_limits import PERSON_MASS
from skirtloft.physics.attitude.restoring import Side
from skirtloft.pipeline import Skirt
from skirtloft.report import finding_lines
from skirtloft.sits.inputs import STEPS, WORDS, input_text
from skirtloft.sits.margins import held_movers
from skirtloft.sits.sits import PERSON_ASIDE, LoadSits, Sits, moved_centre, rests_at, sits_of
from skirtloft.sits.sits_rules import LOLL, sits_findings

WAYS: dict[str, tuple[float, float, float]] = {
    "forward": (1.0, 0.0, 0.0),
    "aft": (-1.0, 0.0, 0.0),
    "port": (0.0, 1.0, 0.0),
    "starboard": (0.0, -1.0, 0.0),
    "up": (0.0, 0.0, 1.0),
    "down": (0.0, 0.0, -1.0),
}
SIDE_OF: dict[str, Side] = {"forward": "bow", "aft": "stern", "port": "port", "starboard": "starboard"}
UNEVEN = "Runs hang at different gaps (air.gap_by_run): here the gap is the same all round when level."
NOT_CARRIED = "The fan of the file does not carry it (see `air`): told as if it hovered on the wanted gap."


@dataclass(frozen=True, eq=False)
class Move:
    """A mass [kg] that goes by `way` (3,) [m]: `distance` [m] in the `direction` named."""

    mass: float
    way: Floats
    distance: float
    direction: str


def moves_of(masses: Sequence[str], ways: Sequence[str]) -> tuple[Move, ...]:
    """Return moves as they are typed: "80 kg" by "0.3 m to port", one way for each mass.

    Raises
    ------
    DesignError
        With every problem.
    """
    if len(masses) != len(ways):
        short, other = ("--by", "--move") if len(ways) < len(masses) else ("--move", "--by")
        wrong = f"Masses given: {len(masses)}; ways to go: {len(ways)}."
        raise DesignError(
            [Problem(short, "(nothing)", wrong, f'Give one {short} for each {other}: "80 kg" by "0.3 m to port".')]
        )
    found: list[Move] = []
    problems: list[Problem] = []
    for mass, way in zip(masses, ways, strict=True):
        try:
            found.append(_move(mass, way))
        except DesignError as error:
            problems += error.problems
    if problems:
        raise DesignError(problems)
    return tuple(found)


def _move(mass: str, way: str) -> Move:
    match = re.fullmatch(rf"\s*(.+?)\s+(?:to\s+)?({'|'.join(WAYS)})\s*", way)
    if match is None:
        would_do = 'Write, for example, "0.3 m to port", "200 mm forward" or "1 ft aft".'
        raise DesignError([Problem("--by", shown(way), "It does not say how far and which way.", would_do)])
    kilograms, distance = parse_mass(mass, "--move"), parse_length(match[1], "--by")
    if not 0.0 < kilograms <= 20_000.0:
        raise DesignError([Problem("--move", shown(mass), "Nothing can be moved that has no mass.", 'Write "80 kg".')])
    if not 0.0 <= distance <= 30.0:
        wrong = "The distance is outside the range that makes sense."
        raise DesignError([Problem("--by", shown(way), wrong, "From 0 to 30 m would do; the way says which side.")])
    return Move(kilograms, distance * np.array(WAYS[match[2]]), distance, match[2])


def sits_answer(
    skirt: Skirt, load: str | None = None, moves: Sequence[Move] = ()
) -> tuple[list[str], Sits, tuple[Finding, ...]]:
    """Return the lines that answer, the figures and the findings.

    Parameters
    ----------
    load : str, optional
        Only this load of the file.

    Raises
    ------
    DesignError
        There is no such load, or more is moved than it weighs.
    """
    sits = sits_of(skirt, load)
    findings = sits_findings(skirt, sits)
    heavy = [entry.name for entry in sits.loads if sum(move.mass for move in moves) > entry.mass]
    if heavy:
        would_do = "Move less, or ask of another load with --load."
        raise DesignError([Problem("--move", "more", f"It is more than all of {heavy[0]!r}.", would_do)])
    lines = [verdict_line(skirt, findings)]
    told: list[Told] = []
    for entry in sits.loads:
        part, moved = load_told(skirt, entry), _moved_told(skirt, entry, moves)
        told += [*part, *moved]
        lines += ["", *_head(skirt, entry), *_without_cautions(part[:1]), *_gap_table(skirt, entry)]
        lines += _without_cautions([*part[1:], *moved])
    first = sits.loads[0]
    held = held_told(skirt, first)
    told += held
    lines += ["", f"What holds {first.name!r}", *_without_cautions(held)]
    lines += [
        "",
        *finding_lines(findings, skirt.design.project.show),
        *(prose(UNEVEN) if sits.is_uneven else ()),
        *told_lines(_cautions(told, first)),
    ]
    return lines, sits, findings


def verdict_line(skirt: Skirt, findings: Sequence[Finding]) -> str:
    """Return the verdict of a chapter in one line."""
    count = {name: sum(f.verdict == name for f in findings) for name in ("pass", "warn", "fail", "note")}
    project = skirt.design.project
    parts = [f"{count['pass']} rules pass"]
    parts += [f"{count[name]} {word}" for name, word in (("warn", "to watch"), ("fail", "FAIL")) if count[name]]
    return f"{'FAILS' if count['fail'] else 'HOLDS'}  {project.name}, revision {project.revision}: {', '.join(parts)}"


def _without_cautions(answers: Sequence[Told]) -> list[str]:
    return told_lines([Told(told.sentence, told.numbers) for told in answers])


def _cautions(answers: Sequence[Told], first: LoadSits) -> list[Told]:
    """Return one empty answer for each caution, so that only the cautions are printed."""
    cautions = dict.fromkeys(told.caution for told in answers if told.caution)
    return [Told("", "", hold_caution(first.line) if words == HOLD_CAUTION else words) for words in cautions]


def _head(skirt: Skirt, entry: LoadSits) -> list[str]:
    show, (ahead, aside) = skirt.design.project.show, entry.offset
    words = (
        f"{entry.name!r}: {format_mass(entry.mass, show)}, centre of gravity {_off(ahead, 'ahead of', 'behind', show)}"
        f" the middle of the cushion, {_off(aside, 'to port of', 'to starboard of', show)} it,"
        f" {format_whole_length(float(np.asarray(entry.hover.height)), show)} above the tips"
    )
    return [*prose(words), *(prose(NOT_CARRIED) if not entry.flies else ())]


def _off(value: float, positive: str, negative: str, show: Show) -> str:
    return f"{format_whole_length(abs(float(value)), show)} {positive if value >= 0.0 else negative}"


def load_told(skirt: Skirt, entry: LoadSits) -> list[Told]:
    """Return how one load rests, and where ballast and each movable thing would level it."""
    show, balance = skirt.design.project.show, skirt.design.balance
    loll = entry.curves["starboard"]["likely"].loll
    high = 0.0 if loll <= LOLL else loll  # nan stays: it goes over
    told = [told_rest(entry.name, entry.rests, show), told_place(balance.ballast, entry.ballast, show, loll=high)]
    for thing, place in zip(balance.movable, entry.movable, strict=True):
        told.append(told_place(thing.mass, place, show, what=thing.name, loll=high))
    return told


def _moved_told(skirt: Skirt, entry: LoadSits, moves: Sequence[Move]) -> list[Told]:
    """Return what the moves do: one in plan from level, then the load with all of them."""
    if not moves:
        return []
    show = skirt.design.project.show
    shift = moved_centre(entry, [(move.mass, move.way) for move in moves])
    told = []
    if len(moves) == 1 and moves[0].direction in SIDE_OF:
        level = rests_at(entry, entry.line.centre + shift[:2])
        told.append(told_shift(moves[0].mass, moves[0].distance, SIDE_OF[moves[0].direction], level, show))
    height = float(np.asarray(entry.hover.height)) + float(shift[2])
    after = rests_at(entry, entry.centre + shift[:2], height)
    return [*told, told_rest(f"{entry.name}, moved", after, show)]


def _gap_table(skirt: Skirt, entry: LoadSits) -> list[str]:
    """Return the gap all round at rest, by place and bound; negative: sunk."""
    show, line = skirt.design.project.show, entry.line
    places = gap_places(entry)
    head = ["gap", *places]
    rows = []
    for bound, found in entry.rests.items():
        gap = found.leaning.gap.reshape(-1, len(line.length))[0]
        rows.append([bound, *(gap_words(float(gap[k]), show) for k in places.values())])
    return table(head, rows)


def gap_words(gap: float, show: Show) -> str:
    """Return a gap at rest [m] in words: "12 mm", "30 mm sunk"."""
    size = format_whole_length(abs(gap), show)
    return "not lifted" if gap != gap else f"{size} sunk" if gap <= -0.0005 else size


def gap_places(entry: LoadSits) -> dict[str, int]:
    """Return the element of the tip line nearest to each of eight places round the plan."""
    line = entry.line
    reach = np.abs(line.middle).max(axis=0)
    ways = {
        "bow": (1.0, 0.0), "port bow": (1.0, 1.0), "port": (0.0, 1.0), "port stern": (-1.0, 1.0),
        "stern": (-1.0, 0.0), "stbd stern": (-1.0, -1.0), "starboard": (0.0, -1.0), "stbd bow": (1.0, -1.0),
    }  # fmt: skip
    found = {}
    for name, way in ways.items():
        to = np.array(way)
        along = line.middle / reach
        score = along @ to - (np.abs(along @ np.array([-to[1], to[0]])) if 0.0 in way else 0.0)
        found[name] = int(np.argmax(score))
    return found


def held_told(skirt: Skirt, entry: LoadSits) -> list[Told]:
    """Return what holds one load to either side, how far its centre of gravity may be off, and one person moved."""
    show = skirt.design.project.show
    told = [told_hold(entry.curves["starboard"], show)]
    if entry.slack:
        told.append(told_diaphragm(entry.curves["starboard"], entry.slack))
    found = held_movers(entry, "starboard")
    told.append(
        told_movers(
            "hold to the side",
            found,
            WORDS,
            {name: (lambda value, name=name: input_text(name, value, show)) for name in WORDS},  # type: ignore[misc]
            lambda slope: f"{100.0 * np.radians(slope):.2g} % of the beam per degree",
            steps=STEPS,
        )
    )
    told += [told_hold(entry.curves[side], show) for side in ("bow", "stern")]
    told += [told_range(curves, show) for curves in entry.curves.values()]
    told.append(told_loll(entry.curves["starboard"]))
    return [*told, *_person_told(entry, show)]


def _person_told(entry: LoadSits, show: Show) -> list[Told]:
    if str(entry.person.hold) in ("no rest", "not lifted", "neutral"):
        return []
    heel = float(entry.person.leaning.tilt[1])
    what = f"{format_mass(PERSON_MASS, show)} moved {format_length(PERSON_ASIDE, show)} aside"
    limits = told_limits(heel)
    return [Told(f"{what} heels it {degrees(heel)}. {limits.sentence}", limits.numbers, limits.caution)]
