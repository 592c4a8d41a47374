"""How the values of the rules on what can be cut and sewn come about."""

from __future__ import annotations

from skirtloft.checks.finding import Finding
from skirtloft.checks.making_rules import width_across_warp
from skirtloft.design.units import format_length
from skirtloft.explain.types import Working
from skirtloft.pipeline import Skirt


def _roll(skirt: Skirt, finding: Finding) -> str:
    show = skirt.design.project.show
    piece = next(piece for piece in skirt.pieces if piece.id == finding.where)
    wide = width_across_warp(piece)
    return (
        f"{format_length(wide + finding.value, show)} - {format_length(wide, show)}"
        f" = {format_length(finding.value, show)} ({piece.id})"
    )


def _edges(skirt: Skirt, finding: Finding) -> str:
    return f"{1000.0 * finding.value:.2g} mm ({finding.where})"


def _length(skirt: Skirt, finding: Finding) -> str:
    return f"{format_length(finding.value, skirt.design.project.show)} ({finding.where})"


WORKINGS = {
    "fits-roll": Working("width of the roll - extent of the cut line across the warp", _roll, cut=True),
    "true-panel-edges": Working("sewn edge of a panel - its curve on the hull edge or joint line", _edges, cut=True),
    "panel-width": Working("length of a panel's joint edge", _length, cut=True),
    "seam-allowance": Working("making.seam", _length, cut=True),
    "hem-allowance": Working("making.hem", _length, cut=True),
}
