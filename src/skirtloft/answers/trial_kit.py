"""The trial kit: a box in which three segments of a straight run are blown up before the rest is cut."""

from __future__ import annotations

import math
from dataclasses import dataclass, fields
from typing import Any

import numpy as np

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.air import GRAVITY
from skirtloft.physics.design_case import sections_of
from skirtloft.physics.statics_types import SectionStatics, TurnedSections
from skirtloft.physics.turning import settle
from skirtloft.physics.types import Sections
from skirtloft.pieces.trial import SEGMENTS, trial_pieces, trial_run
from skirtloft.pieces.types import CutPiece, SewnRun
from skirtloft.pipeline import Skirt, solve_places
from skirtloft.shape.between import Places, station_places

BOARD = 0.012  # m, plywood; chosen
CLEAR = 0.005  # m, window; chosen
PLAY = 0.004  # m between the outer webs and the walls, both together; chosen
BEHIND = 0.25  # m from inner fixing to back wall: room for the baffle; chosen
ROUND = 0.06  # m of wall beyond the loop, and above; chosen
SHARES = (0.5, 1.0, 1.25)  # of the design's pressure
LIMIT = 1.25  # of the design's pressure: no more, chosen
WATER = 1000.0  # kg/m3


@dataclass(frozen=True)
class Board:
    """A board of the box: what it is, length, width and thickness [m]."""

    name: str
    length: float
    width: float
    thickness: float = BOARD


@dataclass(frozen=True, eq=False)
class TrialKit:
    """Everything about the kit; section axes x outboard from the hull edge E, z up from the tips [m].

    Parameters
    ----------
    run : SewnRun  three segments, straight
    pieces : tuple of CutPiece
    statics, sections : (1,)  in the design case, without a diaphragm
    rests : (3, 1)  the same cloth at `SHARES` of the pressure
    pressure : [Pa]
    gap : float [m]  between tips and floor of the box: that of the design
    width : float [m]  between the walls
    back, front, top : float [m]  x of the back wall's inside, x where the walls end, z of their upper edge
    boards : tuple of Board
    flow : float [m3/s]  below the tips at `pressure`
    deck_force, wall_force : float [N]  on the deck upwards and on one wall outwards, at the limit
    """

    run: SewnRun
    pieces: tuple[CutPiece, ...]
    statics: SectionStatics
    sections: Sections
    rests: TurnedSections
    pressure: float
    gap: float
    width: float
    back: float
    front: float
    top: float
    boards: tuple[Board, ...]
    flow: float
    deck_force: float
    wall_force: float


def trial_kit(skirt: Skirt) -> TrialKit | None:
    """Return the kit for the straight side of a skirt; None where its section has no rest without a diaphragm."""
    design, pressure = skirt.design, skirt.sections.pressure
    run, middle = trial_run(design, skirt.plan, skirt.development.panels)
    statics = solve_places(design, _place(skirt, run, middle), pressure)
    if not np.isfinite(statics.length).all():
        return None
    sections = sections_of(statics)
    edge_z = float(sections.depth[0] + sections.rise[0])
    inner = float(sections.offset[0] - sections.inboard[0])
    gap, back, width = skirt.air.gap, inner - BEHIND, run.length + PLAY
    loop = loop_points(sections)
    front, top = max(float(loop[:, 0].max()), 0.0) + ROUND, max(float(loop[:, 1].max()), edge_z + BOARD) + ROUND
    long, high = front - back + BOARD, top + gap
    boards = (
        Board("floor", long, width + 2.0 * BOARD),
        Board("wall, plywood", long, high),
        Board("wall, clear polycarbonate", long, high, CLEAR),
        Board("back", edge_z + gap, width),
        Board("deck", -back, width),
        Board("rail for the inner fixings", width, 0.03, 0.02),
        Board("baffle", 0.7 * (edge_z + gap), 0.7 * width),
        Board("slide for the outlet in the back", 0.12, 0.12),
    )
    first = skirt.cushions[0]
    share = LIMIT * pressure
    return TrialKit(
        run=run,
        pieces=trial_pieces(design, run, float(statics.length[0])),
        statics=statics,
        sections=sections,
        rests=settle(statics, pressure=pressure * np.array(SHARES)[:, None]),
        pressure=pressure,
        gap=gap,
        width=width,
        back=back,
        front=front,
        top=top,
        boards=boards,
        flow=first.flow * run.length / skirt.plan.tip_perimeter,
        deck_force=share * -back * width,
        wall_force=share * _area(_under_air(sections, loop, back, gap)),
    )


def water_height(pressure: float) -> float:
    """Return the height of water that a pressure [Pa] holds up [m]: 9.8 Pa for every millimetre."""
    return pressure / (WATER * GRAVITY)


def loop_points(sections: Sections, count: int = 121) -> Floats:
    """Return the loop of the one section from E to J, (count, 2) [m]."""
    angle = np.linspace(float(sections.start_angle[0]), float(sections.end_angle[0]), count)
    centre = [float(sections.offset[0] - sections.centre_inset[0]), float(sections.centre_z[0])]
    return frozen_array(centre + float(sections.radius[0]) * np.column_stack([np.cos(angle), np.sin(angle)]))


def _under_air(sections: Sections, loop: Floats, back: float, gap: float) -> Floats:
    """Return the outline of what the air fills, from the side: cushion and loop, the tips down to the floor [m]."""
    joint = np.array([float(sections.offset[0]), float(sections.depth[0])])
    tip = np.array([joint[0] - float(sections.tip_inboard[0]), 0.0])
    return np.vstack([[back, -gap], [tip[0], -gap], tip, loop[::-1], [back, loop[0, 1]]])


def _area(points: Floats) -> float:
    """Return the area inside a closed line, (k, 2) [m] to [m2]."""
    x, y = points[:, 0], points[:, 1]
    return float(0.5 * abs(x @ np.roll(y, -1) - y @ np.roll(x, -1)))


def _place(skirt: Skirt, run: SewnRun, middle: float) -> Places:
    """Return the station of the run's name nearest the middle of the run that the kit is like, the joint straight."""
    stations, places = skirt.plan.stations, station_places(skirt.plan)
    mine = [k for k, name in enumerate(stations.runs) if name == run.name] or list(range(len(stations.ids)))
    i = min(mine, key=lambda k: abs(float(stations.at[k]) - middle))
    values: dict[str, Any] = {f.name: frozen_array(getattr(places, f.name)[[i]]) for f in fields(Places)}
    return Places(**{**values, "pitch": frozen_array([run.pitch]), "radius": frozen_array([math.inf])})


__all__ = ["BOARD", "LIMIT", "SEGMENTS", "SHARES", "Board", "TrialKit", "loop_points", "trial_kit", "water_height"]
