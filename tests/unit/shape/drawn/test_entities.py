"""What DXF entities mean in plan; expected places are those of the format's own definitions, named beside them."""

from __future__ import annotations

import io
import math
from typing import Any

import ezdxf
import pytest

from skirtloft.errors import DesignError
from skirtloft.maths.curves import ArcPiece, LinePiece, piece_length
from skirtloft.maths.plane_curves import PlaneCurve, sample_curve
from skirtloft.shape.drawn.dxf import Reading, read_dxf
from skirtloft.shape.drawn.entities import bulged
from skirtloft.shape.drawn.pieces import DrawnPiece, shape_end, shape_length, shape_start
from tests.outline_cases import QUARTER, dxf_bytes


def pieces_of(draw: Any) -> tuple[DrawnPiece, ...]:
    reading = read_dxf(dxf_bytes(draw))
    assert not reading.problems
    (stroke,) = reading.strokes
    return stroke.pieces


def ends(piece: DrawnPiece) -> tuple[complex, complex]:
    return shape_start(piece.shape), shape_end(piece.shape)


@pytest.mark.parametrize(
    ("bulge", "radius", "turn"),
    [
        (1.0, 1.0, math.pi),  # half a circle on a chord of 2
        (QUARTER, math.sqrt(2.0), math.pi / 2.0),  # quarter of a circle on a chord of 2
        (-QUARTER, math.sqrt(2.0), -math.pi / 2.0),
        (math.tan(math.radians(270.0) / 4.0), math.sqrt(2.0), 1.5 * math.pi),  # the rest of that circle
    ],
)
def test_a_bulge_is_the_tangent_of_a_quarter_of_the_turn(bulge: float, radius: float, turn: float) -> None:
    arc = bulged(0j, 2 + 0j, bulge)
    assert isinstance(arc, ArcPiece)
    assert arc.radius == pytest.approx(radius, abs=1e-14)
    assert arc.sweep == pytest.approx(turn, abs=1e-14)
    assert shape_start(arc) == pytest.approx(0j, abs=1e-14)
    assert shape_end(arc) == pytest.approx(2 + 0j, abs=1e-14)


def test_line_and_arc() -> None:
    (line,) = pieces_of(lambda space: space.add_line((1, 2, 3), (4, 6, 5)))
    assert ends(line) == (1 + 2j, 4 + 6j)
    assert line.heights == (3.0, 5.0)
    (arc,) = pieces_of(lambda space: space.add_arc((1, 1, 7), 2, 350, 80))  # 90 deg across 0
    assert isinstance(arc.shape, ArcPiece)
    assert arc.shape.sweep == pytest.approx(math.pi / 2.0, abs=1e-12)
    assert arc.heights == (7.0, 7.0)


def test_seen_from_below_x_is_turned() -> None:
    """The arbitrary axis of an extrusion of (0, 0, -1) turns x and z (from the format's definition)."""
    (arc,) = pieces_of(lambda space: space.add_arc((1, 1, 7), 2, 0, 90, dxfattribs={"extrusion": (0, 0, -1)}))
    start, end = ends(arc)
    assert start == pytest.approx(-3 + 1j, abs=1e-12)  # (1 + 2, 1) seen from below
    assert end == pytest.approx(-1 + 3j, abs=1e-12)
    assert arc.heights == (-7.0, -7.0)
    line, bow = pieces_of(
        lambda space: space.add_lwpolyline(
            [(0, 0, 0), (2, 0, 1.0), (2, 2, 0)], format="xyb", dxfattribs={"extrusion": (0, 0, -1)}
        )
    )
    assert ends(line) == (0j, -2 + 0j)
    assert isinstance(bow.shape, ArcPiece)
    assert bow.shape.sweep == pytest.approx(-math.pi, abs=1e-12)


def test_ellipse_and_its_height() -> None:
    (curve,) = pieces_of(lambda space: space.add_ellipse((1, 2), (0, 3), 0.5, 0.0, math.pi))
    start, end = ends(curve)
    assert start == pytest.approx(1 + 5j, abs=1e-12)
    assert end == pytest.approx(1 - 1j, abs=1e-12)
    points = sample_curve(curve.shape, 1e-4).points if isinstance(curve.shape, PlaneCurve) else None
    assert points is not None
    assert points.real.min() == pytest.approx(1 - 1.5, abs=1e-3)  # half minor axis to the left of the major one


def test_a_round_ellipse_is_an_arc() -> None:
    (arc,) = pieces_of(lambda space: space.add_ellipse((0, 0), (2, 0), 1.0, 0.0, math.pi / 2.0))
    assert isinstance(arc.shape, ArcPiece)
    assert ends(arc)[1] == pytest.approx(2j, abs=1e-12)


def test_a_rational_spline_is_the_circle_it_was_made_of() -> None:
    """A quadratic with middle weight sqrt(1/2) is a quarter circle (Piegl and Tiller, The NURBS Book; from memory)."""
    weights = [1.0, math.sqrt(0.5), 1.0]
    (curve,) = pieces_of(
        lambda space: space.add_rational_spline([(2, 0), (2, 2), (0, 2)], weights, degree=2, knots=[0, 0, 0, 1, 1, 1])
    )
    assert isinstance(curve.shape, PlaneCurve)
    samples = sample_curve(curve.shape, 1e-6)
    assert abs(samples.points).max() == pytest.approx(2.0, abs=1e-9)
    assert abs(samples.points).min() == pytest.approx(2.0, abs=1e-9)
    assert samples.directions[0] == pytest.approx(math.pi / 2.0, abs=1e-9)
    assert samples.directions[-1] == pytest.approx(math.pi, abs=1e-8)


def test_a_spline_is_cut_at_its_corners_and_a_linear_one_is_lines() -> None:
    first, last = pieces_of(
        lambda space: space.add_open_spline(
            [(0, 0), (1, 0), (2, 0), (3, 0), (3, 1), (3, 2), (3, 3)],
            degree=3,
            knots=[0, 0, 0, 0, 1, 1, 1, 2, 2, 2, 2],
        )
    )
    assert ends(first)[1] == pytest.approx(3 + 0j, abs=1e-9)
    for piece, direction in ((first, 0.0), (last, math.pi / 2.0)):
        assert isinstance(piece.shape, PlaneCurve)
        assert sample_curve(piece.shape, 1e-4).directions[[0, -1]] == pytest.approx([direction] * 2, abs=1e-6)
    lines = pieces_of(lambda space: space.add_open_spline([(0, 0), (1, 0), (1, 1)], degree=1, knots=[0, 0, 1, 2, 2]))
    assert [ends(line) for line in lines] == [(0j, 1 + 0j), (1 + 0j, 1 + 1j)]


def test_a_spline_of_fit_points_goes_through_them() -> None:
    places = [(0.0, 0.0), (1.0, 0.3), (2.0, 0.2), (3.0, -0.4)]
    (curve,) = pieces_of(lambda space: space.add_spline(places))
    assert isinstance(curve.shape, PlaneCurve)
    samples = sample_curve(curve.shape, 1e-5)
    for x, y in places:
        assert abs(samples.points - complex(x, y)).min() < 2e-2
    assert ends(curve) == (pytest.approx(0j, abs=1e-9), pytest.approx(3 - 0.4j, abs=1e-9))


def test_old_and_spatial_polylines() -> None:
    pieces = pieces_of(
        lambda space: space.add_polyline2d([(0, 0, 0), (2, 0, 1.0), (2, 2, 0)], format="xyb", close=True)
    )
    assert [type(piece.shape) for piece in pieces] == [LinePiece, ArcPiece, LinePiece]
    spatial = pieces_of(lambda space: space.add_polyline3d([(0, 0, 1), (1, 0, 2), (1, 1, 4)]))
    assert [piece.heights for piece in spatial] == [(1.0, 2.0), (2.0, 4.0)]


def test_frame_points_of_a_smoothed_polyline_do_not_lie_on_it() -> None:
    def draw(space: Any) -> None:
        line = space.add_polyline2d([(0, 0), (5, 9), (1, 0)])
        line.vertices[1].dxf.flags = 16

    (piece,) = pieces_of(draw)
    assert ends(piece) == (0j, 1 + 0j)


def test_blocks_are_taken_apart_where_they_stand() -> None:
    document = ezdxf.new("R2010")  # type: ignore[attr-defined]
    block = document.blocks.new("HULL")
    block.add_circle((0, 0), 1.0)
    document.layers.add("EDGE")
    document.modelspace().add_blockref(
        "HULL", (10, 20), dxfattribs={"layer": "EDGE", "xscale": 2, "yscale": 2, "zscale": 2, "rotation": 90}
    )
    text = io.StringIO()
    document.write(text)
    reading = read_dxf(text.getvalue().encode(), ["edge"])  # names of layers know no capitals
    (stroke,) = reading.strokes
    assert reading.layers == ["EDGE"]
    assert "HULL" in stroke.source
    assert shape_length(stroke.pieces[0].shape) == pytest.approx(4.0 * math.pi, abs=1e-9)  # radius 2
    arc = stroke.pieces[0].shape
    assert isinstance(arc, ArcPiece)
    assert complex(*arc.centre) == pytest.approx(10 + 20j, abs=1e-9)
    assert piece_length(arc) == pytest.approx(4.0 * math.pi)


def test_binary_and_old_files_are_read_too() -> None:
    document = ezdxf.new("R2010")  # type: ignore[attr-defined]
    document.modelspace().add_line((0, 0), (4, 3))
    binary = io.BytesIO()
    document.write(binary, fmt="bin")
    old = dxf_bytes(lambda space: space.add_polyline2d([(0, 0), (4, 3)]), version="R12", units=None)
    for data in (binary.getvalue(), old):
        (stroke,) = read_dxf(data).strokes
        assert shape_length(stroke.pieces[0].shape) == pytest.approx(5.0)
    assert read_dxf(old).unit_code == 0
    with pytest.raises(DesignError):
        read_dxf(binary.getvalue()[:400])


def unsound(draw: Any) -> Reading:
    return read_dxf(dxf_bytes(draw))


def test_what_cannot_be_read_is_named_and_the_rest_goes_on() -> None:
    def draw(space: Any) -> None:
        space.add_line((0, 0), (1, 0))
        space.add_line((2, 2), (2, 2))
        space.add_circle((0, 0), 1.0, dxfattribs={"extrusion": (0, 1, 1)})
        space.add_line((0, 0), (1e12, 0))
        space.add_lwpolyline([(0, 0, 1e400), (1, 0, 0)], format="xyb")
        space.add_text("HULL EDGE")

    reading = unsound(draw)
    assert len(reading.strokes) == 1
    assert sorted(problem.path.split()[0] for problem in reading.problems) == ["CIRCLE", "LINE", "LWPOLYLINE"]
    assert all(problem.would_do for problem in reading.problems)
    assert any("no length" in note for note in reading.notes)
    assert any("1 TEXT" in note for note in reading.notes)
