"""The trial kit: its pieces meet, are those of the craft's side, and what is expected of them is the solver's."""

from __future__ import annotations

import math

import numpy as np
import pytest

from skirtloft.answers.trial_kit import LIMIT, TrialKit, loop_points, trial_kit, water_height
from skirtloft.drawing.page import Stamp
from skirtloft.drawing.sheet import Text
from skirtloft.drawing.trial_sheets import trial_sheets
from skirtloft.maths.polylines import polyline_length
from skirtloft.pieces.types import CutPiece
from tests.designs import NAMES, TAUT, skirt_of


def kit_of(name: str, *changes: tuple[str, str]) -> TrialKit:
    kit = trial_kit(skirt_of(name, *changes))
    assert kit is not None
    return kit


def piece(kit: TrialKit, code: str) -> CutPiece:
    return next(one for one in kit.pieces if one.id == code)


def edge(one: CutPiece, kind: str) -> list[float]:
    return [mine.length for mine in one.edges if mine.kind == kind]


@pytest.mark.parametrize("name", NAMES)
def test_edges_that_meet_are_equally_long(name: str) -> None:
    kit = kit_of(name)
    face, loop, strip = (piece(kit, code) for code in ("TF1", "TL1", "TJ1"))
    length = 3.0 * edge(face, "joint")[0]
    assert edge(loop, "joint")[0] == pytest.approx(length, abs=1e-9)
    assert edge(strip, "joint") == pytest.approx([length, length], abs=1e-9)
    seams = [*edge(face, "seam"), *edge(piece(kit, "TW1-P"), "seam"), *edge(piece(kit, "TW1-S"), "seam")]
    # the face's curved side is a polyline on its way down
    assert seams == pytest.approx([seams[-1]] * 4, abs=1e-9)


@pytest.mark.parametrize("name", NAMES)
def test_holes_of_loop_strip_and_three_faces_coincide(name: str) -> None:
    kit = kit_of(name)
    face, loop, strip = (piece(kit, code) for code in ("TF1", "TL1", "TJ1"))
    pitch = kit.run.pitch
    faces = np.sort(np.concatenate([face.holes[:, 0] + k * pitch for k in (-1, 0, 1)]))
    assert np.sort(loop.holes[:, 0]) == pytest.approx(faces, abs=1e-9)
    for way in (1.0, -1.0):
        row = strip.holes[way * strip.holes[:, 1] > 0.0]
        assert np.sort(row[:, 0]) == pytest.approx(faces, abs=1e-9)
        assert np.abs(row[:, 1]) == pytest.approx(-loop.holes[0, 1], abs=1e-9)


@pytest.mark.parametrize("name", NAMES)
def test_segments_are_those_of_the_side(name: str) -> None:
    """The same face and web as the craft's, to the last point: what is learned holds for them."""
    skirt, kit = skirt_of(name), kit_of(name)
    assert kit.run.name == "side"
    mine, faces = piece(kit, "TF1"), [one for one in skirt.pieces if one.kind == "face"]
    own = next(one for one in faces if "side" in one.run and abs(one.joint_length - mine.joint_length) < 1e-9)
    assert mine.sew_line == pytest.approx(own.sew_line, abs=1e-9)
    assert mine.cut_line == pytest.approx(own.cut_line, abs=1e-9)


@pytest.mark.parametrize("name", NAMES)
def test_the_shape_is_the_section_solvers(name: str) -> None:
    skirt, kit = skirt_of(name), kit_of(name)
    straight = [i for i, run in enumerate(skirt.plan.stations.runs) if run == "side"]
    like = min(straight, key=lambda i: abs(float(skirt.sections.length[i] - kit.sections.length[0])))
    for mine, solved in (
        (kit.sections.length, skirt.sections.length),
        (kit.sections.radius, skirt.sections.radius),
        (kit.sections.depth, skirt.sections.depth),
        (kit.sections.centre_z, skirt.sections.centre_z),
    ):
        assert float(mine[0]) == pytest.approx(float(solved[like]), abs=2e-6)  # sewn pitch against fitted pitch
    assert kit.rests.turn[1] == pytest.approx(0.0, abs=1e-9)
    assert edge(piece(kit, "TL1"), "fold") == pytest.approx([float(kit.sections.length[0])] * 2, abs=1e-9)
    assert polyline_length(loop_points(kit.sections)) == pytest.approx(float(kit.sections.length[0]), rel=1e-4)


@pytest.mark.parametrize("name", NAMES)
def test_the_box_holds_what_goes_into_it(name: str) -> None:
    kit = kit_of(name)
    s, boards = kit.sections, {board.name: board for board in kit.boards}
    loop = loop_points(s)
    assert kit.front > loop[:, 0].max()
    assert kit.top > loop[:, 1].max()
    assert kit.back < float(s.offset[0] - s.inboard[0]) - 0.2
    assert kit.width == pytest.approx(boards["deck"].width)
    assert kit.width - 3.0 * kit.run.pitch == pytest.approx(0.004)
    assert boards["back"].length == pytest.approx(float(s.depth[0] + s.rise[0]) + kit.gap)
    assert kit.deck_force == pytest.approx(LIMIT * kit.pressure * boards["deck"].length * boards["deck"].width)


@pytest.mark.parametrize("name", NAMES)
def test_the_force_on_a_wall_is_on_all_that_the_air_fills(name: str) -> None:
    """Rectangle behind the deck's edge, less what is outboard of the face, with the triangle E, foot, J and the segment
    of the circle (closed form)."""
    kit = kit_of(name)
    s = kit.sections
    x, d, edge = float(s.offset[0]), float(s.depth[0]), float(s.depth[0] + s.rise[0])
    tip, radius = x - float(s.tip_inboard[0]), float(s.radius[0])
    span = float(s.start_angle[0] - s.end_angle[0])
    behind = (tip - kit.back) * (edge + kit.gap)
    # between tip and joint below the chord from E to J: trapezium tip-E and triangle to J, by the crossed lines
    quad = 0.5 * abs((0.0 - tip) * (d - 0.0) - (x - tip) * (edge - 0.0)) + 0.5 * (0.0 - tip) * edge
    area = behind + quad + radius**2 / 2.0 * (span - math.sin(span))
    assert kit.wall_force == pytest.approx(LIMIT * kit.pressure * area, rel=1e-3)


def test_water_tube() -> None:
    """1 mm of water is 9.80665 Pa (conventional millimetre of water, closed form)."""
    assert water_height(9.80665) == pytest.approx(0.001)


def test_without_the_diaphragm_the_loop_is_longer() -> None:
    """The craft's loop is cut short for its diaphragm; the box has none, and its loop is that of balance."""
    skirt, kit = skirt_of("four-seat", *TAUT), kit_of("four-seat", *TAUT)
    side = [i for i, run in enumerate(skirt.plan.stations.runs) if run == "side"]
    assert float(kit.sections.length[0]) > float(skirt.sections.length[side].max()) + 0.01


@pytest.mark.parametrize(("name", "paper"), [("one-seat", "Letter"), ("four-seat", "A4"), ("ten-seat", "A4")])
def test_the_pages_say_the_numbers(name: str, paper: str) -> None:
    kit, project = kit_of(name), skirt_of(name).design.project
    sheets = trial_sheets(kit, Stamp(project), 0.010, paper)
    words = " ".join(item.text for sheet in sheets for item in sheet.items if isinstance(item, Text))
    assert "polycarbonate" in words
    assert "Never a sealed box" in words
    assert f"{math.degrees(float(kit.sections.face_angle[0])):.1f} deg" in words
    if project.show == "metric":
        assert f"{1000.0 * float(kit.sections.radius[0]):.1f} mm" in words
        assert f"{1000.0 * water_height(kit.pressure):.1f} mm" in words
    for sheet in sheets:
        assert all(0.0 < item.y < sheet.height for item in sheet.items if isinstance(item, Text))
