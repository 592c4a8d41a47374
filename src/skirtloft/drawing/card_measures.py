"""What to measure on a rectangle: its sides and diagonals, and running distances that all start at the bow end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from skirtloft.design.model import Show
from skirtloft.drawing.dimension import inches
from skirtloft.drawing.template_labels import ends
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.pieces.types import CutPiece, Edge

SAME = 0.05  # distances nearer than this [mm] are one


@dataclass(frozen=True)
class Table:
    """Running distances: a heading, a sentence, and rows of (what, distance [mm])."""

    heading: str
    about: str
    rows: tuple[tuple[str, float], ...]


@dataclass(frozen=True, eq=False)
class Rectangle:
    """A rectangular piece seen from its corner at the bow and the hull.

    Parameters
    ----------
    piece : CutPiece
    corner : (2,) [m]
        Corner at the bow and the hull, in the piece frame.
    to_stern, to_joint : (2,)
        Unit vectors along the two sides from there.
    length, width : float [mm]
        Cut sides, along the skirt and across it.
    """

    piece: CutPiece
    corner: Floats
    to_stern: Floats
    to_joint: Floats
    length: float
    width: float

    @property
    def diagonal(self) -> float:
        """Diagonal of the cut rectangle [mm]."""
        return float(np.hypot(self.length, self.width))


def rectangle(piece: CutPiece) -> Rectangle:
    """Return the rectangle of a piece whose cut line is one.

    Raises
    ------
    ValueError
        The cut line is no rectangle.
    """
    if not piece.is_rectangle or len(piece.cut_line) != 4:
        raise ValueError(f"{piece.id} is not a rectangle")
    sides = np.roll(piece.cut_line, -1, axis=0) - piece.cut_line
    lengths = np.hypot(sides[:, 0], sides[:, 1])
    ways = sides / lengths[:, None]
    along, across = int(ways[:, 0].argmin()), int(ways[:, 1].argmin())
    to_stern, to_joint = ways[along], ways[across]
    corner = piece.cut_line[int((piece.cut_line @ (to_stern + to_joint)).argmin())]
    return Rectangle(
        piece,
        frozen_array(corner),
        frozen_array(to_stern),
        frozen_array(to_joint),
        float(lengths[along] * 1000.0),
        float(lengths[across] * 1000.0),
    )


def measured(card: Rectangle, points: Floats) -> Floats:
    """Return points (k, 2) [m] as distances from the bow end and from the hull side, (k, 2) [mm]."""
    away = np.asarray(points).reshape(-1, 2) - card.corner
    return np.column_stack([away @ card.to_stern, away @ card.to_joint]) * 1000.0


def half_millimetre(value: float) -> float:
    """Return `value` [mm] to the nearest half millimetre."""
    return float(np.floor(value * 2.0 + 0.5) / 2.0)


def side_words(value: float, show: Show) -> str:
    """Return the length of a side [mm] to 0.5 mm, or to 1/32 in, or both."""
    metric = f"{half_millimetre(value):.1f} mm"
    imperial = inches(value / 1000.0)
    return {"metric": metric, "imperial": imperial, "both": f"{metric} ({imperial})"}[show]


def distance_words(value: float, show: Show) -> tuple[str, ...]:
    """Return a distance [mm] to mark, to 0.5 mm, and in inches to 1/32 as well where asked."""
    metric = f"{half_millimetre(value):.1f}"
    return (metric,) if show == "metric" else (metric, inches(value / 1000.0).removesuffix(" in"))


def side_edges(card: Rectangle) -> dict[str, list[Edge]]:
    """Return the edges on each side: "hull", "joint", "bow" and "stern"."""
    sides: dict[str, list[Edge]] = {"hull": [], "joint": [], "bow": [], "stern": []}
    for edge in card.piece.edges:
        ends = measured(card, edge.points[[0, -1]])
        x, y = ends.mean(axis=0)
        if np.ptp(ends[:, 0]) > np.ptp(ends[:, 1]):
            sides["hull" if y < card.width / 2.0 else "joint"].append(edge)
        else:
            sides["bow" if x < card.length / 2.0 else "stern"].append(edge)
    return sides


def side_name(card: Rectangle, side: str) -> str:
    """Return what the builder calls a long side: "hull side"; on a joint strip what lies against it: "loop side"."""
    edges = side_edges(card)[side]
    name = edges[0].name if edges else ""
    return {"edge on the loop": "loop side", "edge on the segments": "segment side"}.get(name, f"{side} side")


def end_names(card: Rectangle) -> tuple[str, str]:
    """Return the names of the end that the tape hooks on and of the other: "bow end", "stern end"."""
    first, last = ends(card.piece)
    return f"{first} end", f"{last} end"


def sew_lines(card: Rectangle) -> dict[str, float]:
    """Return how far each side's sew line lies inside the cut line [mm]; 0 where the side is cut to size."""
    return {side: edges[0].allowance * 1000.0 if edges else 0.0 for side, edges in side_edges(card).items()}


def tables(card: Rectangle) -> list[Table]:
    """Return every table of the card, holes first."""
    return [*_holes(card), *_lines(card), *_side_notches(card), *_end_notches(card)]


def _in_from(card: Rectangle, y: float) -> str:
    """Words for a height across the piece: how far in from the nearer long side."""
    side = "hull" if y < card.width / 2.0 else "joint"
    inside = y if side == "hull" else card.width - y
    return f"{half_millimetre(inside):.1f} mm in from the cut edge on the {side_name(card, side)}"


def _holes(card: Rectangle) -> list[Table]:
    at = measured(card, card.piece.holes)
    rows: dict[float, list[float]] = {}
    for x, y in at:
        rows.setdefault(round(float(y), 1), []).append(float(x))
    merged: list[tuple[list[float], list[float]]] = []
    for y, places in sorted(rows.items()):
        places.sort()
        for heights, known in merged:
            if len(known) == len(places) and np.allclose(known, places, atol=SAME):
                heights.append(y)
                break
        else:
            merged.append(([y], places))
    size = f"{card.piece.hole_diameter * 1000.0:g} mm"
    found = []
    for heights, places in merged:
        many = len(heights) > 1
        about = ("Rows " if many else "Row ") + " and ".join(_in_from(card, y) for y in heights) + "."
        heading = f"{len(places)} holes {size}" + (f" in each of {len(heights)} rows" if many else "")
        found.append(Table(heading, about, tuple((f"{k + 1}", x) for k, x in enumerate(places))))
    return found


def _lines(card: Rectangle) -> list[Table]:
    """Lines across the piece: web lines with the numbers of the segments, slits, centre lines."""
    slits = [measured(card, mark.points) for mark in card.piece.marks if mark.kind == "slit"]
    rows: list[tuple[str, float]] = []
    spans: set[tuple[float, float]] = set()
    for mark in card.piece.marks:
        ends = measured(card, mark.points)
        if mark.kind not in ("pitch", "centre") or np.ptp(ends[:, 0]) > SAME:
            continue
        x = float(ends[0, 0])
        word = mark.text or mark.kind
        if any(abs(float(slit[0, 0]) - x) < SAME for slit in slits):
            word += ", slit"
        else:
            spans.add((round(float(ends[:, 1].min()), 1), round(float(ends[:, 1].max()), 1)))
        rows.append((word, x))
    if not rows:
        return []
    about = "Numbers of the segments that meet at the line."
    if len(spans) == 1:
        low, high = next(iter(spans))
        full = low < 1.0 and high > card.width - 1.0
        near = "hull" if low + high < card.width else "joint"
        reach = high if near == "hull" else card.width - low
        where = f"to {half_millimetre(reach):.1f} mm in from the cut edge on the {side_name(card, near)}"
        about += " Draw each right across." if full else f" Draw each from the edge {where}."
    if slits:
        deep = float(np.ptp(slits[0][:, 1]))
        about += f" Where it says slit, cut {half_millimetre(deep):.1f} mm in from both long sides."
    return [Table("Lines across", about, tuple(sorted(rows, key=lambda row: row[1])))]


def _strokes(count: int) -> str:
    return {1: "single", 2: "double"}.get(count, f"{count} strokes")


def _side_notches(card: Rectangle) -> list[Table]:
    """Notches of the long sides that no line across shows already."""
    lines = [float(measured(card, mark.points)[0, 0]) for mark in card.piece.marks if mark.kind in ("pitch", "centre")]
    found = []
    for side, sign in (("hull", -1.0), ("joint", 1.0)):
        rows = []
        for notch in card.piece.notches:
            x = float(measured(card, notch.at)[0, 0])
            if sign * float(notch.outward @ card.to_joint) > 0.7 and not any(abs(x - line) < SAME for line in lines):
                rows.append((_strokes(notch.count), x))
        if rows:
            about = "From the sew line to the cut edge."
            found.append(Table(f"Notches, {side_name(card, side)}", about, tuple(sorted(rows, key=lambda row: row[1]))))
    return found


def _end_notches(card: Rectangle) -> list[Table]:
    """Notches of the ends, measured from the hull side."""
    found: dict[str, list[tuple[str, float]]] = {}
    first, last = end_names(card)
    for side, sign in ((first, -1.0), (last, 1.0)):
        rows = [
            (_strokes(notch.count), float(measured(card, notch.at)[0, 1]))
            for notch in card.piece.notches
            if sign * float(notch.outward @ card.to_stern) > 0.7
        ]
        if rows:
            found[side] = sorted(rows, key=lambda row: row[1])
    about = f"Measured from the cut edge on the {side_name(card, 'hull')}; each from the sew line to the cut edge."
    if len(found) == 2 and _equal(found[first], found[last]):
        return [Table("Notches, both ends", about, tuple(found[first]))]
    return [Table(f"Notches, {side}", about, tuple(rows)) for side, rows in found.items()]


def _equal(one: Sequence[tuple[str, float]], other: Sequence[tuple[str, float]]) -> bool:
    return len(one) == len(other) and all(
        a[0] == b[0] and abs(a[1] - b[1]) < SAME for a, b in zip(one, other, strict=True)
    )
