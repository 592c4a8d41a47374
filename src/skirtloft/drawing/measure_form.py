"""The form to send measurements back on: what the inflated model has beside room for what a built skirt shows."""

from __future__ import annotations

import numpy as np

from skirtloft.design.units import format_length, format_pressure
from skirtloft.drawing.page import Column, Room, Stamp, page, page_room
from skirtloft.drawing.sheet import Item, Line, Sheet, Text
from skirtloft.inflate.skirt.trial import Trial
from skirtloft.maths.frozen import frozen_array

MOST = 14  # places on one page
ROW, HEAD = 8.2, 6.0  # mm
SHARES = (0.0, 0.36, 0.56, 0.67, 0.78, 0.89, 1.0)  # of the width, where columns end
TITLES = ("Place, counted from the bow", "Model: joint, tip", "Joint, port", "starboard", "Tip, port", "starboard")
HOW = (
    "Craft held level at hover on hard, level ground, tethered, nobody in it who is not needed; the fan's guards on."
    " Pressure with a water gauge in the cushion. Heights from the ground with a stick or a wedge from outside: joint,"
    " at the middle of the row of bolts of that segment; tip, at the middle of its edge. Hands and face out of the jet,"
    " nobody under the craft or in the plane of the fan. Leave empty what you did not measure; a photograph of each"
    " place with the stick in it is worth as much as the number."
)
CAN = (
    "What this can tell: whether joint and tips of the built skirt stand where the model has them, to about 5 mm, for"
    " this pressure and this cloth; so whether the rule for the length of the loop and the advice on trimming hold."
    " What it cannot: it says nothing of strength, bounce, wear or safety, and one craft proves no rule. Send it with"
    " the design file and the words on the cloth; without the design file the numbers mean nothing."
)


def form_sheet(trial: Trial) -> Sheet:
    """Return the form on one portrait page of the design's paper."""
    design = trial.skirt.cut.design
    room = page_room(design.making.paper, landscape=False)
    items = _items(trial, room)
    title = "Measurements at the first hover, to send back"
    return page("inflated-form", title, items, Stamp(design.project), paper=design.making.paper, landscape=False,
                scale="-", number="1 of 1")  # fmt: skip


def chosen(trial: Trial) -> list[int]:
    """Return the segments to measure, bow to stern: ends and middle of every run, no more than fit on the page."""
    runs = trial.measures.segments.runs
    starts = [i for i in range(len(runs)) if i == 0 or runs[i] != runs[i - 1]]
    found = set()
    for first, end in zip(starts, [*starts[1:], len(runs)], strict=True):
        found |= {first, (first + end - 1) // 2, end - 1} if end - first > 3 else {(first + end - 1) // 2}
    rows = sorted(found)
    if len(rows) <= MOST:
        return rows
    return [rows[k] for k in np.unique(np.linspace(0, len(rows) - 1, MOST).round().astype(int))]


def _items(trial: Trial, room: Room) -> list[Item]:
    design, show = trial.skirt.cut.design, trial.skirt.cut.design.project.show
    column = Column(room.left, room.top, room.width, room.bottom)
    column.paragraph(HOW, 2.6)
    pressure = format_pressure(float(np.max(trial.skirt.problem.loads.pressure)), show)
    for label, given in (
        ("Cushion pressure", f"model {pressure}"),
        ("All-up mass, and where the loads sat", f"model: {design.craft.load[0].name!r}"),
        ("Cloth: maker, mass per area, age", ""),
        ("Height of the hull bottom over the ground", f"model {format_length(design.hull.clearance, show)} + gap"),
        ("Day, place, air temperature, by", ""),
    ):
        column.top -= ROW
        column.items.append(Text("text", room.left, column.top, f"{label}{f' ({given})' if given else ''}", 2.6))
        start = room.left + 0.66 * room.width
        column.items.append(
            Line("dimension", frozen_array([[start, column.top - 1.0], [room.right, column.top - 1.0]]))
        )
    column.top -= 6.0
    column.items += _table(trial, Room(room.left, room.bottom, room.right, column.top))
    column.top -= HEAD + ROW * len(chosen(trial)) + 3.0
    column.paragraph(CAN, 2.6)
    return column.items


def _table(trial: Trial, room: Room) -> list[Item]:
    segments, show = trial.measures.segments, trial.skirt.cut.design.project.show
    joint_shift, tip_shift = trial.mesh.along(segments.at)
    edges = [room.left + share * room.width for share in SHARES]
    rows = chosen(trial)
    foot = room.top - HEAD - ROW * len(rows)
    items: list[Item] = [Line("dimension", frozen_array([[x, room.top], [x, foot]])) for x in edges]
    for k in range(len(rows) + 2):
        y = room.top if k == 0 else room.top - HEAD - ROW * (k - 1)
        items.append(Line("dimension", frozen_array([[room.left, y], [room.right, y]])))
    items += [Text("text", x + 1.2, room.top - 4.2, words, 2.4) for x, words in zip(edges, TITLES, strict=False)]
    for k, i in enumerate(rows):
        span = trial.skirt.chain.segments[i]
        high = trial.skirt.drawn.points[(span.first + span.last) // 2, 2]
        y = room.top - HEAD - ROW * k - 5.2
        joint = format_length(float(high + segments.joint[i] + joint_shift[i]), show)
        tip = format_length(float(segments.tip[i] + tip_shift[i]), show)
        place = f"Segment {i + 1}, {segments.runs[i].replace('_', ' ')}"
        items += [Text("text", edges[0] + 1.2, y, place, 2.5), Text("text", edges[1] + 1.2, y, f"{joint}, {tip}", 2.5)]
    return items
