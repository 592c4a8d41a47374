"""What measured gaps say: the plane the craft stands in, what mass levels it, and which tips hang low after that.

In that order, and with a measurement between: scissors do not mend a centre of mass.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.trim.gaps import Measured

LEVEL = 0.005  # [m] difference of gap across the craft that counts as level: half of what a hover height is built to
LOW = 0.005  # [m] a tip that hangs lower than this below the plane is worth trimming
FIRST = 0.5  # share of a trim to cut off first: what is off is off (common practice, no source)

# From pitch (bow up) and roll (port up) [rad] to how far the centre of mass has to move [m], forward and to port, to
# bring the craft level: the restoring moment over the weight, as the skirt has it.
Righting = Callable[[float, float], tuple[float, float]]


@dataclass(frozen=True, eq=False)
class Stand:
    """How the craft stands.

    Parameters
    ----------
    gap : float [m]
        Of the plane at the centre of the places' box.
    pitch, roll : float [rad]
        Bow up and port up positive.
    along, across : float [m]
        Difference of gap over the length and over the width of the places, bow less stern and port less starboard.
    pitch_error, roll_error : float [rad]
        Standard errors by the scatter about the plane; nan for exactly determined planes.
    residuals : (n,) [m]
        Measured gap less that of the plane: negative where a tip hangs low.
    scatter : float [m]
        Root mean square of the residuals over the degrees of freedom.
    drags : tuple of str
        Places with no gap: there the true plane may be lower still.
    """

    gap: float
    pitch: float
    roll: float
    along: float
    across: float
    pitch_error: float
    roll_error: float
    residuals: Floats
    scatter: float
    drags: tuple[str, ...]

    @property
    def is_level(self) -> bool:
        """True where gaps across the craft differ by less than `LEVEL` both ways, as far as the plane goes."""
        return abs(self.along) < LEVEL and abs(self.across) < LEVEL


@dataclass(frozen=True)
class Move:
    """How far the centre of the whole mass has to move to level the craft [m], and as a moment of mass [kg m]."""

    forward: float
    to_port: float
    mass: float

    @property
    def moment_forward(self) -> float:
        """Mass times distance to move forward [kg m]."""
        return self.mass * self.forward

    @property
    def moment_to_port(self) -> float:
        """Mass times distance to move to port [kg m]."""
        return self.mass * self.to_port


@dataclass(frozen=True)
class Trim:
    """Cloth to take off the tips about one place: height [m] that they hang low, and along the face [m]."""

    place: str
    height: float
    along_face: float


def stand(measured: Measured) -> Stand:
    """Return the least-squares plane through measured gaps.

    Notes
    -----
    gap = c + a (x - x0) + b (y - y0), x forward and y to port; pitch = atan a, roll = atan b. Standard errors are those
    of ordinary least squares, s sqrt(diag (X'X)^-1) with s2 = r.r / (n - 3).
    """
    points, gaps = measured.points, measured.gaps
    low, high = points.min(axis=0), points.max(axis=0)
    X = np.column_stack([np.ones(len(gaps)), points - 0.5 * (low + high)])
    (c, a, b), *_ = np.linalg.lstsq(X, gaps, rcond=None)
    residuals = gaps - X @ np.array([c, a, b])
    free = len(gaps) - 3
    scatter = math.sqrt(float(residuals @ residuals) / free) if free > 0 else math.nan
    errors = scatter * np.sqrt(np.diag(np.linalg.inv(X.T @ X)))
    return Stand(
        float(c),
        math.atan(float(a)),
        math.atan(float(b)),
        float(a * (high[0] - low[0])),
        float(b * (high[1] - low[1])),
        float(errors[1]),
        float(errors[2]),
        frozen_array(residuals),
        scatter,
        tuple(place for place, gap in zip(measured.places, gaps, strict=True) if gap == 0.0),
    )


def level_by_mass(found: Stand, mass: float, righting: Righting) -> Move:
    """Return how far the centre of the whole mass has to move for a level stand: towards the side that is high."""
    forward, to_port = righting(found.pitch, found.roll)
    return Move(forward, to_port, mass)


def trims(measured: Measured, found: Stand, face_angle: Floats) -> tuple[Trim, ...]:
    """Return what to take off, place by place, most first: tips that hang more than `LOW` below the plane.

    Parameters
    ----------
    measured, found : the gaps and their plane
    face_angle : (n,) [rad]
        Of the face to the ground at each place: a height h is h / sin(face angle) along the cloth.
    """
    low = [
        Trim(place, -float(r), -float(r) / math.sin(face))
        for place, r, face in zip(measured.places, found.residuals, face_angle, strict=True)
        if r < -LOW
    ]
    return tuple(sorted(low, key=lambda trim: -trim.height))
