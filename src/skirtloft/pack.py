"""The build pack: which files it holds, how many pages that is, and writing them beside and swapping them in."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from skirtloft import __version__
from skirtloft.book.compose import build_book
from skirtloft.book.types import Book
from skirtloft.drawing.air_sheets import air_sheets
from skirtloft.drawing.card import measure_and_mark_card
from skirtloft.drawing.former import former_sheets
from skirtloft.drawing.hull_card import hull_card
from skirtloft.drawing.hull_sheet import hull_sheets
from skirtloft.drawing.hull_strip import hull_strip_sheet
from skirtloft.drawing.page import Stamp
from skirtloft.drawing.picture import picture_sheet
from skirtloft.drawing.plan_sheet import plan_sheets
from skirtloft.drawing.read_me import PieceRow, read_me_sheets, size_words
from skirtloft.drawing.rides_sheets import rides_sheets
from skirtloft.drawing.roll_sheets import roll_sheets
from skirtloft.drawing.section_sheet import section_sheets
from skirtloft.drawing.sheet import Sheet
from skirtloft.drawing.sits_sheets import sits_sheets
from skirtloft.drawing.solid import seam_parts, skirt_meshes, skirt_parts
from skirtloft.drawing.stamp import stamp_of
from skirtloft.drawing.strain_sheet import strain_sheets
from skirtloft.drawing.tape_sheet import tape_sheet
from skirtloft.drawing.template import distinct, template_sheet
from skirtloft.drawing.template_labels import quantity_words
from skirtloft.drawing.together import sewing_steps
from skirtloft.drawing.water_sheets import water_sheets
from skirtloft.errors import ExportError
from skirtloft.export import book, csv, dxf, glb, json, pdf, svg, tiles
from skirtloft.export import zip as archive
from skirtloft.export.printer_page import printer_test
from skirtloft.export.tile_plan import TilePlan, tile_plan
from skirtloft.files import discard_folder, stage_folder, swap_folder, write_bytes
from skirtloft.layout.kept import kept_layouts
from skirtloft.layout.saved import to_text
from skirtloft.layout.types import Layout
from skirtloft.materials.list import bill_of_materials
from skirtloft.materials.table import COLUMNS as BILL_COLUMNS
from skirtloft.materials.table import rows as bill_rows
from skirtloft.pack_parts import FILES, LAID_OUT, PARTS, belongs
from skirtloft.pack_place import FORMAT, MANIFEST, is_pack
from skirtloft.pieces.cut_list import CUT_LIST, cut_list_rows, merged_hands
from skirtloft.pieces.hull_strip import HullStrip, hull_strips
from skirtloft.pieces.tapes import seam_tapes
from skirtloft.pieces.types import CutPiece
from skirtloft.pipeline import Skirt
from skirtloft.report import finding_lines, plain_lines, shopping_lines, verdict_line
from skirtloft.results import results
from skirtloft.shape.hull_offsets import COLUMNS, hull_offsets
from skirtloft.sits.on_water import on_water
from skirtloft.sits.sits import sits_of

PAPERS = ("A4", "Letter")
Progress = Callable[[int, int, str], None]
Maker = Callable[[], bytes]


@dataclass(frozen=True, eq=False)
class Template:
    """One template: the piece it is drawn for, how many of each hand, its sheet, and its tiles by paper."""

    piece: CutPiece
    quantities: dict[str, int]
    sheet: Sheet
    tiles: dict[str, TilePlan]


@dataclass(frozen=True, eq=False)
class PlannedPack:
    """Everything decided before a byte is written."""

    skirt: Skirt
    digest: str
    stamp: Stamp
    templates: tuple[Template, ...]
    strips: tuple[HullStrip, ...]
    only: tuple[str, ...] = ()
    layouts: tuple[Layout, ...] = ()

    def lines(self) -> list[str]:
        """Return what will be written and how many pages, in plain lines."""
        tiled = [template for template in self.templates if template.tiles]
        cards = [template.piece.base for template in self.templates if template.piece.is_rectangle]
        pages = {paper: sum(t.tiles[paper].page_count for t in tiled) for paper in PAPERS}
        lines = [
            f"Pages     {len(tiled)} templates on tiles: {pages['A4']} pages of A4, or {pages['Letter']} of Letter,"
            " or one plotter page each"
        ]
        if long := [t.piece.base for t in self.templates if max(t.sheet.width, t.sheet.height) > pdf.LONGEST_PAGE]:
            lines.append(f"Plotter   {', '.join(long)}: longer than a PDF page may be; tiles, DXF and SVG only")
        if cards:
            lines.append(f"Cards     mark out by hand, from a card each: {', '.join(cards)}")
        if self.only:
            lines.append(f"Only      {', '.join(self.only)}; everything else is left out of this pack")
        if self.stamp.banner:
            lines.append(f"Every sheet says: {self.stamp.banner}")
            lines.append(f"To cut all the same: --accept {' --accept '.join(self.stamp.failed)} (the sheets record it)")
        return lines


def plan_pack(
    skirt: Skirt,
    digest: str,
    accept: Sequence[str] = (),
    tile_rectangles: bool = False,
    changes: tuple[str, ...] = (),
    only: Sequence[str] = (),
    saved_layout: str | None = None,
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
        Text of the layout kept beside the design; None for the quick one.

    Raises
    ------
    ExportError
        A rule to accept does not fail, a part has no such name, a template cannot be drawn, or the saved layout was
        made for other pieces.
    """
    if strange := [part for part in only if part not in PARTS]:
        raise ExportError(
            f"--only {', '.join(strange)}: no part of a pack has that name; there are {', '.join(PARTS)}."
        )
    stamp = stamp_of(skirt, accept, changes)
    making = skirt.design.making
    templates = []
    for piece, quantities in distinct(skirt.pieces):
        sheet = template_sheet(piece, quantities, stamp)
        wanted = PAPERS if tile_rectangles or not piece.is_rectangle else ()
        plans = {paper: tile_plan(sheet, paper, making.printer_x, making.printer_y) for paper in wanted}
        templates.append(Template(piece, quantities, sheet, plans))
    strips = hull_strips(skirt.design, skirt.plan, skirt.sections, skirt.development.panels)
    parts = tuple(part for part in PARTS if part in only)
    laid_out = not parts or any(part in parts for part in LAID_OUT)
    layouts = kept_layouts(skirt.design, skirt.pieces, saved_layout) if laid_out else ()
    return PlannedPack(skirt, digest, stamp, tuple(templates), strips, parts, layouts)


def write_pack(planned: PlannedPack, out: Path, progress: Progress = lambda done, total, what: None) -> list[str]:
    """Write the pack beside `out`, then swap it in; return the names of its files.

    Raises
    ------
    ExportError
        `out` holds something that is not a pack of ours, or cannot be written.
    """
    staged = stage_folder(out)
    names = []
    try:
        for name, data in _files(planned, progress):
            target = staged / name
            target.parent.mkdir(parents=True, exist_ok=True)
            write_bytes(target, data)
            names.append(name)
        swap_folder(staged, out, is_pack)
    except BaseException:
        discard_folder(staged)
        raise
    return names


def write_zip(planned: PlannedPack, out: Path, progress: Progress = lambda done, total, what: None) -> list[str]:
    """Write the pack as one ZIP file, named in one step when it is whole; return the names of the files in it.

    Raises
    ------
    ExportError
        `out` cannot be written.
    """
    made = dict(_files(planned, progress))
    write_bytes(out, archive.render(made))
    return list(made)


def _files(planned: PlannedPack, progress: Progress) -> Iterator[tuple[str, bytes]]:
    """Yield every file of the pack by name as it is made, the manifest last."""
    makers, hashes = _makers(planned), dict[str, str]()
    for done, (name, make) in enumerate(makers):
        progress(done, len(makers), name)
        data = make()
        hashes[name] = hashlib.sha256(data).hexdigest()
        yield name, data
    yield MANIFEST, _manifest(planned, hashes)
    progress(len(makers), len(makers), "done")


def _manifest(planned: PlannedPack, hashes: dict[str, str]) -> bytes:
    project = planned.skirt.design.project
    data = {
        "format": FORMAT,
        "program": f"skirtloft {__version__}",
        "design": {"name": project.name, "revision": project.revision, "sha256": planned.digest},
        "failed": list(planned.stamp.failed),
        "accepted": list(planned.stamp.accepted),
        **({"only": list(planned.only)} if planned.only else {}),
        "files": dict(sorted(hashes.items())),
    }
    return json.render(data).encode()


def _makers(planned: PlannedPack) -> list[tuple[str, Maker]]:
    """Return every file of the pack with the function that makes its bytes, in writing order."""
    skirt, stamp = planned.skirt, planned.stamp
    sits = cache(lambda: sits_of(skirt))
    makers: list[tuple[str, Maker]] = [
        ("00-read-me.pdf", lambda: pdf.render(_read_me(planned))),
        ("build-book.pdf", lambda: book.render(_book(planned))),
        ("overview.png", lambda: pdf.render_png(_overview(skirt), 150.0)),
        ("drawings/plan.pdf", lambda: pdf.render(plan_sheets(skirt, stamp))),
        ("drawings/air.pdf", lambda: pdf.render(air_sheets(skirt, stamp))),
        ("drawings/rides.pdf", lambda: pdf.render(rides_sheets(skirt, stamp))),
        ("drawings/sections.pdf", lambda: pdf.render(section_sheets(skirt, stamp))),
        ("drawings/sits.pdf", lambda: pdf.render(sits_sheets(skirt, sits(), stamp))),
        ("drawings/water.pdf", lambda: pdf.render(water_sheets(skirt, sits(), on_water(skirt, sits()), stamp))),
        ("drawings/hull.pdf", lambda: pdf.render(hull_sheets(skirt, stamp))),
        *_strain_makers(planned),
        ("hull-offsets.csv", lambda: csv.render(hull_offsets(skirt.hull), COLUMNS).encode()),
        *_roll_makers(planned),
        *_strip_makers(planned),
        *_former_makers(planned),
        *_tape_makers(planned),
        ("cut-list.csv", lambda: cut_list(planned).encode()),
        ("skirt.glb", lambda: glb.render(skirt_meshes(skirt))),
        ("results.json", lambda: json.render(results(skirt, planned.digest)).encode()),
    ]
    makers += [(f"tiles-{paper}/00-printer-test.pdf", _printer_test(paper)) for paper in PAPERS]
    for template in planned.templates:
        makers += _template_makers(planned, template)
    return [(name, make) for name, make in makers if belongs(name, planned.only)]


def _strain_makers(planned: PlannedPack) -> list[tuple[str, Maker]]:
    """Return the pages on the strain of the loop panels, where they were made exact."""
    sheets = strain_sheets(planned.skirt, planned.stamp)
    return [("drawings/strain.pdf", lambda: pdf.render(sheets))] if sheets else []


def _book(planned: PlannedPack) -> Book:
    return build_book(planned.skirt, planned.layouts, planned.stamp, digest=planned.digest)


def _roll_makers(planned: PlannedPack) -> list[tuple[str, Maker]]:
    """Return the roll to mark out, the layout itself, and what to buy."""
    skirt, layouts, paper = planned.skirt, planned.layouts, planned.skirt.design.making.paper
    bill = bill_of_materials(skirt.design, skirt.pieces, layouts)
    makers: list[tuple[str, Maker]] = [
        ("materials.csv", lambda: csv.render(bill_rows(bill, skirt.design.project.show), BILL_COLUMNS).encode())
    ]
    if layouts:
        makers.append(("drawings/roll.pdf", lambda: pdf.render(roll_sheets(layouts, planned.stamp, paper))))
        makers.append(("layout.json", lambda: to_text(layouts, skirt.design.project.name).encode()))
    return makers


def _strip_makers(planned: PlannedPack) -> list[tuple[str, Maker]]:
    """Return the strips to wrap along the hull, to plot and on tiles, and the card of their distances."""
    paper, stamp, strips = planned.skirt.design.making.paper, planned.stamp, planned.strips
    makers: list[tuple[str, Maker]] = [("strips/hull-card.pdf", lambda: pdf.render(hull_card(strips, stamp, paper)))]
    return [*makers, *_plot_and_tiles(planned, "strips/hull-strips", hull_strip_sheet(strips, stamp))]


def _former_makers(planned: PlannedPack) -> list[tuple[str, Maker]]:
    """Return the true-size sections, to plot, to cut and on tiles."""
    makers: list[tuple[str, Maker]] = []
    for sheet in former_sheets(planned.skirt, planned.stamp):
        makers.append((f"formers/{sheet.name}.dxf", lambda sheet=sheet: dxf.render(sheet).encode()))  # type: ignore[misc]
        makers += _plot_and_tiles(planned, f"formers/{sheet.name}", sheet)
    return makers


def _tape_makers(planned: PlannedPack) -> list[tuple[str, Maker]]:
    """Return the seam tapes, to plot and on tiles."""
    return _plot_and_tiles(planned, "tapes/seam-tapes", tape_sheet(seam_tapes(planned.skirt.pieces), planned.stamp))


def _plot_and_tiles(planned: PlannedPack, stem: str, sheet: Sheet) -> list[tuple[str, Maker]]:
    """Return a sheet at true size, to plot where a page can be that long, and on tiles of either paper."""
    makers: list[tuple[str, Maker]] = []
    if max(sheet.width, sheet.height) <= pdf.LONGEST_PAGE:
        makers.append((f"{stem}.pdf", lambda: pdf.render([sheet])))
    return makers + [(f"{stem}-{paper}.pdf", _tiled(planned, sheet, paper, None)) for paper in PAPERS]


def _printer_test(paper: str) -> Maker:
    return lambda: pdf.render([printer_test(paper)])


def _template_makers(planned: PlannedPack, template: Template) -> list[tuple[str, Maker]]:
    base, piece, sheet = template.piece.base, template.piece, template.sheet
    makers: list[tuple[str, Maker]] = []
    if max(sheet.width, sheet.height) <= pdf.LONGEST_PAGE:
        makers.append((f"templates/{base}.pdf", lambda: pdf.render([sheet])))
    for hand in [mine for mine in planned.skirt.pieces if mine.base == base]:
        drawn = sheet if hand is piece else template_sheet(hand, template.quantities, planned.stamp)
        makers.append((f"templates/{hand.id}.dxf", lambda drawn=drawn: dxf.render(drawn).encode()))  # type: ignore[misc]
        makers.append((f"templates/{hand.id}.svg", lambda drawn=drawn: svg.render(drawn).encode()))  # type: ignore[misc]
    for paper in template.tiles:
        makers.append(
            (
                f"tiles-{paper}/{base}.pdf",
                _tiled(planned, sheet, paper, template.tiles[paper]),
            )
        )
    if piece.is_rectangle:
        makers.append(
            (
                f"cards/{base}.pdf",
                lambda: pdf.render(_card(planned, template)),
            )
        )
    return makers


def _tiled(planned: PlannedPack, sheet: Sheet, paper: str, plan: TilePlan | None) -> Maker:
    making, stamp, project = planned.skirt.design.making, planned.stamp, planned.skirt.design.project
    note = f"{project.name}, revision {stamp.revision}. {stamp.banner or stamp.record}".rstrip(". ")
    return lambda: tiles.render_tiled(sheet, paper, making.printer_x, making.printer_y, note, plan)


def _card(planned: PlannedPack, template: Template) -> list[Sheet]:
    paper = planned.skirt.design.making.paper
    return measure_and_mark_card(template.piece, template.quantities, planned.stamp, paper)


def _overview(skirt: Skirt) -> Sheet:
    project = skirt.design.project
    caption = f"{project.name}, revision {project.revision}: the skirt as drawn, not a picture of a built one"
    return picture_sheet("overview", project.name, (*skirt_parts(skirt), *seam_parts(skirt)), caption)


def _rows(planned: PlannedPack) -> list[PieceRow]:
    rows = []
    for template in planned.templates:
        piece = template.piece
        size = piece.cut_line.max(axis=0) - piece.cut_line.min(axis=0)
        counts = {paper: plan.page_count for paper, plan in template.tiles.items()}
        rows.append(
            PieceRow(
                code=piece.base,
                name=piece.name,
                cut=_cut_words(planned, template),
                cloth=piece.cloth,
                size=size_words(size, planned.stamp.project.show),
                pages_a4=counts.get("A4", 0),
                pages_letter=counts.get("Letter", 0),
                card=piece.is_rectangle,
            )
        )
    return rows


def _cut_words(planned: PlannedPack, template: Template) -> str:
    """Quantity, and spares where there are any: ``94 P + 94 S, 10 + 10 spare``."""
    words = quantity_words(template.quantities).removeprefix("cut ")
    spares = [piece.spares for piece in merged_hands(planned.skirt.pieces) if piece.base == template.piece.base]
    return f"{words}, {' + '.join(str(count) for count in spares)} spare" if any(spares) else words


def _read_me(planned: PlannedPack) -> list[Sheet]:
    skirt = planned.skirt
    facts = [*verdict_line(skirt).split("  ", 1)[1:], *plain_lines(skirt), *shopping_lines(skirt)]
    if planned.stamp.changes:
        facts.insert(1, f"Changed    for this pack, not in the file: {', '.join(planned.stamp.changes)}")
    findings = finding_lines(skirt.findings, skirt.design.project.show)
    paper = skirt.design.making.paper
    there = tuple(row for row in FILES if belongs(row[0], planned.only))
    has_diaphragm = any(piece.kind == "diaphragm" for piece in skirt.pieces)
    steps = sewing_steps(skirt.design.making, has_diaphragm)
    return read_me_sheets(_rows(planned), there, facts, findings, planned.stamp, paper, steps)


def cut_list(planned: PlannedPack) -> str:
    """Return the cut list: one row per piece and hand."""
    return csv.render(cut_list_rows(planned.skirt.pieces), CUT_LIST)
