"""What to write into the design so that joint and tips come level: loops by station, tips all alike."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from skirtloft.inflate.skirt.trial import Trial
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.shape.segment_field import values_at

SHARE = 1.0 / 3.0  # of the tolerance: who cuts anew does it wherever more is missing than that
NEAR = 1e-6  # m: a station at the end of a run
LEAST = 0.0005  # m: no smaller change is worth a line


@dataclass(frozen=True, eq=False)
class Correction:
    """How to cut anew.

    Parameters
    ----------
    at : (n,) [m]
        The stations, along the joint line.
    loop : (n,) [m]
        How much longer the loop is than its section asks for, what the design has already counted in.
    tips : float [m]
        How much longer the segments are down the face than drawn, what the design has already counted in.
    """

    at: Floats
    loop: Floats
    tips: float


def correction_of(trial: Trial, asked_for: Floats) -> Correction:
    """Return what would bring joint and tips of a trial to where they are drawn.

    Parameters
    ----------
    trial : Trial
        Of the design as it is, not levelled.
    asked_for : (n,) [m]
        Loop that the drawn sections ask for at the stations.

    Notes
    -----
    Tips: the mean of all, along the face; all segments of a shape are cut from one pattern, and tips of the
    program's face stand about as high as one another. Loops: one change for the whole of a straight run, so that its
    panels stay rectangles.
    """
    cut, segments, advice = trial.skirt.cut, trial.measures.segments, trial.advice
    loop = cut.sections.length - asked_for
    loop = np.where(_missing(trial), loop - advice.rise / advice.slope, loop)
    loop = _even_on_straights(trial, loop)
    tips = segments.tip + trial.mesh.along(segments.at)[1]
    high = np.average(tips / np.sin(values_at(cut.plan.segments, segments.at)[1]), weights=segments.width)
    return Correction(
        at=cut.plan.stations.at,
        loop=frozen_array(np.where(np.abs(loop) < LEAST, 0.0, loop)),
        tips=cut.design.making.tip_change + float(high),
    )


def _missing(trial: Trial) -> npt.NDArray[np.bool_]:
    """Return whether to cut anew at a station, (n,): all of a run where any asks for it, or its loop goes in waves."""
    plan = trial.skirt.cut.plan
    beyond = np.abs(trial.advice.rise) > SHARE * trial.asked.tolerance
    missing = beyond.copy()
    for run in plan.runs:
        own = (plan.stations.at > run.start - NEAR) & (plan.stations.at < run.end + NEAR)
        missing[own] |= beyond[own].any()
    return missing


def _even_on_straights(trial: Trial, loop: Floats) -> Floats:
    """Return the changes with their mean on every straight run, both its ends in."""
    plan, even = trial.skirt.cut.plan, loop.copy()
    for run in plan.runs:
        own = (plan.stations.at > run.start - NEAR) & (plan.stations.at < run.end + NEAR)
        if np.isinf(run.radius) and own.any():
            even[own] = loop[own].mean()
    return even


def is_drawn(trial: Trial) -> bool:
    """Return whether joint and tips stand where they are drawn, within the tolerance: level, and at the height."""
    return trial.is_level and abs(trial.rounds[-1].tip_mean) <= trial.asked.tolerance
