"""Vents in the diaphragm: how much hole the loop's air needs, and which round holes give it.

A diaphragm in the way of the lift air must let all of it through; one beside that way must only let the loop's
pressure follow the cushion's. The first asks for some 6 to 20 times more hole.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.air import SEA_LEVEL_PRESSURE
from skirtloft.physics.stated import OURS, TRADE, Stated

VENT_DEFAULTS: dict[str, Stated] = {
    "discharge": Stated(0.6, "Sharp-edged hole in thin cloth.", TRADE),
    "over_pressure": Stated(0.02, "Loop over cushion pressure allowed where the lift air passes the vents.", OURS),
    "swing_share": Stated(0.3, "Pressure swing of a bouncing cushion over its mean.", OURS),
    "lag": Stated(0.01, "Difference of loop and cushion allowed, share of that swing.", OURS),
    "gamma": Stated(1.4, "Ratio of specific heats of air.", "ISO 2533:1975"),
    "ligament": Stated(1.0, "Cloth between two holes, in diameters.", TRADE),
    "hole_edge": Stated(0.025, "From a hole's rim to the sewn edge of the diaphragm [m].", TRADE),
}

# Diameters one can cut clean by punch, hole saw or a template round a tin [m]; common practice, no source.
HOLE_SIZES: tuple[float, ...] = (0.020, 0.025, 0.030, 0.040, 0.050, 0.060, 0.075, 0.100, 0.125, 0.150)


def vent_area_in_path(
    contraction: npt.ArrayLike,
    gap: npt.ArrayLike,
    *,
    over_pressure: npt.ArrayLike = VENT_DEFAULTS["over_pressure"].value,
    discharge: npt.ArrayLike = VENT_DEFAULTS["discharge"].value,
) -> Floats:
    """Return the least vent area where the lift air passes the diaphragm, (...) [m2 per metre of joint].

    Parameters
    ----------
    contraction : (...) [-]
        Cc of the jet under the tips.
    gap : (...) [m]
    over_pressure : (...) [-]
        eps, loop less cushion pressure over cushion pressure.
    discharge : (...) [-]
        Of a vent.

    Notes
    -----
    A_v = Cc h/(Cd sqrt(eps)): the same flow at p through the gap and at eps p through the vents. Tip line and joint
    are taken as equally long, and all the lift air as passing the vents.

    References
    ----------
    Derived.

    Examples
    --------
    >>> round(float(vent_area_in_path(0.537286, 0.010)) * 1e6, -2)
    63300.0
    """
    flow_area = np.asarray(contraction, dtype=np.float64) * np.asarray(gap, dtype=np.float64)
    return np.asarray(flow_area / (np.asarray(discharge) * np.sqrt(np.asarray(over_pressure))))


def vent_area_beside_path(
    loop_area: npt.ArrayLike,
    frequency: npt.ArrayLike,
    pressure: npt.ArrayLike,
    density: npt.ArrayLike,
    *,
    swing_share: npt.ArrayLike = VENT_DEFAULTS["swing_share"].value,
    lag: npt.ArrayLike = VENT_DEFAULTS["lag"].value,
    discharge: npt.ArrayLike = VENT_DEFAULTS["discharge"].value,
    atmosphere: npt.ArrayLike = SEA_LEVEL_PRESSURE,
) -> Floats:
    """Return the least vent area off the lift air's way, (...) [m2 per metre of joint].

    Parameters
    ----------
    loop_area : (...) [m2]
        Section of the air above the diaphragm: `air_above`.
    frequency : (...) [rad/s]
        Of the bounce.
    pressure : (...) [Pa]
        Mean cushion pressure.
    density : (...) [kg/m3]
    swing_share, lag : (...) [-]
        Swing of the pressure over its mean; difference across the vents over that swing.
    atmosphere : (...) [Pa]

    Notes
    -----
    A_v = (C_l omega/Cd) sqrt(rho dp/(2 lag)), C_l = A_loop/(gamma p_abs), dp = swing_share p: the air that the loop
    breathes at its greatest rate passes with a drop of lag dp.

    References
    ----------
    Derived.
    """
    p = np.asarray(pressure, dtype=np.float64)
    compliance = np.asarray(loop_area) / (VENT_DEFAULTS["gamma"].value * (np.asarray(atmosphere) + p))
    swing = np.asarray(swing_share) * p
    drop = np.sqrt(np.asarray(density) * swing / (2.0 * np.asarray(lag)))
    return np.asarray(compliance * np.asarray(frequency) / np.asarray(discharge) * drop)


def air_above(radius: npt.ArrayLike, angle: npt.ArrayLike, corners: npt.ArrayLike) -> Floats:
    """Return the section of the air between loop, diaphragm and hull, (...) [m2].

    Parameters
    ----------
    radius, angle : (...) [m], [rad]
        Of the loop.
    corners : (..., k, 2) [m]
        E, J, D and, if the hull is not straight between D and E, its corners from D back to E; x outboard, z up.

    Notes
    -----
    R^2/2 (b - sin b) beyond the chord E-J, and the polygon, counted positive clockwise.
    """
    points = np.asarray(corners, dtype=np.float64)
    following = np.roll(points, -1, axis=-2)
    twice = (points[..., 0] * following[..., 1] - points[..., 1] * following[..., 0]).sum(axis=-1)
    b = np.asarray(angle, dtype=np.float64)
    return np.asarray(0.5 * np.asarray(radius) ** 2 * (b - np.sin(b)) - 0.5 * twice)


@dataclass(frozen=True, eq=False)
class HolePattern:
    """Round holes of one size in every pitch of the diaphragm; (...) each.

    Parameters
    ----------
    diameter : [m]
    count : [-]  per pitch, rows times columns
    rows, columns : [-]  rows run along the joint; columns stand side by side in a pitch
    column_pitch : [m]  between centres along the joint
    row_pitch : [m]  between centres across the diaphragm; nan where there is one row
    rim_to_edge : [m]  from the rim of the outer rows to the edges of the diaphragm
    area : [m2 per metre]  given
    wanted : [m2 per metre]
    open_share : [-]  of the diaphragm's cloth
    cloth_left : [-]  share of the cloth between holes of one row: the pull there is the tension over this
    fits : bool  the wanted area goes in; else the pattern is the one with most area
    """

    diameter: Floats
    count: Floats
    rows: Floats
    columns: Floats
    column_pitch: Floats
    row_pitch: Floats
    rim_to_edge: Floats
    area: Floats
    wanted: Floats
    open_share: Floats
    cloth_left: Floats
    fits: npt.NDArray[np.bool_]


def choose_holes(
    wanted: npt.ArrayLike,
    pitch: npt.ArrayLike,
    width: npt.ArrayLike,
    *,
    sizes: tuple[float, ...] = HOLE_SIZES,
    ligament: float = VENT_DEFAULTS["ligament"].value,
    edge: float = VENT_DEFAULTS["hole_edge"].value,
) -> HolePattern:
    """Return the standard hole and its pattern that give the area with the fewest holes.

    Parameters
    ----------
    wanted : (...) [m2 per metre of joint]
    pitch : (...) [m]
        Of the webs: no hole crosses one.
    width : (...) [m]
        Of the diaphragm between its sewn edges, its span.
    sizes : (q,) [m]
    ligament : float
        Cloth between two rims, in diameters; half of it is kept to each web.
    edge : float [m]
        From a rim to the sewn edge.

    Notes
    -----
    In a pitch w of width W holes of diameter D find room for floor(w/(D (1 + ligament))) columns and
    1 + floor((W - 2 edge - D)/(D (1 + ligament))) rows. Fewest holes first, of these the least area. Rows and columns
    are spread evenly.
    """
    need, w, across = (np.asarray(v, dtype=np.float64)[..., None] for v in np.broadcast_arrays(wanted, pitch, width))
    d = np.asarray(sizes, dtype=np.float64)
    step = d * (1.0 + ligament)
    hole = 0.25 * math.pi * d**2
    most_columns = np.floor(w / step + 1e-9)
    most_rows = np.where(across - 2.0 * edge >= d, 1.0 + np.floor((across - 2.0 * edge - d) / step + 1e-9), 0.0)
    room = most_columns * most_rows
    asked = np.maximum(1.0, np.ceil(need * w / hole - 1e-9))
    rows = np.minimum(most_rows, np.ceil(asked / np.maximum(most_columns, 1.0)))
    columns = np.where(rows > 0.0, np.minimum(most_columns, np.ceil(asked / np.maximum(rows, 1.0))), 0.0)
    count = rows * columns
    fits = (room > 0.0) & (count >= asked)
    given = count * hole / w
    least = np.where(fits, count + given / (1.0 + given.max()), np.inf)
    best = np.where(fits.any(axis=-1), np.argmin(least, axis=-1), np.argmax(given, axis=-1))[..., None]

    fitting = np.asarray(fits.any(axis=-1))

    def pick(values: Floats) -> Floats:
        return np.take_along_axis(np.broadcast_to(values, count.shape), best, axis=-1)[..., 0]

    return _pattern(pick(d), pick(rows), pick(columns), fitting, (need[..., 0], w[..., 0], across[..., 0], edge))


def _pattern(
    diameter: Floats,
    rows: Floats,
    columns: Floats,
    fits: npt.NDArray[np.bool_],
    room: tuple[Floats, Floats, Floats, float],
) -> HolePattern:
    """Return rows and columns spread evenly in `room`: wanted area, pitch, width and edge."""
    wanted, pitch, width, edge = room
    several = rows > 1.0
    row_pitch = np.where(several, (width - 2.0 * edge - diameter) / np.where(several, rows - 1.0, 1.0), np.nan)
    area = holes_area(diameter, rows * columns, pitch)
    return HolePattern(
        diameter=frozen_array(diameter),
        count=frozen_array(rows * columns),
        rows=frozen_array(rows),
        columns=frozen_array(columns),
        column_pitch=frozen_array(pitch / np.maximum(columns, 1.0)),
        row_pitch=frozen_array(row_pitch),
        rim_to_edge=frozen_array(np.where(several, edge, 0.5 * (width - diameter))),
        area=frozen_array(area),
        wanted=frozen_array(wanted),
        open_share=frozen_array(area / width),
        cloth_left=frozen_array(1.0 - diameter * columns / pitch),
        fits=fits,
    )


def holes_area(diameter: npt.ArrayLike, per_pitch: npt.ArrayLike, pitch: npt.ArrayLike) -> Floats:
    """Return the area of given round holes, (...) [m2 per metre of joint]: to compare with what is wanted."""
    return np.asarray(0.25 * math.pi * np.asarray(diameter) ** 2 * np.asarray(per_pitch) / np.asarray(pitch))
