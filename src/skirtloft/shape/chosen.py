"""The stations that stand for their runs: on drawings, formers and in tables that have no room for all."""

from __future__ import annotations

from skirtloft.shape.types import Stations


def chosen_stations(stations: Stations) -> list[int]:
    """Return for each run in turn the station nearest its middle; for bow and stern the one on the centre line."""
    order = dict.fromkeys(stations.runs)
    chosen = []
    for run in order:
        mine = [i for i, name in enumerate(stations.runs) if name == run]
        middle = (stations.at[mine[0]] + stations.at[mine[-1]]) / 2.0
        if run == "bow":
            middle = stations.at[mine[0]]
        if run == "stern":
            middle = stations.at[mine[-1]]
        chosen.append(min(mine, key=lambda i: abs(float(stations.at[i]) - middle)))
    return chosen
