"""What the page shows besides the paper's drawings: letters, heights of the ground, greys on the plan, tables."""

from __future__ import annotations

import json
import struct

import numpy as np
import pytest

from skirtloft.desk.answer import Solved
from skirtloft.desk.drawings import drawing_data
from skirtloft.desk.kept_pieces import piece_rows
from skirtloft.desk.shaded import shaded_gaps, shaded_strain, strain_sentences, with_exact_panels
from skirtloft.desk.surface import seam_letters, surface_block
from skirtloft.desk.tables import line_rows
from skirtloft.drawing.plan_shading import STRAIN_ENDS, strain_rows, strain_shading
from skirtloft.pieces.types import CutPiece
from skirtloft.sits.sits import sits_of
from tests.designs import as_cut, skirt_of
from tests.desk_cases import FOUR_TEXT


def solved(*changes: tuple[str, str]) -> Solved:
    return Solved(1, FOUR_TEXT, "0" * 64, skirt_of("four-seat", *changes))


def test_letters_of_the_seams_are_those_of_the_templates() -> None:
    """Templates of the loop name their seams in order from the bow; so does the picture, once for each side."""
    skirt = skirt_of("four-seat")
    shown = [row[0] for row in seam_letters(skirt)]
    wanted = {
        edge.letter for piece in skirt.pieces if piece.kind == "loop_panel" for edge in piece.edges if edge.letter
    }
    assert set(shown) == wanted
    assert shown == [letter for letter in dict.fromkeys(shown) for _ in range(2)]
    for _, x, y, z, *out in seam_letters(skirt):
        assert np.hypot(x - 2.5, y) > 1.0
        assert 0.0 < z < 0.6
        assert np.hypot(*out[:2]) == pytest.approx(np.sqrt(1.0 - out[2] ** 2), abs=1e-3)


def test_the_block_says_whose_it_is_and_where_the_ground_is() -> None:
    block = surface_block(skirt_of("four-seat"), 7, "kept:solid")
    size = struct.unpack("<I", block[:4])[0]
    header = json.loads(block[4 : 4 + size])
    assert (header["name"], header["revision"]) == ("kept:solid", 7)
    assert header["ground"] == {"hover": -0.01, "touch": 0.0, "sit": 0.25}  # gap and clearance of the file, no skids
    kinds = {row[1] for row in header["parts"]}
    assert {"loop", "face", "web", "hull", "seam", "planing", "bottom", "dark", "pale"} == kinds
    points = sum(row[2] * row[3] for row in header["parts"])
    assert len(block) == 4 + size + 12 * points


def test_greys_of_the_strain_are_those_of_the_report() -> None:
    skirt = as_cut("four-seat")
    shading = strain_shading(skirt)
    bands = [band for _, band in shading.polygons[::2]]
    values = [0.0 if one is None else one.thread.p95 for one in skirt.development.strain]
    assert bands == [sum(value >= end for end in STRAIN_ENDS) for value in values]
    assert len(strain_rows(skirt)) == len(skirt.development.panels)
    drawn = shaded_strain(solved(), skirt)[0]
    assert "L14" in drawn.summary
    assert drawn.frame is not None


def test_quick_patterns_have_no_strain_and_say_so() -> None:
    quick = with_exact_panels(skirt_of("four-seat", ("making.loop.pattern", "quick")))
    assert strain_sentences(quick)[0] == "No strain is computed for quick patterns."
    assert len(strain_shading(quick).polygons) == 2 * sum(one.is_rectangle for one in quick.development.panels)


def test_daylight_on_the_plan_is_that_of_the_load_at_rest() -> None:
    made = solved()
    sits = sits_of(made.skirt)
    drawn = shaded_gaps(made, sits)
    assert [one.sheet.name for one in drawn] == ["sits-shade-1", "sits-shade-2", "sits-shade-3"]
    gap = sits.loads[0].rests["likely"].leaning.gap
    words = [text for _, text in drawn[0].table]
    assert sum("sunk" in text for text in words) == 3  # to starboard of it all round, as `sits` tells
    assert max(float(text.split()[0]) for text in words if "sunk" not in text) <= 1000.0 * float(gap.max()) + 0.5


def test_every_view_has_numbers_and_a_sentence() -> None:
    made = solved()
    for name in ("section-P10", "section-P10-forces", "plan", "air-fan", "air-power", "hull-lines", "hull-body-plan"):
        data = drawing_data(made, name)
        assert len(data["table"]) >= 3, name
        assert data["summary"].endswith("."), name


def test_tables_in_an_answer_become_rows() -> None:
    lines = [
        "'full': 700 kg",
        "  gap     bow   port",
        "  soft   1 mm   2 mm sunk",
        "",
        "Loop      new roll",
        "          and more",
    ]
    assert line_rows(lines) == (("'full', soft", "bow 1 mm, port 2 mm sunk"),)
    assert line_rows(lines[4:]) == (("Loop", "new roll"), ("Loop", "and more"))
    assert line_rows(["A sentence that goes on and on.", ""]) == ()


def some(*changes: tuple[str, str]) -> tuple[CutPiece, ...]:
    """A loop panel, a face and a web."""
    return tuple(piece for piece in skirt_of("four-seat", *changes).pieces if piece.base in ("L02", "F3", "W1"))


def test_pieces_of_a_kept_variant_serve_or_are_trimmed_or_cut_again() -> None:
    assert {row["verdict"] for row in piece_rows(some(), some())} == {"keep"}
    rows = {row["code"]: row for row in piece_rows(some(), some(("making.seam", "22 mm")))}
    assert rows["L02"]["verdict"] == "trim"
    assert rows["L02"]["words"].startswith("trim by up to ")
    wider = {row["code"]: row for row in piece_rows(some(), some(("making.seam", "28 mm")))}
    assert wider["L02"]["verdict"] == "cut"
    assert "of cloth missing" in wider["L02"]["words"]
    gone = piece_rows(some(), some()[:1])
    assert [row["verdict"] for row in gone].count("gone") == 2
