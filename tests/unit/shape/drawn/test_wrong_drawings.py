"""Drawings that are no hull edge: every problem at once, by entity, with what would do; never a traceback."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from skirtloft.errors import DesignError, Problem, SkirtloftError
from skirtloft.shape.drawn.outline import outline_of_dxf
from skirtloft.shape.drawn.request import Request, request_of
from tests.outline_cases import INCH, TAPERED, UNITLESS, dxf_bytes, polyline, read, rounded


def problems(draw: Callable[[Any], object], code: int = 4, **request: Any) -> tuple[Problem, ...]:
    with pytest.raises(DesignError) as caught:
        read(draw, code, **request)
    for problem in caught.value.problems:
        assert all((problem.path, problem.given, problem.wrong, problem.would_do))
    return caught.value.problems


def test_a_gap_names_both_ends_and_how_wide_it_is() -> None:
    def draw(space: Any) -> None:
        space.add_lwpolyline([(4400, 550), (3000, 1050), (0, 1050), (0, -1050), (3000, -1050), (4400, -550)])
        space.add_line((4400, -550), (4400, 548.5))

    (found,) = problems(draw)
    assert found.path.startswith("LWPOLYLINE")
    assert "1.5 mm apart" in found.wrong
    assert '--snap "1.52 mm"' in found.would_do
    assert read(draw, snap=0.00152).chain.widest_gap == pytest.approx(0.0015, abs=1e-12)


def test_every_gap_of_a_drawing_in_pieces() -> None:
    def draw(space: Any) -> None:
        space.add_line((0, -1050), (0, 1040))
        space.add_line((0, 1050), (4400, 1050))
        space.add_line((4400, 1000), (4400, -1050))
        space.add_line((4400, -1050), (0, -1050))

    found = problems(draw)
    assert [problem.wrong.split("is ")[-1] for problem in found] == [
        "10 mm away.",
        "10 mm away.",
        "50 mm away.",
        "50 mm away.",
    ]


def test_a_branch_and_a_line_drawn_twice() -> None:
    (twice,) = problems(lambda space: [space.add_line((0, 0), (4000, 0)) for _ in range(2)])
    assert "on top of" in twice.wrong

    def branch(space: Any) -> None:
        space.add_line((0, 0), (4000, 0))
        space.add_line((4000, 0), (4000, 900))
        space.add_line((4000, 0), (5000, 900))

    (found,) = problems(branch)
    assert "3 ends meet here" in found.wrong


def test_two_outlines_on_one_layer() -> None:
    def draw(space: Any) -> None:
        polyline(TAPERED)(space)
        space.add_circle((2000, 0), 300)

    (found,) = problems(draw)
    assert "more than one outline" in found.wrong
    assert "CIRCLE" in found.wrong


def test_layers_are_listed_and_one_is_chosen() -> None:
    def draw(space: Any) -> None:
        polyline(TAPERED, layer="EDGE")(space)
        space.add_circle((2000, 0), 300, dxfattribs={"layer": "FAN"})

    (found,) = problems(draw)
    assert '"EDGE" (1 entity)' in found.given
    assert '"FAN"' in found.given
    assert read(draw, layers=("edge",)).reading.layers == ["EDGE"]
    wrong = problems(draw, layers=("HULL", "EDGE"))
    assert wrong[0].path == "--layer"
    assert wrong[0].given == "HULL"


def test_a_unitless_drawing_is_refused_with_what_each_unit_would_make_of_it() -> None:
    (found,) = problems(polyline([(x / 25.4, y / 25.4) for x, y in TAPERED]), UNITLESS)
    assert "--units in makes it 4.4 m long" in found.would_do
    assert "--units mm makes it 0.1732 m long" in found.would_do


def test_a_wrong_unit_makes_a_hull_of_no_size() -> None:
    (told,) = problems(polyline(TAPERED), units="m")
    assert "4400 m long" in told.wrong
    (drawn,) = problems(polyline(TAPERED), INCH)
    assert "says the drawing" in drawn.wrong
    assert "111.8 m long" in drawn.wrong
    (unknown,) = problems(polyline(TAPERED), units="furlong")
    assert unknown.path == "--units"


def test_port_and_starboard_differ() -> None:
    spoiled = [*TAPERED]
    spoiled[4] = (3000.0, -1070.0)
    (found,) = problems(polyline(spoiled))
    # 20 mm outboard of the vertex; the nearest place on the slanting line beside it is the vertex itself or nearer
    slant = math.cos(math.atan2(500.0, 1400.0))
    worst = float(found.wrong.split("differ by ")[1].split(" mm")[0])
    assert 20.0 * slant <= worst <= 20.0
    assert "y = 0 mm" in found.wrong
    assert "x = 2200 mm" in found.wrong
    assert "x 3.000 m" in found.given
    assert read(polyline(spoiled), symmetry=0.021, bow=0.0).points[2].y == pytest.approx(1.05)


def test_a_half_closed_along_the_centre_line_is_hinted_at() -> None:
    found = problems(polyline([(4400, 0), (4400, 550), (3000, 1050), (0, 1050), (0, 0)]))
    assert any("--half" in problem.would_do for problem in found)


def test_as_wide_as_long_needs_the_bow() -> None:
    (found,) = problems(polyline(rounded(2000.0, 1000.0, 300.0)))
    assert "--bow" in found.would_do


def test_what_bends_inward_is_named() -> None:
    hollow = [(4400, 550), (3000, 700), (0, 1050), (0, -1050), (3000, -700), (4400, -550)]
    (vertex,) = problems(polyline(hollow))
    angle = math.degrees(math.atan2(350, 3000) - math.atan2(150, 1400))  # between the two lines
    assert f"turns inward by {angle:.2f} deg" in vertex.wrong
    assert "x 3.000 m, y 0.700 m" in vertex.given
    bulge = -0.05
    inward = [(4400, 0, 0), (4400, 900, bulge), (0, 1000, 0), (0, 0, 0)]
    found = problems(lambda space: space.add_lwpolyline(inward, format="xyb"))
    assert "This arc bends inward." in [problem.wrong for problem in found]

    def waving(space: Any) -> None:
        x = np.linspace(4000.0, 400.0, 13)
        side = [(float(a), 1000.0 + 9.0 * (-1.0) ** k) for k, a in enumerate(x)]
        space.add_spline(side)
        space.add_lwpolyline([side[-1], (0, 700), (0, 0)])
        space.add_lwpolyline([(4400, 0), (4400, 600), side[0]])

    curve = next(problem for problem in problems(waving) if "The curve bends" in problem.wrong)
    depth = float(curve.wrong.split("by ")[1].split(" mm")[0])
    assert 15.0 < depth < 20.0  # two waves of 9 mm, and what the spline swings over
    assert "--tolerance" in curve.would_do


def test_problems_of_every_kind_come_together() -> None:
    def draw(space: Any) -> None:
        space.add_line((0, 0), (4000, 0))
        space.add_line((4000, 30), (4000, 900))
        space.add_circle((0, 0), 1.0, dxfattribs={"extrusion": (0, 1, 1)})

    found = problems(draw, UNITLESS, height=None, tolerance=1.0)
    paths = [problem.path.split()[0] for problem in found]
    for name in ("--tolerance", "CIRCLE", "$INSUNITS", "--height", "LINE"):
        assert name in paths
    assert len(found) >= 8


def test_texts_that_are_no_quantities() -> None:
    with pytest.raises(DesignError) as caught:
        request_of({"height": "340", "bow": "left", "snap": "0,1 mm", "tolerance": "1 mm", "centre": None})
    assert [problem.path for problem in caught.value.problems] == ["--height", "--bow", "--snap"]
    found = request_of({"height": "1 ft", "bow": "90 deg"}, ["A"], "in", True)
    assert found == Request(layers=("A",), units="in", half=True, height=0.3048, bow=math.radians(90.0))
    (centre,) = problems(polyline(TAPERED), centre=0.0)
    assert centre.path == "--centre"


def test_a_centre_line_beside_the_hull() -> None:
    (found,) = problems(polyline(TAPERED), bow=0.0, centre=5.0)
    assert "does not cross" in found.wrong
    assert read(polyline(TAPERED), bow=0.0, centre=0.0).half.centre == 0.0


def test_heights_that_are_none() -> None:
    low = [(4400, 0, 10), (4400, 550, 10), (0, 1050, 10), (0, 0, 10)]
    (found,) = problems(lambda space: space.add_polyline3d(low), height=None)
    assert "z from 10 to 10 mm" in found.given


@pytest.mark.parametrize(
    "data",
    [b"", b"\0" * 200, b"AC1032" + b"\0" * 500, b"not a drawing\n" * 20, "0\nSECTION\n2\nENTITIES\n".encode("utf-16")],
)
def test_files_that_are_no_dxf(data: bytes) -> None:
    with pytest.raises(DesignError) as caught:
        outline_of_dxf(data, Request(height=0.3))
    assert caught.value.problems[0].path in ("file", "drawing")


def test_an_empty_drawing() -> None:
    (found,) = problems(lambda space: space.add_text("nothing"))
    assert "no outline" in found.wrong


def test_spoiled_bytes_are_refused_or_read_but_never_fall_over() -> None:
    """Bytes, whole lines and the tail of a sound drawing spoiled at random; the seed is fixed."""

    def draw(space: Any) -> None:
        polyline(rounded())(space)
        space.add_spline([(0, 0), (1, 2), (3, 1)])
        space.add_arc((0, 0), 5, 10, 80)

    text = dxf_bytes(draw, version="R2000")
    entities = text.index(b"ENTITIES")
    dice = random.Random(20260101)
    refused = 0
    for trial in range(40):
        data = bytearray(text)
        if trial % 4 == 3:
            del data[dice.randrange(entities, len(data)) :]
        elif trial % 4 == 2:
            lines = bytes(data).split(b"\n")
            del lines[dice.randrange(len(lines) // 2, len(lines))]
            data = bytearray(b"\n".join(lines))
        else:
            for _ in range(12):
                data[dice.randrange(entities, len(data))] = dice.choice(b"0123456789-.eA\n\xff")
        try:
            outline_of_dxf(bytes(data), Request(height=0.3))
        except SkirtloftError:
            refused += 1
    assert refused > 20
