"""What to buy for a skirt: cloth, thread, glue, bolts and the rest, each with how it was counted, its mass and cost.

A price that the design file does not give is None, and so is everything that follows from it; it is never zero.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from skirtloft.design.model import Cloth, Design, Show
from skirtloft.design.quantity import FOOT
from skirtloft.design.units import format_area, format_areal_mass, format_length
from skirtloft.layout.types import Layout
from skirtloft.layout.verify import roll_uses
from skirtloft.pieces.types import CutPiece, Edge, EdgeKind

Unit = Literal["length", "mass", "each"]

# Thread over seam length, both threads, for two layers of cloth. Apparel practice, from memory; thick laps take more.
THREAD_RATIO = {"301": 2.5, "401": 5.5}
SPARE_TIES = 30  # common practice, no source
WASHERS = 2  # a large one on each side of the cloth; common practice, no source


@dataclass(frozen=True)
class Material:
    """One line of the bill of materials.

    Parameters
    ----------
    part : str
    quantity : float [m, kg or 1]
        By `unit`.
    unit : "length", "mass" or "each"
    area : float or None [m2]
        Of cloth bought.
    offcut : float or None [m2]
        Of it, what is left over between the pieces.
    mass : float or None [kg]
        Of what stays in the skirt; None where it is not known.
    price : float or None
        For one metre, kilogram or piece.
    how : str
        How it was counted, as a sentence.
    """

    part: str
    quantity: float
    unit: Unit
    area: float | None
    offcut: float | None
    mass: float | None
    price: float | None
    how: str

    @property
    def cost(self) -> float | None:
        """Price times quantity; None where not priced."""
        return None if self.price is None else self.price * self.quantity


@dataclass(frozen=True)
class Bill:
    """The bill of materials; `laid_out` tells whether the cloth is that of a layout or only the area of the pieces."""

    lines: tuple[Material, ...]
    currency: str
    laid_out: bool

    @property
    def cost(self) -> float:
        """Sum of what is priced."""
        return sum(line.cost for line in self.lines if line.cost is not None)

    @property
    def not_priced(self) -> tuple[str, ...]:
        """Parts without a price."""
        return tuple(line.part for line in self.lines if line.price is None)

    @property
    def mass(self) -> float:
        """Mass [kg] of what stays in the skirt, as far as it is known."""
        return sum(line.mass for line in self.lines if line.mass is not None)

    @property
    def not_weighed(self) -> tuple[str, ...]:
        """Parts whose mass is not known."""
        return tuple(line.part for line in self.lines if line.mass is None)


def bill_of_materials(design: Design, pieces: Sequence[CutPiece], layouts: Sequence[Layout] = ()) -> Bill:
    """Return what to buy.

    Parameters
    ----------
    design : Design
    pieces : sequence of CutPiece
    layouts : sequence of Layout
        One for each cloth, of these pieces. Without them the cloth is the area of the pieces over the roll's width,
        which no roll will do, and the bill says so.
    """
    lines = [line for cloth in ("loop", "segment") for line in _cloth(design, pieces, layouts, cloth)]
    lines += _wear(design, pieces)
    lines += _joining(design, pieces)
    lines += _fixings(design, pieces)
    return Bill(tuple(line for line in lines if line.quantity > 0.0), design.prices.currency, bool(layouts))


def spare_segments(pieces: Sequence[CutPiece]) -> int:
    """Return how many segments are cut as spares."""
    return sum(piece.spares for piece in pieces if piece.kind == "face")


def _per_metre(design: Design, price: float | None) -> float | None:
    return None if price is None else price / design.prices.per


# ------------------------------------------------------------------------------------------------------------ cloth


def _cloth(design: Design, pieces: Sequence[CutPiece], layouts: Sequence[Layout], cloth: str) -> list[Material]:
    kind: Cloth = getattr(design.cloth, cloth)
    area = sum(piece.area * piece.quantity for piece in pieces if piece.cloth == cloth)
    if area == 0.0:
        return []
    price = _per_metre(design, getattr(design.prices, f"{cloth}_cloth"))
    lines = []
    use, width = 1.0, kind.roll_width
    mine = [layout for layout in layouts if layout.problem.cloth == cloth]
    if mine:
        uses = roll_uses(mine[0])
        for roll in uses:
            bought = roll.length * roll.roll.width
            own = roll.roll.length != float("inf")
            lines.append(
                Material(
                    f"{cloth} cloth, {roll.roll.name}", roll.length, "length", bought, bought - roll.area,
                    roll.area * kind.mass, 0.0 if own else price,
                    f"{roll.pieces} pieces laid out on it" + (", in hand already." if own else "."),
                )
            )  # fmt: skip
        use, width = uses[-1].use, uses[-1].roll.width
    else:
        how = "Area of the pieces over the width of the roll, no offcut: lay them out to see how much to buy."
        lines.append(
            Material(f"{cloth} cloth", area / width, "length", area, None, area * kind.mass, price, how)
        )  # fmt: skip
    if cloth == "segment":
        lines += _spare_cloth(design, pieces, use, width, price)
    return lines


def _spare_cloth(
    design: Design, pieces: Sequence[CutPiece], use: float, width: float, price: float | None
) -> list[Material]:
    spares = spare_segments(pieces)
    faces = sum(piece.quantity for piece in pieces if piece.kind == "face")
    if spares == 0 or faces == 0:
        return []
    kinds = ("face", "web", "patch")
    whole = sum(p.area * p.quantity for p in pieces if p.kind in kinds and p.cloth == "segment")
    bought = whole / faces * spares / use
    patches = " and their patches" if any(piece.kind == "patch" for piece in pieces) else ""
    how = (
        f"{spares} segments of average size with their webs{patches}, at the same use of the roll; not in the layout,"
        " and not in the mass of the skirt."
    )
    return [
        Material("segment cloth for spares", bought / width, "length", bought, bought * (1.0 - use), 0.0, price, how)
    ]


def _wear(design: Design, pieces: Sequence[CutPiece]) -> list[Material]:
    """Cloth of its own for wear panels; where they are of segment cloth they lie in its layout."""
    panels = [piece for piece in pieces if piece.cloth == "wear"]
    area, mass = (sum(getattr(p, what) * p.quantity for p in panels) for what in ("area", "mass"))
    width, show = design.cloth.segment.roll_width, design.project.show
    count = sum(piece.quantity for piece in panels)
    how = f"{count} wear panels on a roll {format_length(width, show)} wide; no offcut, not in the layout."
    price = _per_metre(design, design.prices.wear_cloth)
    return [Material("wear cloth", area / width, "length", area, None, mass, price, how)]


# ---------------------------------------------------------------------------------------------------------- joining


def _lapped_area(design: Design, pieces: Sequence[CutPiece]) -> float:
    """Return the area in which seams lie cloth on cloth [m2]; a lap is two allowances wide, another seam one."""
    kinds = design.making.seams
    area = 0.0
    for piece in pieces:
        kind = kinds.loop if piece.kind == "loop_panel" else kinds.face
        share = 1.0 if kind == "lapped" else 0.5
        area += share * piece.quantity * sum(e.length * e.allowance for e in piece.edges if e.kind == "seam")
    return area


def _edges(pieces: Sequence[CutPiece], *kinds: EdgeKind) -> list[tuple[Edge, int]]:
    return [(edge, piece.quantity) for piece in pieces for edge in piece.edges if edge.kind in kinds]


def _run(length: float, show: Show) -> str:
    """Return a long run of seam [m] to a tenth of a metre, or to a foot."""
    metric, imperial = f"{length:.1f} m", f"{length / FOOT:.0f} ft"
    return {"metric": metric, "imperial": imperial, "both": f"{metric} ({imperial})"}[show]


def _joining(design: Design, pieces: Sequence[CutPiece]) -> list[Material]:
    """Thread and glue: a seam belongs to two pieces and counts once, a hem to one."""
    making, bought, prices, show = design.making, design.materials, design.prices, design.project.show
    seams = 0.5 * sum(edge.length * count for edge, count in _edges(pieces, "seam"))
    hems = sum(edge.length * count for edge, count in _edges(pieces, "hem", "hull"))
    lines = []
    if making.is_sewn:
        ratio = THREAD_RATIO[making.stitch]
        sewn = making.rows * seams + hems
        how = (
            f"{_run(seams, show)} of seam in {making.rows} rows and {_run(hems, show)} of hem in one,"
            f" stitch {making.stitch}: {ratio:g} times their length, and {bought.thread_spare:g} times that for ends."
        )
        lines.append(
            Material(
                "thread", sewn * ratio * bought.thread_spare, "length", None, None,
                sewn * ratio * making.fittings.thread,
                _per_metre(design, prices.thread), how,
            )
        )  # fmt: skip
    if making.is_glued:
        laps = _lapped_area(design, pieces)
        folds = sum(edge.length * edge.allowance * count for edge, count in _edges(pieces, "hem", "hull"))
        glue = bought.glue * (laps + folds)
        how = (
            f"{format_area(laps + folds, show)} of lap and hem at {format_areal_mass(bought.glue, show)}, all coats on"
            " both faces, wet; solvent burns and its vapour harms: open air, no flame."
        )
        lines.append(
            Material("glue", glue, "mass", None, None, making.fittings.glue * (laps + folds), prices.glue, how)
        )
    return lines


# ---------------------------------------------------------------------------------------------------------- fixings


def _fixings(design: Design, pieces: Sequence[CutPiece]) -> list[Material]:
    prices, one = design.prices, design.making.fittings
    joint_line = sum(piece.joint_length * piece.quantity for piece in pieces if piece.kind == "loop_panel")
    joint = sum(len(piece.holes) * piece.quantity for piece in pieces if piece.kind == "face")
    hull = sum(edge.length * count for edge, count in _edges(pieces, "hull"))
    along_hull = math.ceil(hull / design.making.hole_pitch - 1e-9)
    ties = sum(piece.quantity for piece in pieces if piece.kind == "web")
    eyelets = sum(len(piece.holes) * piece.quantity for piece in pieces if piece.kind == "web")
    spares = 2 * spare_segments(pieces)
    bolts = (
        f"{joint} along the joint, one through each hole of loop, strip and segment; {along_hull} along the hull edge"
        " at the hole pitch"
    )
    return [
        Material(
            "edge strip on the hull", hull, "length", None, None, hull * one.strip, _per_metre(design, prices.strip),
            "Length of the hull edge, all round. A strip along the joint too, in place of one washer of each bolt,"
            f" takes {_run(joint_line, design.project.show)} more; the mass of the whole skirt has it in, not this"
            " list.",
        ),
        Material(
            "bolts", float(joint + along_hull), "each", None, None, (joint + along_hull) * one.bolt, prices.bolt,
            f"{bolts}. Mass with nuts and washers.",
        ),
        Material(
            "washers", float(WASHERS * (joint + along_hull)), "each", None, None, 0.0, prices.washer,
            "One on either side of each bolt; a strip saves one of them. Weighed with the bolts.",
        ),
        Material(
            "eyelets", float(eyelets + spares), "each", None, None, None, prices.eyelet,
            f"One in the tab of each web, {spares} of them on spares.",
        ),
        Material(
            "ties", float(ties + SPARE_TIES), "each", None, None, ties * one.tie, prices.tie,
            f"One for each web and {SPARE_TIES} to carry, which are not weighed: they are the fuse.",
        ),
    ]  # fmt: skip
