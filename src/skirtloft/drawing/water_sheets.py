"""Pictures of what water does: drag with its hump against thrust, the loads side by side, the rules."""

from __future__ import annotations

import math

import numpy as np

from skirtloft.answers.drag_words import told_bow, told_hollow, told_hump
from skirtloft.answers.under_way import FRONTAL
from skirtloft.checks.finding import as_sentence
from skirtloft.design.model import Show
from skirtloft.design.quantity import FOOT, POUND
from skirtloft.design.said_both import said_both
from skirtloft.design.units import GRAVITY, format_mass
from skirtloft.drawing.chart import CURVES, Curve, Mark, Plot, axis_to, chart_items, room_for_axes
from skirtloft.drawing.page import Column, Room, Stamp, page, page_room
from skirtloft.drawing.rules_page import rules_items
from skirtloft.drawing.sheet import Item, Layer, Sheet
from skirtloft.physics.water.drag import CAUTION
from skirtloft.physics.water.plough import CAUTION as BOW_CAUTION
from skirtloft.pipeline import Skirt
from skirtloft.sits.on_water import LoadOnWater, OnWater
from skirtloft.sits.sits import Sits
from skirtloft.sits.water_rules import water_findings

NOTES = 30.0  # mm kept for words under a chart
LBF = POUND * GRAVITY
PARTS: tuple[tuple[str, str, Layer], ...] = (
    ("wave", "waves", "segment"),
    ("air", "wind of its speed", "fold"),
    ("momentum", "lift air taken along", "ghost"),
    ("skirt", "wet skirt", "finished"),
)


def water_sheets(skirt: Skirt, sits: Sits, water: OnWater, stamp: Stamp, *, rules: bool = True) -> list[Sheet]:
    """Return the pages on landscape paper: drag of the first load by parts, drag of all loads, the rules if wanted."""
    paper = skirt.design.making.paper
    room = page_room(paper, landscape=True)
    findings = water_findings(skirt, sits, water)
    first = water.loads[0]
    show, told = skirt.design.project.show, ", and the thrust" if water.has_thrust else ""
    caution = f"{as_sentence(CAUTION)} {as_sentence(BOW_CAUTION)}"
    drawn: list[tuple[str, str, list[Item]]] = [
        ("water-drag", f"Drag on calm water: {first.name}", _drag_items(skirt, water, first, room)),
        ("water-loads", f"Drag of every load{told}", _load_items(skirt, water, room)),
    ]
    if rules:
        drawn += [("water-rules", "On water: rules", items) for items in rules_items(findings, room, caution, show)]
    return [
        page(name, title, items, stamp, paper=paper, landscape=True, scale="-", number=f"{k} of {len(drawn)}")
        for k, (name, title, items) in enumerate(drawn, start=1)
    ]


def _plot(room: Room, show: Show, speed: float, force: float) -> tuple[Plot, float, float]:
    """Return axes of speed and force, and the factors from SI to the near ones."""
    u, f = (1.0 / FOOT, 1.0 / LBF) if show == "imperial" else (1.0, 1.0)
    names = ("speed, ft/s", "lbf") if show == "imperial" else ("speed, m/s", "N")
    far = show == "both"
    x = axis_to(speed * u, names[0], factor=1.0 / FOOT if far else 1.0, second="ft/s" if far else "")
    y = axis_to(1.08 * force * f, f"drag and thrust, {names[1]}", factor=1.0 / LBF if far else 1.0,
                second="lbf" if far else "")  # fmt: skip
    return Plot(room_for_axes(room, far, far), x, y), u, f


def _drag_items(skirt: Skirt, water: OnWater, load: LoadOnWater, room: Room) -> list[Item]:
    show, best = skirt.design.project.show, load.curves["best"]
    inner = Room(room.left, room.bottom + NOTES, room.right, room.top)
    most = max(float(np.nanmax(load.curves["best"].total)), float(np.nanmax(np.nan_to_num(load.push))))
    most = max(most, load.levels["high"].hump_drag)
    plot, u, f = _plot(inner, show, float(best.speed[-1]), 1.1 * most)
    speed = best.speed * u
    curves = [
        Curve(speed, best.total * f, "drag, best", "hull"),
        Curve(speed, load.curves["high"].total * f, "drag, high", "sew"),
        Curve(speed, load.curves["low"].total * f, "drag, low", "sew"),
        *(Curve(speed, getattr(best, part) * f, name, layer) for part, name, layer in PARTS),
    ]
    if water.has_thrust:
        curves.append(Curve(speed, load.push * f, "thrust", "ground"))
    hump, top = load.levels["best"].hump_speed, load.levels["best"].top_speed
    marks = [Mark(hump * u, load.levels["best"].hump_drag * f, "hump")]
    if math.isfinite(top):
        marks.append(Mark(top * u, float(np.interp(top, best.speed, best.total)) * f, "top speed, best"))
    items = chart_items(plot, curves, marks)
    words = [told_hump(load.levels, show).sentence] if water.has_thrust else []
    words += ["Slower than drawn, waves break and nothing is known of the drag."]
    words += [told_hollow(load.craft.pressure, show, load.craft.water_density).sentence]
    words += [told_bow(load.bow[state], load.fast, show, at=1, thrust=state).sentence for state in load.bow]
    return [*items, *_notes(room, " ".join(words), "" if water.frontal_given else said_both(FRONTAL, show))]


def _load_items(skirt: Skirt, water: OnWater, room: Room) -> list[Item]:
    show = skirt.design.project.show
    inner = Room(room.left, room.bottom + NOTES, room.right, room.top)
    fastest = max(float(load.curves["best"].speed[-1]) for load in water.loads)
    most = max(float(np.nanmax(load.curves["best"].total)) for load in water.loads)
    most = max([most, *(float(np.nanmax(np.nan_to_num(load.push))) for load in water.loads)])
    plot, u, f = _plot(inner, show, fastest, most)
    curves, marks = [], []
    for k, load in enumerate(water.loads):
        drag, best = load.curves["best"], load.levels["best"]
        name = f"{load.name}, {format_mass(load.craft.mass, show)}"
        curves.append(Curve(drag.speed * u, drag.total * f, name, CURVES[k % len(CURVES)]))
        marks.append(Mark(best.hump_speed * u, best.hump_drag * f, ""))
    if water.has_thrust:
        longest = max(water.loads, key=lambda load: float(load.curves["best"].speed[-1]))
        curves.append(Curve(longest.curves["best"].speed * u, longest.push * f, "thrust", "ground"))
    words = "Drag with the best guess of the factors; circles: the hump of each load."
    if not water.has_thrust:
        words += " No thrust is told: write [under_way] with static_thrust and disc."
    return [*chart_items(plot, curves, marks), *_notes(room, words, "")]


def _notes(room: Room, *words: str) -> list[Item]:
    column = Column(room.left, room.bottom + NOTES - 1.0, room.width, room.bottom)
    for paragraph in (*words, as_sentence(CAUTION), as_sentence(BOW_CAUTION)):
        if paragraph:
            column.paragraph(paragraph, 2.5)
    return column.items
