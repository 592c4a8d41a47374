"""Paper read back by other programs: pdfplumber for coordinates and words, pypdfium2 for what is really visible."""

from __future__ import annotations

import io
import math
import re
from dataclasses import replace

import numpy as np
import pdfplumber
import pypdfium2
import pytest
import shapely

from skirtloft.drawing.lettering import text_width
from skirtloft.drawing.sheet import Circle, Line, Sheet, Text
from skirtloft.errors import ExportError
from skirtloft.export import pdf
from skirtloft.export.tiles import printer_test, render_tiled, render_tiled_many, tile_plan
from skirtloft.maths.frozen import frozen_array

MM = 25.4 / 72.0  # one PDF unit
TRUE = 0.1  # mm, what a template must be true to (requirement)
ANGLES = np.linspace(0.0, 2 * math.pi, 240, endpoint=False)
BEAN = np.column_stack([np.cos(ANGLES) * (1 + 0.2 * np.cos(3 * ANGLES)), np.sin(ANGLES)])


def template(width: float, height: float) -> Sheet:
    """A bean-shaped piece of this size with a square of 100 mm, a hole and words in it."""
    outline = (BEAN - BEAN.min(axis=0)) / np.ptp(BEAN, axis=0) * [width - 20.0, height - 20.0] + 10.0
    x, y = width * 0.4, height * 0.5 - 50.0
    square = [[x, y], [x + 100.0, y], [x + 100.0, y + 100.0], [x, y + 100.0]]
    items = (
        Line("cut", frozen_array(outline), True),
        Line("sew", frozen_array(square), True),
        Circle("holes", x + 50.0, y + 50.0, 3.0),
        Text("text", x + 10.0, y + 20.0, "OUTSIDE UP: AVATAR fi", 5.0),
        Line("register", frozen_array([[10.0, 3.0], [110.0, 3.0]])),
    )
    return Sheet("L01", "L01 loop panel, cut 14 P + 14 S", width, height, items, "template")


def pages(data: bytes):
    return pdfplumber.open(io.BytesIO(data)).pages


def path_of(page, count: int, stretch=(1.0, 1.0)):
    """The first path of a page with this many corners: mm from its lower left corner, as a stretched print shows it."""
    for curve in page.curves:
        points = np.array(curve["pts"]) * MM
        if len(np.unique(points.round(6), axis=0)) == count:
            return np.column_stack([points[:count, 0], page.height * MM - points[:count, 1]]) * stretch
    raise AssertionError(f"no path with {count} corners")


def frame_of(page, stretch=(1.0, 1.0)):
    """Left, bottom, right, top [mm] of the frame of a tile: the largest rectangle that is not the clipped square."""
    boxes = [np.array([r["x0"], r["y0"], r["x1"], r["y1"]]) * MM * [*stretch, *stretch] for r in page.rects]
    return max(boxes, key=lambda box: (box[2] - box[0]) * (box[3] - box[1]))


def code_of(page) -> str:
    """The code of a tile: its largest words in the footer."""
    em = 9.0 * 2048 / 1493  # capitals of 9 mm; 'H' of this font is 1493 of 2048 units tall
    return "".join(char["text"] for char in page.chars if abs(char["size"] * MM - em) < 0.3)


# ------------------------------------------------------------------------------------------------------ plotter page


def test_plot_is_true_to_size():
    sheet = template(1500.0, 900.0)
    (page,) = pages(pdf.render([sheet]))
    assert (float(page.width) * MM, float(page.height) * MM) == pytest.approx((1500.0, 900.0), abs=0.01)
    assert path_of(page, len(ANGLES)) == pytest.approx(sheet.items[0].points, abs=TRUE / 10)
    (square,) = page.rects
    assert np.array([square["width"], square["height"]]) * MM == pytest.approx([100.0, 100.0], abs=0.001)


def test_words_stay_words_as_wide_as_reckoned():
    sheet = template(500.0, 300.0)
    (page,) = pages(pdf.render([sheet]))
    words = sheet.items[3]
    assert words.text in page.extract_text()
    chars = [char for char in page.chars if "DejaVuSansCondensed" in char["fontname"]]
    assert (chars[-1]["x1"] - chars[0]["x0"]) * MM == pytest.approx(text_width(words.text, 5.0), abs=0.05)
    assert chars[0]["x0"] * MM == pytest.approx(words.x, abs=0.05)


def test_one_page_per_sheet_each_of_its_size():
    sheets = [template(400.0, 300.0), printer_test("Letter"), template(200.0, 5080.0)]
    sizes = [(float(page.width) * MM, float(page.height) * MM) for page in pages(pdf.render(sheets))]
    assert sizes == [pytest.approx((sheet.width, sheet.height), abs=0.01) for sheet in sheets]


def test_a_page_longer_than_pdf_allows_is_refused():
    # 14 400 units of 1/72 in = 5080 mm: ISO 32000-1 annex C.2, from memory
    with pytest.raises(ExportError, match=r"L01 is 5.08 m long"):
        pdf.render([template(5080.1, 300.0)])
    with pytest.raises(ExportError, match="no sheet"):
        pdf.render([])


def test_same_bytes_and_no_clock():
    sheet = template(500.0, 300.0)
    assert pdf.render([sheet]) == pdf.render([sheet])
    assert render_tiled(sheet, "A4") == render_tiled(sheet, "A4")
    stamps = re.findall(rb"D:(\d{4})", pdf.render([sheet]))
    assert set(stamps) == {b"2000"}


def test_quotes_and_backslashes_in_words_do_no_harm():
    odd = 'a "b" \\c #d $e$ <f> & [g] \\u{41}'
    sheet = replace(template(500.0, 300.0), title=odd, items=(Text("text", 20.0, 20.0, odd, 5.0),))
    assert odd in pages(pdf.render([sheet]))[0].extract_text()
    assert odd in pages(render_tiled(sheet, "A4", note=odd))[0].extract_text()


def test_picture_has_its_resolution():
    from PIL import Image

    image = Image.open(io.BytesIO(pdf.render_png(template(254.0, 127.0), 50.0)))
    assert image.size == (500, 250)
    assert np.asarray(image.convert("L")).min() < 100  # something is drawn


# ------------------------------------------------------------------------------------------------------------- tiles


@pytest.mark.parametrize(
    "paper, printer",
    [("A4", (1.0, 1.0)), ("Letter", (1.0, 1.0)), ("A3", (1.0, 1.0)), ("Tabloid", (1.0, 1.0)), ("A4", (1.012, 0.991))],
)
@pytest.mark.parametrize("size", [(700.0, 500.0), (380.0, 560.0)])
def test_tiles_read_back_make_the_whole_outline(paper, printer, size):
    sheet = template(*size)
    plan = tile_plan(sheet, paper, *printer)
    read = pages(render_tiled(sheet, paper, *printer))
    assert len(read) == plan.page_count
    stretch = printer[::-1] if plan.landscape else printer  # what this printer makes of the page as it lies
    tiles = {tile.code: tile for tile in plan.tiles}
    shown = []
    for page in read:
        tile, frame = tiles.pop(code_of(page)), frame_of(page, stretch)
        offset = np.array([tile.x, tile.y]) - frame[:2]
        outline = path_of(page, len(ANGLES), stretch) + offset
        assert outline == pytest.approx(sheet.items[0].points, abs=TRUE)
        ring = shapely.linestrings(np.vstack([outline, outline[:1]]))
        shown.append(ring.intersection(shapely.box(*(frame + [*offset, *offset]))))
    assert not tiles
    points = sheet.items[0].points
    whole = shapely.linestrings(np.vstack([points, points[:1]]))
    assert whole.difference(shapely.union_all(shown).buffer(TRUE)).length == 0.0


def test_rules_measure_100_mm_as_printed():
    printer = (1.012, 0.991)
    sheet = template(700.0, 500.0)
    plan = tile_plan(sheet, "A4", *printer)
    stretch = printer[::-1] if plan.landscape else printer
    for page in pages(render_tiled(sheet, "A4", *printer)):
        combs = [np.array(c["pts"]) * MM * stretch for c in page.curves if len(c["pts"]) == 303]
        spans = sorted(tuple(np.ptp(comb, axis=0).round(3)) for comb in combs)
        assert spans == [pytest.approx((4.0, 100.0), abs=0.01), pytest.approx((100.0, 4.0), abs=0.01)]
        assert "to correct the printer" in page.extract_text().replace("\n", " ")


def visible(data: bytes, number: int, dots: float):
    """A page as black (True) and white, `dots` per mm."""
    image = pypdfium2.PdfDocument(data)[number].render(scale=dots * MM, grayscale=True).to_numpy()
    return image.reshape(image.shape[:2]) < 140


def test_what_is_visible_on_the_tiles_is_what_is_visible_on_the_plot():
    """Independent of paths: paste the pictures of the tiles together and look for every black dot of the plot."""
    dots = 4.0
    sheet = template(560.0, 420.0)
    sheet = replace(sheet, items=tuple(item for item in sheet.items if item.layer != "register"))
    plan = tile_plan(sheet, "A4")
    plot = visible(pdf.render([sheet]), 0, dots)
    data = render_tiled(sheet, "A4")
    pasted = np.zeros_like(plot)
    left, bottom, width, height = plan.window
    beside = 0
    for number, tile in enumerate(plan.tiles):
        page = visible(data, number, dots)
        for row, column in np.argwhere(plot):
            x, y = (column + 0.5) / dots - tile.x, (plot.shape[0] - row - 0.5) / dots - tile.y
            if 0.0 <= x <= width and 0.0 <= y <= height:
                i, j = int((plan.page[1] - bottom - y) * dots), int((left + x) * dots)
                pasted[row, column] |= page[i - 1 : i + 2, j - 1 : j + 2].any()
        inside = np.zeros_like(page)
        sides, ends = (int(margin * dots) for margin in plan.margin)
        inside[ends:-ends, sides:-sides] = True
        beside += int((page & ~inside).sum())
    assert plot.sum() > 5000
    assert (plot & ~pasted).sum() == 0
    assert beside == 0  # nothing of the template, nor anything else, in the printer's margin


def test_words_of_every_tile():
    sheet = template(700.0, 500.0)
    for page in pages(render_tiled(sheet, "Letter", note="Four seats, revision A")):
        text = page.extract_text()
        for words in (sheet.title, "Four seats, revision A", "Print at 100 %, no fit to page", "100 mm", "joins"):
            assert words in text


def test_a_template_longer_than_any_pdf_page_is_tiled_true():
    sheet = template(9000.0, 160.0)
    plan = tile_plan(sheet, "A4")
    read = pages(render_tiled(sheet, "A4"))
    assert len(read) == plan.page_count
    for page, tile in list(zip(read, plan.tiles, strict=True))[::9]:
        offset = np.array([tile.x, tile.y]) - frame_of(page)[:2]
        assert tile.code == code_of(page)
        seen = path_of(page, len(ANGLES)) + offset
        assert seen == pytest.approx(sheet.items[0].points, abs=TRUE)


def test_a_large_template_begins_with_its_key():
    sheet = template(400.0, 3000.0)
    plan = tile_plan(sheet, "A4")
    first, *rest = pages(render_tiled(sheet, "A4"))
    assert len(rest) == len(plan.tiles)
    words = first.extract_text()
    assert "Key to the tiles" in words
    assert all(tile.code in words.split() for tile in plan.tiles)
    outline = path_of(first, len(ANGLES))
    scale = np.ptp(outline, axis=0) / np.ptp(sheet.items[0].points, axis=0)
    assert scale[0] == pytest.approx(scale[1], rel=1e-3)  # a true picture, only small


def test_many_templates_keep_their_order():
    sheets = [replace(template(300.0 + 100 * k, 200.0), name=f"L{k}") for k in range(3)]
    for sheet, (same, count, data) in zip(sheets, render_tiled_many(sheets, "A4"), strict=True):
        assert same is sheet
        assert count == len(pages(data)) == tile_plan(sheet, "A4").page_count


# ------------------------------------------------------------------------------------------------------ printer test


@pytest.mark.parametrize("paper", ["A4", "Letter", "A3", "Tabloid"])
def test_the_page_that_measures_a_printer(paper):
    sheet = printer_test(paper)
    (page,) = pages(pdf.render([sheet]))
    (square,) = page.rects
    assert np.array([square["width"], square["height"]]) * MM == pytest.approx([100.0, 100.0], abs=0.001)
    words = page.extract_text()
    for needed in ("printer_x", "printer_y", "divided by 100", "100 %"):
        assert needed in words
