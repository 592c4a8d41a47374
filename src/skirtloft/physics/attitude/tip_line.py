"""The tip line as the attitude sees it: straight elements in plan, each with its face, its air and its stiffness.

Plan axes of the craft: x forward, y to port, origin anywhere; z up from the tip plane.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from skirtloft.errors import ShapeError
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.air import contraction_coefficient

_CLOSED = 1e-6  # of the perimeter: what the normals of a closed line may leave over


@dataclass(frozen=True, eq=False)
class TipLine:
    """The mean tip line all round, counter-clockwise seen from above; n elements, points from the area's centre.

    Parameters
    ----------
    middle : (n, 2) [m]  middle of each element, from `centre`
    normal, along : (n, 2)  outward unit normal; unit tangent, the normal turned a quarter to the left
    length : (n,) [m]
    centre : (2,) [m]  centre of the area inside, in the craft's axes
    area : float [m2]
    face_angle : (n,) [rad]  slope of the face to the ground
    discharge : (n,)  Cd of the gap
    curvature : (n,) [1/m]  of the tip line in plan, 0 on straight runs
    lever : (n,) [m]  horizontal distance of the inner fixing I from the mean tip
    drop : (n,) [m]  height of I over the tip plane
    depth : (n,) [m]  of the segments
    stiffness : (n,) [m2/rad]  K/p: stiffness of the section against turning about I, per pressure
    turn_limit : (n,) [rad]  turn, tip up, at which the loop is straight; inf where it never is
    pressed : (n,)  upward force per metre of tip line, per sink and per pressure, as an inflated model of this skirt
        has it; nan where none was pressed on the ground
    pressed_turn : (n,)  share of the sink that is a turn about the inner fixing there
    """

    middle: Floats
    normal: Floats
    along: Floats
    length: Floats
    centre: Floats
    area: float
    face_angle: Floats
    discharge: Floats
    curvature: Floats
    lever: Floats
    drop: Floats
    depth: Floats
    stiffness: Floats
    turn_limit: Floats
    pressed: Floats
    pressed_turn: Floats


def tip_line(
    points: npt.ArrayLike,
    normals: npt.ArrayLike,
    length: npt.ArrayLike,
    *,
    depth: npt.ArrayLike,
    lever: npt.ArrayLike | None = None,
    drop: npt.ArrayLike | None = None,
    face_angle: npt.ArrayLike = math.pi / 4.0,
    stiffness: npt.ArrayLike = 0.0,
    discharge: npt.ArrayLike | None = None,
    curvature: npt.ArrayLike = 0.0,
    turn_limit: npt.ArrayLike = np.inf,
    pressed: npt.ArrayLike = np.nan,
    pressed_turn: npt.ArrayLike = np.nan,
) -> TipLine:
    """Return the tip line of elements given by middle, outward normal and length.

    Parameters
    ----------
    points, normals : (n, 2) [m], (n, 2)
        All round, in order, counter-clockwise seen from above.
    length, depth : (n,) or one [m]
    lever, drop : (n,) or one [m], optional
        Inner fixing to the mean tip, horizontally and vertically. Without them those of a flat face with a right angle
        at the tip and the inner fixing level with the joint: drop = depth, lever = depth tan(face).
    face_angle : (n,) or one [rad]
    stiffness : (n,) or one [m2/rad]
        K/p, K [N m/rad/m] at the pressure p of the load; with a taut diaphragm K grows by what the diaphragm adds.
    discharge : (n,) or one, optional
        Cd; without it that of free-streamline theory for the face angle.
    curvature : (n,) or one [1/m]
    turn_limit : (n,) or one [rad]
    pressed, pressed_turn : (n,) or one
        See `TipLine`.

    Raises
    ------
    ShapeError
        Where the elements do not close, or go round clockwise.

    Notes
    -----
    Area = 1/2 Int x.n ds, its centre = 1/(2 A) Int x^2 n_x ds and the same in y: exact for straight elements.

    Examples
    --------
    >>> box = tip_line([[2, 0], [0, 1], [-2, 0], [0, -1]], [[1, 0], [0, 1], [-1, 0], [0, -1]], [2, 4, 2, 4], depth=0.18)
    >>> box.area, box.centre.tolist()
    (8.0, [0.0, 0.0])
    """
    middle, normal = np.asarray(points, dtype=np.float64), np.asarray(normals, dtype=np.float64)
    normal = normal / np.linalg.norm(normal, axis=-1, keepdims=True)
    n = len(middle)
    ds, d, face, bend = (_each(value, n) for value in (length, depth, face_angle, curvature))
    along = np.stack([-normal[:, 1], normal[:, 0]], axis=-1)
    left_over = float(np.linalg.norm((normal * ds[:, None]).sum(axis=0))) / float(ds.sum())
    if not left_over < _CLOSED:
        raise ShapeError("tip line", f"it does not close ({left_over:.1e} of its length).", "Give it all round.")
    area = 0.5 * float(((middle * normal).sum(axis=-1) * ds).sum())
    if not area > 0.0:
        raise ShapeError("tip line", "it goes round clockwise.", "Give it counter-clockwise with outward normals.")
    centre = ((middle**2 + (along * ds[:, None]) ** 2 / 12.0) * normal * ds[:, None]).sum(axis=0) / (2.0 * area)
    contraction = {angle: contraction_coefficient(float(angle)) for angle in np.unique(face)}
    flow = [contraction[angle] for angle in face] if discharge is None else _each(discharge, n)
    return TipLine(
        middle=frozen_array(middle - centre),
        normal=frozen_array(normal),
        along=frozen_array(along),
        length=frozen_array(ds),
        centre=frozen_array(centre),
        area=area,
        face_angle=frozen_array(face),
        discharge=frozen_array(flow),
        curvature=frozen_array(bend),
        lever=frozen_array(d * np.tan(face) if lever is None else _each(lever, n)),
        drop=frozen_array(d if drop is None else _each(drop, n)),
        depth=frozen_array(d),
        stiffness=frozen_array(_each(stiffness, n)),
        turn_limit=frozen_array(_each(turn_limit, n)),
        pressed=frozen_array(_each(pressed, n)),
        pressed_turn=frozen_array(_each(pressed_turn, n)),
    )


def tip_polygon(corners: npt.ArrayLike, *, longest: float = np.inf, **faces: npt.ArrayLike) -> TipLine:
    """Return the tip line of a closed polygon.

    Parameters
    ----------
    corners : (m, 2) [m]
        Counter-clockwise, the first not repeated.
    longest : float [m]
        Sides are split into equal elements no longer than this.
    **faces
        As for `tip_line`, one value or one per element.
    """
    start = np.asarray(corners, dtype=np.float64)
    side = np.roll(start, -1, axis=0) - start
    size = np.hypot(side[:, 0], side[:, 1])
    count = np.maximum(1, np.ceil(size / longest)).astype(int)
    which = np.repeat(np.arange(len(start)), count)
    place = np.concatenate([(np.arange(c) + 0.5) / c for c in count])
    points = start[which] + place[:, None] * side[which]
    normals = np.stack([side[:, 1], -side[:, 0]], axis=-1) / size[:, None]
    return tip_line(points, normals[which], (size / count)[which], **faces)


def extent(line: TipLine, direction: npt.ArrayLike) -> float:
    """Return how wide the tip line is along a plan direction (2,) [m]: beam along (0, 1), length along (1, 0)."""
    unit = np.asarray(direction, dtype=np.float64) / np.linalg.norm(np.asarray(direction, dtype=np.float64))
    return float(np.ptp(np.concatenate(ends(line)) @ unit))


def ends(line: TipLine) -> tuple[Floats, Floats]:
    """Return where each element starts and ends, (n, 2) each, from the area's centre [m]."""
    half = 0.5 * line.length[:, None] * line.along
    return line.middle - half, line.middle + half


def _each(value: npt.ArrayLike, n: int) -> Floats:
    return np.broadcast_to(np.asarray(value, dtype=np.float64), (n,))
