"""Files to take away: any drawing or template in any format, the design, the model, the results, the pack."""

from __future__ import annotations

import multiprocessing
import re
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass

from skirtloft.book.compose import build_book
from skirtloft.design.read import design_digest, parse_design
from skirtloft.desk.answer import Solved
from skirtloft.desk.beside import taken_up
from skirtloft.desk.drawings import draw
from skirtloft.desk.studies import study_sheet
from skirtloft.drawing.air_sheets import air_sheets
from skirtloft.drawing.hull_sheet import hull_sheets
from skirtloft.drawing.section_sheet import section_sheets
from skirtloft.drawing.sheet import Sheet
from skirtloft.drawing.solid import skirt_meshes
from skirtloft.drawing.stamp import stamp_of
from skirtloft.errors import ExportError
from skirtloft.export import book, dxf, glb, json, pdf, svg
from skirtloft.layout.kept import kept_layouts
from skirtloft.pack.plan import plan_pack
from skirtloft.pack.read_me import cut_list
from skirtloft.pipeline import build
from skirtloft.results import results


@dataclass(frozen=True)
class Parcel:
    """A file to hand out: its name, its kind for the browser, its bytes."""

    name: str
    kind: str
    data: bytes


KINDS = {
    "pdf": "application/pdf",
    "svg": "image/svg+xml",
    "dxf": "image/vnd.dxf",
    "png": "image/png",
    "glb": "model/gltf-binary",
    "json": "application/json",
    "csv": "text/csv; charset=utf-8",
    "toml": "text/plain; charset=utf-8",
}
_WRITERS: dict[str, Callable[[Sheet], bytes]] = {
    "pdf": lambda sheet: pdf.render([sheet]),
    "svg": lambda sheet: svg.render(sheet).encode(),
    "dxf": lambda sheet: dxf.render(sheet).encode(),
    "png": lambda sheet: pdf.render_png(sheet, 150.0),
}
_WHOLE: dict[str, Callable[[Solved], bytes]] = {
    "skirt.glb": lambda solved: glb.render(skirt_meshes(solved.skirt)),
    "results.json": lambda solved: json.render(results(solved.skirt, solved.digest)).encode(),
    "cut-list.csv": lambda solved: cut_list(plan_pack(solved.skirt, solved.digest)).encode(),
    "design.toml": lambda solved: solved.text.encode(),
    "sections.pdf": lambda solved: pdf.render(section_sheets(solved.skirt, solved.stamp)),
    "hull.pdf": lambda solved: pdf.render(hull_sheets(solved.skirt, solved.stamp)),
    "air.pdf": lambda solved: pdf.render(air_sheets(solved.skirt, solved.stamp)),
}
_DRAWING = re.compile(r"([A-Za-z0-9][A-Za-z0-9.-]{0,60})\.(pdf|svg|dxf|png)")


def parcel(solved: Solved, name: str, layout: str = "") -> Parcel:
    """Return the file of that name for a solved design; `layout` is the text of the layout kept beside it.

    Raises
    ------
    KeyError
        There is no such file: names are looked up, never taken as a place on the disk.
    ExportError
        It cannot be made.
    """
    stem = re.sub(r"[^A-Za-z0-9]+", "-", solved.skirt.design.project.name).strip("-").lower() or "craft"
    if name in _WHOLE:
        return Parcel(f"{stem}-{name}", KINDS[name.rpartition(".")[2]], _WHOLE[name](solved))
    if name == "book.pdf":
        return Parcel(f"{stem}-{name}", KINDS["pdf"], _beside(solved.text, layout, solved.inflation))
    match = _DRAWING.fullmatch(name)
    if match is None:
        raise KeyError(name)
    sheet = study_sheet(solved, match[1], layout) or draw(solved, match[1]).sheet
    return Parcel(f"{stem}-{name}", KINDS[match[2]], _WRITERS[match[2]](sheet))


def _beside(text: str, layout: str, inflation: str) -> bytes:
    """Make the build book in a process of its own: it takes seconds, in which the page stays quick."""
    with ProcessPoolExecutor(1, mp_context=multiprocessing.get_context("spawn")) as pool:
        return pool.submit(make_book, text, layout, inflation).result()


def make_book(text: str, layout: str, inflation: str = "") -> bytes:
    """Return the build book of a design's text as the command line writes it: of the patterns as they are cut."""
    skirt, _ = taken_up(build(parse_design(text), preview=False), inflation)
    try:
        layouts = kept_layouts(skirt.design, skirt.pieces, layout or None)
    except ExportError:
        layouts = kept_layouts(skirt.design, skirt.pieces, None)  # kept of other pieces
    return book.render(build_book(skirt, layouts, stamp_of(skirt, [], ()), None, design_digest(text)))
