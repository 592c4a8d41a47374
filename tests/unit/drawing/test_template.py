"""Templates: true size, the right way round, everything said, nothing over anything."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from skirtloft.drawing.overlap import overlaps
from skirtloft.drawing.sheet import Area, Circle, Line, Sheet, Text
from skirtloft.drawing.template import MARGIN, distinct, lay_on_sheet, template_sheet, template_sheets
from skirtloft.drawing.template_labels import edge_words, joined, quantity_words
from skirtloft.pieces.types import CutPiece
from tests.drawing_cases import both_hands, face, joint_strip, loop_panel, samples, stamp, straight_panel, web

BOTH = {"P": 14, "S": 14}
NEAR = 1.4  # clearance 1.5 mm (requirement) less the placer's rounding


def quantities(piece: CutPiece) -> dict[str, int]:
    return BOTH if piece.hand else {"": 28}


def texts(sheet: Sheet) -> list[str]:
    return [item.text for item in sheet.items if isinstance(item, Text)]


def said(sheet: Sheet) -> str:
    return " ".join(texts(sheet))


def cut_of(sheet: Sheet) -> np.ndarray:  # type: ignore[type-arg]
    return next(np.asarray(item.points) for item in sheet.items if isinstance(item, Line) and item.layer == "cut")


@pytest.mark.parametrize("piece", samples(), ids=lambda piece: f"{piece.base}-{piece.joint_length}")
@pytest.mark.parametrize("show", ["metric", "imperial", "both"])
def test_nothing_overlaps_and_letters_are_tall_enough(piece: CutPiece, show: str) -> None:
    sheet = template_sheet(piece, quantities(piece), stamp(show))
    assert overlaps(sheet, NEAR) == []
    assert all(item.height >= 3.5 for item in sheet.items if isinstance(item, Text))  # requirement


@pytest.mark.parametrize("piece", samples(), ids=lambda piece: piece.base)
def test_a_failed_rule_stands_on_the_piece_and_an_accepted_one_is_recorded(piece: CutPiece) -> None:
    sheet = template_sheet(piece, quantities(piece), stamp(failed=("face angle",), accepted=("clearance",)))
    assert "FAILS: face angle. Do not cut" in said(sheet) or "FAILS. Do not cut" in said(sheet)
    assert "clearance" in said(sheet)
    assert overlaps(sheet, NEAR) == []


def test_cut_line_is_at_true_size_with_a_margin_round_it() -> None:
    piece = face()
    sheet = template_sheet(piece, {"": 28}, stamp())
    cut, size = cut_of(sheet), np.ptp(piece.cut_line, axis=0) * 1000.0
    np.testing.assert_allclose(np.ptp(cut, axis=0), size, atol=1e-9)
    np.testing.assert_allclose(cut.min(axis=0), MARGIN, atol=1e-9)
    np.testing.assert_allclose([sheet.width, sheet.height], size + 2 * MARGIN, atol=1e-9)


@pytest.mark.parametrize("hand, bow_left", [("P", True), ("S", False)])
def test_the_outside_faces_you_so_port_has_its_bow_to_the_left(hand: str, bow_left: bool) -> None:
    piece = replace(straight_panel(), hand=hand)  # type: ignore[arg-type]
    sheet = template_sheet(piece, BOTH, stamp())
    place = {item.text: item.x for item in sheet.items if isinstance(item, Text)}
    bow = next(x for text, x in place.items() if text.startswith("P08"))  # first station: the bow end
    stern = next(x for text, x in place.items() if text.startswith("P12"))
    assert (bow < stern) == bow_left


def test_a_web_lies_the_other_way_round() -> None:
    piece = web()  # outboard is x; P is drawn with x to the right
    laid = lay_on_sheet(piece)
    assert laid.turn[0, 0] == 1.0
    assert lay_on_sheet(replace(piece, hand="S")).turn[0, 0] == -1.0


def test_edges_keep_the_inside_on_their_left_whichever_way_the_piece_lies() -> None:
    import shapely

    for hand in ("P", "S"):
        laid = lay_on_sheet(replace(loop_panel(), hand=hand))  # type: ignore[arg-type]
        sewn = shapely.Polygon(
            np.concatenate([points[:-1] for points in (laid.edges[::-1] if hand == "P" else laid.edges)])
        )
        assert sewn.is_valid
        for points in laid.edges:
            k = len(points) // 2
            way = points[k] - points[k - 1]
            beside = (points[k] + points[k - 1]) / 2 + np.array([-way[1], way[0]]) / np.hypot(*way)
            assert sewn.contains(shapely.Point(beside))


def test_everything_that_must_be_said_is_said() -> None:
    sheet = template_sheet(loop_panel(), BOTH, stamp())
    words = said(sheet)
    for wanted in (
        "L05", "loop panel, bow corner", "cut 14 P + 14 S", "P: as printed. S: turn the template over.",
        "Four seats, revision A", "OUTSIDE UP", "WARP", "to bow", "to hull", "joins L04", "joins L06", "P05, S05",
        "P06, S06", "3 holes 6 mm", "hull edge 140.0 mm", "joint 200.0 mm, joins T03, S", "8/9", "9/10",
    ):  # fmt: skip
        assert wanted in words, wanted
    length = loop_panel().edges[1].length * 1000.0
    assert f"seam C {length:.1f} mm" in words


def test_a_face_says_where_to_trim_and_a_web_names_its_corners() -> None:
    assert "tip: trim at first hover" in said(template_sheet(face(), {"": 28}, stamp()))
    words = said(template_sheet(web(), BOTH, stamp()))
    for wanted in ("hem 15 mm", "joint", "tip", "inner fixing", "to hull", "up", "seam F 396.0 mm, joins S03"):
        assert wanted in words, wanted  # 0.28 m x sqrt 2 = 0.39598 m: closed form


def test_the_warp_arrow_lies_along_the_warp() -> None:
    sheet = template_sheet(web(), BOTH, stamp())
    warp = next(item for item in sheet.items if isinstance(item, Text) and item.text == "WARP")
    assert warp.angle == pytest.approx(45.0, abs=1e-6)  # warp (-1, -1)/sqrt 2, drawn as it is
    heads = [item for item in sheet.items if isinstance(item, Area)]
    near = sorted(heads, key=lambda head: np.hypot(*(head.points[0] - [warp.x, warp.y])))[:2]
    between = near[0].points[0] - near[1].points[0]
    assert abs(between[0]) == pytest.approx(abs(between[1]), rel=1e-6)


def test_lines_of_each_kind_are_on_their_layer() -> None:
    layers = {item.layer for item in template_sheet(face(), {"": 28}, stamp()).items}
    assert {"cut", "sew", "finished", "mark", "holes", "text"} <= layers
    assert "fold" in {item.layer for item in template_sheet(web(), BOTH, stamp()).items}


def test_notches_run_from_the_sew_line_to_the_cut_line() -> None:
    import shapely

    piece = loop_panel()
    sheet = template_sheet(piece, BOTH, stamp())
    cut = shapely.LinearRing(cut_of(sheet))
    lines = [item for item in sheet.items if isinstance(item, Line)]
    sewn = shapely.union_all([shapely.LineString(line.points) for line in lines if line.layer == "sew"])
    strokes = [line for line in lines if line.layer == "mark" and len(line.points) == 2]
    across = [
        line
        for line in strokes
        if cut.distance(shapely.Point(line.points[1])) < 1e-6 and sewn.distance(shapely.Point(line.points[0])) < 0.2
    ]
    assert len(across) == sum(notch.count for notch in piece.notches)
    for line in across:
        assert np.hypot(*(line.points[1] - line.points[0])) == pytest.approx(25.0, abs=0.5)  # the seam allowance


def test_holes_are_where_they_belong_with_their_diameter() -> None:
    piece = loop_panel()
    sheet = template_sheet(piece, BOTH, stamp())
    laid = lay_on_sheet(piece)
    circles = [item for item in sheet.items if isinstance(item, Circle)]
    np.testing.assert_allclose([(c.x, c.y) for c in circles], laid.holes)
    assert {circle.radius for circle in circles} == {3.0}
    np.testing.assert_allclose(np.diff(np.sort(laid.holes[:, 0])), 60.0)


def test_a_line_drawn_twice_is_drawn_once() -> None:
    from skirtloft.pieces.types import MarkLine

    plain = face()
    twice = replace(plain, marks=(*plain.marks, MarkLine(plain.edges[2].points[::-1], "trim", "trim here")))
    dotted = [item for item in template_sheet(twice, {"": 28}, stamp()).items if item.layer == "finished"]
    assert len(dotted) == 1


def test_one_template_serves_both_hands() -> None:
    pieces = [*both_hands(loop_panel()), face()]
    pieces[0], pieces[1] = pieces[1], pieces[0]
    found = distinct(pieces)
    assert [(piece.id, count) for piece, count in found] == [("L05-P", {"S": 1, "P": 1}), ("S03", {"": 28})]
    assert [sheet.name for sheet in template_sheets(pieces, stamp())] == ["L05", "S03"]


def test_quantities_and_neighbours_in_words() -> None:
    assert quantity_words({"P": 14, "S": 14}) == "cut 14 P + 14 S"
    assert quantity_words({"": 8}) == "cut 8"
    assert quantity_words({"S": 2}) == "cut 2 S"
    assert joined("L04-P", "P", True) == "L04"
    assert joined("L01-S", "P", True) == "L01 of the other hand"
    assert joined("L04-P", "P", False) == "L04-P"


def test_seam_lengths_are_in_the_units_asked() -> None:
    panel = straight_panel()
    seam = panel.edges[1]
    assert edge_words(panel, seam, True, "metric")[0] == "seam D 450.0 mm, joins L05"
    # 450 / 25.4 = 17.7165 in, nearest 1/32 is 17 23/32: exact inch
    assert edge_words(panel, seam, True, "imperial")[0] == "seam D 17 23/32 in, joins L05"
    assert edge_words(panel, seam, True, "both")[0] == "seam D 450.0 mm (17 23/32 in), joins L05"


def test_a_rule_in_the_margin_is_as_long_as_it_says() -> None:
    sheet = template_sheet(joint_strip(), {"P": 1}, stamp())
    rules = [item for item in sheet.items if isinstance(item, Line) and item.layer == "register"]
    longest = max(float(np.hypot(*(line.points[-1] - line.points[0]))) for line in rules)
    assert longest == pytest.approx(100.0)
    assert "100 mm" in texts(sheet)


@pytest.mark.parametrize("name", ["one-seat", "four-seat", "ten-seat"])
def test_every_piece_of_the_examples_can_be_read(name: str) -> None:
    from skirtloft.design.read import load_design
    from skirtloft.drawing.page import Stamp
    from skirtloft.pipeline import build

    design = load_design(Path(__file__).parents[3] / "examples" / f"{name}.toml")
    skirt = build(design)
    for piece, count in distinct(skirt.pieces):
        sheet = template_sheet(piece, count, Stamp(design.project))
        assert overlaps(sheet, NEAR) == [], piece.base
        words = said(sheet)
        for wanted in (piece.base, quantity_words(count), "OUTSIDE", "UP", "WARP", design.project.name.split(" ")[0]):
            assert wanted in words, (piece.base, wanted)


def test_a_tiny_rectangle_leaves_to_its_card_what_has_no_room() -> None:
    tiny = joint_strip(0.06, 0.06)  # 110 mm x 50 mm with its overlaps
    sheet = template_sheet(tiny, {"": 2}, stamp("both", failed=("face angle",)))
    words = said(sheet)
    for wanted in ("T03", "cut 2", "OUTSIDE", "WARP", "to bow", "to hull", "FAILS", "Four seats"):
        assert wanted in words, wanted
    assert overlaps(sheet, NEAR) == []


def test_a_piece_too_small_for_its_words_is_refused_by_name() -> None:
    from skirtloft.errors import ExportError

    with pytest.raises(ExportError, match="Piece W1: no room inside the piece"):
        template_sheet(web(0.03), BOTH, stamp())
