"""The mock-up of a pack: how it goes together, and its sheets to plot, to cut by machine, and on office paper."""

from __future__ import annotations

from skirtloft.design.units import parse_length
from skirtloft.drawing.mock_up import SCALES, MockUpSize, mock_up
from skirtloft.drawing.mock_up_guide import how_to_sheets
from skirtloft.drawing.mock_up_sheets import mock_up_sheets
from skirtloft.drawing.sheet import Sheet
from skirtloft.errors import DesignError, ExportError
from skirtloft.export import dxf, pdf, svg
from skirtloft.pack.parts import belongs
from skirtloft.pack.true_size import plot_and_tiles
from skirtloft.pack.types import Made, PlannedPack

FOLDER = "mock-up/"
THINNEST, THICKEST = 0.0002, 0.02  # m


def mock_up_makers(planned: PlannedPack) -> Made:
    """Return the set at the scale and for the card that the pack was planned with; nothing where it is not wanted."""
    if not belongs(FOLDER, planned.only):
        return []
    made = mock_up(planned.skirt, planned.mock_up)
    stamp, paper = planned.stamp, planned.skirt.design.making.paper
    sheets = mock_up_sheets(planned.skirt, made, stamp, paper)
    makers: Made = [(f"{FOLDER}00-mock-up.pdf", lambda: pdf.render(how_to_sheets(made, sheets, stamp, paper)))]
    makers += [*plot_and_tiles(planned, f"{FOLDER}board", sheets.board), *_for_a_machine(sheets.board)]
    for kind, pages in sheets.pages.items():
        if pages:
            makers.append((f"{FOLDER}{kind}.pdf", lambda pages=pages: pdf.render(pages)))  # type: ignore[misc]
        if kind in sheets.large:
            makers += plot_and_tiles(planned, f"{FOLDER}{kind}-large", sheets.large[kind])
        makers += _for_a_machine(sheets.whole[kind])
    return makers


def _for_a_machine(sheet: Sheet) -> Made:
    return [
        (f"{FOLDER}{sheet.name}.dxf", lambda: dxf.render(sheet).encode()),
        (f"{FOLDER}{sheet.name}.svg", lambda: svg.render(sheet).encode()),
    ]


def mock_up_size(scale: str, card: str) -> MockUpSize:
    """Return the size of the mock-up from words: "full", "half" or "fifth", and a thickness like "1.5 mm".

    Raises
    ------
    ExportError
        What of the two is wrong, and what would do.
    """
    wrong = []
    if scale not in SCALES:
        wrong.append(f"--mock-up {scale}: the mock-up is made at {', '.join(SCALES)} size.")
    try:
        thick = parse_length(card)
    except DesignError as error:
        thick = THINNEST
        wrong += [f"--card {card}: {problem.wrong} {problem.would_do}" for problem in error.problems]
    if not THINNEST <= thick <= THICKEST:
        wrong.append(f"--card {card}: card or board of {1e3 * THINNEST:g} to {1e3 * THICKEST:g} mm will do.")
    if wrong:
        raise ExportError(" ".join(wrong))
    return MockUpSize(scale, thick)
