"""How much mass to move where: the moment that the tips give the craft as it stands, by the integrals of attitude."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from skirtloft.design.ride_model import Movable
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.attitude.bounds import BOUNDS, Bound, contact_of
from skirtloft.physics.attitude.lean import HoverLoad, lean, standing
from skirtloft.physics.attitude.tip_line import TipLine, ends
from skirtloft.trim.gaps import Measured
from skirtloft.trim.plane import Stand

HANDY = (1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 75.0, 100.0, 200.0, 500.0, 1000.0)  # [kg] that one finds to move
AIR_TRUST = 1.0  # a gap as measured is trusted as far as the height by the lift air of the file; chosen
MOST_TILT = 0.2  # slope beyond which no rest is looked for; hulls touch long before
REACH = 0.5  # [m] that a thing can be moved aboard without being in the way; chosen


@dataclass(frozen=True, eq=False)
class Move:
    """What levels the craft, as moments of mass from where the mass is now.

    Parameters
    ----------
    moment : (2,) [kg m]  forward and to port, segments as they are likely to yield
    soft, firm : (2,) [kg m]  the same where they fold, and where they turn about the inner fixing
    touches : bool
        Whether the plane reaches the ground under any tip. Where it does not, nothing holds the craft to a tilt, and
        the moments say nothing.
    tilt : float [rad]
        Whole tilt of the plane.
    band : float [rad]
        Tilt that way at which the first tip would touch at the gap measured in the middle.
    mass : float [kg]
    pressure_mass : float or None [kg]
        What the pressure measured carries as the craft stands; None where it was not measured.
    """

    moment: Floats
    soft: Floats
    firm: Floats
    touches: bool
    tilt: float
    band: float
    mass: float
    pressure_mass: float | None = None


@dataclass(frozen=True)
class Shifted:
    """A thing aboard of so much mass [kg], and how far [m] it has to go forward and to port for the whole moment."""

    name: str
    mass: float
    forward: float
    to_port: float


def stand_on_air(measured: Measured, found: Stand, line: TipLine, load: HoverLoad) -> Stand:
    """Return how the craft stands where tips drag: the lift air helps to say how deep they would be.

    Parameters
    ----------
    line, load : TipLine, HoverLoad
        Of the load aboard, from `sits.tips`.

    Notes
    -----
    Least squares of the gaps over max(0, plane), and of `AIR_TRUST` times the height of the plane over that which the
    lift air of the design has at its tilt (`lean`). With places clear on all sides the air hardly counts; with three of
    one side it alone says how deep the other goes. Where nothing drags, or it does not settle, `found` stays.
    """
    if not found.drags:
        return found
    from scipy.optimize import least_squares

    contact, away = contact_of(line, "likely"), measured.points - line.centre

    def off(x: Floats) -> Floats:
        plane = x[0] + away @ x[1:]
        air = lean(line, load, x[1:], contact).heave
        rows = np.append(measured.gaps - np.maximum(0.0, plane), AIR_TRUST * (x[0] - air))
        return np.asarray(np.nan_to_num(rows, nan=1.0))

    tilt = np.array([math.tan(found.pitch), math.tan(found.roll)])
    fitted = least_squares(off, [found.gap_at(line.centre), *tilt], x_scale=[0.02, 0.01, 0.01])
    heave, a, b = (float(one) for one in fitted.x)
    if not fitted.success or math.hypot(a, b) > MOST_TILT:
        return found
    long, wide = np.ptp(measured.points, axis=0)
    residuals = off(fitted.x)[:-1]
    return replace(
        found,
        gap=heave + float((found.middle - line.centre) @ fitted.x[1:]),
        pitch=math.atan(a),
        roll=math.atan(b),
        along=a * float(long),
        across=b * float(wide),
        pitch_error=math.nan,
        roll_error=math.nan,
        residuals=frozen_array(residuals),
        scatter=math.sqrt(float(residuals @ residuals) / (len(residuals) - 2)),
        at_least=False,
        by_air=True,
    )


def level_by_mass(found: Stand, line: TipLine, load: HoverLoad, pressure: float | None = None) -> Move:
    """Return how much mass has to go where for the craft to stand level.

    Parameters
    ----------
    found : Stand
        Plane of the gaps measured.
    line, load : TipLine, HoverLoad
        Of the load aboard, from `sits.tips`.
    pressure : float, optional [Pa]
        Measured in the cushion.

    Notes
    -----
    The plane gives heave and tilt of every tip. At those the tips and the cushion carry the weight about a point off
    the middle, and the centre of mass stands over it (height counted in): level is where it is back in the middle. The
    gap is the measured one, so that the fan does not come into it.
    """
    tilt = np.array([math.tan(found.pitch), math.tan(found.roll)])
    heave = found.gap_at(line.centre)
    stands = {bound: standing(line, load, tilt, heave, contact_of(line, bound)) for bound in BOUNDS}
    mass = float(np.asarray(load.mass))
    moments: dict[Bound, Floats] = {bound: frozen_array(-mass * one.offset) for bound, one in stands.items()}
    likely, steep = stands["likely"], float(np.hypot(*tilt))
    return Move(
        moment=moments["likely"],
        soft=moments["soft"],
        firm=moments["firm"],
        touches=bool(likely.least_gap < 0.0),
        tilt=math.atan(steep),
        band=heave / _farthest(line, -tilt / steep) if steep > 0.0 and heave > 0.0 else 0.0,
        mass=mass,
        pressure_mass=None if pressure is None else mass * pressure / float(likely.pressure),
    )


def _farthest(line: TipLine, way: Floats) -> float:
    """Return how far the tips reach from the middle one way [m]."""
    return float(max((end @ way).max() for end in ends(line)))


def examples(move: Move, movable: Sequence[Movable] = ()) -> tuple[Shifted, ...]:
    """Return things whose moving levels the craft: each that the file calls movable, then a handy mass.

    The handy mass is the least of `HANDY` that does it within `REACH`.
    """
    size = float(np.hypot(*move.moment))
    handy = next((mass for mass in HANDY if size <= mass * REACH), HANDY[-1])
    things = [(thing.name, thing.mass) for thing in movable] + [("", handy)]
    return tuple(Shifted(name, mass, *(float(part) / mass for part in move.moment)) for name, mass in things)
