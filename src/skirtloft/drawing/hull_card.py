"""The hull by tape: running distances of every mark along the hull edge and along the inner-fixing line."""

from __future__ import annotations

from collections.abc import Sequence

from skirtloft.drawing.card import table_pages
from skirtloft.drawing.card_measures import Table
from skirtloft.drawing.page import Column, Stamp, page, page_room
from skirtloft.drawing.sheet import Sheet
from skirtloft.pieces.hull_strip import HullStrip

HOW = (
    "Hook the tape at the bow centre, lay it along the line itself, over every rise, and mark each distance from that "
    "one zero; do not step from mark to mark. Starboard has the same distances.",
    "Or wrap the printed strips along the hull: the line of the strip on the line of the hull. Port as printed, "
    "starboard turned over. Round a corner cut the slits of strip I from its lower edge, so that its line follows the "
    "curve and keeps its length.",
    "Hull edge: the holes are for the edge strip that holds the loop. Drill hull and strip together, then pierce the "
    "cloth through them. A seam of the loop lies on its station; no hole falls on a seam.",
    "Inner fixings: 7/8 is the one tie for the webs of segments 7 and 8. Drill one, try a segment, then the rest. Seal "
    "every hole.",
)


def hull_card(strips: Sequence[HullStrip], stamp: Stamp, paper: str) -> list[Sheet]:
    """Return the pages of the card; distances to 0.5 mm, each rounded from its exact value."""
    room, show = page_room(paper, landscape=False), stamp.project.show
    column = Column(room.left, room.top, room.width, room.bottom)
    column.heading("Mark the hull", 5.0)
    for words in HOW:
        column.bullet(words, 2.8)
    pages = table_pages(column.items, column.top - 2.0, room, [t for strip in strips for t in _tables(strip)], show)
    return [
        page(
            f"hull-card-{number}",
            "Hull: measure and mark",
            content,
            stamp,
            paper=paper,
            landscape=False,
            scale="-",
            number=f"{number} of {len(pages)}",
        )
        for number, content in enumerate(pages, start=1)
    ]


def _tables(strip: HullStrip) -> list[Table]:
    """Stations of a strip, and its holes or ties."""
    stations = [(mark.text, 1000.0 * mark.at) for mark in strip.marks if mark.kind == "station"]
    holes = [mark for mark in strip.marks if mark.kind != "station"]
    rows = [(mark.text or f"hole {k}", 1000.0 * mark.at) for k, mark in enumerate(holes, start=1)]
    what = "ties of the webs" if holes and holes[0].kind == "web" else "holes"
    name = strip.name[0].upper() + strip.name[1:]
    return [
        Table(f"{name}: stations", "From the bow centre.", tuple(stations)),
        Table(f"{name}: {what}", f"{1000.0 * strip.hole:g} mm, from the bow centre.", tuple(rows)),
    ]
