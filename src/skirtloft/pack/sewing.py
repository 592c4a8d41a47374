"""The pieces as sewing software reads them: the open sewn-pattern standard, one file to a cloth."""

from __future__ import annotations

from skirtloft.drawing.pattern_block import pattern_blocks
from skirtloft.export import sewn_pattern
from skirtloft.pack.types import Made, Maker, PlannedPack


def sewing_makers(planned: PlannedPack) -> Made:
    """Return the pieces in the sewn-pattern standard, one file to a cloth."""
    skirt, project, stamp = planned.skirt, planned.skirt.design.project, planned.stamp
    style, caution = f"{project.name}, revision {project.revision}", stamp.banner or stamp.record

    def make(cloth: str) -> Maker:
        pieces = [piece for piece in skirt.pieces if piece.cloth == cloth]
        return lambda: sewn_pattern.render(pattern_blocks(pieces, caution)[cloth], style, project.date, caution).encode(
            "ascii"
        )

    cloths = dict.fromkeys(piece.cloth for piece in skirt.pieces)
    return [(f"templates-sewing/{cloth}.dxf", make(cloth)) for cloth in cloths]
