"""The parts of a build pack by name, and what the read-me says of its files."""

from __future__ import annotations

from collections.abc import Sequence

# Parts of a pack by name, with how the names of their files begin. The read-me and the manifest are in every pack.
PARTS: dict[str, tuple[str, ...]] = {
    "book": ("build-book.pdf",),
    "drawings": ("drawings/", "hull-offsets.csv"),
    "layout": ("drawings/roll.pdf", "layout.json"),
    "materials": ("materials.csv",),
    "strips": ("strips/",),
    "formers": ("formers/",),
    "tapes": ("tapes/",),
    "trial-kit": ("trial-kit/",),
    "mock-up": ("mock-up/",),
    "templates": ("templates/",),
    "pictures": ("pictures/",),
    "sewing": ("templates-sewing/",),
    "tiles": ("tiles-",),
    "cards": ("cards/",),
    "cut-list": ("cut-list.csv",),
    "model": ("skirt.glb", "overview.png"),
    "results": ("results.json",),
}
LAID_OUT = ("book", "drawings", "layout", "materials")  # parts that need the pieces laid out on the roll

TILES = "tiles-"
FILES = (
    ("00-read-me.pdf", "this"),
    ("build-book.pdf", "everything to buy, cut, sew, fit and test by, in the order of the work"),
    ("drawings/", "plan; sections and what they carry; air; how it sits; bounce; water; hull; strain; the roll"),
    ("hull-offsets.csv", "the hull's lines by station"),
    ("strips/", "strips to wrap along the hull for drilling, plotted or on tiles, and their distances"),
    ("formers/", "the section at bow, side, stern and corners at true size, for a board to build to"),
    ("tapes/", "a strip for every seam with its notches, letters and holes, to lay on either piece"),
    (
        "trial-kit/",
        "three segments, strip and loop to sew first, and a box to blow them up in, with the shape to expect",
    ),
    ("mock-up/", "the port half in card: plan board, formers that slot on to it, loop panels, a few segments"),
    ("templates/", "every template at true size: PDF to plot; DXF, SVG to cut, each hand"),
    ("pictures/", "every template as a picture to sew by, on a phone or tablet; not at true size"),
    ("templates-sewing/", "the pieces by cloth in the open sewn-pattern standard, for sewing software"),
    (TILES, "the same cut into office pages, and the printer test page"),
    ("cards/", "rectangles to measure and mark by hand"),
    ("cut-list.csv", "every piece: quantity, size, area, mass, holes"),
    ("since.csv", "what becomes of each piece of the earlier pack"),
    ("materials.csv", "what to buy"),
    ("layout.json", "where every piece lies on the roll; beside the design it is NAME.layout.json"),
    ("skirt.glb, overview.png", "the skirt as drawn, in three dimensions"),
    ("results.json", "every number, for an engineer to check"),
    ("manifest.json", "what this pack holds, with hashes"),
)


def belongs(name: str, only: Sequence[str]) -> bool:
    """Tell whether a file is in a pack of these parts; files of no part are in every pack."""
    parts = [part for part, begins in PARTS.items() if name.startswith(begins)]
    return not only or not parts or any(part in only for part in parts)
