"""What measured gaps say: the plane the craft stands in, what mass levels it, and which tips hang low after that.

In that order, and with a measurement between: scissors do not mend a centre of mass.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.trim.gaps import THIN, Measured

LEVEL = 0.005  # [m] difference of gap across the craft that counts as level: half of what a hover height is built to
LOW = 0.005  # [m] a tip that hangs lower than this below the plane is worth trimming
FIRST = 0.5  # share of a trim to cut off first: what is off is off (common practice, no source)


@dataclass(frozen=True, eq=False)
class Stand:
    """How the craft stands.

    Parameters
    ----------
    gap : float [m]
        Of the plane at `middle`.
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
        Places with no gap: there the plane may lie at the ground or below it.
    middle : (2,) [m]
        Centre of the places' box in plan.
    at_least : bool
        Too few places are clear to say how far below the ground the plane goes: the tilt is at least this.
    by_air : bool
        That depth comes from the lift air of the design, see `righting.stand_on_air`.
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
    middle: Floats
    at_least: bool = False
    by_air: bool = False

    def gap_at(self, point: npt.ArrayLike) -> float:
        """Return the gap of the plane at a point (2,) of the plan [m]; negative: below the ground."""
        x, y = np.asarray(point, dtype=np.float64) - self.middle
        return float(self.gap + math.tan(self.pitch) * x + math.tan(self.roll) * y)

    @property
    def is_level(self) -> bool:
        """True where gaps across the craft differ by less than `LEVEL` both ways, as far as the plane goes."""
        return abs(self.along) < LEVEL and abs(self.across) < LEVEL


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
    gap = c + a (x - x0) + b (y - y0), x forward and y to port; pitch = atan a, roll = atan b. Where tips drag, a gap of
    0 says no more than that the plane lies at the ground or below: such a place counts only while the plane would clear
    it (least squares of the gaps over max(0, plane) at the places that drag, by an active set). Standard errors are
    those of ordinary least squares on the places that count, s sqrt(diag (X'X)^-1) with s2 = r.r / (n - 3).
    """
    points, gaps = measured.points, measured.gaps
    low, high = points.min(axis=0), points.max(axis=0)
    middle = 0.5 * (low + high)
    X = np.column_stack([np.ones(len(gaps)), points - middle])
    counts, at_least = _that_count(X, gaps)
    (c, a, b), *_ = np.linalg.lstsq(X[counts], gaps[counts], rcond=None)
    plane = X @ np.array([c, a, b])
    residuals = gaps - np.where(counts, plane, np.maximum(0.0, plane))
    free = int(counts.sum()) - 3
    scatter = math.sqrt(float(residuals[counts] @ residuals[counts]) / free) if free > 0 else math.nan
    errors = scatter * np.sqrt(np.diag(np.linalg.inv(X[counts].T @ X[counts])))
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
        frozen_array(middle),
        at_least,
    )


def _that_count(X: Floats, gaps: Floats) -> tuple[npt.NDArray[np.bool_], bool]:
    """Return which places the plane has to meet, and whether some that drag had to stay in for want of others."""
    drags = gaps == 0.0
    counts = np.ones(len(gaps), dtype=bool)
    for _ in range(2 * len(gaps)):
        coefficients, *_ = np.linalg.lstsq(X[counts], gaps[counts], rcond=None)
        wanted = ~drags | (X @ coefficients > 0.0)
        if (wanted == counts).all():
            return counts, False
        spread = np.linalg.svd(X[wanted][:, 1:] - X[wanted][:, 1:].mean(axis=0), compute_uv=False)
        if wanted.sum() < 4 or spread[1] < THIN * spread[0]:
            break
        counts = wanted
    return np.ones(len(gaps), dtype=bool), bool(drags.any())


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
