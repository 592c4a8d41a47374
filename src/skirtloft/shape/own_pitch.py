"""Which run's segments hang at each station: their pitch, and the plan radius that their faces are made for."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.shape.stations import MERGE
from skirtloft.shape.types import Plan

SAME_PLACE = 1e-9  # m


def station_runs(plan: Plan) -> tuple[int, ...]:
    """Return for every station the index of the run of the plan whose segments its section is drawn with.

    Notes
    -----
    A station between a run and its corner is one section with one loop, cut to the *run's* segments; the stations
    inside the corner are cut to the corner's. A run that has shrunk to nothing has no segments: there, the arc's.
    """
    stations = plan.stations
    found = []
    for name, at in zip(stations.runs, stations.at, strict=True):
        away = [max(run.start - at, at - run.end, 0.0) + (0.0 if run.name == name else np.inf) for run in plan.runs]
        if min(away) > MERGE:
            away = [max(run.start - at, at - run.end, 0.0) for run in plan.runs]
        found.append(int(np.argmin(away)))
    return tuple(found)


def station_pitches(plan: Plan) -> tuple[Floats, Floats]:
    """Return fitted pitch and plan radius of the segments at every station, (n,) [m]; radius inf where straight."""
    return pitches_along(plan, plan.stations.at)


def pitches_along(plan: Plan, at: Floats) -> tuple[Floats, Floats]:
    """Return fitted pitch and plan radius of the segments at places along the joint line, (k,) [m].

    Notes
    -----
    At an even station both are those of its own run (`station_runs`). Between two even stations pitch and 1/radius go
    evenly from one's to the other's: within a run nothing changes, and the loop goes over from a run's segments to
    its corner's within the first panel of the corner.
    """
    stations = plan.stations
    runs = [plan.runs[k] for k in station_runs(plan)]
    even = np.ones(len(runs), dtype=np.bool_) if plan.even_at is None else _are_among(stations.at, plan.even_at)
    nodes = stations.at[even]
    pitch = np.array([run.fitted_pitch for run in runs])[even]
    bend = 1.0 / np.array([run.radius for run in runs])[even]
    with np.errstate(divide="ignore"):
        radius = 1.0 / np.interp(at, nodes, bend)
    return frozen_array(np.interp(at, nodes, pitch)), frozen_array(radius)


def _are_among(at: Floats, places: Floats) -> npt.NDArray[np.bool_]:
    among: npt.NDArray[np.bool_] = np.abs(at[:, None] - places).min(axis=1) < SAME_PLACE
    return among
