"""How the values of the rules on what can be cut and sewn come about."""

from __future__ import annotations

from skirtloft.checks.finding import Finding
from skirtloft.checks.making_rules import width_across_warp
from skirtloft.design.units import format_length
from skirtloft.explain.types import Working
from skirtloft.pipeline import Skirt
from skirtloft.shape.exact_panels import QUICK_DEVIATION
from skirtloft.shape.flatten.strain import DEVIATION_PER_STRAIN


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


def _strain(skirt: Skirt, finding: Finding) -> str:
    number = next(i for i, panel in enumerate(skirt.development.panels) if finding.where.startswith(f"{panel.id},"))
    report = skirt.development.strain[number]
    assert report is not None
    return f"{finding.value:.2%} ({finding.where}); on 95 % of the panel at most {report.thread.p95:.2%}"


def _stands_off(skirt: Skirt, finding: Finding) -> str:
    if skirt.inflated is not None:
        return f"{1000.0 * finding.value:.2g} mm ({finding.where}), as inflated from the cut pieces"
    if skirt.development.deviation_by == "inflated":
        return f"computed so, in place of the rule of thumb: {1000.0 * finding.value:.2g} mm ({finding.where})"
    if skirt.design.making.loop.pattern == "quick":
        estimate = (finding.value / QUICK_DEVIATION) ** 2
        return f"46 mm x sqrt({estimate:.4f}) = {1000.0 * finding.value:.2g} mm ({finding.where})"
    estimate = finding.value / DEVIATION_PER_STRAIN
    return f"1.3 mm per % x {100.0 * estimate:.2f} % = {1000.0 * finding.value:.2g} mm ({finding.where})"


WORKINGS = {
    "thread-strain": Working(
        "sqrt(1 + 2 E) - 1, E the Green strain of flat panel to drawn shape along warp or weft",
        _strain,
        cut=True,
        exact=True,
    ),
    "panel-deviation": Working(
        "exact patterns: 1.3 mm for each % of K w^2/12, K Gauss curvature, w width of the panel; quick ones:"
        " 46 mm x sqrt(K w^2/12); or, once `inflate --held` has run, what that computed",
        _stands_off,
        cut=True,
    ),
    "fits-roll": Working("width of the roll - extent of the cut line across the warp", _roll, cut=True),
    "true-panel-edges": Working("sewn edge of a panel - its curve on the hull edge or joint line", _edges, cut=True),
    "panel-width": Working("length of a panel's joint edge", _length, cut=True),
    "seam-allowance": Working("making.seam", _length, cut=True),
    "hull-edge-allowance": Working("making.hull_edge", _length, cut=True),
    "hem-allowance": Working("making.hem", _length, cut=True),
}
