"""A cut piece as the open sewn-pattern standard divides it: boundary, points, notches, grain, sew lines, drill holes.

Reference: ASTM D6673, Standard Practice for Sewn Products Pattern Data Interchange (layers in
``sources/s08_astm_d6673_layers.csv``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from skirtloft.drawing.template import BARE, EDGE_LAYERS, MARGIN, MARK_LAYERS, lay_on_sheet, notch_strokes
from skirtloft.drawing.template_labels import Laid
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.pieces.types import CutPiece

TURN = np.radians(12.0)  # a vertex that turns more is a corner, less lies on a curve: chosen
ROUND = 96  # sides of a vent: 0.04 mm inside the circle at 150 mm
WIDE, HIGH = 3.0, 8.0  # of a letter, and from line to line, in letters of 5 mm
GRAIN_SHARE = 0.6  # of the cloth along the grain line


@dataclass(frozen=True, eq=False)
class PatternBlock:
    """One piece in millimetres, its outside facing you, lower left corner of the boundary at the origin.

    Parameters
    ----------
    name : str
        Code of the piece.
    texts : tuple of str
        "Piece Name: ..." and its like, in order.
    boundary : (m, 2) [mm]
        Closed, first point not repeated, anticlockwise.
    sew, internal, cutouts : tuples of ((k, 2) [mm], closed)
    notches, holes : (k, 2) [mm]
        Notches lie on the boundary.
    grain : (2, 2) [mm]
        Along the warp.
    words_at : (2,) [mm]
        Where the words of the piece begin, above the grain line.
    notes : tuple of ((x, y) [mm], str)
    """

    name: str
    texts: tuple[str, ...]
    boundary: Floats
    sew: tuple[tuple[Floats, bool], ...]
    internal: tuple[tuple[Floats, bool], ...]
    cutouts: tuple[tuple[Floats, bool], ...]
    notches: Floats
    holes: Floats
    grain: Floats
    words_at: Floats
    notes: tuple[tuple[Floats, str], ...]


def pattern_blocks(pieces: Sequence[CutPiece], caution: str = "") -> dict[str, tuple[PatternBlock, ...]]:
    """Return the blocks of every piece and hand, by the cloth they are cut from; `caution` is written on each.

    Raises
    ------
    ExportError
        A notch lies outside its piece.
    """
    by_cloth: dict[str, list[PatternBlock]] = {}
    for piece in pieces:
        by_cloth.setdefault(piece.cloth, []).append(pattern_block(piece, caution))
    return {cloth: tuple(blocks) for cloth, blocks in by_cloth.items()}


def pattern_block(piece: CutPiece, caution: str = "") -> PatternBlock:
    """Return one piece; every hand is a block of its own, never a mirrored copy of the other.

    Raises
    ------
    ExportError
        A notch lies outside the piece.
    """
    laid = lay_on_sheet(piece)
    shift = np.array([MARGIN, MARGIN])  # of the sheet
    sew, internal = _edges(laid, shift)
    cutouts = [(_round(at - shift, piece.vent_diameter * 500.0), True) for at in laid.vents]
    for mark, points in zip(piece.marks, laid.marks, strict=True):
        (cutouts if MARK_LAYERS[mark.kind] == "slit" else internal).append((frozen_array(points - shift), False))
    boundary = laid.cut - shift
    if _area(boundary) < 0.0:
        boundary = boundary[::-1]
    notches = [stroke.points[-1] - shift for stroke in notch_strokes(laid)]
    grain, texts = _grain(boundary, laid.turn @ piece.warp), _texts(piece)
    words_at = grain.mean(axis=0) - np.array([WIDE / 2.0 * max(map(len, texts)), 0.0])
    return PatternBlock(
        name=piece.id,
        texts=texts,
        boundary=frozen_array(boundary),
        sew=tuple(sew),
        internal=tuple(internal),
        cutouts=tuple(cutouts),
        notches=frozen_array(np.reshape(notches, (-1, 2))),
        holes=frozen_array(np.vstack([laid.holes, laid.lap_holes]) - shift),
        grain=grain,
        words_at=frozen_array(words_at),
        notes=tuple(_notes(piece, laid, shift, words_at, caution)),
    )


def _texts(piece: CutPiece) -> tuple[str, ...]:
    """Return the text of the piece: quantity is what to cut, spares in."""
    kept = f"{piece.quantity} for the craft"
    return (
        f"Piece Name: {piece.id}",
        "Size: ONE",
        f"Annotation: {piece.name}; {kept}, {piece.spares} spare" if piece.spares else f"Annotation: {piece.name}",
        f"Quantity: {piece.quantity + piece.spares}",
        f"Material: {piece.cloth}",
        f"Category: {piece.kind.replace('_', ' ')}",
    )


def _edges(laid: Laid, shift: Floats) -> tuple[list[tuple[Floats, bool]], list[tuple[Floats, bool]]]:
    """Return the lines to stitch, and the edges that are folded or finished, which are internal lines."""
    sew: list[tuple[Floats, bool]] = []
    internal: list[tuple[Floats, bool]] = []
    for edge, points in zip(laid.piece.edges, laid.edges, strict=True):
        if edge.allowance * 1000.0 > BARE:
            (sew if EDGE_LAYERS[edge.kind] == "sew" else internal).append((frozen_array(points - shift), False))
    return sew, internal


def _notes(piece: CutPiece, laid: Laid, shift: Floats, words_at: Floats, caution: str) -> list[tuple[Floats, str]]:
    """Return what is written on the piece: seam letters on their edges, and what no layer can say."""
    notes = [
        (frozen_array(_halfway(points) - shift), f"seam {edge.letter}" if edge.letter else edge.name)
        for edge, points in zip(piece.edges, laid.edges, strict=True)
    ]
    notes += [
        (frozen_array(points.mean(axis=0) - shift), mark.text)
        for mark, points in zip(piece.marks, laid.marks, strict=True)
        if mark.text
    ]
    said = ["outside of the cloth faces you"] if piece.face_side else ["either side of the cloth may face out"]
    if len(laid.holes) + len(laid.lap_holes):
        said.append(f"holes {1000.0 * piece.hole_diameter:g} mm")
    said += piece.notes
    said += [caution] if caution else []
    return notes + [(frozen_array(words_at - np.array([0.0, HIGH * k])), text) for k, text in enumerate(said, start=1)]


def _halfway(points: Floats) -> Floats:
    """Return the point (2,) halfway along a line."""
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    return frozen_array([np.interp(along[-1] / 2.0, along, axis) for axis in points.T])


def _round(centre: Floats, radius: float) -> Floats:
    angle = np.linspace(0.0, 2.0 * np.pi, ROUND, endpoint=False)
    return frozen_array(centre + radius * np.column_stack([np.cos(angle), np.sin(angle)]))


def _grain(boundary: Floats, warp: Floats) -> Floats:
    """Return the ends of a line along the warp in the cloth of the piece."""
    import shapely

    cloth = shapely.Polygon(boundary)
    middle = np.array(
        cloth.centroid.coords[0] if cloth.contains(cloth.centroid) else cloth.point_on_surface().coords[0]
    )
    reach = float(np.hypot(*np.ptp(boundary, axis=0)))
    inside = shapely.get_parts(
        shapely.intersection(cloth, shapely.LineString([middle - reach * warp, middle + reach * warp]))
    )
    ends = np.array(max(inside, key=lambda part: part.length).coords)[[0, -1]]
    half = (ends[1] - ends[0]) * GRAIN_SHARE / 2.0
    return frozen_array(ends.mean(axis=0) + np.stack([-half, half]))


def _area(points: Floats) -> float:
    x, y = points.T
    return float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)) / 2.0


def turn_points(points: Floats, closed: bool, straight: float = np.inf) -> npt.NDArray[np.bool_]:
    """Tell which points (k, 2) of a line are turn points; the others are curve points.

    Turn points are its ends, its corners and the ends of sides longer than `straight`.
    """
    before, after = points - np.roll(points, 1, axis=0), np.roll(points, -1, axis=0) - points
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    turned = np.asarray(np.abs(np.arctan2(cross, (before * after).sum(axis=1))) > TURN)
    turned |= np.hypot(*before.T) > straight
    turned |= np.hypot(*after.T) > straight
    if not closed:
        turned[[0, -1]] = True
    return turned
