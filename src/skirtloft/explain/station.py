"""Which station an explanation is about."""

from __future__ import annotations

from difflib import get_close_matches

from skirtloft.checks.finding import Finding
from skirtloft.errors import DesignError, Problem
from skirtloft.pipeline import Skirt


def station_named(skirt: Skirt, name: str | None) -> int:
    """Return the index of a station; without a name the one nearest the middle of the side run.

    Raises
    ------
    DesignError
        There is no such station.
    """
    stations = skirt.plan.stations
    if name is None:
        mine = [i for i, run in enumerate(stations.runs) if run == "side"] or list(range(len(stations.ids)))
        return mine[len(mine) // 2]
    for i, known in enumerate(stations.ids):
        if known.lower() == name.lower():
            return i
    near = get_close_matches(name.upper(), stations.ids, n=1, cutoff=0.3)
    would_do = f"They go from {stations.ids[0]} at the bow to {stations.ids[-1]} at the stern."
    raise DesignError([Problem("NAME", name, "No such station.", (f"Perhaps {near[0]}. " if near else "") + would_do)])


def station_of(skirt: Skirt, finding: Finding) -> int:
    """Return the index of the station that a finding is about; the side's where it names none."""
    first = finding.where.split(" ")[0]
    return skirt.plan.stations.ids.index(first) if first in skirt.plan.stations.ids else station_named(skirt, None)
