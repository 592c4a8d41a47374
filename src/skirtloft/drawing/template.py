"""A piece at true size with everything the cutter must know, outside of the cloth up."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from skirtloft.drawing.label_place import place_labels
from skirtloft.drawing.page import Stamp
from skirtloft.drawing.sheet import Circle, Item, Layer, Line, Sheet, Text
from skirtloft.drawing.template_labels import Laid, piece_labels, quantity_words
from skirtloft.errors import ExportError
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.pieces.types import CutPiece, Notch

__all__ = [
    "distinct",
    "lay_on_sheet",
    "notch_strokes",
    "quantity_words",
    "rules",
    "template_sheet",
    "template_sheets",
]

MARGIN = 10.0  # free paper round the piece [mm]
BARE = 0.1  # an edge with less allowance than this [mm] is the cut line itself
TAB = 25.0  # a hem's fold stops this far from a tie hole on its line [mm]
STROKES_APART = 3.0  # two strokes of a double notch [mm]

EDGE_LAYERS: dict[str, Layer] = {
    "seam": "sew", "hull": "sew", "joint": "sew", "end": "sew", "hem": "fold", "fold": "fold", "tip": "finished",
    "lap": "fold", "free": "cut",
}  # fmt: skip
MARK_LAYERS: dict[str, Layer] = {
    "fold": "fold", "trim": "finished", "pitch": "mark", "centre": "mark", "slit": "slit", "slot": "slit",
    "place": "place", "stitch": "zone", "glue": "zone",
}  # fmt: skip


def template_sheets(pieces: Sequence[CutPiece], stamp: Stamp) -> list[Sheet]:
    """Return one true-size template per distinct piece, in order; one serves both hands, printed for the port side.

    Raises
    ------
    ExportError
        A piece is too small to carry its words.
    """
    return [template_sheet(piece, quantities, stamp) for piece, quantities in distinct(pieces)]


def distinct(pieces: Sequence[CutPiece]) -> list[tuple[CutPiece, dict[str, int]]]:
    """Return each distinct piece once, its port hand where there are two, with the quantity to cut per hand.

    Where neither side of the cloth must face out, both hands are cut alike and counted as "either".
    """
    found: dict[str, tuple[CutPiece, dict[str, int]]] = {}
    for piece in pieces:
        first, quantities = found.get(piece.base, (piece, {}))
        hand = "either" if piece.hand and not piece.face_side else piece.hand
        quantities[hand] = quantities.get(hand, 0) + piece.quantity
        found[piece.base] = (piece if piece.hand == "P" else first, quantities)
    return list(found.values())


def template_sheet(piece: CutPiece, quantities: Mapping[str, int], stamp: Stamp) -> Sheet:
    """Return `piece` at true size, laid as its outside faces you.

    Parameters
    ----------
    piece : CutPiece
    quantities : mapping
        Pieces to cut on the whole craft by hand: "P", "S" or "".
    stamp : Stamp
        Project, units to show, failed and accepted rules.

    Raises
    ------
    ExportError
        The piece is too small to carry its words in letters of 3.5 mm.
    """
    laid = lay_on_sheet(piece)
    width, height = laid.cut.max(axis=0) + MARGIN
    drawn = _drawn(laid)
    labels = piece_labels(laid, quantities, stamp)
    words = place_labels(laid.cut, [item for item in drawn if item.layer != "zone"], labels, piece.base)
    title = f"{piece.base}  {piece.name}, {quantity_words(quantities)}"
    items = (*drawn, *words, *rules(float(width), float(height)))
    return Sheet(piece.base, title, float(width), float(height), items, "template")


def bare_template(piece: CutPiece) -> list[Item]:
    """Return what `template_sheet` draws of the piece, without its words and rules."""
    return _drawn(lay_on_sheet(piece))


def _drawn(laid: Laid) -> list[Item]:
    return [*_each_once([*_lines(laid), *notch_strokes(laid)]), *_hole_items(laid)]


def lay_on_sheet(piece: CutPiece) -> Laid:
    """Return the piece in sheet millimetres, x to the left where that shows its outside, margin left and below."""
    flip = np.array([-1.0 if piece.drawn_x_left else 1.0, 1.0])
    low = (piece.cut_line * flip).min(axis=0) * 1000.0 - MARGIN

    def laid(points: Floats) -> Floats:
        return frozen_array(points * flip * 1000.0 - low)

    backwards = -1 if piece.drawn_x_left else 1
    return Laid(
        piece=piece,
        cut=laid(piece.cut_line),
        edges=tuple(laid(edge.points)[::backwards] for edge in piece.edges),
        marks=tuple(laid(mark.points) for mark in piece.marks),
        holes=laid(piece.holes.reshape(-1, 2)),
        lap_holes=laid(piece.lap_holes.reshape(-1, 2)),
        vents=laid(piece.vents.reshape(-1, 2)),
        turn=frozen_array(np.diag(flip)),
        shift=frozen_array(-low),
    )


def _lines(laid: Laid) -> list[Line]:
    """Cut line, sew, fold and finished lines, pitch and centre lines."""
    items = [Line("cut", laid.cut, True)]
    for edge, points in zip(laid.piece.edges, laid.edges, strict=True):
        if edge.allowance * 1000.0 > BARE:
            items.append(Line(EDGE_LAYERS[edge.kind], _short_of_holes(points, laid) if edge.kind == "hem" else points))
    items += [Line(MARK_LAYERS[mark.kind], points) for mark, points in zip(laid.piece.marks, laid.marks, strict=True)]
    return items


def _short_of_holes(points: Floats, laid: Laid) -> Floats:
    """Return a hem's fold line without its part in the tab of a tie hole, which is left flat."""
    ends = [points[0], points[-1]]
    along = (ends[1] - ends[0]) / np.hypot(*(ends[1] - ends[0]))
    for hole in laid.holes:
        for k, way in ((0, along), (1, -along)):
            if np.hypot(*(points[-k] - hole)) < 1.0:
                ends[k] = ends[k] + way * TAB
    return frozen_array(ends)


def _each_once(lines: Sequence[Line]) -> list[Line]:
    """Leave out lines that lie on one already drawn: a notch on a pitch mark, a trim line on the tip edge."""
    seen: set[bytes] = set()
    kept = []
    for line in lines:
        ends = sorted((np.round(line.points, 3) + 0.0).tolist())
        key = np.array(ends).tobytes()
        if key not in seen:
            kept.append(line)
        seen.add(key)
    return kept


def notch_strokes(laid: Laid) -> list[Line]:
    """Return the strokes of every notch from the sew line out to the cut line.

    Raises
    ------
    ExportError
        A notch lies outside the cut line.
    """
    items: list[Line] = []
    for notch in laid.piece.notches:
        at, out = laid.turn @ notch.at * 1000.0 + laid.shift, laid.turn @ notch.outward
        aside = np.array([-out[1], out[0]]) * STROKES_APART / 2.0
        starts = [at] if notch.count == 1 else [at + aside, at - aside]
        items += [_stroke(laid, start, out, notch) for start in starts]
    return items


def _stroke(laid: Laid, start: Floats, out: Floats, notch: Notch) -> Line:
    """Line from `start` along `out` to where it leaves the piece."""
    a, b = laid.cut, np.roll(laid.cut, -1, axis=0)
    side = b - a
    cross = out[0] * side[:, 1] - out[1] * side[:, 0]
    with np.errstate(divide="ignore", invalid="ignore"):
        reach = ((a - start)[:, 0] * side[:, 1] - (a - start)[:, 1] * side[:, 0]) / cross
        share = ((a - start)[:, 0] * out[1] - (a - start)[:, 1] * out[0]) / cross
    meets = (cross != 0.0) & (share >= 0.0) & (share <= 1.0) & (reach >= -1e-6)
    if not meets.any():
        which = notch.letter or "without a letter"
        raise ExportError(f"Piece {laid.piece.base}: notch {which} lies outside the cut line.")
    return Line("mark", frozen_array([start, start + out * max(0.0, float(reach[meets].min()))]))


def _hole_items(laid: Laid) -> list[Item]:
    """A circle per hole and vent, and a cross on its centre."""
    radius = laid.piece.hole_diameter * 500.0
    arm = radius + 1.0
    items: list[Item] = [Circle("holes", float(x), float(y), laid.piece.vent_diameter * 500.0) for x, y in laid.vents]
    for x, y in laid.vents:
        items.append(Line("mark", frozen_array([[x - 2.0, y], [x + 2.0, y]])))
        items.append(Line("mark", frozen_array([[x, y - 2.0], [x, y + 2.0]])))
    for x, y in np.vstack([laid.holes, laid.lap_holes]):
        items.append(Circle("holes", float(x), float(y), radius))
        items.append(Line("mark", frozen_array([[x - arm, y], [x + arm, y]])))
        items.append(Line("mark", frozen_array([[x, y - arm], [x, y + arm]])))
    return items


def rules(width: float, height: float) -> list[Item]:
    """Return a rule along the lower and the left margin where they are long enough: 100 mm, or 50 on short pieces."""
    items: list[Item] = []
    for long, level in ((width, True), (height, False)):
        length = 100.0 if long >= 100.0 + 2 * MARGIN + 26.0 else 50.0 if long >= 50.0 + 2 * MARGIN + 26.0 else 0.0
        if length:
            items += _rule(length, level)
    return items


def _rule(length: float, level: bool) -> list[Item]:
    """A line of `length` [mm] in the margin with a tick every 10 mm and its length beyond the end."""
    along, aside = np.eye(2) if level else np.eye(2)[::-1]
    start = along * MARGIN + aside * 3.0
    items: list[Item] = [Line("register", frozen_array([start, start + along * length]))]
    for number in range(int(length / 10.0) + 1):
        tall = 4.0 if number % 5 == 0 else 2.5
        foot = start + along * 10.0 * number
        items.append(Line("register", frozen_array([foot, foot + aside * tall])))
    at = start + along * (length + 3.0) + aside * (0.5 if level else 4.0)
    items.append(Text("register", float(at[0]), float(at[1]), f"{length:.0f} mm", 3.5, 0.0 if level else 90.0))
    return items
