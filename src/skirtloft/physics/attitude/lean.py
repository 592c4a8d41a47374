"""A craft leaned to a given heel and trim: heave, pressure, flow, gap all round, and the centre of gravity it balances.

Heel is positive starboard down, trim positive bow up. The tilt is prescribed and the centre of gravity follows: the
other way round fails inside the gap, where an even cushion is neutral. Angles are small: a tilt is a slope.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from skirtloft.maths.cubics import cubic_values, monotone_cubics
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.maths.roots import rising_roots
from skirtloft.physics.air import GRAVITY
from skirtloft.physics.attitude.bounds import ATTITUDE_DEFAULTS, Contact
from skirtloft.physics.attitude.carry import (
    carry_slopes,
    escape_and_support,
    footprint,
    lift_moment,
    open_with_share,
)
from skirtloft.physics.attitude.tip_line import TipLine

Flags = npt.NDArray[np.bool_]
_BATCH = 16_000  # elements at a time, so that what is worked on stays in the processor's cache
FlowAtPressure = Callable[[Floats], Floats]


@dataclass(frozen=True, eq=False)
class HoverLoad:
    """A load on its lift air.

    Parameters
    ----------
    mass : (...) [kg]
    flow : (...) [m3/s], or a function of the cushion pressure [Pa]
        Air that reaches the cushion. `falling_flow` makes the function from a slope, `flow_through` from points.
    density : float [kg/m3]
    height : (...) [m]
        Centre of gravity above the tip plane.
    leak_area : float [m2]
        Openings that the tilt leaves as they are, times their Cd.
    """

    mass: npt.ArrayLike
    flow: npt.ArrayLike | FlowAtPressure
    density: float
    height: npt.ArrayLike = 0.0
    leak_area: float = 0.0


def load_shapes(load: HoverLoad) -> list[tuple[int, ...]]:
    """Return the shapes of what a load may have one of per case."""
    return [np.shape(load.mass), np.shape(load.height), () if callable(load.flow) else np.shape(load.flow)]


def some_loads(load: HoverLoad, shape: tuple[int, ...], which: slice | npt.NDArray[np.intp]) -> HoverLoad:
    """Return some of the loads of a batch of `shape`, by their place in it laid flat."""

    def picked(value: npt.ArrayLike) -> Floats:
        return np.broadcast_to(np.asarray(value, dtype=np.float64), shape).reshape(-1)[which]

    flow = load.flow if callable(load.flow) else picked(load.flow)
    return replace(load, mass=picked(load.mass), height=picked(load.height), flow=flow)


def falling_flow(flow: float, pressure: float, slope: float) -> FlowAtPressure:
    """Return flow [m3/s] over cushion pressure [Pa] along a straight fan curve through one point.

    Parameters
    ----------
    flow, pressure : [m3/s], [Pa]
    slope : [Pa s/m3]
        dp/dQ of fan less losses, negative.
    """
    return lambda p: np.maximum(0.0, flow + (p - pressure) / slope)


def flow_through(flow: npt.ArrayLike, pressure: npt.ArrayLike) -> FlowAtPressure:
    """Return flow [m3/s] over cushion pressure [Pa] through points (k,) of falling pressure; nan off their ends."""
    order = np.argsort(np.asarray(pressure, dtype=np.float64))
    curve = monotone_cubics(np.asarray(pressure, dtype=np.float64)[order], np.asarray(flow, dtype=np.float64)[order])
    return lambda p: cubic_values(curve, p)


@dataclass(frozen=True, eq=False)
class Leaning:
    """A craft at given tilts; (...) each unless said. nan where the air does not lift it.

    Parameters
    ----------
    tilt : (..., 2) [rad]  trim (bow up) and heel (starboard down)
    heave : [m]  height of the tip plane over the ground, at the area's centre
    pressure : [Pa]
    gap_flow, flow : [m3/s]  under the tips; with the leaks
    area : [m2]  footprint inside the contact line
    lift_centre : (..., 2) [m]  where pressure and tips carry, from the area's centre
    offset : (..., 2) [m]  centre of gravity that this tilt balances, from the area's centre, its height counted in
    gap : (..., n) [m]  of the tips over the ground at the middle of each element; negative: sunk
    least_gap, most_gap : [m]  over all ends of elements
    is_linear : bool  no tip is sunk beyond 0.3 of its depth
    turn_left : [rad]  turn left before a loop is straight; negative beyond, inf without limits
    hull_clearance : [m]  of the lowest hull point over the ground; inf where no hull was given
    """

    tilt: Floats
    heave: Floats
    pressure: Floats
    gap_flow: Floats
    flow: Floats
    area: Floats
    lift_centre: Floats
    offset: Floats
    gap: Floats
    least_gap: Floats
    most_gap: Floats
    is_linear: Flags
    turn_left: Floats
    hull_clearance: Floats


def lean(
    line: TipLine, load: HoverLoad, tilt: npt.ArrayLike, contact: Contact, *, hull: npt.ArrayLike | None = None
) -> Leaning:
    """Return the craft at prescribed tilts.

    Parameters
    ----------
    line : TipLine
    load : HoverLoad
    tilt : (..., 2) [rad]
        Trim and heel; many at once.
    contact : Contact
        See `bounds.contact_of`.
    hull : (m, 3) [m], optional
        Low points of the hull in the craft's axes, z from the tip plane.

    Notes
    -----
    Clearance of a tip at x: g = heave + tilt . x. Open gap max(0, g), sink s = max(0, -g), contact line moved out by
    shift s. Lift p A + Int p k s ds = W and Int Cd h ds v + leaks = Q(p), v = sqrt(2p/rho): with p from the first, the
    second rises with heave and has one root. Integrals over an element are exact for its linear clearance, so the
    corner between open and sunk needs no smoothing. Footprint of a strip: ds (1 + curvature/2 . move) move; squares at
    sharp corners are left out. Moments are about the ground at the area's centre: the balanced centre of gravity lies
    at the centre of lift + height . tilt.

    References
    ----------
    Our own derivation.
    """
    slope = np.asarray(tilt, dtype=np.float64)
    shape = np.broadcast_shapes(slope.shape[:-1], *load_shapes(load))
    slope = np.broadcast_to(slope, (*shape, 2))
    weight = np.broadcast_to(np.asarray(load.mass, dtype=np.float64) * GRAVITY, shape)
    with np.errstate(invalid="ignore", divide="ignore"):
        heave = _heave(line, load, weight, slope, contact)
        return _leaning(line, load, weight, slope, heave, contact, hull)


def standing(line: TipLine, load: HoverLoad, tilt: npt.ArrayLike, heave: npt.ArrayLike, contact: Contact) -> Leaning:
    """Return the craft at tilts (..., 2) [rad] and heaves (...) [m] that were measured: the air follows from them.

    Pressure is what carries the weight there; `flow` is then what escapes, whatever the load says of its lift air.
    """
    slope = np.asarray(tilt, dtype=np.float64)
    height = np.asarray(heave, dtype=np.float64)
    weight = np.broadcast_to(np.asarray(load.mass, dtype=np.float64) * GRAVITY, height.shape)
    return _leaning(line, load, weight, slope, height, contact, None)


def tilt_slopes(line: TipLine, load: HoverLoad, leaning: Leaning, contact: Contact) -> Floats:
    """Return how the balanced centre of gravity moves per tilt, heave and pressure following, (..., 2, 2) [m/rad].

    Rows: forward, to port. Columns: trim, heel. The load has to be the one that `leaning` was made with.

    Notes
    -----
    The same integrals differentiated, dg = dh + x . dtilt; dh from the flow equation, with dQ/dp by central difference.
    """
    clear, half = leaning.gap, 0.5 * line.length * (leaning.tilt @ line.along.T)
    carried, moment = lift_moment(line, clear, half, contact)
    opened, support, moments = carry_slopes(line, clear, half, contact)
    p = leaning.pressure
    _, flow_slope = _coming_and_slope(load, p)
    speed = np.sqrt(2.0 * p / load.density)
    share = (0.5 * leaning.flow - flow_slope * p) / carried
    excess = speed[..., None] * opened - share[..., None] * support
    heave = -excess[..., 1:] / excess[..., :1]
    support_by_tilt = support[..., 1:] + support[..., :1] * heave
    moment_by_tilt = moments[..., 1:] + moments[..., :1] * heave[..., None, :]
    centre = moment / carried[..., None]
    shift = (moment_by_tilt - centre[..., :, None] * support_by_tilt[..., None, :]) / carried[..., None, None]
    height = np.broadcast_to(np.asarray(load.height, dtype=np.float64), p.shape)
    return np.asarray(shift + height[..., None, None] * np.eye(2))


def _heave(line: TipLine, load: HoverLoad, weight: Floats, tilt: Floats, contact: Contact) -> Floats:
    """Return the heave (...) [m] at which the air that comes is the air that goes."""
    rows = max(1, _BATCH // len(line.length))
    weights, tilts = weight.reshape(-1), tilt.reshape(-1, 2)
    parts = [
        _heave_of_some(
            line,
            some_loads(load, weight.shape, slice(k, k + rows)),
            weights[k : k + rows],
            tilts[k : k + rows],
            contact,
        )
        for k in range(0, len(weights), rows)
    ]
    return np.concatenate([np.empty(0), *parts]).reshape(weight.shape)


def _heave_of_some(line: TipLine, load: HoverLoad, weight: Floats, tilt: Floats, contact: Contact) -> Floats:
    lean_of, half = tilt @ line.middle.T, np.abs(0.5 * line.length * (tilt @ line.along.T))
    lowest, highest = (lean_of - half).min(axis=-1), (lean_of + half).max(axis=-1)
    level = weight / line.area
    open_level = _coming(load, level) / (line.discharge @ line.length * np.sqrt(2.0 * level / load.density))

    def excess(heave: Floats) -> tuple[Floats, Floats]:
        clear = heave[..., None] + lean_of
        low, high = clear - half, clear + half
        opened, open_slope, support, support_slope = escape_and_support(line, contact, low, high)
        pressure = weight / support
        speed = np.sqrt(2.0 * pressure / load.density)
        escape = opened + load.leak_area
        coming, pull = _coming_and_slope(load, pressure)
        slope = speed * open_slope - (0.5 * escape * speed - pull * pressure) * support_slope / support
        return np.asarray(escape * speed - coming), np.asarray(slope)

    return rising_roots(excess, -highest, open_level * (1.0 + 1e-9) - lowest)


def _coming(load: HoverLoad, pressure: Floats) -> Floats:
    if callable(load.flow):
        return np.asarray(load.flow(pressure))
    return np.broadcast_to(np.asarray(load.flow, dtype=np.float64), pressure.shape)


def _coming_and_slope(load: HoverLoad, pressure: Floats) -> tuple[Floats, Floats]:
    """Return the flow that comes [m3/s] and its slope with the pressure, by central difference [m3/s/Pa]."""
    if not callable(load.flow):
        return _coming(load, pressure), np.zeros_like(pressure)
    near = 1e-4 * pressure
    less, here, more = load.flow(np.stack([pressure - near, pressure, pressure + near]))
    return np.asarray(here), np.asarray((more - less) / (2.0 * near))


def _leaning(
    line: TipLine,
    load: HoverLoad,
    weight: Floats,
    tilt: Floats,
    heave: Floats,
    contact: Contact,
    hull: npt.ArrayLike | None,
) -> Leaning:
    """Return the record at the heave found."""
    clear, half = heave[..., None] + tilt @ line.middle.T, 0.5 * line.length * (tilt @ line.along.T)
    low, high = clear - np.abs(half), clear + np.abs(half)
    carried, moment = lift_moment(line, clear, half, contact)
    pressure = weight / carried
    speed = np.sqrt(2.0 * pressure / load.density)
    gap_flow = open_with_share(low, high)[0] @ (line.discharge * line.length) * speed
    centre = moment / carried[..., None]
    height = np.broadcast_to(np.asarray(load.height, dtype=np.float64), heave.shape)
    sink = np.maximum(0.0, -low)
    linear = ATTITUDE_DEFAULTS["linear_sink"].value
    return Leaning(
        tilt=frozen_array(tilt),
        heave=frozen_array(heave),
        pressure=frozen_array(pressure),
        gap_flow=frozen_array(gap_flow),
        flow=frozen_array(gap_flow + load.leak_area * speed),
        area=frozen_array(footprint(line, low, high, contact.shift)),
        lift_centre=frozen_array(centre),
        offset=frozen_array(centre + height[..., None] * tilt),
        gap=frozen_array(clear),
        least_gap=frozen_array(low.min(axis=-1)),
        most_gap=frozen_array(high.max(axis=-1)),
        is_linear=np.asarray((sink <= linear * line.depth).all(axis=-1)),
        turn_left=frozen_array((line.turn_limit - contact.turning * sink / line.lever).min(axis=-1)),
        hull_clearance=frozen_array(_hull_clearance(line, heave, tilt, hull)),
    )


def _hull_clearance(line: TipLine, heave: Floats, tilt: Floats, hull: npt.ArrayLike | None) -> Floats:
    if hull is None:
        return np.full(heave.shape, np.inf)
    points = np.asarray(hull, dtype=np.float64)
    return np.asarray((heave[..., None] + tilt @ (points[:, :2] - line.centre).T + points[:, 2]).min(axis=-1))
