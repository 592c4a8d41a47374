"""The gap round the plan: daylight drawn outward from the tip line, sunk tips inward, by each of the three bounds."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from skirtloft.answers.attitude_words import hold_caution, told_place, told_rest
from skirtloft.answers.sits import NOT_CARRIED, UNEVEN, gap_places
from skirtloft.checks.finding import as_sentence
from skirtloft.design.model import Show
from skirtloft.design.units import format_length, format_whole_length
from skirtloft.drawing.chart import round_step
from skirtloft.drawing.page import Column, Room
from skirtloft.drawing.sheet import Circle, Item, Layer, Line, Text
from skirtloft.maths.curves import path_points
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.attitude.bounds import Bound
from skirtloft.pipeline import Skirt
from skirtloft.sits.sits import LoadSits

ToSheet = Callable[[Floats], Floats]
SIDE = 88.0  # mm of the column of words
REACH = 16.0  # mm at most, of a gap or a sink from the tip line
ROUND = (32.0, 25.0)  # mm kept beside, and above and below the tip line, for gaps and numbers
LAYERS: dict[Bound, Layer] = {"soft": "finished", "likely": "loop", "firm": "sew"}  # dots, thick, dashes


def gap_map(skirt: Skirt, entry: LoadSits, room: Room) -> list[Item]:
    """Return plan, gaps and words of one load, bow to the right, port up."""
    show = skirt.design.project.show
    plan = Room(room.left, room.bottom, room.right - SIDE - 4.0, room.top)
    line = entry.line
    low, high = line.middle.min(axis=0), line.middle.max(axis=0)
    scale = min((plan.width - 2 * ROUND[0]) / (high - low)[0], (plan.height - 2 * ROUND[1]) / (high - low)[1])
    middle = np.array([(plan.left + plan.right) / 2.0, (plan.bottom + plan.top) / 2.0]) - scale * (low + high) / 2.0

    def at(points: Floats) -> Floats:
        return np.asarray(scale * np.asarray(points) + middle)

    items: list[Item] = [Line("segment", frozen_array(at(line.middle)), True)]
    hull = path_points(skirt.plan.hull_edge, 1e-3) - line.centre
    whole = np.vstack([hull, (hull * np.array([1.0, -1.0]))[::-1]])
    items.append(Line("ghost", frozen_array(at(whole)), True))
    items += _centres(entry, at)
    size = _magnified(entry)
    if size > 0.0:
        for bound, gap in _gaps(entry).items():
            items.append(Line(LAYERS[bound], frozen_array(at(line.middle) + size * gap[:, None] * line.normal), True))
    beyond = max((float(gap.max()) for gap in _gaps(entry).values()), default=0.0) * size
    edge = scale * float((whole.max(axis=0) - high).max())
    items += _numbers(entry, at, show, max(beyond, edge, 0.0) + 4.0)
    return [*items, *_words(skirt, entry, Room(room.right - SIDE, room.bottom, room.right, room.top), size)]


def _gaps(entry: LoadSits) -> dict[Bound, Floats]:
    """Return the gaps round the plan (n,) [m] by bound, of those that come to rest."""
    found = {
        bound: rest.leaning.gap
        for bound, rest in entry.rests.items()
        if str(rest.hold) not in ("no rest", "not lifted")
    }
    return {bound: gap for bound, gap in found.items() if np.isfinite(gap).all()}


def _magnified(entry: LoadSits) -> float:
    """Return mm on paper per metre of gap, a round number; 0 where there is no gap to draw."""
    most = max((float(np.abs(gap).max()) for gap in _gaps(entry).values()), default=0.0)
    if not most > 0.0:
        return 0.0
    return 1000.0 / round_step(1000.0 * most / REACH)


def _centres(entry: LoadSits, at: ToSheet) -> list[Item]:
    middle, centre = at(np.zeros(2)), at(entry.offset)
    cross = [np.array([[-3.0, 0.0], [3.0, 0.0]]), np.array([[0.0, -3.0], [0.0, 3.0]])]
    items: list[Item] = [Line("dimension", frozen_array(middle + arm)) for arm in cross]
    items.append(Circle("segment", float(centre[0]), float(centre[1]), 1.6))
    return items


def _numbers(entry: LoadSits, at: ToSheet, show: Show, away: float) -> list[Item]:
    """The likely gap at eight places, beyond what is drawn there."""
    found = entry.rests["likely"].leaning.gap
    items: list[Item] = []
    for k in gap_places(entry).values():
        gap, normal = float(found[k]), entry.line.normal[k]
        words = "not lifted" if not np.isfinite(gap) else format_whole_length(gap, _one(show))
        x, y = at(entry.line.middle[k]) + away * normal
        anchor = "middle" if abs(normal[0]) < 0.4 else "start" if normal[0] > 0.0 else "end"
        items.append(Text("text", float(x), float(y) - 1.2, words, 2.5, 0.0, anchor))  # type: ignore[arg-type]
    return items


def _one(show: Show) -> Show:
    return "imperial" if show == "imperial" else "metric"


def _words(skirt: Skirt, entry: LoadSits, room: Room, size: float) -> list[Item]:
    show = skirt.design.project.show
    column = Column(room.left, room.top, room.width, room.bottom)
    rest, place = (
        told_rest(entry.name, entry.rests, show),
        told_place(skirt.design.balance.ballast, entry.ballast, show),
    )
    column.paragraph(rest.sentence, 3.0)
    column.paragraph(rest.numbers, 2.6)
    column.paragraph(place.sentence, 2.6)
    for thing, where in zip(skirt.design.balance.movable, entry.movable, strict=True):
        column.paragraph(told_place(thing.mass, where, show, what=thing.name).sentence, 2.6)
    if size > 0.0:
        on_paper, words = (12.7, "1/2 in") if show == "imperial" else (10.0, "10 mm")
        step = format_length(on_paper / size, _one(show))
        column.paragraph(
            f"Outward from the tip line: daylight; inward: sunk; {words} on paper are {step}. Dots: soft; thick:"
            " likely; dashes: firm. Numbers: likely, below zero: sunk. Thin dashes: hull edge. Cross: middle of the"
            " cushion; circle: centre of gravity.",
            2.6,
        )
    if not entry.flies:
        column.paragraph(NOT_CARRIED, 2.6)
    if len({getattr(skirt.design.air.gap_by_run, run) for run in ("bow", "side", "stern")}) > 1:
        column.paragraph(UNEVEN, 2.6)
    column.paragraph(as_sentence(hold_caution(entry.line)), 2.6)
    return column.items
