"""Cards: what to measure, all from one end, and pages on which nothing overlaps."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import numpy as np
import pytest

from skirtloft.drawing.card import measure_and_mark_card
from skirtloft.drawing.card_measures import distance_words, half_millimetre, rectangle, sew_lines, tables
from skirtloft.drawing.overlap import overlaps
from skirtloft.drawing.sheet import Line, Sheet, Text
from skirtloft.maths.frozen import frozen_array
from skirtloft.pieces.types import CutPiece, MarkLine
from tests.drawing_cases import joint_strip, loop_panel, stamp, straight_panel

BOTH = {"P": 1, "S": 1}


def said(sheets: list[Sheet]) -> list[str]:
    return [item.text for sheet in sheets for item in sheet.items if isinstance(item, Text)]


@pytest.mark.parametrize("paper, size", [("A4", (210.0, 297.0)), ("Letter", (215.9, 279.4))])  # ISO 216; 8.5 x 11 in
@pytest.mark.parametrize("show", ["metric", "imperial", "both"])
@pytest.mark.parametrize(
    "piece", [straight_panel(), straight_panel(0.5, 0.6), joint_strip(), joint_strip(0.3), joint_strip(4.5, 0.12)],
    ids=["panel", "short panel", "strip", "short strip", "long strip"],
)  # fmt: skip
def test_nothing_overlaps_or_leaves_the_page(piece: CutPiece, show: str, paper: str, size: tuple[float, float]) -> None:
    for hand in ("P", "S"):
        sheets = measure_and_mark_card(
            replace(piece, hand=hand),  # type: ignore[arg-type]
            BOTH,
            stamp(show, failed=("clearance",)),
            paper,
        )
        for sheet in sheets:
            assert (sheet.width, sheet.height) == size
            assert overlaps(sheet) == []
        assert "FAILS: clearance. Do not cut" in said(sheets)


def test_sides_and_diagonals_are_those_of_the_cut_rectangle() -> None:
    card = rectangle(straight_panel(1.8, 0.45))
    # seams 25 mm at both ends, hull hem 40 mm and joint 25 mm: 1850 x 515 mm; diagonal by Pythagoras
    assert (card.length, card.width) == (pytest.approx(1850.0), pytest.approx(515.0))
    assert card.diagonal == pytest.approx(math.sqrt(1850.0**2 + 515.0**2))
    words = said(measure_and_mark_card(straight_panel(1.8, 0.45), BOTH, stamp()))
    assert words.count("1920.5 mm") == 2  # 1920.345 to the nearest half: both diagonals
    assert {"1850.0 mm", "515.0 mm", "cut 1850.0 mm", "sew 1800.0 mm", "cut 515.0 mm", "sew 450.0 mm"} <= set(words)


def test_sew_lines_lie_the_allowances_inside() -> None:
    assert sew_lines(rectangle(straight_panel())) == {"hull": 40.0, "joint": 25.0, "bow": 25.0, "stern": 25.0}
    assert sew_lines(rectangle(joint_strip())) == {"hull": 0.0, "joint": 0.0, "bow": 25.0, "stern": 25.0}


def test_distances_run_from_the_bow_end_and_are_never_added_up() -> None:
    pitch = 0.14631  # not a round number, so rounded steps would drift
    strip = joint_strip(12 * pitch, pitch)
    holes = next(table for table in tables(rectangle(strip)) if "holes" in table.heading)
    # 25 mm overlap, pitch/4 from the end of the run, then every pitch/2
    exact = [25.0 + (k + 0.5) * pitch / 2.0 * 1000.0 for k in range(24)]
    np.testing.assert_allclose([x for _, x in holes.rows], exact, atol=1e-9)
    shown = [float(distance_words(x, "metric")[0]) for _, x in holes.rows]
    assert max(abs(a - b) for a, b in zip(shown, exact, strict=True)) <= 0.25 + 1e-9
    assert abs(24 * half_millimetre(pitch * 500.0) - 12 * pitch * 1000.0) > 1.0  # what adding up would have cost


def test_two_rows_of_holes_are_one_table() -> None:
    found = [table for table in tables(rectangle(joint_strip(1.8))) if "hole" in table.heading]
    assert [table.heading for table in found] == ["24 holes 6 mm in each of 2 rows"]
    assert found[0].about.count("15.0 mm in") == 2  # 25 mm to the edge less 10 mm from the fold


def test_a_turned_piece_measures_the_same() -> None:
    plain = straight_panel()
    angle = 0.02
    turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    turned = replace(
        plain,
        cut_line=frozen_array(plain.cut_line @ turn.T),
        holes=frozen_array(plain.holes @ turn.T),
        marks=tuple(MarkLine(frozen_array(mark.points @ turn.T), mark.kind, mark.text) for mark in plain.marks),
        notches=(),
    )
    plain = replace(plain, notches=())
    for one, other in zip(tables(rectangle(plain)), tables(rectangle(turned)), strict=True):
        np.testing.assert_allclose([x for _, x in one.rows], [x for _, x in other.rows], atol=1e-6)


def test_notches_of_equal_ends_are_one_table_and_measured_from_the_hull_side() -> None:
    found = next(table for table in tables(rectangle(straight_panel())) if "Notches, both ends" in table.heading)
    # 1/4, 1/2, 3/4 of 450 mm up from the joint's sew line or down from the hull's: 40 mm hem, double at 3/4
    down = {"single": {40 + 337.5, 40 + 225.0}, "double": {40 + 112.5}}
    for words, places in down.items():
        assert {round(x, 6) for row, x in found.rows if row == words} == places


def test_long_tables_go_on_in_columns_and_on_further_pages() -> None:
    strip = joint_strip(12.0, 0.12)  # 100 pitches, 200 holes a row
    sheets = measure_and_mark_card(strip, {"P": 1}, stamp())
    assert len(sheets) >= 3
    assert [sheet.name for sheet in sheets[:2]] == ["T03-card", "T03-card-2"]
    numbers = [text for text in said(sheets) if re.fullmatch(r"\d+\.\d", text)]
    assert len(numbers) == 200 + 99  # holes once for both rows, and every line across
    assert any(text.startswith("1 of ") for text in said(sheets))


@pytest.mark.parametrize("hand, bow_left", [("P", True), ("S", False)])
def test_the_sketch_lies_as_its_outside_faces_you(hand: str, bow_left: bool) -> None:
    sheets = measure_and_mark_card(replace(straight_panel(), hand=hand), BOTH, stamp())  # type: ignore[arg-type]
    place = {item.text: item.x for item in sheets[0].items if isinstance(item, Text)}
    assert (place["bow end"] < place["stern end"]) == bow_left


def test_a_long_piece_is_broken_and_a_short_one_is_not() -> None:
    def outlines(piece: CutPiece) -> int:
        sheet = measure_and_mark_card(piece, BOTH, stamp())[0]
        return sum(isinstance(item, Line) and item.layer == "cut" for item in sheet.items)

    assert outlines(straight_panel(2.5, 0.45)) == 2
    assert outlines(straight_panel(0.6, 0.45)) == 1


def test_steps_say_what_to_do_in_order() -> None:
    words = " ".join(said(measure_and_mark_card(straight_panel(), BOTH, stamp())))
    order = [words.index(part) for part in ("Lay the cloth flat", "Square up", "diagonals, 1 to 3", "Hook the tape")]
    assert order == sorted(order)
    for wanted in ("OUTSIDE UP", "warp along the length", "cut 1 P + 1 S", "bow end: seam D 450.0 mm, joins L05"):
        assert wanted in words, wanted


def test_inches_stand_beside_millimetres_where_asked() -> None:
    assert distance_words(254.0, "metric") == ("254.0",)
    assert distance_words(254.0, "both") == ("254.0", "10")  # 25.4 mm to the inch, exact
    assert distance_words(100.0, "imperial") == ("100.0", "3 15/16")  # 3.937 in


def test_a_piece_that_is_no_rectangle_gets_no_card() -> None:
    with pytest.raises(ValueError, match="L05-P is not a rectangle"):
        measure_and_mark_card(loop_panel(), BOTH, stamp())


@pytest.mark.parametrize("value, shown", [(0.24, 0.0), (0.25, 0.5), (0.74, 0.5), (0.75, 1.0), (1850.26, 1850.5)])
def test_half_millimetres(value: float, shown: float) -> None:
    assert half_millimetre(value) == shown  # nearest half, ties up
