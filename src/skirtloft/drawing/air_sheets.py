"""Pictures of the air: fan and system curves, power against gap and mass, where each watt goes."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from skirtloft.design.model import Show
from skirtloft.design.quantity import FOOT, INCH, POUND
from skirtloft.design.units import HORSEPOWER, PSF, format_length, format_mass, format_power, format_rotation
from skirtloft.drawing.air_bars import CAUTION, watt_items
from skirtloft.drawing.chart import CURVES, Axis, Curve, Mark, Plot, axis_to, chart_items, room_for_axes
from skirtloft.drawing.page import Column, Room, Stamp, page, page_room
from skirtloft.drawing.sheet import Item, Line, Sheet, Text
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.cushion import engine_power
from skirtloft.physics.fan import fan_pressure, fan_scales, stall_flow
from skirtloft.physics.lift_path import required_air, system_pressure
from skirtloft.physics.operating import speed_for_gap
from skirtloft.pipeline import Skirt

POINTS = 200
GAPS = (0.005, 0.010, 0.020)  # m: the usual design check; common practice, no source
NOTES = 22.0  # mm kept for words under a chart
NO_FAN = "There is no [air.fan] in the design file."


def air_sheets(skirt: Skirt, stamp: Stamp) -> list[Sheet]:
    """Return the three pages on landscape paper."""
    paper = skirt.design.making.paper
    pages: list[tuple[str, str, Callable[[Skirt, Room], list[Item]]]] = [
        ("air-fan", "Fan and craft: where they meet", _fan_items),
        ("air-power", "Lift power against gap and mass", _power_items),
        ("air-watts", "Where each watt goes", watt_items),
    ]
    sheets = []
    for number, (name, title, draw) in enumerate(pages, start=1):
        items = draw(skirt, page_room(paper, landscape=True))
        sheets.append(
            page(name, title, items, stamp, paper=paper, landscape=True, scale="-", number=f"{number} of {len(pages)}")
        )
    return sheets


def notes(room: Room, *words: str) -> list[Item]:
    """Return paragraphs at the foot of a page, the caution last."""
    column = Column(room.left, room.bottom + NOTES, room.width, room.bottom)
    for paragraph in (*words, CAUTION):
        column.paragraph(paragraph, 2.5)
    return column.items


def _units(show: Show) -> tuple[tuple[float, str], tuple[float, str], tuple[float, str]]:
    """Return factor and name of flow, pressure and power on the near axes."""
    if show == "imperial":
        return (
            (60.0 / FOOT**3, "flow through the fan, ft3/min"),
            (1.0 / PSF, "total pressure, lb/ft2"),
            (1.0 / HORSEPOWER, "hp"),
        )
    return (1.0, "flow through the fan, m3/s"), (1.0, "total pressure, Pa"), (0.001, "kW")


def _far(show: Show, factor: float, name: str) -> tuple[float, str]:
    """Return the second scale, where both units are to be shown."""
    return (factor, name) if show == "both" else (1.0, "")


def _fan_items(skirt: Skirt, room: Room) -> list[Item]:
    """Fan curve at the set speed, one system curve per load, and the points where they meet."""
    lift, show = skirt.air, skirt.design.project.show
    (q, flow_name), (p, pressure_name), _ = _units(show)
    match = lift.match
    needed = float(lift.need.fan_flow.max())
    if match is None:
        most_flow, most_pressure = 1.6 * needed, 1.6 * float(lift.need.fan_pressure.max())
    else:
        scale_q, _, _ = fan_scales(match.fan, match.speed, lift.density)
        most_flow = float(scale_q * match.fan.pressure.knots[-1])
        flows = np.linspace(0.0, most_flow, POINTS)
        most_pressure = float(np.nanmax(fan_pressure(match.fan, flows, match.speed, lift.density)))
        most_pressure = max(most_pressure, 1.1 * float(lift.need.cushion_pressure.max()))
    far_q, far_p = _far(show, 60.0 / FOOT**3, "ft3/min"), _far(show, 1.0 / PSF, "lb/ft2")
    x = axis_to(1.04 * most_flow * q, flow_name, factor=far_q[0], second=far_q[1])
    y = axis_to(1.12 * most_pressure * p, pressure_name, factor=far_p[0], second=far_p[1])
    inner = Room(room.left, room.bottom + NOTES, room.right, room.top)
    plot = Plot(room_for_axes(inner, bool(far_q[1]), bool(far_p[1])), x, y)
    flow = np.linspace(0.0, x.high / q, POINTS)
    curves, marks = [], []
    if match is not None:
        name = f"fan at {format_rotation(match.speed)}" + (", a guess" if match.fan.estimated else "")
        pressure = fan_pressure(match.fan, flow, match.speed, lift.density)
        curves.append(Curve(flow * q, pressure * p, name, "ground" if match.fan.estimated else "hull"))
        for i, load in enumerate(skirt.design.craft.load):
            if not int(match.at_speed.failure[i]):
                gap = format_length(float(match.at_speed.gap[i]), show)
                at = match.at_speed.air
                marks.append(Mark(float(at.fan_flow[i]) * q, float(at.fan_pressure[i]) * p, f"{load.name}: {gap} gap"))
    else:
        for i, load in enumerate(skirt.design.craft.load):
            words = f"{load.name} at {format_length(lift.gap, show)}"
            marks.append(Mark(float(lift.need.fan_flow[i]) * q, float(lift.need.fan_pressure[i]) * p, words))
    for i, load in enumerate(skirt.design.craft.load):
        curve = system_pressure(lift.system, lift.mass[i], flow)
        curves.append(Curve(flow * q, curve * p, f"craft, {load.name}", CURVES[i % len(CURVES)]))
    items = chart_items(plot, curves, marks, _stall_items(skirt, plot, q))
    return [*items, *notes(room, _fan_words(skirt))]


def _stall_items(skirt: Skirt, plot: Plot, q: float) -> list[Item]:
    """A line at the flow below which the fan is stalled, its words along the foot of the axes."""
    match = skirt.air.match
    if match is None:
        return []
    scale, _, _ = fan_scales(match.fan, match.speed, skirt.air.density)
    at = float(scale * stall_flow(match.fan)) * q
    if not at > 0.0:
        return []
    ((u, _),) = plot.at(np.array([at]), np.array([plot.y.low]))
    line = Line("axis", frozen_array([[u, plot.box.bottom], [u, plot.box.top]]))
    return [line, Text("text", float(u) - 1.5, plot.box.bottom + 3.0, "stalled side", 2.5, 0.0, "end")]


def _fan_words(skirt: Skirt) -> str:
    lift = skirt.air
    if lift.match is None:
        return (
            f"{NO_FAN} A fan has to give flow and pressure of each circle at once; the lines say what the craft"
            " asks for"
            " at other flows, whatever gap that gives. A free-air flow says nothing of either."
        )
    fan = "Thick: the fan at its speed, from its tested points carried over by the fan laws."
    if lift.match.fan.estimated:
        fan = "Long dashes: the fan at its speed, a guess through free flow and shut-off pressure; stall is not in it."
    words = (
        f"{fan} Thin: what cushion and losses ask for with each load, whatever gap the flow gives. They meet at the"
        " circles."
    )
    missing = [
        load.name for load, failure in zip(skirt.design.craft.load, lift.match.at_speed.failure, strict=True) if failure
    ]
    return words + (f" No meeting: {', '.join(missing)}." if missing else "")


def _power_items(skirt: Skirt, room: Room) -> list[Item]:
    """Power over gap for each load, and over mass for three gaps."""
    foot = room.bottom + NOTES
    middle = (room.left + room.right) / 2.0
    left, right = Room(room.left, foot, middle - 3.0, room.top), Room(middle + 3.0, foot, room.right, room.top)
    items = [*_over_gap(skirt, left), *_over_mass(skirt, right)]
    if skirt.air.match is None:
        air = skirt.design.air
        words = (
            f"{NO_FAN} A screening figure for the engine: pressure times flow through the gap only, times losses"
            f" {air.losses:g} and reserve {air.reserve:g}, over fan {air.fan_efficiency:g} and drive"
            f" {air.drive_efficiency:g} (common practice, not a promise)."
        )
    else:
        words = (
            "Into belt or gearbox at the fan speed that just gives the gap, computed for calm, smooth ground from"
            " the losses"
            f" told; no reserve in it (common practice: install {skirt.design.air.reserve:g} times that). A line"
            " ends where"
            " the fan's curve does."
        )
    return [*items, *notes(room, words)]


def power_at(skirt: Skirt, mass: Floats, gap: Floats) -> Floats:
    """Return lift power [W] for masses [kg] and gaps [m] (...): of the fan where there is one, else the"
    " screening figure."""
    lift, air = skirt.air, skirt.design.air
    if lift.match is not None:
        return speed_for_gap(lift.match.fan, lift.system, mass, gap).engine_power
    need = required_air(lift.system, mass, gap)
    factor = engine_power(
        1.0,
        fan_efficiency=air.fan_efficiency,
        drive_efficiency=air.drive_efficiency,
        losses=air.losses,
        reserve=air.reserve,
    )
    return np.asarray(need.gap_flow * need.cushion_pressure * factor)


def _power_axis(skirt: Skirt, most: float) -> Axis:
    show = skirt.design.project.show
    _, _, (w, unit) = _units(show)
    far = _far(show, 1000.0 / HORSEPOWER, "hp")
    installed = skirt.design.air.engine_power or 0.0
    name = "screening figure" if skirt.air.match is None else "into belt or gearbox, computed"
    return axis_to(1.08 * max(most, installed) * w, f"{name}, {unit}", factor=far[0], second=far[1])


def _installed(skirt: Skirt, x: Axis) -> list[Curve]:
    """Return a level line at the installed power."""
    installed, (_, _, (w, _)) = skirt.design.air.engine_power, _units(skirt.design.project.show)
    if installed is None:
        return []
    ends = np.linspace(x.low, x.high, 30)
    words = f"installed {format_power(installed, skirt.design.project.show)}"
    return [Curve(ends, np.full(len(ends), installed * w), words, "axis")]


def _over_gap(skirt: Skirt, room: Room) -> list[Item]:
    show, lift = skirt.design.project.show, skirt.air
    _, _, (w, _) = _units(show)
    unit, name = (1.0 / INCH, "gap, in") if show == "imperial" else (1000.0, "gap, mm")
    far = _far(show, 0.001 / INCH, "in")
    gap = np.linspace(0.0005, 2.5 * lift.gap, POINTS)
    power = power_at(skirt, lift.mass[:, None], gap)
    x = axis_to(2.5 * lift.gap * unit, name, ticks=6, factor=far[0], second=far[1])
    y = _power_axis(skirt, float(np.nanmax(np.where(gap <= 1.6 * lift.gap, power, 0.0))))
    plot = Plot(room_for_axes(room, bool(far[1]), bool(y.second_name)), x, y)
    curves = [
        Curve(gap * unit, power[i] * w, f"{load.name}, {format_mass(load.mass, show)}", CURVES[i % len(CURVES)])
        for i, load in enumerate(skirt.design.craft.load)
    ]
    here = power_at(skirt, lift.mass, np.full(len(lift.mass), lift.gap))
    marks = [Mark(lift.gap * unit, float(watts) * w, format_power(float(watts), show)) for watts in here
             if math.isfinite(watts) and watts * w <= y.high]  # fmt: skip
    return chart_items(plot, [*curves, *_installed(skirt, x)], marks)


def _over_mass(skirt: Skirt, room: Room) -> list[Item]:
    show, lift = skirt.design.project.show, skirt.air
    _, _, (w, _) = _units(show)
    unit, name = (1.0 / POUND, "all-up mass, lb") if show == "imperial" else (1.0, "all-up mass, kg")
    far = _far(show, 1.0 / POUND, "lb")
    low, high = 0.6 * float(lift.mass.min()), 1.3 * float(lift.mass.max())
    mass = np.linspace(low, high, POINTS)
    gaps = sorted({lift.gap, *(gap for gap in GAPS if not 0.8 < gap / lift.gap < 1.25)})
    power = power_at(skirt, mass, np.array(gaps)[:, None])
    x = axis_to(high * unit, name, low=low * unit, ticks=6, factor=far[0], second=far[1])
    y = _power_axis(skirt, 2.0 * float(np.nanmax(np.nan_to_num(power[gaps.index(lift.gap)]))))
    plot = Plot(room_for_axes(room, bool(far[1]), bool(y.second_name)), x, y)
    curves = [
        Curve(mass * unit, power[k] * w, f"{format_length(gap, show)} gap", CURVES[k % len(CURVES)])
        for k, gap in enumerate(gaps)
    ]
    return chart_items(plot, [*curves, *_installed(skirt, x)], _load_marks(skirt, unit, w, y))


def _load_marks(skirt: Skirt, unit: float, w: float, y: Axis) -> list[Mark]:
    lift = skirt.air
    here = power_at(skirt, lift.mass, np.full(len(lift.mass), lift.gap))
    return [
        Mark(load.mass * unit, float(watts) * w, load.name)
        for load, watts in zip(skirt.design.craft.load, here, strict=True)
        if math.isfinite(watts) and watts * w <= y.high
    ]
