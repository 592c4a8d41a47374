"""Rules on pressure and on what can be cut: roll width, true edges of the panels."""

from __future__ import annotations

import numpy as np

from skirtloft.checks.finding import TRADE, Finding, grade
from skirtloft.design.model import Design
from skirtloft.physics.types import Cushion
from skirtloft.pieces.types import CutPiece
from skirtloft.shape.develop import Development

NARROW = 0.060  # m at the joint
PANEL_EDGE = 0.05e-3  # m: how far a pattern edge may be from the true curve, per panel


def making_findings(design: Design, development: Development, pieces: tuple[CutPiece, ...]) -> list[Finding]:
    """Return the findings on roll width, pattern edges and allowances."""
    return [
        _fits_roll(design, pieces),
        _true_edges(development),
        _narrow(development),
        *_sewable(design),
    ]


def _narrow(development: Development) -> Finding:
    panel = min(development.panels, key=lambda panel: panel.joint_edge)
    return Finding(
        rule="panel-width",
        title="Width of the narrowest loop panel at the joint",
        verdict=grade(panel.joint_edge, NARROW, None, "warn"),
        value=panel.joint_edge,
        unit="m",
        low=NARROW,
        high=None,
        where=f"{panel.id}, {panel.start} to {panel.end}",
        why="A sliver is mostly seam: stiff, heavy and hard to sew.",
        change="Move the hull point or rounding that puts a station there nearer to the end of the corner.",
        source="our own choice",
    )


def _sewable(design: Design) -> list[Finding]:
    making = design.making
    found = []
    for rule, title, value, least, key in (
        ("seam-allowance", "Seam allowance wide enough for two rows of stitches", making.seam, 0.015, "seam"),
        ("hem-allowance", "Hem wide enough to fold and stitch", making.hem, 0.008, "hem"),
    ):
        found.append(
            Finding(
                rule=rule,
                title=title,
                verdict=grade(value, least, None, "warn"),
                value=value,
                unit="m",
                low=least,
                high=None,
                where="making",
                why="Stitches too near a cut edge pull out.",
                change=f"Set making.{key} to {1000 * least:.0f} mm or more.",
                source=TRADE,
            )
        )
    return found


def pressure_finding(cushions: tuple[Cushion, ...]) -> Finding:
    """Return the finding on cushion pressure, at its worst load."""
    low, high = 250.0, 1300.0
    worst = max(cushions, key=lambda cushion: abs(np.log(cushion.pressure / np.sqrt(low * high))))
    return Finding(
        rule="pressure-range",
        title="Cushion pressure as light craft use it",
        verdict=grade(worst.pressure, low, high, "warn"),
        value=worst.pressure,
        unit="Pa",
        low=low,
        high=high,
        where=f"load {worst.name!r}",
        why="Below, cloth weight and wind rule the skirt; above, power and wear rise steeply.",
        change="Change mass or the area inside the tip line.",
        source=TRADE,
    )


def _fits_roll(design: Design, pieces: tuple[CutPiece, ...]) -> Finding:
    spare = [
        (design.cloth.loop if piece.cloth == "loop" else design.cloth.segment).roll_width - width_across_warp(piece)
        for piece in pieces
    ]
    worst = int(np.argmin(spare))
    return Finding(
        rule="fits-roll",
        title="Every piece fits across the roll with its warp right",
        verdict=grade(spare[worst], 0.0, None, "fail"),
        value=spare[worst],
        unit="m",
        low=0.0,
        high=None,
        where=pieces[worst].id,
        why="A piece wider than the roll would have to be pieced together.",
        change="Use a wider roll, turn the warp, or more stations.",
        source="closed form: extent of the cut line across the warp",
    )


def width_across_warp(piece: CutPiece) -> float:
    """Return the extent of the cut line square to the warp [m]."""
    across = piece.cut_line @ np.array([-piece.warp[1], piece.warp[0]])
    return float(across.max() - across.min())


def _true_edges(development: Development) -> Finding:
    errors = np.abs(np.concatenate([development.hull_edge_error, development.joint_edge_error]))
    value = float(errors.max())
    panel = development.panels[int(np.argmax(errors)) % len(development.panels)].id
    return Finding(
        rule="true-panel-edges",
        title="Hull and joint edges of the panels against the true curves",
        verdict=grade(value, None, PANEL_EDGE, "warn"),
        value=value,
        unit="m",
        low=None,
        high=PANEL_EDGE,
        where=panel,
        why="Short edges add up round a corner: the last hole will not meet.",
        change="Use more stations_per_corner.",
        source="our own choice: 0.05 mm a panel",
    )
