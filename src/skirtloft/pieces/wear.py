"""Wear panels: a piece of its own over the tip of every face, which is replaced when it is worn through."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from skirtloft.errors import ShapeError
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.pieces.finish import Sewn, finish
from skirtloft.pieces.marks import along
from skirtloft.pieces.seams import STITCH_EDGE, beside
from skirtloft.pieces.segment import FaceShape
from skirtloft.pieces.types import CutPiece, Edge, MarkLine

if TYPE_CHECKING:
    from skirtloft.design.model import Design


CLEAR_OF_JOINT = 0.02  # m from the top of a wear panel to the joint (choice of this program)


def wear_outline(shape: FaceShape, height: float, inset: float) -> tuple[Floats, Floats, Floats, Floats]:
    """Return the edges of a wear panel on a face: bow side upwards, top, stern side downwards, tip (k, 2) [m].

    Parameters
    ----------
    shape : FaceShape
    height : float [m]
        Up the face from every point of the tip.
    inset : float [m]
        From the seams of the face.

    Raises
    ------
    ShapeError
        The panel would reach the joint, or the inset leaves no width.

    Notes
    -----
    Anticlockwise, in the frame of the face. The sides run beside the face's own, the tip is the stretch of the face's
    own tip between them, and the top is the tip moved up: by as much as either side at its end, evenly between. A tip
    is cut level, so the whole of it wears.
    """
    import shapely
    from shapely.ops import substring

    if height >= 0.9 * min(shape.side_length, shape.stern_length):
        raise ShapeError(
            "wear panel",
            f"{height * 1e3:.0f} mm up a side edge of {shape.side_length * 1e3:.0f} mm it reaches the joint.",
            f"Make making.wear.height at most {0.9 * shape.side_length * 1e3:.0f} mm.",
        )
    tip = shapely.LineString(shape.tip)
    sides, feet = [], []
    for line in (shape.side, shape.stern_side[::-1]):
        inward = -inset if line is shape.side else inset
        foot, side = _from_tip(beside(line, inward), tip)
        feet.append(foot)
        sides.append(_first(side, height))
    (bow_foot, stern_foot), (bow, stern) = feet, sides
    low, high = sorted((tip.project(shapely.Point(stern_foot)), tip.project(shapely.Point(bow_foot))))
    middle = np.asarray(substring(tip, low, high).coords)[1:-1] if high > low else np.zeros((0, 2))
    if bow[-1, 0] - stern[-1, 0] < 0.02 or len(middle) == 0:
        raise ShapeError("wear panel", "Its inset leaves no width.", "Make making.wear.inset smaller.")
    edge = np.vstack([stern_foot, middle, bow_foot])
    share = ((edge - stern_foot) @ (bow_foot - stern_foot) / np.sum((bow_foot - stern_foot) ** 2))[:, None]
    top = edge + share * (bow[-1] - bow_foot) + (1.0 - share) * (stern[-1] - stern_foot)
    if float(top[:, 1].max()) > min(shape.top[:, 1]) - CLEAR_OF_JOINT:
        raise ShapeError(
            "wear panel",
            f"{height * 1e3:.0f} mm above the crown of the tip it reaches the joint.",
            f"Make making.wear.height less than {(height - float(top[:, 1].max()) - CLEAR_OF_JOINT) * 1e3:.0f} mm.",
        )
    return frozen_array(bow), frozen_array(top[::-1]), frozen_array(stern[::-1]), frozen_array(edge)


def _first(line: Floats, length: float) -> Floats:
    """The first `length` [m] of a line."""
    reached = np.concatenate([[0.0], np.hypot(*np.diff(line, axis=0).T).cumsum()])
    whole = line[reached < length - 1e-9]
    end, _ = along(line, length / float(reached[-1]))
    part: Floats = np.vstack([whole, end])
    return part


def _from_tip(side: Floats, tip: object) -> tuple[Floats, Floats]:
    """Where a side that starts near the tip meets it, and the side from there; lengthened where it starts above."""
    import shapely

    start = side[0] + (side[0] - side[1]) / np.hypot(*(side[0] - side[1])) * 0.05
    longer = np.vstack([start, side])
    crossing = shapely.LineString(longer).intersection(tip)
    points = [np.asarray(part.coords[0]) for part in getattr(crossing, "geoms", [crossing]) if not part.is_empty]
    if not points:
        return side[0], side
    line = shapely.LineString(longer)
    foot = max(points, key=lambda point: float(line.project(shapely.Point(point))))
    rest = longer[[line.project(shapely.Point(p)) > line.project(shapely.Point(foot)) + 1e-9 for p in longer]]
    return foot, np.vstack([foot, rest])


def wear_piece(design: Design, face: CutPiece, shape: FaceShape, base: str) -> CutPiece:
    """Return the wear panel of a face; the face names its runs, hand and quantity."""
    wear, making = design.making.wear, design.making
    assert wear is not None
    bow, top, stern, tip = wear_outline(shape, wear.height, wear.inset)
    edges = (
        Edge("bow side" if face.hand else "side", "free", bow, 0.0),
        Edge("top", "free", top, 0.0, joins=face.base),
        Edge("stern side" if face.hand else "other side", "free", stern, 0.0),
        Edge("tip", "tip", tip, making.tip_trim),
    )
    sewn = Sewn(
        base=base,
        name=f"wear panel of {face.base}",
        kind="wear_panel",
        run=face.run,
        edges=edges,
        holes=np.zeros((0, 2)),
        warp=face.warp,
        joint_length=0.0,
        notches=(),
        marks=(
            MarkLine(tip, "trim", "trim with the face"),
            *(MarkLine(frozen_array(beside(line, -STITCH_EDGE)), "stitch") for line in (bow, top, stern)),
        ),
        notes=(
            f"Lies on the outside of {face.base} between the place lines, tip on tip. One row of stitches round sides "
            "and top, the tip open: it is unpicked and replaced when worn. No glue.",
        ),
        cloth="segment" if wear.mass is None else "wear",
    )
    mass = design.cloth.segment.mass if wear.mass is None else wear.mass
    return finish(sewn, face.hand, face.quantity, making.hole, mass)


def with_wear_place(face: CutPiece, shape: FaceShape, wear: tuple[float, float]) -> CutPiece:
    """Return the face with the outline of its wear panel marked; `wear` height and inset [m]."""
    bow, top, stern, _ = wear_outline(shape, *wear)
    line = np.vstack([bow, top[1:], stern[1:]])
    return replace(face, marks=(*face.marks, MarkLine(frozen_array(line), "place", "wear panel")))
