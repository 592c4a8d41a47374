"""A book as PDF: text set by typst, drawings placed as they are, pages numbered, same input same bytes."""

from __future__ import annotations

from collections.abc import Iterable

from skirtloft.book.types import Block, Book, Caution, Chapter, Cover, Figure, FullPage, Heading, Steps, Table, Text
from skirtloft.drawing.lettering import FONT_FAMILY
from skirtloft.drawing.sheet import Area, Sheet
from skirtloft.export import svg
from skirtloft.export.typst_items import PREAMBLE, items_code
from skirtloft.export.typst_job import compile_pdf, quote, svg_image

SIZES = {"A4": "a4", "Letter": "us-letter"}
LEFT, RIGHT, TOP, FOOT = 22.0, 16.0, 22.0, 20.0  # margins [mm], the left one to punch
WHOLE = 16  # rows up to which a table is not broken over two pages
LETTERS = '#set text(kerning: false, ligatures: false, top-edge: "baseline")'  # as drawings count their widths
MANY = 300  # areas from which a drawing is placed as one image

STYLE = f"""
#set text(font: "{FONT_FAMILY}", size: 9.5pt, kerning: true, ligatures: false, lang: "en", hyphenate: false,
  top-edge: "cap-height", bottom-edge: "baseline")
#set par(leading: 0.62em, spacing: 0.95em, justify: false)
#show outline.entry: set block(above: 1.5mm)
#set outline.entry(fill: repeat([.], gap: 1.2mm))
#let rule = 0.35pt + luma(140)
#show heading.where(level: 1): it => block(width: 100%, above: 0pt, below: 5mm, sticky: true,
  text(size: 17pt, weight: "bold", it.body))
#show heading.where(level: 2): it => block(width: 100%, above: 6mm, below: 2.6mm, sticky: true,
  text(size: 11.5pt, weight: "bold", it.body))
#let say(body) = block(width: 100%, above: 2.6mm, below: 2.6mm, body)
#let caution(body) = block(width: 100%, above: 3.5mm, below: 3.5mm, inset: (left: 4mm, rest: 2.6mm),
  stroke: (left: 2.2pt + black, rest: 0.5pt + black), breakable: false,
  [#text(weight: "bold")[Take care.] #body])
#let steps(..items) = block(above: 2.6mm, below: 3mm,
  grid(columns: (7mm, 1fr), row-gutter: 2.3mm, ..items.pos().enumerate().map(((n, it)) => (
    text(weight: "bold")[#(n + 1)], it)).flatten()))
#let boxes(..items) = block(above: 2.6mm, below: 3mm,
  grid(columns: (7mm, 1fr), row-gutter: 2.8mm, ..items.pos().map(it => (
    box(width: 3mm, height: 3mm, stroke: 0.6pt + black), it)).flatten()))
#let sheet(file, width, height) = box(width: width * 1mm, height: height * 1mm, align(top + left, file))
#let picture(body, words) = block(width: 100%, above: 4mm, below: 4mm, breakable: false)[
  #align(center, body)
  #if words != "" [#v(1mm) #align(center, text(size: 8pt)[#words])]]
#let cells(columns, right, form, whole, caption, head, ..body) = {{
  let pad = if form {{ (x: 1.2mm, y: 2.3mm) }} else {{ (x: 1.2mm, y: 1.15mm) }}
  block(width: 100%, above: 3mm, below: 4mm, breakable: not whole)[
    #if caption != "" [#block(sticky: true, below: 2mm, text(weight: "bold", size: 9pt)[#caption])]
    #set text(size: 8pt)
    #set par(leading: 0.5em)
    #table(columns: columns, inset: pad,
      align: (x, y) => (if x in right {{ std.right }} else {{ left }}) + (if form {{ horizon }} else {{ top }}),
      stroke: (x, y) => if form {{ rule }} else {{ (bottom: if y == 0 {{ 0.7pt + black }} else {{ rule }}) }},
      table.header(..head.map(h => text(weight: "bold", h))), ..body)]
}}
"""


def render(book: Book) -> bytes:
    """Return `book` as a PDF.

    Raises
    ------
    ExportError
        A drawing holds a coordinate that is no number.
    """
    return compile_pdf(source(book))


def source(book: Book) -> str:
    """Return `book` as typst markup."""
    parts = [f"#set document(title: {quote(book.cover.title)})", PREAMBLE, STYLE, _page_setup(book), _cover(book)]
    parts += [_chapter(chapter, number) for number, chapter in enumerate(book.chapters, start=1)]
    return "\n".join(parts)


def _page_setup(book: Book) -> str:
    size = SIZES[book.paper]
    banner = f'text(weight: "bold", {quote(book.banner)})' if book.banner else "none"
    return f"""
#let plain-foot = context {{
  set text(size: 7.5pt)
  line(length: 100%, stroke: rule)
  v(-2.2mm)
  grid(columns: (1fr, auto), {quote(book.running)}, [page #counter(page).display() of #counter(page).final().first()])
}}
#let plain-head = context {{
  set text(size: 7.5pt)
  let before = query(heading.where(level: 1).before(here()))
  let on-page = query(heading.where(level: 1)).filter(h => h.location().page() == here().page())
  let mine = if on-page.len() > 0 {{ on-page.first() }} else if before.len() > 0 {{ before.last() }} else {{ none }}
  grid(columns: (1fr, auto), {banner}, if mine != none {{ mine.body }})
}}
#set page(paper: {quote(size)}, margin: (left: {LEFT}mm, right: {RIGHT}mm, top: {TOP}mm, bottom: {FOOT}mm),
  header: plain-head, footer: plain-foot, footer-descent: 40%)
"""


def _cover(book: Book) -> str:
    cover: Cover = book.cover
    facts = "".join(f'text(weight: "bold", {quote(name)}), {_inline(words)}, ' for name, words in cover.facts)
    notes = "\n".join(f"#say[{_words(note)}]" for note in cover.notes)
    banner = f'#v(2mm)#block(stroke: 1pt + black, inset: 3mm, text(weight: "bold")[{_words(book.banner)}])'
    return f"""
#v(6mm)
#text(size: 27pt, weight: "bold")[{_words(cover.title)}]
#v(1mm)
#text(size: 13pt)[{_words(cover.subtitle)}]
{banner if book.banner else ""}
{_figure(cover.picture)}
#block(grid(columns: (36mm, 1fr), row-gutter: 2.6mm, {facts}))
{notes}
#v(3mm)
#text(size: 11.5pt, weight: "bold")[Contents]
#columns(2, gutter: 10mm, outline(title: none, depth: 1))
"""


def _chapter(chapter: Chapter, number: int) -> str:
    new = "#pagebreak(weak: true)\n" if chapter.new_page else "#v(6mm)\n"
    head = f"{new}#heading(level: 1)[{_words(f'{number}  {chapter.title}')}]"
    return "\n".join([head, *(_block(block) for block in chapter.blocks)])


def _block(block: Block) -> str:
    if isinstance(block, Heading):
        return f"#heading(level: 2)[{_words(block.words)}]"
    if isinstance(block, Text):
        return f"#say[{_bold(block.words) if block.bold else _words(block.words)}]"
    if isinstance(block, Caution):
        return f"#caution[{_words(block.words)}]"
    if isinstance(block, Steps):
        return f"#{'boxes' if block.boxes else 'steps'}({_listed(_inline(item) for item in block.items)})"
    if isinstance(block, Figure):
        return _figure(block)
    if isinstance(block, FullPage):
        return _full_page(block.sheet)
    return _table(block)


def _table(table: Table) -> str:
    columns = f"({_listed(f'{width:g}fr' for width in table.widths)})"
    right = f"({_listed(str(column) for column in table.right)})"
    head = f"({_listed(quote(word) for word in table.head)})"
    cells = [_inline(cell) if isinstance(cell, str) else _placed(cell) for row in table.rows for cell in row]
    drawn = any(isinstance(cell, Figure) for row in table.rows for cell in row)
    whole = len(table.rows) <= WHOLE and not drawn
    form, whole_ = ("true" if so else "false" for so in (table.form, whole))
    return f"#cells({columns}, {right}, {form}, {whole_}, {quote(table.caption)}, {head}, {_listed(cells)})"


def _figure(figure: Figure) -> str:
    return f"#picture({_placed(figure)}, {quote(figure.caption)})"


def _placed(figure: Figure) -> str:
    """Return the drawing scaled into its box, as typst code."""
    sheet = figure.sheet
    factor = min(figure.width / sheet.width, figure.height / sheet.height)
    return f"sheet({_scaled(_drawn(sheet), factor)}, {factor * sheet.width:.4f}, {factor * sheet.height:.4f})"


def _scaled(code: str, factor: float) -> str:
    return code if factor == 1.0 else f"scale({100.0 * factor:.5f}%, origin: top + left, reflow: false, {code})"


def _drawn(sheet: Sheet) -> str:
    if sum(isinstance(item, Area) for item in sheet.items) > MANY:
        return svg_image(svg.render(sheet), sheet.width, sheet.height)
    svg.check_sheet(sheet)
    size = f"width: {sheet.width:.4f}mm, height: {sheet.height:.4f}mm"
    items = items_code(sheet.items, sheet.height)
    return f"box({size}, clip: true)[{LETTERS}\n{items}]"


def _full_page(sheet: Sheet) -> str:
    """Return a page of exactly the sheet's size; the book's page number stands below the frame."""
    size = f"width: {sheet.width:.4f}mm, height: {sheet.height:.4f}mm"
    number = "text(size: 7pt)[page #context counter(page).display() of #context counter(page).final().first()]"
    body = f"place(top + left, {_drawn(sheet)})\nplace(bottom + right, dx: -10mm, dy: -3.5mm, {number})"
    return f"#page({size}, margin: 0mm, header: none, footer: none, {{\n{body}\n}})"


def _listed(codes: Iterable[str]) -> str:
    return "".join(f"{code}, " for code in codes)


def _words(words: str) -> str:
    """Return plain words as markup that cannot be mistaken for any."""
    return f"#{quote(words)}"


def _bold(words: str) -> str:
    return f"#strong({quote(words)})"


def _inline(words: str) -> str:
    return f"[{_words(words)}]"


__all__ = ["Text", "render", "source"]
