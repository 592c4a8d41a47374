"""How the air gets out: gap under the tips run by run, rough ground, fixed leaks."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.air import contraction_coefficient
from skirtloft.physics.air_types import Escape, Leak, LeakPlace

ORIFICE_DISCHARGE = 0.6  # sharp-edged hole in thin cloth or sheet; common practice, no source


def escape_runs(
    names: Sequence[str],
    length: npt.ArrayLike,
    *,
    discharge: npt.ArrayLike | None = None,
    face_angle: npt.ArrayLike = np.pi / 4,
    lift: npt.ArrayLike = 0.0,
    roughness: npt.ArrayLike = 0.0,
) -> Escape:
    """Return the gap of every run of the tip line.

    Parameters
    ----------
    names : (r,)
    length : (..., r) [m]
    discharge : (..., r), optional
        The builder's own Cd; without it, that of free-streamline theory for the face angle.
    face_angle : (r,) or one [rad]
    lift : (..., r) or one [m]
        Extra gap of a run over the common gap.
    roughness : (..., r) or one [m]
        Rms height of the ground.
    """
    run_length = np.asarray(length, dtype=np.float64)
    if discharge is None:
        angles = np.broadcast_to(np.asarray(face_angle, dtype=np.float64), (len(names),))
        known = {angle: contraction_coefficient(float(angle)) for angle in np.unique(angles)}
        discharge = np.array([known[angle] for angle in angles])
    return Escape(
        tuple(names),
        frozen_array(run_length),
        frozen_array(np.broadcast_to(discharge, run_length.shape)),
        frozen_array(np.broadcast_arrays(lift, run_length)[0]),
        frozen_array(roughness),
    )


def leak(
    name: str,
    area: npt.ArrayLike,
    *,
    discharge: npt.ArrayLike = ORIFICE_DISCHARGE,
    place: LeakPlace = "cushion",
) -> Leak:
    """Return a fixed opening: corner gaps and low drains leave the cushion, drains in the loop leave the loop."""
    return Leak(name, frozen_array(area), frozen_array(discharge), place)


def mean_opening(gap: npt.ArrayLike, roughness: npt.ArrayLike) -> Floats:
    """Return the mean daylight under a tip over rough ground.

    Parameters
    ----------
    gap : (...) [m]
        Tip above the mean plane of the ground; may be negative.
    roughness : (...) [m]
        Rms height of the ground; 0 is smooth.

    Returns
    -------
    (...) [m]

    Notes
    -----
    Ground heights are taken as normally distributed and the tip as straight: the mean of max(0, gap - height) is
    h Phi(h/s) + s phi(h/s), Phi and phi the normal distribution and density. Smooth ground: max(0, h).

    References
    ----------
    Derived.

    Examples
    --------
    >>> mean_opening([0.01, 0.0, 0.0], [0.0, 0.0, 0.01]).round(6).tolist()
    [0.01, 0.0, 0.003989]
    """
    return rough_opening(np.asarray(gap, dtype=np.float64), np.asarray(roughness, dtype=np.float64))[0]


def rough_opening(gap: Floats, roughness: Floats) -> tuple[Floats, Floats]:
    """Return `mean_opening` (...) [m] and its slope with the gap (...) [-]."""
    if not np.any(roughness):
        return np.maximum(0.0, gap), np.where(gap > 0.0, 1.0, 0.0)
    from scipy.special import ndtr

    rough = np.where(roughness > 0.0, roughness, 1.0)
    share = np.asarray(ndtr(gap / rough))
    density = np.exp(-0.5 * (gap / rough) ** 2) / np.sqrt(2.0 * np.pi)
    smooth = roughness <= 0.0
    opening = np.where(smooth, np.maximum(0.0, gap), gap * share + rough * density)
    return np.maximum(0.0, opening), np.where(smooth, np.where(gap > 0.0, 1.0, 0.0), share)


def opening_area(escape: Escape, gap: npt.ArrayLike) -> Floats:
    """Return the effective escape area of each run at a common gap.

    Parameters
    ----------
    gap : (...) [m]

    Returns
    -------
    (..., r) [m2]
        Cd times length times mean opening.
    """
    height = np.asarray(gap, dtype=np.float64)[..., None] + escape.lift
    return np.asarray(escape.discharge * escape.length * mean_opening(height, escape.roughness))


def common_gap(escape: Escape, area: npt.ArrayLike) -> Floats:
    """Return the common gap at which the runs together have an effective escape area.

    Parameters
    ----------
    area : (...) [m2]
        Not negative.

    Returns
    -------
    (...) [m]
        May be negative over rough ground, or where some runs hang higher than the common gap. With no area at all:
        the gap at which the last run closes (smooth ground).

    Notes
    -----
    The area is convex and rising in the gap, so Newton's rule from above comes down on the root without overshoot.
    """
    wanted = np.asarray(area, dtype=np.float64)
    weight = escape.discharge * escape.length
    gap = (wanted - (weight * escape.lift).sum(axis=-1)) / weight.sum(axis=-1)
    for _ in range(100):
        opening, slope = rough_opening(gap[..., None] + escape.lift, escape.roughness)
        rate = (weight * slope).sum(axis=-1)
        excess = (weight * opening).sum(axis=-1) - wanted
        step = np.divide(excess, rate, out=np.zeros(np.shape(gap)), where=rate > 0.0)
        gap = gap - step
        if not np.any(np.abs(step) > 1e-15):
            break
    return np.asarray(gap)


def leak_area(leaks: Sequence[Leak], place: LeakPlace) -> Floats:
    """Return the effective area of all leaks of one place, (...) [m2]."""
    total = np.zeros(())
    for opening in leaks:
        if opening.place == place:
            total = total + opening.area * opening.discharge
    return total
