"""The mock-up: a plan board at the height of the joint, and section formers that slot on to it, for the port half.

Board and formers are halved into each other like the dividers of a bottle crate: the board's slots are open outboard,
the formers' inboard. The formers stand on the table by their feet and the board holds them upright.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from skirtloft.maths.curves import outward_at, path_points, points_at
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.pipeline import Skirt
from skirtloft.shape.segment_field import values_at

SCALES = {"full": 1.0, "half": 2.0, "fifth": 5.0}
CARD = 0.0015  # m, usual thickness of grey board; chosen
BEYOND = 0.012  # m of card beyond the centre line, so that its formers have card on both sides; not scaled
APART = 4.0  # thicknesses of card between the inner ends of two formers at a corner
FOOT = 1.12  # shortest former, over the distance from joint to tip
ARC_POINTS = 121


@dataclass(frozen=True)
class MockUpSize:
    """Name of the scale, a key of `SCALES`, and thickness of the card [m]."""

    scale: str = "fifth"
    card: float = CARD

    @property
    def one_to(self) -> float:
        """The scale is 1 to this."""
        return SCALES[self.scale]


@dataclass(frozen=True, eq=False)
class MockFormer:
    """A former, [mm] on the card; x outboard from the hull edge E, z up from the table.

    Parameters
    ----------
    id, run : str
    index : int  of the station
    outline : (n, 2)  to cut, the slot in it, anticlockwise
    slot : (x, z, length, width)  its closed end outboard and the middle of its width; open at the inner end
    edge, joint, tip, inner : (2,)  E, J, G and I
    inner_end : float  x of the inner end
    """

    id: str
    run: str
    index: int
    outline: Floats
    slot: tuple[float, float, float, float]
    edge: Floats
    joint: Floats
    tip: Floats
    inner: Floats
    inner_end: float


@dataclass(frozen=True, eq=False)
class BoardSlot:
    """A slot of the board, [mm]: station, closed end (2,), unit direction outboard (2,), length to the edge, width."""

    id: str
    closed: Floats
    outward: Floats
    length: float
    width: float


@dataclass(frozen=True, eq=False)
class MockUp:
    """The set, [mm] on the card; the board in craft coordinates, x to the bow, y to port.

    Parameters
    ----------
    size : MockUpSize
    board : (n, 2)  to cut, slots in it
    slots : tuple of BoardSlot
    joint, hull : (k, 2)  joint line and hull edge, in plan
    level : float  height of the board's middle above the table
    formers : tuple of MockFormer
    left_out : tuple of str  stations without a former: their corner is too tight for a foot
    """

    size: MockUpSize
    board: Floats
    slots: tuple[BoardSlot, ...]
    joint: Floats
    hull: Floats
    level: float
    formers: tuple[MockFormer, ...]
    left_out: tuple[str, ...]


def mock_up(skirt: Skirt, size: MockUpSize) -> MockUp:
    """Return board and formers.

    Notes
    -----
    The board lies at the lowest joint. There its rim is the joint line; where the joint stands higher the rim follows
    the faces at the board's height. At a station the board and the former overlap from that rim to the former's inner
    end; half the overlap is slot in the one, half in the other, each as wide as the card is thick. A former reaches in
    as far as the inner fixing, less at corners, where its inner end must keep clear of its neighbours'.
    """
    import shapely

    factor, card = 1000.0 / size.one_to, 1000.0 * size.card
    stations, sections = skirt.plan.stations, skirt.sections
    level = float(stations.depth.min())
    formers: list[MockFormer] = []
    slots: list[BoardSlot] = []
    left_out: list[str] = []
    for i, name in enumerate(stations.ids):
        reach = _reach(skirt, i, card / factor)
        if reach is None:
            left_out.append(name)
            continue
        rim = (float(stations.depth[i]) - level) / math.tan(float(stations.face_angle[i]))
        half = (reach + rim) / 2.0  # inboard of the joint: where both slots end
        joint = np.array([float(sections.offset[i]), float(sections.depth[i])])
        closed = (float(joint[0]) - half) * factor
        slot = (closed, level * factor, (reach - half) * factor, card)
        formers.append(_former(skirt, i, (factor, float(joint[0]) - reach), slot))
        outward = stations.outward[i]
        at = frozen_array((stations.joint[i] - half * outward) * factor)
        slots.append(BoardSlot(name, at, frozen_array(outward), (half - rim) * factor, card))
    rim_line, joint_line = _rim(skirt, level) * factor, _rim(skirt, math.inf) * factor
    beyond = 1000.0 * BEYOND
    ring = np.vstack([[rim_line[0, 0], -beyond], rim_line, [rim_line[-1, 0], -beyond]])
    board = shapely.Polygon(ring)
    for one in slots:
        board = board.difference(_slot_shape(one.closed, one.outward, 2.0 * one.length + card, one.width))
    return MockUp(
        size=size,
        board=_ring(board),
        slots=tuple(slots),
        joint=frozen_array(joint_line),
        hull=frozen_array(path_points(skirt.plan.hull_edge, 1e-4) * factor),
        level=level * factor,
        formers=tuple(formers),
        left_out=tuple(left_out),
    )


def _reach(skirt: Skirt, i: int, card: float) -> float | None:
    """Return how far inboard of the joint the former goes [m]; None where it would have no foot to stand on."""
    stations, sections = skirt.plan.stations, skirt.sections
    reach, least = float(sections.inboard[i]), FOOT * float(sections.tip_inboard[i])
    for k in (i - 1, i + 1):
        if 0 <= k < len(stations.ids):
            turn = float(np.arccos(np.clip(stations.outward[i] @ stations.outward[k], -1.0, 1.0)))
            if turn > 1e-6:
                # where the two planes meet, less what keeps the ends apart
                apart = float(np.linalg.norm(stations.joint[i] - stations.joint[k]))
                reach = min(reach, apart / (2.0 * math.sin(turn / 2.0)) - APART * card / turn)
    return reach if reach >= least else None


def _former(skirt: Skirt, i: int, place: tuple[float, float], slot: tuple[float, float, float, float]) -> MockFormer:
    """Return the former at station `i`; `place`: [mm] per metre, and x of the inner end [m]."""
    import shapely

    factor, inner_end = place
    s, stations = skirt.sections, skirt.plan.stations
    d, x = float(s.depth[i]), float(s.offset[i])
    edge = np.array([0.0, d + float(s.rise[i])])
    joint, tip = np.array([x, d]), np.array([x - float(s.tip_inboard[i]), 0.0])
    inner = np.array([x - float(s.inboard[i]), d - float(s.drop[i])])
    angle = np.linspace(float(s.end_angle[i]), float(s.start_angle[i]), ARC_POINTS)
    centre = np.array([x - float(s.centre_inset[i]), float(s.centre_z[i])])
    arc = centre + float(s.radius[i]) * np.column_stack([np.cos(angle), np.sin(angle)])
    ring = np.vstack([[inner_end, 0.0], tip, arc, [inner_end, edge[1]]]) * factor
    cut = _slot_shape(np.array(slot[:2]), np.array([-1.0, 0.0]), slot[2] + slot[3], slot[3])
    return MockFormer(
        id=stations.ids[i],
        run=stations.runs[i],
        index=i,
        outline=_ring(shapely.Polygon(ring).difference(cut)),
        slot=slot,
        edge=frozen_array(edge * factor),
        joint=frozen_array(joint * factor),
        tip=frozen_array(tip * factor),
        inner=frozen_array(inner * factor),
        inner_end=inner_end * factor,
    )


def _rim(skirt: Skirt, level: float) -> Floats:
    """Return the faces' outline at a height [m] in plan, the joint line above every joint, (k, 2) [m]."""
    line = skirt.plan.joint_line
    at = np.unique(np.concatenate([np.linspace(0.0, float(line.breaks[-1]), 800), line.breaks]))
    depth, face, _, _ = values_at(skirt.plan.segments, at)
    inset = np.maximum(0.0, depth - level) / np.tan(face)
    return np.asarray(points_at(line, at) - inset[:, None] * outward_at(line, at))


def _slot_shape(closed: Floats, way: Floats, length: float, width: float) -> Any:
    """Return a slot from its closed end along `way`, [mm]."""
    import shapely

    aside = np.array([-way[1], way[0]]) * width / 2.0
    end = closed + length * way
    return shapely.Polygon([closed - aside, end - aside, end + aside, closed + aside])


def _ring(shape: Any) -> Floats:
    """Return the outline of the largest part of a shape, anticlockwise, first point not repeated."""
    import shapely

    parts = list(getattr(shape, "geoms", [shape]))
    largest = max(parts, key=lambda part: part.area)
    return frozen_array(np.asarray(shapely.geometry.polygon.orient(largest).exterior.coords)[:-1])
