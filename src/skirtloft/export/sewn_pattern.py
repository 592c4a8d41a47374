"""Pieces as the open sewn-pattern standard wants them: DXF R12, a block to each piece, layers called by number.

The standard says what is on which layer, not what a thing is called; the text of the file is 7-bit. Notches and drill
holes are points: a notch has no depth of its own, and the diameter of holes stands on layer 15.

Reference: ASTM D6673, Standard Practice for Sewn Products Pattern Data Interchange; its layers as tabulated in
``sources/s08_astm_d6673_layers.csv``. The words of its text ("Piece Name: ") are from memory.
"""

from __future__ import annotations

import io
import unicodedata
from collections.abc import Sequence
from typing import Any

import numpy as np

from skirtloft.drawing.pattern_block import PatternBlock, turn_points
from skirtloft.errors import ExportError
from skirtloft.export.dxf import fixed_meta_data
from skirtloft.maths.frozen import Floats, frozen_array

BOUNDARY, TURN_POINTS, CURVE_POINTS, NOTCHES, GRAIN, INTERNAL = "1", "2", "3", "4", "7", "8"
CUTOUTS, DRILL_HOLES, SEW, ANNOTATION = "11", "13", "14", "15"
VALIDATION = {BOUNDARY: "84", INTERNAL: "85", CUTOUTS: "86", SEW: "87"}
LAYERS = (BOUNDARY, TURN_POINTS, CURVE_POINTS, NOTCHES, GRAIN, INTERNAL, CUTOUTS, DRILL_HOLES, SEW, ANNOTATION)
LETTERS, LINE = 5.0, 8.0  # mm
STRAY = 0.02  # mm: lines keep only the points they need to stay as near as this to the piece; chosen
STRAIGHT = 20.0  # mm: a side longer than this is straight, and ends in turn points, so that no curve is faired over it
APART = 30.0  # mm between pieces in the drawing
SPELT: dict[str, str | int | None] = {
    "×": "x",
    "–": "-",
    "—": "-",
    "°": " deg",
    "½": "1/2",
    "¼": "1/4",
    "·": "-",
    "’": "'",
    "±": "+-",
}


def render(blocks: Sequence[PatternBlock], style: str, date: str = "", caution: str = "") -> str:
    """Return the pieces of one cloth as DXF text; the same pieces give the same text.

    Parameters
    ----------
    blocks : sequence of PatternBlock
    style : str
        What all of them belong to: name and revision.
    date, caution : str
        Left out where empty; a caution stands with the words of the whole file.

    Raises
    ------
    ExportError
        Two pieces have one name, a coordinate is not a number, or ezdxf's audit finds an error.
    """
    from ezdxf.document import Drawing

    names = [plain(block.name) for block in blocks]
    if len(set(names)) != len(names):
        raise ExportError(f"Sewn pattern of {style}: two pieces have one name.")
    with fixed_meta_data():
        document = Drawing.new("R12")  # which has no header for units; the text says METRIC
        for layer in (*LAYERS, *VALIDATION.values()):
            document.layers.add(layer)
        space, left = document.modelspace(), 0.0
        heads = (f"Style Name: {style}", f"Creation Date: {date}" if date else "", "Sample Size: ONE", "Units: METRIC",
                 f"Annotation: {caution}" if caution else "")  # fmt: skip
        for row, text in enumerate(filter(None, heads), start=1):
            _text(space, BOUNDARY, np.array([0.0, -LINE * row]), text)
        for name, block in zip(names, blocks, strict=True):
            _add(document.blocks.new(name), block)
            space.add_blockref(name, (left, 0.0), dxfattribs={"layer": BOUNDARY})
            left += float(np.ptp(block.boundary[:, 0])) + APART
        errors = document.audit().errors
        if errors:
            raise ExportError(f"Sewn pattern of {style}: the DXF is not sound: {errors[0].message}")
        text_file = io.StringIO()
        document.write(text_file)
    return text_file.getvalue()


def plain(text: str) -> str:
    """Return `text` in 7-bit characters: signs spelt out, accents dropped, what is left as "?"."""
    bare = unicodedata.normalize("NFKD", " ".join(text.translate(str.maketrans(SPELT)).split()))
    kept = "".join(sign for sign in bare if not unicodedata.combining(sign))
    return kept.encode("ascii", "replace").decode("ascii")


def _add(space: Any, block: PatternBlock) -> None:
    """Add the items of one piece to its block."""
    _polyline(space, BOUNDARY, block.boundary, True)
    for layer, lines in ((SEW, block.sew), (INTERNAL, block.internal), (CUTOUTS, block.cutouts)):
        for points, closed in lines:
            _polyline(space, layer, points, closed)
    for layer, dots in ((NOTCHES, block.notches), (DRILL_HOLES, block.holes)):
        for x, y in dots:
            space.add_point((_number(x), _number(y)), dxfattribs={"layer": layer})
    start, end = block.grain.tolist()
    space.add_line(start, end, dxfattribs={"layer": GRAIN})
    for row, text in enumerate(block.texts, start=1):
        _text(space, BOUNDARY, block.words_at + np.array([0.0, LINE * (len(block.texts) - row + 1)]), text)
    for at, text in block.notes:
        _text(space, ANNOTATION, at, text)


def _polyline(space: Any, layer: str, points: Floats, closed: bool) -> None:
    """Add a line of few points, these by their kind, and the line with all its points for checking curves by."""
    kept = sparse(points, closed)
    for name, shown in ((layer, kept), (VALIDATION[layer], points)):
        places = [(_number(x), _number(y)) for x, y in shown]
        space.add_polyline2d(places, close=closed, dxfattribs={"layer": name})
    for (x, y), turned in zip(kept, turn_points(kept, closed, STRAIGHT), strict=True):
        place = (_number(x), _number(y))
        space.add_point(place, dxfattribs={"layer": TURN_POINTS if turned else CURVE_POINTS})


def sparse(points: Floats, closed: bool) -> Floats:
    """Return those points (k, 2) [mm] of a line that keep it within `STRAY` of where it was, the first one first."""
    import shapely

    if not np.isfinite(points).all():  # it must not be thinned away
        raise ExportError("Sewn pattern: a coordinate is not a number.")
    line = shapely.LineString(np.vstack([points, points[:1]]) if closed else points)
    kept = shapely.get_coordinates(line.simplify(STRAY, preserve_topology=True))
    return frozen_array(kept[:-1] if closed else kept)


def _text(space: Any, layer: str, at: Floats, text: str) -> None:
    space.add_text(plain(text), height=LETTERS, dxfattribs={"layer": layer, "insert": (float(at[0]), float(at[1]))})


def _number(value: float) -> float:
    """Return a coordinate to a millionth of a millimetre."""
    if not np.isfinite(value):
        raise ExportError("Sewn pattern: a coordinate is not a number.")
    return round(float(value), 6) + 0.0
