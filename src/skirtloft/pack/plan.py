"""Plan a build pack: templates drawn, tiles counted, layouts at hand."""

from __future__ import annotations

from collections.abc import Sequence

from skirtloft.drawing.mock_up import MockUpSize
from skirtloft.drawing.stamp import stamp_of
from skirtloft.drawing.template import distinct, template_sheet
from skirtloft.errors import ExportError
from skirtloft.export import tile_plan
from skirtloft.layout.kept import layouts_of_run
from skirtloft.layout.types import Layout
from skirtloft.pack.parts import LAID_OUT, PARTS
from skirtloft.pack.types import PAPERS, PlannedPack, Template
from skirtloft.pieces.hull_strip import hull_strips
from skirtloft.pipeline import Skirt


def plan_pack(
    skirt: Skirt,
    digest: str,
    accept: Sequence[str] = (),
    tile_rectangles: bool = False,
    changes: tuple[str, ...] = (),
    only: Sequence[str] = (),
    saved_layout: str | None = None,
    papers: Sequence[str] = (),
    mock_up: MockUpSize | None = None,
) -> PlannedPack:
    """Return the pack to write: templates drawn and tiles counted.

    Parameters
    ----------
    digest : str
        sha256 of the design text.
    accept : rule names that fail and are accepted; each is recorded on every sheet
    tile_rectangles : bool
        Tile rectangles as well; they get a card in any case.
    changes : what was set for this run and is not in the file; every sheet says so
    only : names of `PARTS`; empty for everything
    saved_layout : str or None
        Text of the layout kept beside the design; None for the quick one. Where `changes` cut other pieces it is left
        aside, and the lines of the pack say so.
    papers : names of `skirtloft.export.tile_plan.PAPERS` to make tiles on; empty for A4 and Letter
    mock_up : MockUpSize or None
        Scale and card of the mock-up; None for a fifth, in usual card.

    Raises
    ------
    ExportError
        A rule to accept does not fail, a part or paper has no such name, a template cannot be drawn, or the saved
        layout was made for other pieces and nothing was changed for the run.
    """
    if strange := [part for part in only if part not in PARTS]:
        raise ExportError(
            f"--only {', '.join(strange)}: no part of a pack has that name; there are {', '.join(PARTS)}."
        )
    tiled_on = _papers(papers)
    stamp = stamp_of(skirt, accept, changes)
    making = skirt.design.making
    templates = []
    for piece, quantities in distinct(skirt.pieces):
        sheet = template_sheet(piece, quantities, stamp)
        wanted = tiled_on if tile_rectangles or not piece.is_rectangle else ()
        plans = {paper: tile_plan.tile_plan(sheet, paper, making.printer_x, making.printer_y) for paper in wanted}
        templates.append(Template(piece, quantities, sheet, plans))
    strips = hull_strips(skirt.design, skirt.plan, skirt.sections, skirt.development.panels)
    parts = tuple(part for part in PARTS if part in only)
    laid_out = not parts or any(part in parts for part in LAID_OUT)
    nothing: tuple[tuple[Layout, ...], str] = ((), "")
    layouts, note = layouts_of_run(skirt.design, skirt.pieces, saved_layout, changes) if laid_out else nothing
    return PlannedPack(
        skirt,
        digest,
        stamp,
        tuple(templates),
        strips,
        parts,
        layouts,
        note,
        papers=tiled_on,
        mock_up=mock_up or MockUpSize(),
    )


def _papers(names: Sequence[str]) -> tuple[str, ...]:
    """Return the papers to make tiles on, each once, capitals or not."""
    known = {paper.lower(): paper for paper in tile_plan.PAPERS}
    if strange := [name for name in names if name.lower() not in known]:
        raise ExportError(
            f"--paper {', '.join(strange)}: no such paper; tiles are made on {', '.join(known.values())}."
        )
    return tuple(dict.fromkeys(known[name.lower()] for name in names)) or PAPERS
