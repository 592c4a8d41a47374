"""What every piece gets at the end: cut line, area, mass."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.pieces.allowance import closed_line, cut_line, enclosed_area, is_rectangle
from skirtloft.pieces.types import CutPiece, Edge, Hand, MarkLine, Notch, PieceCloth, PieceKind, no_points

RUN_WORDS = {
    "bow": "bow",
    "bow_corner": "bow corner",
    "side": "side",
    "side_corner": "side corner",
    "stern_corner": "stern corner",
    "stern": "stern",
}


@dataclass(frozen=True, eq=False)
class Sewn:
    """A piece as it is sewn, before the allowances: its edges anticlockwise and everything marked on it.

    Fields as `CutPiece`; `tabs` are polygons of cloth to leave on besides the allowances.
    """

    base: str
    name: str
    kind: PieceKind
    run: str
    edges: tuple[Edge, ...]
    holes: Floats
    warp: Floats
    joint_length: float
    notches: tuple[Notch, ...] = ()
    marks: tuple[MarkLine, ...] = ()
    tabs: Sequence[Floats] = ()
    stations: str = ""
    notes: tuple[str, ...] = field(default=())
    cloth: PieceCloth = "segment"
    vents: Floats = field(default_factory=no_points)
    vent_diameter: float = 0.0


def finish(sewn: Sewn, hand: Hand, quantity: int, hole_diameter: float, areal_mass: float) -> CutPiece:
    """Return the piece with its cut line, area and mass.

    Parameters
    ----------
    sewn : Sewn
    hand : "P", "S" or ""
    quantity : int
        Whole craft.
    hole_diameter : float [m]
    areal_mass : float [kg/m2]

    Raises
    ------
    ShapeError
        The sew line crosses itself.
    """
    outline = cut_line(sewn.edges, sewn.tabs, sewn.base)
    area = enclosed_area(outline)
    return CutPiece(
        id=with_hand(sewn.base, hand),
        base=sewn.base,
        name=sewn.name,
        kind=sewn.kind,
        hand=hand,
        quantity=quantity,
        cloth="loop" if sewn.kind == "loop_panel" else sewn.cloth,
        edges=sewn.edges,
        sew_line=closed_line(sewn.edges),
        cut_line=outline,
        holes=frozen_array(sewn.holes.reshape(-1, 2)),
        hole_diameter=hole_diameter,
        notches=sewn.notches,
        marks=sewn.marks,
        warp=frozen_array(sewn.warp),
        run=sewn.run,
        stations=sewn.stations,
        joint_length=sewn.joint_length,
        area=area,
        mass=(area - len(sewn.vents) * np.pi * sewn.vent_diameter**2 / 4.0) * areal_mass,
        is_rectangle=is_rectangle(outline),
        notes=sewn.notes,
        vents=frozen_array(sewn.vents.reshape(-1, 2)),
        vent_diameter=sewn.vent_diameter,
    )


def with_hand(base: str, hand: Hand) -> str:
    """Return the code printed on the cloth: "L03-P", or "L00" where there is no hand."""
    return f"{base}-{hand}" if hand else base
