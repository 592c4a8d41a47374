"""The plan with greys on it: daylight under the tips with a load at rest, or the strain of the loop panels."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from skirtloft.answers.sits import gap_places
from skirtloft.design.model import Show
from skirtloft.design.units import format_length
from skirtloft.drawing.page import Stamp, page, page_room
from skirtloft.drawing.plan_sheet import plan_frame, plan_outline, strip_beside_joint
from skirtloft.drawing.sheet import Area, Item, Line, Sheet, Text
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.pipeline import Skirt
from skirtloft.sits.sits import LoadSits

GAP_ENDS = (-0.020, 0.0, 0.010, 0.020, 0.040)  # m, between the bands
STRAIN_ENDS = (0.0025, 0.005, 0.010, 0.015, 0.020)  # as on the pages on strain
GREYS = (0.16, 0.36, 0.54, 0.70, 0.84, 0.95)
STRIP = 0.16  # m wide, inside the tip line
NUMBER_IN = 0.8  # m from the tip line in to the number of a gap
END_IN = 1.2  # m the same at bow and stern, clear of their neighbours
BOX = (9.0, 4.5)  # mm, one band of the legend
SIZE = 2.5  # mm, letters
LEGEND = 38.0  # mm from the foot of the page's room to the boxes of the legend


@dataclass(frozen=True, eq=False)
class Shading:
    """What is shaded: polygons (k, 2) [m] with their bands, words of every band, lightest or darkest first as `greys`.

    `marks`: words with the place (2,) [m] they stand at.
    """

    name: str
    title: str
    note: str
    polygons: tuple[tuple[Floats, int], ...]
    bands: tuple[str, ...]
    greys: tuple[float, ...]
    marks: tuple[tuple[str, Floats], ...] = ()


def gap_shading(skirt: Skirt, entry: LoadSits) -> Shading:
    """Return daylight and sunk tips all round of one load as it likely sits; nothing is shaded where it has no rest."""
    show, line = skirt.design.project.show, entry.line
    gap = entry.rests["likely"].leaning.gap
    polygons: list[tuple[Floats, int]] = []
    marks: list[tuple[str, Floats]] = []
    if np.isfinite(gap).all():
        band = np.searchsorted(GAP_ENDS, gap, side="right")
        outer = line.middle + line.centre
        inner = outer - STRIP * line.normal
        for first, last in _stretches(band.tolist()):
            at = np.arange(first, last + 2) % len(band)
            polygons.append((frozen_array(np.vstack([outer[at], inner[at][::-1]])), int(band[first])))
        for k in gap_places(entry).values():
            into = END_IN if abs(line.normal[k][1]) < 0.3 else NUMBER_IN
            marks.append((_length(float(gap[k]), show), frozen_array(outer[k] - into * line.normal[k])))
    return Shading(
        name=f"sits-shade-{entry.index + 1}",
        title=f"Daylight under the tips: {entry.name}",
        note="Strip inside the tip line: daylight, or how far the tips are sunk (below zero), as she likely sits.",
        polygons=tuple(polygons),
        bands=_gap_words(show),
        greys=GREYS,
        marks=tuple(marks),
    )


def gap_rows(skirt: Skirt, entry: LoadSits) -> tuple[tuple[str, str], ...]:
    """Return the likely gap at eight places as (place, words)."""
    gap, show = entry.rests["likely"].leaning.gap, skirt.design.project.show
    places = gap_places(entry).items()
    return tuple((name, _told(float(gap[k]), show)) for name, k in places)


def _told(gap: float, show: Show) -> str:
    if not np.isfinite(gap):
        return "not lifted"
    return f"{_length(abs(gap), show)}{' sunk' if gap < 0.0 else ''}"


def strain_shading(skirt: Skirt) -> Shading:
    """Return stretch of the threads, not exceeded on 95 % of a panel, of a skirt with exact panels."""
    made = skirt.development
    polygons: list[tuple[Floats, int]] = []
    for i, panel in enumerate(made.panels):
        strain = made.strain[i] if made.strain else None
        if strain is None and not panel.is_rectangle:
            continue
        value = 0.0 if strain is None else strain.thread.p95
        port = strip_beside_joint(skirt, i)
        band = int(np.searchsorted(STRAIN_ENDS, value, side="right"))
        polygons += [(port, band), (frozen_array(port * np.array([1.0, -1.0])), band)]
    return Shading(
        name="strain-plan",
        title="Stretch of the loop's threads, panel by panel",
        note="Loop from hull edge to its widest: what 95 % of a panel stays under. Rectangles stretch nothing.",
        polygons=tuple(polygons),
        bands=_strain_words(),
        greys=GREYS[::-1],
    )


def strain_rows(skirt: Skirt) -> tuple[tuple[str, str], ...]:
    """Return each panel with the stretch of its threads and how far it may stand off the drawn shape, in words."""
    made, show = skirt.development, skirt.design.project.show
    rows = []
    for i, panel in enumerate(made.panels):
        strain = made.strain[i] if made.strain else None
        off = _length(0.0 if made.deviation is None else float(made.deviation[i]), show)
        words = "none, a rectangle" if strain is None else f"{100.0 * strain.thread.p95:.2f} %, may stand off by {off}"
        rows.append((f"{panel.id}, {panel.start} to {panel.end}", words))
    return tuple(rows)


def shaded_plan(skirt: Skirt, stamp: Stamp, shading: Shading) -> Sheet:
    """Return the plan with the shading under its lines and a legend, on a landscape page."""
    paper = skirt.design.making.paper
    room = page_room(paper, landscape=True)
    scale, x0, y0 = plan_frame(skirt)

    def at(points: Floats) -> Floats:
        return frozen_array(np.asarray(points) * (1000.0 / scale) + np.array([x0, y0]))

    items: list[Item] = [Area("zone", at(points), shading.greys[band]) for points, band in shading.polygons]
    items += plan_outline(skirt)
    for words, place in shading.marks:
        x, y = at(place)
        items.append(Text("text", float(x), float(y) - 1.0, words, SIZE, 0.0, "middle", True))
    items += _legend(shading, room.left, room.bottom + LEGEND, room.width)
    return page(
        shading.name, shading.title, items, stamp, paper=paper, landscape=True, scale=f"1 : {scale:g}", number="1 of 1"
    )


def _legend(shading: Shading, left: float, y: float, width: float) -> list[Item]:
    items: list[Item] = [Text("text", left, y + 8.0, shading.note, SIZE)]
    step = width / len(shading.bands)
    for k, words in enumerate(shading.bands):
        x = left + k * step
        box = np.array([[x, y], [x + BOX[0], y], [x + BOX[0], y + BOX[1]], [x, y + BOX[1]]])
        items += [Area("zone", frozen_array(box), shading.greys[k]), Line("dimension", frozen_array(box), True)]
        items.append(Text("text", x + BOX[0] + 2.0, y + 1.1, words, SIZE))
    return items


def _stretches(band: Sequence[int]) -> list[tuple[int, int]]:
    """Return first and last of every stretch of equal bands, in order."""
    cuts = [0, *(int(k) + 1 for k in np.flatnonzero(np.diff(band))), len(band)]
    return [(a, b - 1) for a, b in pairwise(cuts)]


def _length(value: float, show: Show) -> str:
    return format_length(round(value, 3), "imperial" if show == "imperial" else "metric")


def _gap_words(show: Show) -> tuple[str, ...]:
    ends = [_length(abs(end), show) for end in GAP_ENDS]
    return (
        f"sunk over {ends[0]}",
        f"sunk to {ends[0]}",
        f"0 to {ends[2]}",
        f"to {ends[3]}",
        f"to {ends[4]}",
        f"over {ends[4]}",
    )


def _strain_words() -> tuple[str, ...]:
    ends = [f"{100.0 * end:g} %" for end in STRAIN_ENDS]
    return (f"under {ends[0]}", *(f"to {end}" for end in ends[1:]), f"over {ends[-1]}")
