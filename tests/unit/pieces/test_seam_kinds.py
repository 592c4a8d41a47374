"""Seams by class: their allowances, rows of stitches, bindings, and light lines on the pieces."""

from __future__ import annotations

from collections import Counter

import numpy as np
import pytest
import shapely

from skirtloft.design.extras_model import Seams
from skirtloft.design.model import Making
from skirtloft.pieces.cut_pieces import cut_pieces
from skirtloft.pieces.seams import beside, face_allowance, loop_allowance, stitch_rows
from tests.loop_cases import JointCase, design, panels, plan

CRAFT = JointCase()


def made(**keys):
    return cut_pieces(design(making=Making(**keys)), plan(CRAFT), panels(CRAFT))


def of(pieces, kind):
    return [piece for piece in pieces if piece.kind == kind]


@pytest.mark.parametrize(
    "kind, each",
    [
        ("superimposed", 0.025),  # edge on edge: all of making.seam on both
        ("lapped", 0.0125),  # they overlap by making.seam in all
        ("bound", 0.012),  # both end together inside a binding of this finished width
    ],
)
def test_a_kind_says_how_much_cloth_lies_outside_the_sew_line(kind, each):
    pieces = made(seams=Seams(loop=kind, face=kind))
    seams = [edge for piece in pieces for edge in piece.edges if edge.kind == "seam"]
    assert {edge.allowance for edge in seams} == {each}
    making = Making(seams=Seams(loop=kind, face=kind))
    assert loop_allowance(making) == face_allowance(making) == each
    for piece in pieces:
        ring = shapely.LinearRing(piece.cut_line)
        for edge in piece.edges:
            if edge.kind == "seam":
                middle = edge.points[[len(edge.points) // 2 - 1, len(edge.points) // 2]].mean(axis=0)
                assert ring.distance(shapely.Point(middle)) == pytest.approx(each, abs=1e-6)


def test_rows_of_stitches():
    """Common practice: 8 mm from the edge, rows 6 to 8 mm apart; by hand for a seam of 25 mm."""
    two, three = Making(), Making(rows=3)
    assert stitch_rows(two, "lapped") == pytest.approx((-0.0045, 0.0045))  # 12.5 - 8
    assert stitch_rows(two, "superimposed") == pytest.approx((0.0, 0.007))
    assert stitch_rows(three, "superimposed") == pytest.approx((0.0, 0.007, 0.014))  # the next would be 4 mm from it
    assert stitch_rows(Making(rows=4), "superimposed") == pytest.approx((0.0, 0.007, 0.014))
    assert stitch_rows(two, "bound") == (0.0,)
    assert stitch_rows(Making(join="glued"), "lapped") == ()
    assert stitch_rows(Making(rows=2, seam=0.012), "lapped") == (0.0,)  # no room for two


def test_a_line_beside_another_keeps_its_distance():
    """A circle of radius 1 moved out by 0.1 is one of 1.1; the polygon's corners lie on 1.1/cos of half a step."""
    turn = np.linspace(0.0, np.pi, 181)
    circle = np.column_stack([np.cos(turn), np.sin(turn)])  # anticlockwise: its right is outside
    radii = np.hypot(*beside(circle, 0.1)[1:-1].T)
    assert radii == pytest.approx(np.full(179, 1.0 + 0.1 / np.cos(np.radians(0.5))), abs=1e-9)


def test_stitches_and_glue_are_drawn_beside_their_edges():
    for piece in of(made(join="glued and sewn"), "loop_panel"):
        cloth = shapely.Polygon(piece.cut_line)
        kinds = Counter(mark.kind for mark in piece.marks)
        assert kinds["stitch"] == 4  # two rows on two seams
        assert kinds["glue"] == 2
        seams = [shapely.LineString(edge.points) for edge in piece.edges if edge.kind == "seam"]
        for mark in piece.marks:
            if mark.kind in ("stitch", "glue"):
                assert cloth.covers(shapely.LineString(mark.points))
                middle = shapely.Point(mark.points[len(mark.points) // 2])
                off = min(seam.distance(middle) for seam in seams)
                assert off == pytest.approx(0.0045 if mark.kind == "stitch" else 0.0125, abs=2e-5)
    assert not any(mark.kind == "glue" for piece in made(join="sewn") for mark in piece.marks)


def test_bound_edges_get_a_tape_each():
    pieces = made(seams=Seams(face="bound", hem="bound"))
    web = of(pieces, "web")[0]
    assert {edge.allowance for edge in web.edges if edge.kind == "hem"} == {0.0}
    tapes = of(pieces, "binding")
    width = 4 * 0.012  # folded in twice
    segments = sum(face.quantity for face in of(pieces, "face"))
    assert sum(tape.quantity for tape in tapes) == 2 * segments + 4 * segments  # two seams, four free edges of webs
    wanted = {round(edge.length, 3) for edge in web.edges}
    for tape in tapes:
        size = np.ptp(tape.cut_line, axis=0)
        assert size[1] == pytest.approx(width)
        assert round(float(size[0]) - 0.02, 3) in wanted  # 10 mm over at both ends
    assert of(made(), "binding") == []


def test_the_bound_loop_needs_one_tape_for_both_edges_of_a_seam():
    tapes = of(made(seams=Seams(loop="bound")), "binding")
    assert sum(tape.quantity for tape in tapes) == 15 * 2  # seams of the port half, see test_cut_pieces
