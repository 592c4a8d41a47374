"""The margins of a load on water as functions of what can be turned: hump, hold on the bow, its surface, its tips."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from skirtloft.design.model import FlatBottom
from skirtloft.design.units import format_force, format_speed
from skirtloft.physics.air_types import Assumption
from skirtloft.physics.attitude.restoring import restoring_curve
from skirtloft.physics.sensitivity import Mover
from skirtloft.physics.statics import solve_statics
from skirtloft.physics.water.drag import Thrust, UnderWay, drag
from skirtloft.physics.water.over_hump import over_hump
from skirtloft.pipeline import Skirt
from skirtloft.shape.hull_lines import hull_lines
from skirtloft.sits.enough import Margin, margin_movers
from skirtloft.sits.inputs import own_inputs, turned
from skirtloft.sits.margins import LOOKS, degrees_text
from skirtloft.sits.on_water import STATES, LoadOnWater, OnWater, bow_holds, fast_of, thrust_scaled, tuck_of
from skirtloft.sits.sits import LoadSits
from skirtloft.sits.tips import hull_points


def thrust_movers(load: LoadOnWater, thrust: Thrust, factors: tuple[Assumption, ...]) -> tuple[Mover, ...]:
    """Return what moves the least thrust to spare at the hump [N], at the speed where it is least."""
    at = np.array([load.levels["best"].least_speed])
    if math.isnan(float(at[0])):
        return ()

    def value(inputs: Mapping[str, float]) -> float:
        return inputs["thrust"] - float(drag(_craft(load.craft, inputs), at, "best", factors).total[0])

    inputs = {**_own_craft(load.craft), "thrust": float(thrust(at)[0])}
    return margin_movers(Margin(inputs, value, 0.0, str))


def hump_margin(skirt: Skirt, water: OnWater, load: LoadOnWater) -> Margin:
    """Return the least thrust to spare over the hump, drag as high as it may be [N]."""
    show = skirt.design.project.show

    def value(inputs: Mapping[str, float]) -> float:
        push = thrust_scaled(skirt, inputs["thrust"])
        assert push is not None
        return over_hump(_craft(load.craft, inputs), push, "high", water.factors).least_margin

    inputs = {**_own_craft(load.craft), "thrust": standing_thrust(skirt)}
    return Margin(inputs, value, 0.0, lambda force: format_force(force, show))


def bow_margin(skirt: Skirt, entry: LoadSits, water: OnWater, load: LoadOnWater, low: float) -> Margin:
    """Return the least hold left on the bow, with thrust and without, at the hump and fast, over the length."""
    way, slope = skirt.design.under_way, float(skirt.hull.slope[0])

    def value(inputs: Mapping[str, float]) -> float:
        line, hover, hull, centre = turned(entry, inputs)
        curve = restoring_curve(line, hover, "bow", "likely", angles=LOOKS, hull=hull)
        craft = _craft(load.craft, {**_own_craft(load.craft), **inputs})
        higher = inputs["thrust height"] - way.thrust_height
        heights = replace(
            load.heights,
            centre=inputs["height"],
            thrust=load.heights.thrust + higher,
            intake=load.heights.intake + (higher if way.intake_height is None else 0.0),
        )
        push = thrust_scaled(skirt, inputs["thrust"]) if water.has_thrust else None
        best = over_hump(craft, np.zeros_like if push is None else push, "best", water.factors)
        speeds = np.array([best.hump_speed, fast_of(best)])
        ahead = float((centre - line.centre)[0])
        holds = bow_holds(curve, ahead, slope, craft, heights, (speeds, push, water.factors))
        return min(float(holds[state].margin.min()) for state in STATES)

    inputs = own_inputs(entry, ("height", "ahead", "length", "air", "stiffness"))
    inputs["thrust height"] = way.thrust_height
    if water.has_thrust:
        inputs["thrust"] = standing_thrust(skirt)
    return Margin(inputs, value, low, lambda v: f"{1000.0 * v * load.craft.length:.2g} mm of hold")


def surface_margin(skirt: Skirt, entry: LoadSits, low: float) -> Margin:
    """Return the slope left of the bow planing surface where the bow comes down on it [rad]."""
    own = float(skirt.hull.hull_edge[0, 0] - skirt.hull.bottom_edge[0, 0])

    def value(inputs: Mapping[str, float]) -> float:
        bottom = skirt.design.hull.bottom or FlatBottom()
        hull = skirt.design.hull.model_copy(update={"bottom": bottom.model_copy(update={"bow": inputs["bottom"]})})
        design = skirt.design.model_copy(update={"hull": hull})
        other = replace(skirt, hull=hull_lines(design, skirt.plan, skirt.sections))
        line, hover, _, _ = turned(entry, {})
        points = hull_points(other, entry.index)
        curve = restoring_curve(line, hover, "bow", "likely", angles=LOOKS, hull=points)
        return float(other.hull.slope[0]) - curve.limit_angle

    return Margin({"bottom": own}, value, low, degrees_text)


def tuck_margin(skirt: Skirt, load: LoadOnWater) -> Margin:
    """Return the speed at which water pulls wet bow tips under [m/s]; no limit."""
    statics, show = skirt.statics, skirt.design.project.show
    offset, rise = skirt.sections.offset, skirt.sections.rise

    def value(inputs: Mapping[str, float]) -> float:
        at_bow = solve_statics(
            statics.shape,
            offset - inputs["bow joint"],
            rise + inputs["bow edge"],
            statics.pressure * inputs["mass"] / skirt.air.mass[0],
            segment=statics.segment,
            loop=statics.loop,
            diaphragm_moment=statics.diaphragm_moment,
        )
        return tuck_of(at_bow, load.craft)

    # the section is cut for the first load: its mass
    inputs = {"bow joint": 0.0, "bow edge": 0.0, "mass": float(skirt.air.mass[0])}
    return Margin(inputs, value, math.inf, lambda v: format_speed(v, show))


def standing_thrust(skirt: Skirt) -> float:
    """Return the thrust standing still that the file tells [N], or the first of its points; 0 without."""
    way = skirt.design.under_way
    return way.thrust[0].thrust if way.thrust else way.static_thrust or 0.0


def _own_craft(craft: UnderWay) -> dict[str, float]:
    return {
        "mass": craft.mass,
        "length": craft.length,
        "area": craft.area,
        "air": 1.0,
        "frontal": craft.frontal_area,
    }


def _craft(own: UnderWay, inputs: Mapping[str, float]) -> UnderWay:
    """Return the craft with inputs turned; longer, its area grows with it."""
    return UnderWay(
        mass=inputs["mass"],
        length=inputs["length"],
        area=inputs["area"] * inputs["length"] / own.length,
        perimeter=own.perimeter,
        flow=own.flow * inputs["air"],
        frontal_area=inputs["frontal"],
        air_density=own.air_density,
        water_density=own.water_density,
    )
