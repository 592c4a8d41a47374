"""Seam tapes: the marks of every seam on one straight strip, to lay on either of the two pieces that meet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from skirtloft.maths.frozen import Floats
from skirtloft.pieces.types import CutPiece, Edge, Notch

ON_LINE = 1e-6  # m: a notch this near to an edge belongs to it


@dataclass(frozen=True)
class TapeMark:
    """One mark: `at` [m] from the first end; notches have 1 or 2 `strokes`; holes lie `out` [m] beyond the sew line."""

    at: float
    kind: Literal["notch", "pitch", "hole"]
    strokes: int = 1
    text: str = ""
    out: float = 0.0


@dataclass(frozen=True)
class SeamTape:
    """The tape of one seam.

    Parameters
    ----------
    code : str
        Seam letter, or the code of the joint strip.
    name : str
    length : float [m]
        Along the sew line, the same on both pieces.
    ends : (str, str)
        What lies at the first end and at the other.
    pieces : str
        Codes of the pieces that meet.
    marks : tuple of TapeMark
        In order from the first end.
    hole : float [m]
        Diameter of its holes.
    """

    code: str
    name: str
    length: float
    ends: tuple[str, str]
    pieces: str
    marks: tuple[TapeMark, ...]
    hole: float


def seam_tapes(pieces: Sequence[CutPiece]) -> tuple[SeamTape, ...]:
    """Return the tapes of every loop seam, every seam of face to web, and the joint by run.

    Notes
    -----
    Marks are measured along the sewn edges of the pieces themselves. Loop seams start at the hull, seams of a segment
    at the joint, the joint at the bow end of its run (port side; starboard side the tape is turned over).
    """
    return (*_sewn(pieces, "loop_panel"), *_sewn(pieces, "web"), *_joints(pieces))


def _sewn(pieces: Sequence[CutPiece], kind: str) -> list[SeamTape]:
    """Tapes of the seams of one kind of piece, once per letter."""
    found: dict[str, SeamTape] = {}
    for piece in pieces:
        if piece.kind != kind:
            continue
        for edge in piece.edges:
            if edge.kind != "seam" or edge.letter in found:
                continue
            upper_first = edge.points[0, 1] > edge.points[-1, 1]
            marks = tuple(sorted(_notches(piece.notches, edge, not upper_first), key=lambda mark: mark.at))
            ends = ("hull", "joint") if kind == "loop_panel" else ("joint", "tip")
            names = ", ".join(dict.fromkeys([piece.base, *(code.split("-")[0] for code in edge.joins.split(", "))]))
            found[edge.letter] = SeamTape(
                edge.letter, f"seam {edge.letter}", edge.length, ends, names, marks, piece.hole_diameter
            )
    return list(found.values())


def _notches(notches: Sequence[Notch], edge: Edge, from_end: bool) -> list[TapeMark]:
    import shapely

    line = shapely.LineString(edge.points[::-1] if from_end else edge.points)
    return [
        TapeMark(float(line.project(shapely.Point(notch.at))), "notch", notch.count)
        for notch in notches
        if notch.letter == edge.letter and line.distance(shapely.Point(notch.at)) < ON_LINE
    ]


def _joints(pieces: Sequence[CutPiece]) -> list[SeamTape]:
    """Tapes of the joint, one per strip: web lines with the segments that meet there, and holes."""
    made = []
    for strip in pieces:
        if strip.kind != "joint_strip":
            continue
        half = strip.joint_length / 2.0
        marks = [
            TapeMark(half - float(mark.points[0, 0]), "pitch", 1, mark.text)
            for mark in strip.marks
            if mark.kind == "pitch"
        ]
        upper: Floats = strip.holes[strip.holes[:, 1] > 0.0]
        marks += [TapeMark(half - float(x), "hole", out=float(y)) for x, y in upper]
        codes = ", ".join(dict.fromkeys(code for edge in strip.edges if edge.joins for code in [edge.joins]))
        ends = {"bow": ("starboard", "port"), "stern": ("port", "starboard")}.get(
            strip.run if strip.quantity == 1 else "", ("bow", "stern")
        )
        made.append(
            SeamTape(
                strip.base,
                f"joint, {strip.name.partition(', ')[2]}",
                strip.joint_length,
                (f"{ends[0]} end", f"{ends[1]} end"),
                f"{strip.base}, {codes}",
                tuple(sorted(marks, key=lambda mark: mark.at)),
                strip.hole_diameter,
            )
        )
    return made


def tape_cuts(tape: SeamTape, longest: float) -> tuple[float, ...]:
    """Return where a tape is cut into parts of about `longest` [m] or less, ends included, between marks."""
    count = max(1, int(np.ceil(tape.length / longest - 1e-9)))
    at = np.unique(np.round([0.0, *(mark.at for mark in tape.marks), tape.length], 6))
    between, room = (at[:-1] + at[1:]) / 2.0, np.diff(at)
    between = between[room > 0.012] if (room > 0.012).any() else between
    inner = {float(between[np.argmin(np.abs(between - tape.length * k / count))]) for k in range(1, count)}
    return (0.0, *sorted(inner), tape.length)
