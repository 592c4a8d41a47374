"""Pictures of heave and bounce: where she is steady, margins by section, and a knock in time. All of it screening."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from skirtloft.answers.bounce_words import CAUTIONS
from skirtloft.answers.rides import verdict_line
from skirtloft.checks.finding import Finding
from skirtloft.design.model import Show
from skirtloft.design.quantity import FOOT, INCH
from skirtloft.design.units import format_area, format_length
from skirtloft.drawing.chart import Axis, Curve, Plot, axes_items, axis_to, chart_items, room_for_axes
from skirtloft.drawing.lettering import text_width, wrap
from skirtloft.drawing.page import Column, Room, Stamp, page, page_room
from skirtloft.drawing.region_hatch import Hatch, Words, key_items, region_items
from skirtloft.drawing.sheet import Area, Circle, Item, Line, Sheet, Text
from skirtloft.errors import SolveError
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.bounce.hover import hover_flow
from skirtloft.physics.bounce.stability_map import AIR_SPRING, BOUNCES, IMPOSSIBLE, STEADY
from skirtloft.physics.bounce.threshold import MECHANISMS
from skirtloft.physics.bounce.types import SCREENING
from skirtloft.pipeline import Skirt
from skirtloft.report import value_text
from skirtloft.rides.findings import WANTED_MARGIN, rides_findings
from skirtloft.rides.maps import BEYOND, LEAST_SHARE, SPAN, map_of, mouth_map
from skirtloft.rides.rides_of import knock_of, rides_of
from skirtloft.rides.types import Knock, Rides

HATCHES: dict[str, Hatch] = {
    STEADY: "none",
    BOUNCES: "rising",
    AIR_SPRING: "crossed",
    IMPOSSIBLE: "level",
    BEYOND: "level",
}
CLOSE = "steady, close"
NOTES = 30.0  # mm kept for words under a chart
LETTERS = 2.6
MOST_MARGIN = 5.0  # bars end here
TALLEST = 7.5  # mm, a bar with its space
IN_PACK = 1.5  # s of the time run: some eight swings, and the pack stays quick


def rides_sheets(skirt: Skirt, stamp: Stamp) -> list[Sheet]:
    """Return the three pages on landscape paper, for the first load; one that says so where there is no answer."""
    paper = skirt.design.making.paper
    try:
        rides = rides_of(skirt)
        knock = knock_of(rides, duration=IN_PACK)
    except SolveError as error:
        return [_no_answer(str(error), paper, stamp)]
    return rides_pages(skirt, rides, stamp, knock)


def rides_pages(skirt: Skirt, rides: Rides, stamp: Stamp, knock: Knock | None = None) -> list[Sheet]:
    """Return the map, the margins and, with one, a knock in time, each a page on landscape paper."""
    paper, show = skirt.design.making.paper, skirt.design.project.show
    findings = rides_findings(rides, show)
    pages: list[tuple[str, str, Callable[[Room], list[Item]]]] = [
        ("rides-map", "Heave and bounce: where she is steady", lambda room: _map_items(rides, show, room)),
        ("rides-margins", "Bounce: margins by section", lambda room: _margin_items(rides, findings, room)),
    ]
    if knock is not None:
        pages.append(
            ("rides-knock", "Heave and bounce: a knock in time", lambda room: _knock_items(rides, knock, show, room))
        )
    return [
        page(
            name,
            title,
            draw(page_room(paper, landscape=True)),
            stamp,
            paper=paper,
            landscape=True,
            scale="-",
            number=f"{number} of {len(pages)}",
        )
        for number, (name, title, draw) in enumerate(pages, start=1)
    ]


def _no_answer(words: str, paper: str, stamp: Stamp) -> Sheet:
    room = page_room(paper, landscape=True)
    column = Column(room.left, room.top, room.width, room.bottom)
    column.heading("Nothing can be said of heave and bounce here.", 3.2)
    column.paragraph(words, 2.8)
    title = "Heave and bounce"
    return page("rides-map", title, column.items, stamp, paper=paper, landscape=True, scale="-", number="1 of 1")


def _notes(room: Room, *words: str) -> list[Item]:
    """Paragraphs at the foot of a page, what it is worth and the caution last."""
    column = Column(room.left, room.bottom + NOTES, room.width, room.bottom)
    for paragraph in (*words, f"{SCREENING} {CAUTIONS[2]}"):
        column.paragraph(paragraph, 2.5)
    return column.items


def _heading(rides: Rides, room: Room) -> Column:
    column = Column(room.left, room.top + 2.0, room.width, room.bottom)
    verdict = " ".join(verdict_line(rides).split())
    size = 3.2
    while text_width(verdict, size, True) > room.width and size > 2.0:
        size -= 0.1
    column.heading(verdict, size)
    return column


def _length_unit(show: Show) -> tuple[float, str]:
    return (1.0 / INCH, "in") if show == "imperial" else (1000.0, "mm")


def _map_items(rides: Rides, show: Show, room: Room) -> list[Item]:
    """Gap over lift air, and gap over the way from loop to cushion, with the point where she hovers."""
    head = _heading(rides, room)
    hover, (unit, name) = rides.hover, _length_unit(show)
    flow, (q, flow_name) = (
        float(hover_flow(hover.craft, hover.runs)),
        (60.0 / FOOT**3, "ft3/min") if show == "imperial" else (1.0, "m3/s"),
    )
    middle, foot = (room.left + room.right) / 2.0, room.bottom + NOTES + 7.0
    second = 0.001 / INCH if show == "both" else 1.0
    far = "gap, in" if show == "both" else ""
    y = _across(SPAN, hover.point.gap * unit, f"gap, {name}", second, far)
    chart = map_of(rides)
    near = np.where(
        (chart.verdict == STEADY) & (np.nan_to_num(chart.margin, nan=0.0) < WANTED_MARGIN), CLOSE, chart.verdict
    )
    left = Plot(
        room_for_axes(Room(room.left, foot, middle - 2.0, head.top), False, bool(far)),
        _across(SPAN, flow * q, f"lift air, {flow_name}"),
        y,
    )
    right = Plot(
        room_for_axes(Room(middle + 2.0, foot, room.right, head.top), False, bool(far)),
        _across((LEAST_SHARE, 1.0), 100.0, "way from loop to cushion, % of what there is"),
        y,
    )
    items = [*head.items, *_field(left, near, flow * q, hover.point.gap * unit)]
    items += _field(right, mouth_map(rides).verdict, 100.0, hover.point.gap * unit)
    items += key_items(
        (
            ("none", "steady"),
            ("rising", "bounces on her skirt"),
            ("crossed", "heaves, skirt held or not"),
            ("level", "gap takes more air, or beyond the model"),
            ("circle", "she hovers here"),
        ),
        room.left,
        room.bottom + NOTES + 2.0,
    )
    name = rides.loads[hover.load].name
    words = (
        f"With {name!r}. Left: more lift air than the gap takes leaves by openings that do not change with the gap;"
        f" dots mark steady states with a margin below {WANTED_MARGIN:g}. Right: lift air as the gap takes it; all"
        f" there is means {format_area(hover.mouth.area, show)} effective ({hover.mouth.told_by})."
    )
    return [*items, *_notes(room, words)]


def _across(span: tuple[float, float], here: float, name: str, factor: float = 1.0, second: str = "") -> Axis:
    """Return an axis that is filled by the cells of a grid over `span` times `here`, half a cell beyond both ends."""
    cells = 40
    half = (span[1] - span[0]) / cells / 2.0
    whole = axis_to(span[1] * here, name, ticks=6)
    return Axis((span[0] - half) * here, (span[1] + half) * here, whole.step, name, factor, second)


def _field(plot: Plot, verdict: Words, x: float, y: float) -> list[Item]:
    """Axes, hatched regions, dots where it is close, and the circle."""
    items = [*axes_items(plot), *region_items(plot, verdict, HATCHES)]
    rows, columns = verdict.shape
    box = plot.box
    for i, j in np.argwhere(verdict == CLOSE).tolist():
        if i % 2 == 0 and j % 2 == 0:
            u = box.left + (j + 0.5) / columns * box.width
            v = box.bottom + (i + 0.5) / rows * box.height
            items.append(Circle("dimension", u, v, 0.2))
    ((u, v),) = plot.at(np.array([x]), np.array([y]))
    return [*items, Circle("hull", float(u), float(v), 1.3)]


def _margin_items(rides: Rides, findings: tuple[Finding, ...], room: Room) -> list[Item]:
    """A bar for the craft and for each section, the limits across them, and what each mechanism alone would need."""
    head = _heading(rides, room)
    margins, hover = rides.margins, rides.hover
    names = ["all together", *hover.names]
    values = [float(margins.craft_margin), *(float(value) for value in margins.margin)]
    needed = [float(margins.craft_needed), *(float(value) for value in margins.needed)]
    left = room.left + max(text_width(name, LETTERS, True) for name in names) + 3.0
    right = room.right - 92.0
    pitch = min(TALLEST, (head.top - room.bottom - NOTES - 26.0) / len(names))
    top = head.top - 6.0
    items: list[Item] = [*head.items]
    per = (right - left) / MOST_MARGIN
    heads = ("margin", "loss needed", "tip flow", "loop", "lip")
    columns = [right + offset for offset in (4.0, 24.0, 46.0, 62.0, 76.0)]
    items += [Text("text", at, top + 1.5, word, 2.4) for word, at in zip(heads, columns, strict=True)]
    for k, (name, value, need) in enumerate(zip(names, values, needed, strict=True)):
        high, low = top - k * pitch - 0.15 * pitch, top - (k + 1) * pitch + 0.15 * pitch
        end = left + max(0.3, per * min(value, MOST_MARGIN))
        corners = frozen_array([[left, low], [end, low], [end, high], [left, high]])
        base = (high + low) / 2.0 - LETTERS / 2.0
        alone = [margins.alone[one][k - 1] for one in MECHANISMS] if k else []
        told = [_number(value, 2), _number(need, 3), *(_number(float(one), 3) for one in alone)]
        items += [
            Text("text", left - 2.0, base, name, LETTERS, 0.0, "end", k == 0),
            Area("segment", corners, 0.35 if value < 1.0 else 0.6 if value < WANTED_MARGIN else 0.85),
            Line("register", corners, True),
        ]
        items += [Text("text", at, base, word, LETTERS) for at, word in zip(columns, told, strict=False)]
    foot = top - len(names) * pitch
    items.append(Line("dimension", frozen_array([[left, top], [left, foot]])))
    for limit, words in ((1.0, "1: bounces below"), (WANTED_MARGIN, f"{WANTED_MARGIN:g}: wanted")):
        at = left + per * limit
        items.append(Line("axis", frozen_array([[at, top], [at, foot - 1.0]])))
        items.append(Text("text", at, foot - 4.5, words, 2.4, 0.0, "middle"))
    words = (
        "Margin: loss in the cloth over the loss needed; each section as if it went all the way round; bars end at"
        f" {MOST_MARGIN:g}. Tip flow, loop and lip: the loss that the inertia of the air at the tips, the loop's"
        " pressure above the cushion's, and suction under rounded tips would need alone."
    )
    below = Column(room.left, foot - 7.0, room.width, room.bottom + NOTES)
    below.items += items
    for one in sorted(findings, key=lambda one: one.verdict == "pass"):
        line = f"{'ok' if one.verdict == 'pass' else 'WATCH'}  {one.title}: {value_text(one)} at {one.where}."
        line += "" if one.verdict == "pass" else f" {one.change}"
        needs = 1.75 * 2.4 * len(wrap(line, 2.4, room.width))
        if one.rule != "bounce-section" and below.top - needs > below.bottom:
            below.paragraph(line, 2.4)
    return [*below.items, *_notes(room, words)]


def _number(value: float, digits: int) -> str:
    return f"{value:.{digits}f}" if math.isfinite(value) else "no bound"


def _knock_items(rides: Rides, knock: Knock, show: Show, room: Room) -> list[Item]:
    """Heave, the gap under the worst section, and the pressure, one over the other."""
    head = _heading(rides, room)
    motion, (unit, name) = knock.motion, _length_unit(show)
    worst = int(np.argmin(rides.margins.margin))
    gap = motion.gap[:, worst]
    traces: list[tuple[Floats, str]] = [
        (motion.heave * unit, f"heave, {name}"),
        (gap * unit, f"gap, {name}"),
        (motion.pressure / float(rides.hover.craft.pressure), "pressure, p/p0"),
    ]
    bottom = room.bottom + NOTES
    high = (head.top - bottom) / len(traces)
    time, items = axis_to(float(motion.time[-1]), "time, s"), [*head.items]
    for k, (values, label) in enumerate(traces):
        part = Room(room.left, head.top - (k + 1) * high, room.right, head.top - k * high)
        low, top = float(values.min()), float(values.max())
        spread = max(top - low, 1e-6)
        y = axis_to(top + 0.05 * spread, label, low=low - 0.05 * spread, ticks=4)
        plot = Plot(room_for_axes(part, False, False), time, y)
        items += chart_items(plot, [Curve(motion.time, values, "", "segment")])
    start = format_length(knock.drop, show)
    words = (
        f"Let go {start} too low with {rides.loads[rides.hover.load].name!r}; nothing linearised. The gap is that under"
        f" {rides.hover.names[worst]}, the section with the least margin; pressure p over that at rest, p0."
        f" {_fades(rides)}"
    )
    return [*items, *_notes(room, words)]


def _fades(rides: Rides) -> str:
    """What becomes of small knocks, by the linear model: the run is too short to tell."""
    growth = float(rides.free.growth)
    half = math.log(2.0) / abs(growth) if growth else math.inf
    if growth < 0.0:
        return f"By the linear model a small swing is halved in {half:.1f} s."
    return f"By the linear model a small swing doubles in {half:.1f} s, until tips touch and slap."
