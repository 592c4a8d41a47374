"""Pieces in the open sewn-pattern standard, read back with ezdxf.

What is on which layer: sources/s08_astm_d6673_layers.csv.
"""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import ezdxf
import numpy as np
import pytest
import shapely

from skirtloft.drawing.pattern_block import pattern_block, pattern_blocks, turn_points
from skirtloft.drawing.template import BARE, EDGE_LAYERS
from skirtloft.errors import ExportError
from skirtloft.export.sewn_pattern import LAYERS, STRAY, VALIDATION, plain, render, sparse
from skirtloft.maths.frozen import Floats
from skirtloft.pieces.types import CutPiece
from tests.designs import skirt_of
from tests.drawing_cases import loop_panel

SOURCE = Path(__file__).parents[3] / "sources" / "s08_astm_d6673_layers.csv"
ALL = skirt_of("four-seat").pieces
# One of each kind and hand, straight and at a corner: what there is to tell apart.
PIECES = {p.id: p for p in {(p.kind, p.hand, len(p.holes), p.is_rectangle): p for p in reversed(ALL)}.values()}
CLOTHS = sorted({piece.cloth for piece in PIECES.values()})


@cache
def file_of(cloth: str) -> Any:
    text = render(pattern_blocks(tuple(PIECES.values()))[cloth], "Four seats, revision A", "2026-01-01")
    text.encode("ascii")  # 7-bit
    return ezdxf.read(io.StringIO(text))


def on_layer(block: Any, kind: str, layer: str) -> list[Any]:
    return [entity for entity in block if entity.dxftype() == kind and entity.dxf.layer == layer]


def points_of(line: Any) -> Floats:
    return np.array([(vertex.dxf.location.x, vertex.dxf.location.y) for vertex in line.vertices])


def drawn(line: Any) -> Any:
    return (shapely.LinearRing if line.is_closed else shapely.LineString)(points_of(line))


def dots(block: Any, layer: str) -> Floats:
    found = [(point.dxf.location.x, point.dxf.location.y) for point in on_layer(block, "POINT", layer)]
    return np.array(found).reshape(-1, 2)


def as_drawn(piece: CutPiece, points: Floats) -> Floats:
    """Points of the piece frame [m] in the block [mm], from the frame's own words: see pieces.types."""
    flip = np.array([-1.0 if piece.drawn_x_left else 1.0, 1.0]) * 1000.0
    return np.asarray(points).reshape(-1, 2) * flip - (piece.cut_line * flip).min(axis=0)


def off(one: Floats, other: Floats) -> float:
    return float(shapely.hausdorff_distance(shapely.MultiPoint(one), shapely.MultiPoint(other)))


def test_layers_are_those_of_the_standard() -> None:
    lines = [line for line in SOURCE.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    meaning = {row["layer"]: row["definition"].lower() for row in csv.DictReader(lines)}
    assert set(LAYERS) | set(VALIDATION.values()) <= set(meaning)
    said = {"1": "boundary", "2": "turn", "3": "curve", "4": "notch", "7": "grain", "8": "internal lines",
            "11": "cutouts", "13": "drill", "14": "sew", "15": "annotation"}  # fmt: skip
    assert all(words in meaning[layer] for layer, words in said.items())
    assert all("validation" in meaning[layer] for layer in VALIDATION.values())


@pytest.mark.parametrize("cloth", CLOTHS)
def test_a_block_to_each_piece_on_numbered_layers(cloth: str) -> None:
    document = file_of(cloth)
    assert document.dxfversion == "AC1009"  # R12
    assert not document.audit().errors
    wanted = {code for code, piece in PIECES.items() if piece.cloth == cloth}
    assert {block.name for block in document.blocks if not block.name.startswith(("*", "$"))} == wanted
    assert sorted(insert.dxf.name for insert in document.modelspace().query("INSERT")) == sorted(wanted)
    used = {entity.dxf.layer for code in wanted for entity in document.blocks.get(code)}
    assert used <= {*LAYERS, *VALIDATION.values()}


@pytest.mark.parametrize("code", sorted(PIECES))
def test_geometry_is_that_of_the_piece(code: str) -> None:
    """Checking lines within 1e-4 mm, the others within `STRAY` of them; their points are turn or curve points."""
    piece = PIECES[code]
    block = file_of(piece.cloth).blocks.get(code)
    (boundary,) = on_layer(block, "POLYLINE", "1")
    assert boundary.is_closed
    ((checked,), near) = on_layer(block, "POLYLINE", VALIDATION["1"]), 1.01 * STRAY
    outline = points_of(checked)
    assert off(outline, as_drawn(piece, piece.cut_line)) < 1e-4
    assert shapely.Polygon(points_of(boundary)).area == pytest.approx(1e6 * piece.area, rel=1e-4)
    assert shapely.Polygon(outline).area == pytest.approx(1e6 * piece.area, rel=1e-6)
    stitched = [e for e in piece.edges if EDGE_LAYERS[e.kind] == "sew" and 1000.0 * e.allowance > BARE]
    sewn = on_layer(block, "POLYLINE", VALIDATION["14"])
    assert len(sewn) == len(stitched)
    for line, edge in zip(sewn, stitched, strict=True):
        assert off(points_of(line), as_drawn(piece, edge.points)) < 1e-4
    holes = np.vstack([piece.holes.reshape(-1, 2), piece.lap_holes.reshape(-1, 2)])
    assert len(dots(block, "13")) == len(holes)
    if len(holes):
        assert off(dots(block, "13"), as_drawn(piece, holes)) < 1e-4
    assert len(dots(block, "4")) == sum(notch.count for notch in piece.notches)
    for notch in dots(block, "4"):
        assert shapely.Polygon(outline).exterior.distance(shapely.Point(notch)) < 1e-4
    corners = [points_of(line) for layer in VALIDATION for line in on_layer(block, "POLYLINE", layer)]
    assert off(np.vstack([dots(block, "2"), dots(block, "3")]), np.vstack(corners)) < 1e-4
    for layer, check in VALIDATION.items():
        pairs = zip(on_layer(block, "POLYLINE", layer), on_layer(block, "POLYLINE", check), strict=True)
        assert all(drawn(line).hausdorff_distance(drawn(again)) < near for line, again in pairs)


def test_words_quantity_and_grain() -> None:
    piece = next(p for p in PIECES.values() if p.kind == "face" and p.spares)
    block = file_of(piece.cloth).blocks.get(piece.id)
    words = [text.dxf.text for text in on_layer(block, "TEXT", "1")]
    assert f"Piece Name: {piece.id}" in words
    assert f"Quantity: {piece.quantity + piece.spares}" in words
    assert "Size: ONE" in words
    (grain,) = on_layer(block, "LINE", "7")
    along = np.array([grain.dxf.end.x - grain.dxf.start.x, grain.dxf.end.y - grain.dxf.start.y])
    warp = np.array([-piece.warp[0] if piece.drawn_x_left else piece.warp[0], piece.warp[1]])
    assert abs(float(along @ warp)) == pytest.approx(float(np.hypot(*along)), rel=1e-6)
    style = [text.dxf.text for text in file_of(piece.cloth).modelspace().query("TEXT")]
    assert "Units: METRIC" in style
    assert "Creation Date: 2026-01-01" in style


def test_a_vent_is_cut_out_and_a_slit_too() -> None:
    """Closed for a round opening (area pi r2 less 0.1 % for 96 sides), open for a slit."""
    piece = replace(loop_panel(), vents=np.array([[0.0, 0.2]]), vent_diameter=0.06)
    ((ring, closed),) = pattern_block(piece).cutouts
    assert closed
    assert shapely.Polygon(ring).area == pytest.approx(np.pi * 30.0**2, rel=1e-3)
    slit = next(p for p in PIECES.values() if any(mark.kind == "slit" for mark in p.marks))
    assert len(pattern_block(slit).cutouts) == sum(mark.kind in ("slit", "slot") for mark in slit.marks)


def test_turn_points_are_ends_and_corners() -> None:
    arc = np.column_stack([np.cos(np.linspace(0.0, 1.0, 21)), np.sin(np.linspace(0.0, 1.0, 21))])
    assert np.flatnonzero(turn_points(arc, closed=False)).tolist() == [0, 20]
    square = np.array([[0.0, 0.0], [1.0, 0.0], [2.0, 0.0], [2.0, 2.0], [0.0, 2.0]])
    assert turn_points(square, closed=True).tolist() == [True, False, True, True, True]


def test_few_points_and_a_straight_side_ends_in_turn_points() -> None:
    """A quarter of radius 100 mm between sides of 300.

    Closed form: chords of c = 2 sqrt(2 R s) = 4 mm stray s = 0.02 mm, so 40 chords would do and halving makes 80 at
    most.
    """
    angle = np.linspace(0.0, np.pi / 2.0, 631)
    arc = np.column_stack([100.0 * np.sin(angle), -100.0 * np.cos(angle)])
    line = np.vstack([np.column_stack([np.linspace(-300.0, -1.0, 300), np.full(300, -100.0)]), arc, [[100.0, 300.0]]])
    kept = sparse(line, closed=False)
    assert 40 <= len(kept) <= 84
    chords = np.hypot(*np.diff(kept, axis=0).T)
    assert chords[1:-1].max() < 2.0 * np.sqrt(2.0 * 100.0 * STRAY) * 1.1
    turned = turn_points(kept, closed=False, straight=20.0)
    assert np.flatnonzero(turned).tolist() == [0, 1, len(kept) - 2, len(kept) - 1]
    with pytest.raises(ExportError, match="not a number"):
        sparse(line * np.nan, closed=False)


def test_a_failed_rule_is_said_on_every_piece() -> None:
    words = "FAILS: gap. Do not cut"
    blocks = pattern_blocks([loop_panel()], words)["loop"]
    assert all(any(text == words for _, text in block.notes) for block in blocks)
    assert f"Annotation: {words}" in render(blocks, "One", caution=words)


def test_text_is_seven_bit_and_names_differ() -> None:
    assert plain("2 × Ø5 café – 45°") == "2 x ?5 cafe - 45 deg"
    block = pattern_block(loop_panel())
    with pytest.raises(ExportError, match="one name"):
        render([block, block], "Twice")
