"""A drawing in millimetres that knows no file format: lines, circles, areas and text on named layers.

y is up and the origin is the lower left corner of the sheet. Draw once, write many: every writer in `export` reads
these few nouns.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from skirtloft.maths.frozen import Floats

Layer = Literal[
    "cut",
    "sew",
    "fold",
    "finished",
    "mark",
    "holes",
    "slit",
    "zone",
    "place",
    "text",  # on templates
    "hull",
    "loop",
    "segment",
    "ground",
    "ghost",
    "axis",
    "dimension",
    "frame",
    "register",  # on drawings
]


@dataclass(frozen=True)
class Style:
    """How a layer looks in black and white: width [mm], dash lengths [mm] (empty = solid), grey 0 black .. 1 white."""

    width: float
    dash: tuple[float, ...] = ()
    grey: float = 0.0


STYLES: dict[Layer, Style] = {
    "cut": Style(0.7),
    "sew": Style(0.35, (4.0, 2.0)),
    "fold": Style(0.35, (10.0, 2.0, 1.0, 2.0)),
    "finished": Style(0.35, (1.0, 1.5)),
    "mark": Style(0.35),
    "holes": Style(0.35),
    "slit": Style(0.5, (1.5, 1.0)),
    "place": Style(0.25, (3.0, 2.0), 0.3),
    "zone": Style(0.18, (0.8, 1.6), 0.45),
    "text": Style(0.25),
    "hull": Style(1.0),
    "loop": Style(0.7),
    "segment": Style(0.5),
    "ground": Style(0.5, (12.0, 3.0)),
    "ghost": Style(0.25, (3.0, 2.0), 0.4),
    "axis": Style(0.18, (12.0, 2.0, 1.0, 2.0)),
    "dimension": Style(0.18),
    "frame": Style(0.5),
    "register": Style(0.25),
}


@dataclass(frozen=True, eq=False)
class Line:
    """A polyline; `points` (n, 2) [mm]."""

    layer: Layer
    points: Floats
    closed: bool = False


@dataclass(frozen=True)
class Circle:
    """A circle; centre and radius [mm]."""

    layer: Layer
    x: float
    y: float
    radius: float


@dataclass(frozen=True, eq=False)
class Area:
    """A filled polygon; `points` (n, 2) [mm], grey 0 black .. 1 white."""

    layer: Layer
    points: Floats
    grey: float = 0.0


@dataclass(frozen=True)
class Text:
    """One line of text; (x, y) [mm] is the anchor on the baseline, `height` [mm] of a capital letter, `angle` [deg]."""

    layer: Layer
    x: float
    y: float
    text: str
    height: float = 3.5
    angle: float = 0.0
    anchor: Literal["start", "middle", "end"] = "start"
    bold: bool = False


Item = Line | Circle | Area | Text


@dataclass(frozen=True)
class Sheet:
    """One drawing.

    Parameters
    ----------
    name : str
        File name without ending.
    title : str
    width, height : float [mm]
    items : tuple of Item
    kind : "template" (true size, may be tiled) or "drawing" (a page)
    """

    name: str
    title: str
    width: float
    height: float
    items: tuple[Item, ...]
    kind: Literal["template", "drawing"] = "drawing"
