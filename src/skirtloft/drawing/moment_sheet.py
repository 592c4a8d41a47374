"""The chart of restoring moment against rotation: how a section springs back, and where its loop stops it."""

from __future__ import annotations

import numpy as np

from skirtloft.design.quantity import POUND
from skirtloft.design.units import GRAVITY
from skirtloft.drawing.chart import CURVES, Axis, Curve, Plot, axis_to, chart_items, room_for_axes, round_step
from skirtloft.drawing.page import Column, Room, Stamp, page, page_room
from skirtloft.drawing.section_view import chosen_stations
from skirtloft.drawing.sheet import Item, Line, Sheet
from skirtloft.maths.frozen import frozen_array
from skirtloft.physics.turning import restoring_moment
from skirtloft.pipeline import Skirt

TEXT = 24.0  # mm below the charts
MOST_UP = 30.0  # degrees, tip up
SAMPLES = 400


def moment_sheet(skirt: Skirt, stamp: Stamp, number: str) -> Sheet:
    """Return the charts of runs and of corners on a landscape page."""
    paper = skirt.design.making.paper
    room = page_room(paper, landscape=True)
    chosen = chosen_stations(skirt)
    corners = [i for i in chosen if skirt.plan.stations.runs[i].endswith("corner")]
    groups = [group for group in ([i for i in chosen if i not in corners], corners) if group]
    width = (room.width - 6.0 * (len(groups) - 1)) / len(groups)
    items: list[Item] = []
    for k, group in enumerate(groups):
        left = room.left + k * (width + 6.0)
        items += _chart(skirt, group, Room(left, room.bottom + TEXT, left + width, room.top), chosen)
    column = Column(room.left, room.bottom + TEXT - 2.0, room.width, room.bottom)
    column.paragraph(
        "Moment about the inner fixing per length of joint, loop's length kept, pressure and weight of the design case."
        " Opposite to the turn it springs back; the slope at no turn is the stiffness. Towards the left the loop goes"
        " straight and stops the segment from tucking under: there the moment has no bound in this reckoning with cloth"
        " that does not stretch. Towards the right nothing stops it but its neighbours.",
        2.5,
    )
    items += column.items
    return page(
        "restoring-moment",
        "Restoring moment against rotation",
        items,
        stamp,
        paper=paper,
        landscape=True,
        scale="none",
        number=number,
    )


def _chart(skirt: Skirt, group: list[int], room: Room, shared: list[int]) -> list[Item]:
    """Return one chart; both have the same axes, those of all `shared` stations."""
    show = skirt.design.project.show
    taut = np.degrees(np.nan_to_num(skirt.behaviour.taut.turn[shared, 0], nan=-20.0))
    low = float(np.floor(taut.min() - 1.0))
    stiff = np.sort(skirt.sections.stiffness[shared])
    most = max(1.0, 1.6 * float(np.radians(-taut.max()) * stiff[-1]))
    pounds = POUND * GRAVITY
    unit, name = (1.0 / pounds, "lbf ft/ft") if show == "imperial" else (1.0, "N m/m")
    far = (1.0 / pounds, "lbf ft/ft") if show == "both" else (1.0, "")
    x = axis_to(MOST_UP, "turn about the inner fixing, degrees, tip up to the right", low=low, ticks=9)
    step = round_step(most * unit / 5.0)
    top = step * np.ceil(most * unit / step)
    y = Axis(-float(top) / 2.0 // step * step, float(top), step, f"moment, {name}", far[0], far[1])
    plot = Plot(room_for_axes(room, False, bool(far[1])), x, y)
    turn = np.linspace(low, MOST_UP, SAMPLES)
    moment = restoring_moment(skirt.statics, np.radians(turn)[:, None])
    curves = [
        Curve(frozen_array(turn), frozen_array(moment[:, i] * unit), _name(skirt, i), CURVES[k % len(CURVES)])
        for k, i in enumerate(group)
    ]
    axes: list[Item] = [
        Line("dimension", frozen_array(plot.at(np.array([x.low, x.high]), np.zeros(2)))),
        Line("dimension", frozen_array(plot.at(np.zeros(2), np.array([y.low, y.high])))),
    ]
    return chart_items(plot, curves, (), axes)


def _name(skirt: Skirt, i: int) -> str:
    stations, turn = skirt.plan.stations, float(np.degrees(-skirt.behaviour.taut.turn[i, 0]))
    straight = f", straight at {turn:.1f}°" if np.isfinite(turn) else ""
    return f"{stations.runs[i].replace('_', ' ')} {stations.ids[i]}{straight}"
