"""The solved skirt as the attitude sees it: tip line of each load, low points of the hull, lift air over pressure."""

from __future__ import annotations

import math

import numpy as np

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.attitude.lean import FlowAtPressure, HoverLoad, falling_flow, flow_through
from skirtloft.physics.attitude.tip_line import TipLine, tip_line
from skirtloft.physics.lift_path import load_pressure
from skirtloft.physics.operating import gap_at_speed
from skirtloft.physics.turning import taut_limits
from skirtloft.pipeline import Skirt
from skirtloft.service.diaphragm import added_stiffness
from skirtloft.shape.segment_field import line_points, tip_insets, values_at
from skirtloft.shape.types import Plan

LONGEST = 0.50  # m, of an element on a straight run; nothing changes there, so only drawings need it short
ARC_STEP = math.radians(7.5)  # of an element in a corner: area 4e-4 low
TABLE = 400  # pressures of the table that the flow is read from
LOOKS = np.linspace(0.6, 1.5, 46)  # masses over the load's, at which the fan's flow is looked up


def tip_places(plan: Plan) -> Floats:
    """Return lengths along the joint line (k,) [m] at which the elements of the port half meet."""
    ends = []
    for run in plan.runs:
        long = run.end - run.start
        count = long / LONGEST if math.isinf(run.radius) else long / run.radius / ARC_STEP
        ends.append(np.linspace(run.start, run.end, max(1, math.ceil(count)) + 1)[:-1])
    return np.concatenate([*ends, [plan.runs[-1].end]])


def tips_of(skirt: Skirt, load: int, *, diaphragm: bool = True) -> TipLine:
    """Return the tip line all round under one load, port and starboard alike.

    Parameters
    ----------
    load : int
        Place in the file. The line in plan is that of the design case; lever, height of the inner fixing and
        stiffness are those of the cloth at rest under the load.
    diaphragm : bool
        With what a taut diaphragm of the file adds to the stiffness of the sections. Without it they are still those of
        loops cut for one, and what an inflated skirt showed on the ground, which has it in, is left out.

    Notes
    -----
    Between stations the section's numbers are linear along the joint line. A tip on the ground turns up, which draws
    the diaphragm tighter. What it adds does not follow the pressure: with the pressure some 5 % lower at a steep lean
    its part is some 5 % low.
    """
    plan, stations = skirt.plan, skirt.plan.stations
    at = tip_places(plan)
    corners = line_points(plan, tip_insets(plan.segments, plan.pitch, at), at)
    corners[[0, -1], 1] = 0.0  # both ends lie on the centre line
    side = np.diff(corners, axis=0)
    size = np.hypot(side[:, 0], side[:, 1])
    middle = 0.5 * (at[:-1] + at[1:])
    face = values_at(plan.segments, middle)[1]
    told = {
        "face_angle": face,
        "depth": np.interp(middle, stations.at, stations.depth),
        "curvature": _bend(plan, middle),
        **{name: np.interp(middle, stations.at, value) for name, value in _sections(skirt, load, diaphragm).items()},
    }
    pressed, turned = _pressed(skirt if diaphragm else None, middle)
    # measured per metre of joint, which is longer than the tip line below it
    longer = 1.0 / (1.0 - tip_insets(plan.segments, plan.pitch, middle) * joint_bend(plan, middle))
    told |= {"pressed": pressed * longer, "pressed_turn": turned}
    points, normals = 0.5 * (corners[:-1] + corners[1:]), np.column_stack([side[:, 1], -side[:, 0]]) / size[:, None]
    mirror = np.array([1.0, -1.0])
    return tip_line(
        np.vstack([points, points[::-1] * mirror]),
        np.vstack([normals, normals[::-1] * mirror]),
        np.concatenate([size, size[::-1]]),
        discharge=None if skirt.design.air.discharge is None else skirt.design.air.discharge,
        **{name: np.concatenate([value, value[::-1]]) for name, value in told.items()},
    )


def _sections(skirt: Skirt, load: int, diaphragm: bool) -> dict[str, Floats]:
    """Return lever, drop, stiffness over pressure and turn limit at the stations, (n,) each."""
    rests, shape = skirt.rests, skirt.statics.shape
    out = shape.tip[..., 0] + shape.tip_edge.out + rests.tip_line_shift[load] - shape.inner[..., 0]
    down = shape.inner[..., 1] - rests.tip_line_rise[load]
    limit = taut_limits(skirt.statics).turn[..., 1] - rests.turn[load]
    own = added_stiffness(skirt.service.diaphragm, skirt.cushions[load].pressure) if diaphragm else None
    return {
        "lever": np.asarray(out),
        "drop": np.asarray(down),
        "stiffness": np.asarray((rests.stiffness[load] + (0.0 if own is None else own)) / rests.pressure[load]),
        "turn_limit": np.where(np.isnan(limit), math.pi, limit),
    }


def _pressed(skirt: Skirt | None, at: Floats) -> tuple[Floats, Floats]:
    """Return force per metre of joint, sink and pressure, and share of turning, as the inflated skirt showed them."""
    saved = None if skirt is None else skirt.inflated
    if skirt is None or saved is None or not saved.ground:
        return np.full(len(at), np.nan), np.full(len(at), np.nan)
    runs = skirt.plan.runs
    own = [runs[k].name for k in np.clip(np.searchsorted([r.end for r in runs], at), 0, len(runs) - 1)]
    rows = [saved.ground.get(name) for name in own]
    force = [np.nan if row is None else row.stiffness / saved.pressure for row in rows]
    return np.array(force), np.array([np.nan if row is None else row.turned for row in rows])


def joint_bend(plan: Plan, at: Floats) -> Floats:
    """Return the curvature of the joint line [1/m] at places (n,) [m] along it."""
    run = np.clip(np.searchsorted([r.end for r in plan.runs], at), 0, len(plan.runs) - 1)
    return np.asarray(1.0 / np.array([r.radius for r in plan.runs])[run])


def _bend(plan: Plan, at: Floats) -> Floats:
    """Return the curvature of the tip line [1/m] at places (n,) [m] along the joint line."""
    run = np.clip(np.searchsorted([r.end for r in plan.runs], at), 0, len(plan.runs) - 1)
    radius = np.array([r.radius for r in plan.runs])[run]
    return 1.0 / (radius - tip_insets(plan.segments, plan.pitch, at))


def tips_drop(skirt: Skirt, load: int) -> float:
    """Return how far the tips hang below those of the design case in the mean under a load [m]; negative: higher."""
    at, rise = skirt.plan.stations.at, skirt.rests.tip_line_rise[load]
    return -float(np.trapezoid(rise, at) / (at[-1] - at[0]))


def hull_points(skirt: Skirt, load: int) -> Floats:
    """Return the low points of the hull (m, 3) [m], z from the tips of the load: edge of the flat and inner fixings."""
    half = np.vstack([skirt.hull.bottom_edge, skirt.hull.inner, skirt.hull.hull_edge])
    both = np.vstack([half, half * np.array([1.0, -1.0, 1.0])])
    return frozen_array(both + np.array([0.0, 0.0, tips_drop(skirt, load)]))


def centre_height(skirt: Skirt, load: int) -> float:
    """Return the height of a load's centre of gravity above its tips [m]."""
    return skirt.design.hull.clearance + skirt.design.craft.load[load].z + tips_drop(skirt, load)


def flies(skirt: Skirt, load: int) -> bool:
    """Return whether the fan of the file gives the load a working point; True without a fan."""
    match = skirt.air.match
    return match is None or not int(match.at_speed.failure[load])


def hover_load(skirt: Skirt, load: int) -> HoverLoad:
    """Return a load on its lift air.

    Notes
    -----
    With a fan at its speed, the flow follows the pressure along fan curve less losses. Without one, or where it does
    not carry the load, the flow is what the wanted gap asks for at level, and stays.
    """
    jet = np.sqrt(2.0 * load_pressure(skirt.air.system, skirt.air.mass[load]) / skirt.air.density)
    leaks = float((skirt.air.need.cushion_flow[load] - skirt.air.need.gap_flow[load]) / jet)
    return HoverLoad(
        mass=float(skirt.air.mass[load]),
        flow=_flow(skirt, load),
        density=skirt.air.density,
        height=centre_height(skirt, load),
        leak_area=leaks,
    )


def _flow(skirt: Skirt, load: int) -> float | FlowAtPressure:
    air, match = skirt.air, skirt.air.match
    if match is None or not flies(skirt, load):
        return float(air.need.cushion_flow[load])
    points = gap_at_speed(match.fan, air.system, LOOKS * air.mass[load], match.speed)
    known = points.failure == 0
    pressure, flow = points.air.cushion_pressure[known], points.air.cushion_flow[known]
    here, now = float(match.at_speed.air.cushion_pressure[load]), float(match.at_speed.air.cushion_flow[load])
    reach = flow_through(flow, pressure) if known.sum() > 3 else None
    if reach is None or not np.isfinite(reach(np.array([0.9 * here, 1.02 * here]))).all():
        near = gap_at_speed(match.fan, air.system, np.array([0.999, 1.001]) * air.mass[load], match.speed).air
        slope = float(np.diff(near.cushion_pressure)[0] / np.diff(near.cushion_flow)[0])
        return falling_flow(now, here, slope) if math.isfinite(slope) and slope < 0.0 else now
    table = np.linspace(pressure.min(), pressure.max(), TABLE)
    flows = reach(table)
    return lambda p: np.asarray(np.interp(p, table, flows))
