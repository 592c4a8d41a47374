"""A sheet as DXF in millimetres for cutters and CAD: AutoCAD R2010 text, closed outlines, one layer per kind of line.

Frames and rules of the paper (layers frame and register) are left out of templates: a cutter works from the numbers.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from skirtloft.drawing.sheet import STYLES, Area, Circle, Item, Layer, Line, Sheet
from skirtloft.errors import ExportError
from skirtloft.export.svg import check_sheet

if TYPE_CHECKING:
    from ezdxf.document import Drawing

TEMPLATE_LAYERS: tuple[Layer, ...] = (
    "cut", "sew", "fold", "finished", "mark", "holes", "slit", "place", "zone", "text",
)  # fmt: skip
COLOURS: dict[Layer, int] = {
    "cut": 1,
    "sew": 5,
    "fold": 3,
    "finished": 6,
    "mark": 4,
    "holes": 2,
    "slit": 30,
    "place": 8,
    "zone": 9,
}  # AutoCAD colour index
PAPER_ONLY = ("frame", "register")
TEXT_STYLE, FONT = "SKIRTLOFT", "DejaVuSansCondensed.ttf"


def render(sheet: Sheet) -> str:
    """Return `sheet` as DXF text; the same sheet gives the same text.

    Raises
    ------
    ExportError
        A coordinate is not a number, or ezdxf's audit finds an error.
    """
    check_sheet(sheet)
    items = [item for item in sheet.items if sheet.kind != "template" or item.layer not in PAPER_ONLY]
    with fixed_meta_data():
        document = _new_document(sheet, items)
        space = document.modelspace()
        for item in items:
            _add(space, item)
        errors = document.audit().errors
        if errors:
            raise ExportError(f"Sheet {sheet.name}: the DXF is not sound: {errors[0].message}")
        text = io.StringIO()
        document.write(text)
    return text.getvalue()


@contextmanager
def fixed_meta_data() -> Iterator[None]:
    """Let ezdxf write fixed dates and identifiers while this runs."""
    from ezdxf import options  # type: ignore[attr-defined]  # documented, though not in __all__

    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


def _new_document(sheet: Sheet, items: list[Item]) -> Drawing:
    """Return an empty document with units, line types, layers and the text style."""
    from ezdxf import units
    from ezdxf.filemanagement import new

    document = new("R2010", units=units.MM)
    document.header["$MEASUREMENT"] = 1
    document.header["$LTSCALE"] = 1.0
    document.header["$EXTMIN"], document.header["$EXTMAX"] = (0.0, 0.0, 0.0), (sheet.width, sheet.height, 0.0)
    document.styles.add(TEXT_STYLE, font=FONT)
    first = TEMPLATE_LAYERS if sheet.kind == "template" else ()
    for layer in dict.fromkeys([*first, *(item.layer for item in items)]):
        style = STYLES[layer]
        linetype = "CONTINUOUS"
        if style.dash:
            linetype = f"SKIRTLOFT_{layer.upper()}"
            parts = [part if k % 2 == 0 else -part for k, part in enumerate(style.dash)]
            document.linetypes.add(linetype, [sum(style.dash), *parts], description=f"{layer} line")
        weight = round(style.width * 100)
        document.layers.add(layer, color=COLOURS.get(layer, 7), linetype=linetype, lineweight=weight)
    return document


def _add(space: Any, item: Item) -> None:
    """Add one item to the model space."""
    from ezdxf.enums import TextEntityAlignment

    attributes: dict[str, Any] = {"layer": item.layer}
    if isinstance(item, Line):
        space.add_lwpolyline(item.points.tolist(), close=item.closed, dxfattribs=attributes)
    elif isinstance(item, Area):
        space.add_lwpolyline(item.points.tolist(), close=True, dxfattribs={**attributes, "linetype": "CONTINUOUS"})
    elif isinstance(item, Circle):
        space.add_circle((item.x, item.y), item.radius, dxfattribs=attributes)
    else:
        anchor = {"start": "LEFT", "middle": "CENTER", "end": "RIGHT"}[item.anchor]
        attributes |= {"style": TEXT_STYLE, "height": item.height, "rotation": item.angle}
        words = " ".join(item.text.split()) if "\n" in item.text else item.text
        space.add_text(words, dxfattribs=attributes).set_placement((item.x, item.y), align=TextEntityAlignment[anchor])
