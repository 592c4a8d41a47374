"""A joint line given outright, and the radii that no joint line may go below."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np

from skirtloft.errors import ShapeError
from skirtloft.maths.curves import TOUCHING, ArcPiece, Piece, RunName, piece_start
from skirtloft.maths.frozen import Floats
from skirtloft.shape.joint_line import JointLine, checked, corner_key, named
from skirtloft.shape.joint_supports import as_one, run_name
from skirtloft.shape.outline import NEARLY_TANGENT, OutlinePoint, drawn_pieces, vertex_turns, wrong_turns
from skirtloft.shape.outline_fillets import rounded_outline
from skirtloft.shape.wording import at_least, millimetres, place_text

KEY = "skirt.joint_line"


def given_joint_line(points: Sequence[OutlinePoint]) -> JointLine:
    """Return a joint line given outright.

    Parameters
    ----------
    points : sequence of OutlinePoint
        From bow centre to stern centre, port half; corners are named by the runs they lie between.

    Raises
    ------
    DesignError
        Points, labels or arcs are wrong.
    ShapeError
        The line is not convex, or not tangent-continuous to 2 mrad; or a run is too short to hold a panel.
    """
    pieces = drawn_pieces(points, KEY)
    for i, why in wrong_turns(pieces):
        raise ShapeError(
            f"{KEY}[{i}] ({place_text(complex(points[i].x, points[i].y))})",
            f"the joint line must be convex, and {why}.",
            "Move the point outboard, or leave it out.",
        )
    for i, (turn, point) in enumerate(zip(vertex_turns(pieces), points, strict=True)):
        if turn > NEARLY_TANGENT and point.radius is None:
            centre = i in (0, len(points) - 1)
            raise ShapeError(
                f"{KEY}[{i}] ({place_text(complex(point.x, point.y))})",
                f"the joint line has a corner of {math.degrees(turn * (2.0 if centre else 1.0)):.2f} deg here.",
                "Give the point a radius, or draw the pieces tangent to each other.",
            )
    outline = rounded_outline(points, pieces, KEY)
    names = _corner_names(outline.labels)
    parts = _merged(list(zip(outline.pieces, names, strict=True)))
    drawn_corner = outline.labels[0] == "corner" and outline.source[0] is not None
    stern_corner = outline.labels[-1] == "corner" and outline.source[-1] is not None
    return checked(named(parts, {}, not drawn_corner, not stern_corner))


def _merged(parts: Sequence[tuple[Piece, RunName]]) -> list[tuple[Piece, RunName]]:
    kept: list[tuple[Piece, RunName]] = []
    for piece, name in parts:
        one = as_one(kept[-1][0], piece) if kept and kept[-1][1] == name else None
        if one is None:
            kept.append((piece, name))
        else:
            kept[-1] = one, name
    return kept


def _corner_names(labels: Sequence[str]) -> list[RunName]:
    """Return run names, corners named after the runs they lie between."""
    found: list[RunName] = []
    for k, label in enumerate(labels):
        if label != "corner":
            found.append(run_name(label))
            continue
        before = next((other for other in reversed(labels[:k]) if other != "corner"), None)
        after = next((other for other in labels[k:] if other != "corner"), None)
        if before is None:
            found.append("bow_corner")
        elif after is None:
            found.append("stern_corner")
        else:
            found.append(corner_key(before, after)[1])
    return found


def check_arc_radii(
    line: JointLine, web_inset: Callable[[Floats], Floats], fixing_inset: Callable[[Floats], Floats]
) -> None:
    """Raise a ShapeError where an arc of the joint line is too tight for the segments.

    Parameters
    ----------
    line : JointLine
    web_inset : lengths along the joint line (n,) [m] -> (n,) [m]
        d cot(face): the web corners at the tip lie this far inboard of the joint.
    fixing_inset : the same
        The inner fixings lie this far inboard of the joint: 2d at 45/90.
    """
    for k, (piece, name) in enumerate(zip(line.path.pieces, line.names, strict=True)):
        if not isinstance(piece, ArcPiece):
            continue
        at = np.linspace(float(line.path.breaks[k]), float(line.path.breaks[k + 1]), 17)
        web, fixing = float(web_inset(at).max()), float(fixing_inset(at).max())
        where = f"{name.replace('_', ' ')} of the joint line, {place_text(piece_start(piece))}"
        if piece.radius < web - TOUCHING:
            raise ShapeError(
                where,
                f"at a radius of {millimetres(piece.radius)} the web corners of the segments meet and cross.",
                f"Use a radius of at least {at_least(max(web, fixing))}, or a smaller depth.",
            )
        if piece.radius < fixing - TOUCHING:
            raise ShapeError(
                where,
                f"at a radius of {millimetres(piece.radius)} the inner fixings of neighbouring segments cross.",
                f"Use a radius of at least {at_least(fixing)} and room for the hems, or a smaller depth.",
            )
