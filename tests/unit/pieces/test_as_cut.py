"""The three examples with their exact panels, as the pack cuts them: measured on the pieces' own lines.

Lengths are those of the lines through the points of a piece, times how many are cut; the curves they must equal are
measured on 20,000 points of the drawing. Nothing the program has added up itself is trusted here.
"""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from skirtloft.maths.curves import path_length, points_at
from skirtloft.maths.frozen import Floats
from skirtloft.pipeline import Skirt
from tests.designs import NAMES, as_cut

WITHIN = 1e-3  # m, required of hull edges, joint edges, strips and pitches
FINE = 20_000


def length(points: Floats) -> float:
    return float(np.linalg.norm(np.diff(points, axis=0), axis=1).sum())


def sewn(skirt: Skirt, kind: str, edge: str) -> float:
    """Whole craft: all edges so called, of all pieces of a kind, of both hands."""
    edges = [(e, p.quantity) for p in skirt.pieces if p.kind == kind for e in p.edges if edge in (e.kind, e.name)]
    assert edges
    return sum(length(e.points) * quantity for e, quantity in edges)


def hull_curve(skirt: Skirt) -> float:
    """Both halves of the hull edge, in space."""
    path = skirt.plan.hull_edge
    at = np.linspace(0.0, path_length(path), FINE)
    height = np.interp(at, path.breaks, skirt.plan.hull_heights)
    return 2.0 * length(np.column_stack([points_at(path, at), height]))


def joint_curve(skirt: Skirt) -> float:
    path = skirt.plan.joint_line
    return 2.0 * length(points_at(path, np.linspace(0.0, path_length(path), FINE)))


@pytest.mark.parametrize("name", NAMES)
def test_sums_equal_their_curves(name: str) -> None:
    skirt = as_cut(name)
    assert skirt.design.making.loop.pattern == "exact"
    hull, joint = hull_curve(skirt), joint_curve(skirt)
    assert sewn(skirt, "loop_panel", "hull") == pytest.approx(hull, abs=WITHIN)
    assert sewn(skirt, "loop_panel", "joint") == pytest.approx(joint, abs=WITHIN)
    for side in ("edge on the loop", "edge on the segments"):
        assert sewn(skirt, "joint_strip", side) == pytest.approx(joint, abs=WITHIN)
    assert sewn(skirt, "face", "joint") == pytest.approx(joint, abs=WITHIN)  # a segment to a pitch


@pytest.mark.parametrize("name", NAMES)
def test_every_cut_line_is_a_valid_polygon_that_holds_its_sew_line(name: str) -> None:
    """And the sew line is closed: an edge begins where the last one ended."""
    for piece in as_cut(name).pieces:
        cut, line = shapely.Polygon(piece.cut_line), shapely.Polygon(piece.sew_line)
        assert cut.is_valid, piece.id
        assert line.is_valid, piece.id
        assert cut.buffer(1e-9).covers(line), piece.id
        around = sum(length(edge.points) for edge in piece.edges)
        assert around == pytest.approx(line.exterior.length, abs=1e-9), piece.id
        for edge, after in zip(piece.edges, (*piece.edges[1:], piece.edges[0]), strict=True):
            assert edge.points[-1] == pytest.approx(after.points[0], abs=1e-9), piece.id
            if edge.allowance > 0.0:  # cloth beyond the stitches all along it, but where a corner is trimmed
                middle = (edge.points[:-1] + edge.points[1:]) / 2.0
                assert shapely.contains_xy(cut, *middle.T).all(), (piece.id, edge.name)
