"""True-size sheets of a pack that are not templates: hull strips, formers, seam tapes, to plot and on tiles."""

from __future__ import annotations

from skirtloft.drawing.former import former_sheets
from skirtloft.drawing.hull_card import hull_card
from skirtloft.drawing.hull_strip import hull_strip_sheet
from skirtloft.drawing.sheet import Sheet
from skirtloft.drawing.tape_sheet import tape_sheet
from skirtloft.export import dxf, pdf, tiles
from skirtloft.export.tile_plan import TilePlan
from skirtloft.pack.types import Made, Maker, PlannedPack
from skirtloft.pieces.tapes import seam_tapes


def strip_makers(planned: PlannedPack) -> Made:
    """Return the strips to wrap along the hull, to plot and on tiles, and the card of their distances."""
    paper, stamp, strips = planned.skirt.design.making.paper, planned.stamp, planned.strips
    makers: Made = [("strips/hull-card.pdf", lambda: pdf.render(hull_card(strips, stamp, paper)))]
    return [*makers, *plot_and_tiles(planned, "strips/hull-strips", hull_strip_sheet(strips, stamp))]


def former_makers(planned: PlannedPack) -> Made:
    """Return the true-size sections, to plot, to cut and on tiles."""
    makers: Made = []
    for sheet in former_sheets(planned.skirt, planned.stamp):
        makers.append((f"formers/{sheet.name}.dxf", lambda sheet=sheet: dxf.render(sheet).encode()))  # type: ignore[misc]
        makers += plot_and_tiles(planned, f"formers/{sheet.name}", sheet)
    return makers


def tape_makers(planned: PlannedPack) -> Made:
    """Return the seam tapes, to plot and on tiles."""
    return plot_and_tiles(planned, "tapes/seam-tapes", tape_sheet(seam_tapes(planned.skirt.pieces), planned.stamp))


def plot_and_tiles(planned: PlannedPack, stem: str, sheet: Sheet) -> Made:
    """Return a sheet at true size, to plot where a page can be that long, and on tiles of every paper asked for."""
    makers: Made = []
    if max(sheet.width, sheet.height) <= pdf.LONGEST_PAGE:
        makers.append((f"{stem}.pdf", lambda: pdf.render([sheet])))
    return makers + [(f"{stem}-{paper}.pdf", tiled(planned, sheet, paper, None)) for paper in planned.papers]


def tiled(planned: PlannedPack, sheet: Sheet, paper: str, plan: TilePlan | None) -> Maker:
    making, stamp, project = planned.skirt.design.making, planned.stamp, planned.skirt.design.project
    note = f"{project.name}, revision {stamp.revision}. {stamp.banner or stamp.record}".rstrip(". ")
    return lambda: tiles.render_tiled(sheet, paper, making.printer_x, making.printer_y, note, plan)
