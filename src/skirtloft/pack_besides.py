"""Files of a build pack that follow from the skirt alone: the sewn-pattern files."""

from __future__ import annotations

from collections.abc import Callable

from skirtloft.drawing.pattern_block import pattern_blocks
from skirtloft.export import sewn_pattern
from skirtloft.pipeline import Skirt

Maker = Callable[[], bytes]


def sewing_makers(skirt: Skirt) -> list[tuple[str, Maker]]:
    """Return the pieces in the sewn-pattern standard, one file to a cloth."""
    project = skirt.design.project
    style = f"{project.name}, revision {project.revision}"

    def make(cloth: str) -> Maker:
        return lambda: sewn_pattern.render(pattern_blocks(skirt.pieces)[cloth], style, project.date).encode("ascii")

    cloths = dict.fromkeys(piece.cloth for piece in skirt.pieces)
    return [(f"templates-sewing/{cloth}.dxf", make(cloth)) for cloth in cloths]
