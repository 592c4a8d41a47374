"""What is kept of a piece that was cut, to compare a later one with: lines, openings, cloth, and a fingerprint."""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.pieces.types import CutPiece, no_points

STEP = 1e-4  # m: what a fingerprint rounds to; no pair of scissors is that true
ASIDE = 0.371e-4  # m: borders of rounding away from the round numbers that designs are made of
CUT_MARKS = ("slit", "slot")


@dataclass(frozen=True, eq=False)
class PieceRecord:
    """A piece as cut, in its own frame; lines (k, 2) [m], closed ones without their first point repeated.

    Parameters
    ----------
    id, name, kind, hand, cloth : str
    quantity, spares : int
    areal_mass : float [kg/m2]
        Of one piece within its cut line, 0 where unknown.
    warp : (2,)
    cut, sew, corners, holes, vents, notches : (k, 2) [m]
        `corners` of the sew line in order; `holes` those of its laps too. `cut` is empty where the record holds nothing
        but a fingerprint.
    vent_diameter : float [m]
    slits : tuple of (k, 2) [m]
        Slits and slots.
    edges : tuple of (name, (k, 2) [m])
        Of the sew line; empty where unknown.
    fingerprint : str
    """

    id: str
    name: str
    kind: str
    hand: str
    cloth: str
    quantity: int
    spares: int
    areal_mass: float
    warp: Floats
    cut: Floats
    sew: Floats
    corners: Floats
    holes: Floats
    vents: Floats
    vent_diameter: float
    notches: Floats
    slits: tuple[Floats, ...]
    edges: tuple[tuple[str, Floats], ...]
    fingerprint: str

    @property
    def to_cut(self) -> int:
        """Pieces in all, spares in."""
        return self.quantity + self.spares


def record_of(piece: CutPiece) -> PieceRecord:
    """Return what is kept of a piece."""
    openings = math.pi / 4.0 * piece.vent_diameter**2 * len(piece.vents)
    return PieceRecord(
        id=piece.id,
        name=piece.name,
        kind=piece.kind,
        hand=piece.hand,
        cloth=piece.cloth,
        quantity=piece.quantity,
        spares=piece.spares,
        areal_mass=piece.mass / (piece.area - openings),
        warp=piece.warp,
        cut=piece.cut_line,
        sew=piece.sew_line,
        corners=frozen_array([edge.points[0] for edge in piece.edges]),
        holes=frozen_array(np.vstack([piece.holes.reshape(-1, 2), piece.lap_holes.reshape(-1, 2)])),
        vents=frozen_array(piece.vents.reshape(-1, 2)),
        vent_diameter=piece.vent_diameter,
        notches=frozen_array(np.reshape([notch.at for notch in piece.notches], (-1, 2))),
        slits=tuple(mark.points for mark in piece.marks if mark.kind in CUT_MARKS),
        edges=tuple((edge.name, edge.points) for edge in piece.edges),
        fingerprint=fingerprint(piece),
    )


def record_from(plain: Mapping[str, Any]) -> PieceRecord:
    """Return the same from a piece of a results file.

    Raises
    ------
    KeyError, TypeError, ValueError
        It is no such piece.
    """
    vents, across = _points(plain.get("vents_m", [])), float(plain.get("vent_diameter_m", 0.0))
    cloth_area = float(plain["area_m2"]) - math.pi / 4.0 * across**2 * len(vents)
    return PieceRecord(
        id=str(plain["id"]),
        name=str(plain["name"]),
        kind=str(plain["kind"]),
        hand=str(plain["hand"]),
        cloth=str(plain["cloth"]),
        quantity=int(plain["quantity"]),
        spares=int(plain.get("spares", 0)),
        areal_mass=float(plain["mass_kg"]) / cloth_area,
        warp=frozen_array(plain.get("warp", [math.nan, math.nan])),
        cut=_points(plain["cut_line_m"]),
        sew=_points(plain["sew_line_m"]),
        corners=_points(plain.get("corners_m", [])),
        holes=_points([*plain["holes_m"], *plain.get("lap_holes_m", [])]),
        vents=vents,
        vent_diameter=across,
        notches=_points(plain.get("notches_m", [])),
        slits=tuple(_points(line) for line in plain.get("slits_m", [])),
        edges=(),
        fingerprint=str(plain.get("fingerprint", "")),
    )


def only_fingerprint(code: str, mark: str) -> PieceRecord:
    """Return the record of a piece of which nothing is left but its fingerprint."""
    none = no_points()
    ways = frozen_array([math.nan, math.nan])
    return PieceRecord(
        code, "", "", "", "", 0, 0, 0.0, ways, none, none, none, none, none, 0.0, none, (), (), mark
    )  # fmt: skip


def fingerprint(piece: CutPiece) -> str:
    """Return twelve letters that stay while a piece is the same to a tenth of a millimetre, wherever its frame lies.

    Cut and sew line, holes, vents, notches, slits, warp and cloth are in it; name, letters and quantity are not. The
    last digit of a computation does not change it; a difference it does show may still be none to a pair of scissors.
    """
    origin = np.mean([edge.points[0] for edge in piece.edges], axis=0)

    def steps(points: Floats) -> list[list[int]]:
        away = np.asarray(points, dtype=np.float64).reshape(-1, 2) - origin
        return [[int(x), int(y)] for x, y in np.floor((away + ASIDE) / STEP)]

    kept = {
        "cloth": piece.cloth,
        "warp": [int(way) for way in np.floor(np.abs(piece.warp) * 1000.0 + 0.371)],
        "cut": steps(piece.cut_line),
        "sew": steps(piece.sew_line),
        "holes": [steps(piece.holes), steps(piece.lap_holes), math.floor(piece.hole_diameter / STEP + 0.371)],
        "vents": [steps(piece.vents), math.floor(piece.vent_diameter / STEP + 0.371)],
        "notches": [[*steps(notch.at)[0], notch.count] for notch in piece.notches],
        "slits": [steps(mark.points) for mark in piece.marks if mark.kind in CUT_MARKS],
    }
    return hashlib.sha256(json.dumps(kept, sort_keys=True).encode()).hexdigest()[:12]


def _points(rows: Sequence[Sequence[float]]) -> Floats:
    return frozen_array(np.asarray(rows, dtype=np.float64).reshape(-1, 2))
