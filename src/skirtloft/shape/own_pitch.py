"""Which run's segments hang at each station: their pitch, and the plan radius that their faces are made for."""

from __future__ import annotations

import numpy as np

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.shape.stations import MERGE
from skirtloft.shape.types import Plan


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
    runs = [plan.runs[k] for k in station_runs(plan)]
    return frozen_array([run.fitted_pitch for run in runs]), frozen_array([run.radius for run in runs])
