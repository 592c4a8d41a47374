"""Holes: feed holes into the segments, vents, and drains that let water out of a loop."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.air import GRAVITY
from skirtloft.physics.escape import ORIFICE_DISCHARGE

FRESH_WATER = 1000.0  # kg/m3
SALT_WATER = 1025.0  # kg/m3


def orifice_flow(
    area: npt.ArrayLike,
    pressure: npt.ArrayLike,
    density: npt.ArrayLike,
    discharge: npt.ArrayLike = ORIFICE_DISCHARGE,
) -> Floats:
    """Return the flow through a hole, (...) [m3/s].

    Parameters
    ----------
    area : (...) [m2]
    pressure : (...) [Pa]
        Difference across the hole; negative: the flow goes back.
    density : (...) [kg/m3]
    discharge : (...)

    Notes
    -----
    Q = Cd A sqrt(2 dp/rho).
    """
    drop = np.asarray(pressure, dtype=np.float64)
    speed = np.sign(drop) * np.sqrt(2.0 * np.abs(drop) / np.asarray(density))
    return np.asarray(np.asarray(discharge) * np.asarray(area) * speed)


def orifice_area(
    flow: npt.ArrayLike,
    pressure: npt.ArrayLike,
    density: npt.ArrayLike,
    discharge: npt.ArrayLike = ORIFICE_DISCHARGE,
) -> Floats:
    """Return the hole area (...) [m2] that passes `flow` [m3/s] at `pressure` [Pa] across it."""
    speed = np.sqrt(2.0 * np.asarray(pressure, dtype=np.float64) / np.asarray(density))
    return np.asarray(np.asarray(flow) / (np.asarray(discharge) * speed))


@dataclass(frozen=True, eq=False)
class FeedHoles:
    """One feed hole per segment, run by run, (..., r).

    Parameters
    ----------
    flow : [m3/s]  through one hole
    area : [m2]  of one hole
    diameter : [m]
    area_ratio : area of all holes of the run over its effective escape area
    """

    flow: Floats
    area: Floats
    diameter: Floats
    area_ratio: Floats


def size_feed_holes(
    flow: npt.ArrayLike,
    segments: npt.ArrayLike,
    cushion_pressure: npt.ArrayLike,
    drop: npt.ArrayLike,
    density: npt.ArrayLike,
    discharge: npt.ArrayLike = ORIFICE_DISCHARGE,
) -> FeedHoles:
    """Return the feed hole of every segment for the pressure one is ready to lose in it.

    Parameters
    ----------
    flow : (..., r) [m3/s]
        What each run lets out (gap and leaks).
    segments : (r,)
        Segments in each run.
    cushion_pressure : (...) [Pa]
    drop : (..., r) [Pa]
        Loop pressure at that run less cushion pressure. The same drop all round makes larger holes where the run lets
        out more per segment (a higher gap, a wider pitch); a loop that is fed aft has less to spare at the bow, and
        there the holes are larger.
    density : (...) [kg/m3]
    discharge : (...)

    Notes
    -----
    Area ratio = 1/(Cd sqrt(drop/p)): 20 % of the cushion pressure asks for 3.7 times the effective escape area, 50 %
    for 2.4 times. The rule of 2 to 3 times (common practice, no source) gives away 70 to 30 %.
    """
    run_flow = np.asarray(flow, dtype=np.float64)
    pressure = np.asarray(cushion_pressure, dtype=np.float64)[..., None]
    rho = np.asarray(density, dtype=np.float64)[..., None]
    each = run_flow / np.asarray(segments)
    area = orifice_area(each, drop, rho, discharge)
    escape = each / np.sqrt(2.0 * pressure / rho)
    return FeedHoles(
        frozen_array(each),
        frozen_array(area),
        frozen_array(np.sqrt(4.0 * area / np.pi)),
        frozen_array(area / escape),
    )


def drop_of_area_ratio(ratio: npt.ArrayLike, discharge: npt.ArrayLike = ORIFICE_DISCHARGE) -> Floats:
    """Return the drop in the feed holes over cushion pressure: (1/(Cd ratio))^2.

    Parameters
    ----------
    ratio : (...)
        Area of all feed holes over effective escape area.

    Examples
    --------
    >>> drop_of_area_ratio([2.0, 3.0]).round(3).tolist()
    [0.694, 0.309]
    """
    return np.asarray((np.asarray(discharge) * np.asarray(ratio, dtype=np.float64)) ** -2.0)


def segment_underpressure(
    escape_area: npt.ArrayLike, mouth_area: npt.ArrayLike, discharge: npt.ArrayLike = ORIFICE_DISCHARGE
) -> Floats:
    """Return how far a segment that only the cushion fills stays below cushion pressure, over that pressure.

    Parameters
    ----------
    escape_area : (...) [m2]
        Effective escape area under its tip: Cd times pitch times gap.
    mouth_area : (...) [m2]
        Its opening to the cushion, between inner fixing and tip: about pitch times the lower edge.

    Notes
    -----
    In series, (p - p_s)/p = e^2/(1 + e^2), e = escape area/(Cd mouth area).
    """
    ease = np.asarray(escape_area, dtype=np.float64) / (np.asarray(discharge) * np.asarray(mouth_area))
    return np.asarray(ease**2 / (1.0 + ease**2))


def drain_time(
    area: npt.ArrayLike,
    water_area: npt.ArrayLike,
    head: npt.ArrayLike,
    pressure: npt.ArrayLike = 0.0,
    *,
    water_density: npt.ArrayLike = FRESH_WATER,
    discharge: npt.ArrayLike = ORIFICE_DISCHARGE,
) -> Floats:
    """Return how long water takes to leave a loop through drains at its lowest point, (...) [s].

    Parameters
    ----------
    area : (...) [m2]
        Of all drains, clear of water outside.
    water_area : (...) [m2]
        Mean surface of the water in the loop.
    head : (...) [m]
        Water above the drains at the start.
    pressure : (...) [Pa]
        Of the air in the loop: lift air blows water out.

    Notes
    -----
    A_w dH/dt = -Cd A sqrt(2 g (H + p/(rho g))): t = A_w/(Cd A) sqrt(2/g) [sqrt(H + H_p) - sqrt(H_p)].
    """
    height = np.asarray(head, dtype=np.float64)
    over = np.asarray(pressure, dtype=np.float64) / (np.asarray(water_density) * GRAVITY)
    share = np.asarray(water_area) / (np.asarray(discharge) * np.asarray(area))
    return np.asarray(share * np.sqrt(2.0 / GRAVITY) * (np.sqrt(height + over) - np.sqrt(over)))
