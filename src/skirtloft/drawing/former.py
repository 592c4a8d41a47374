"""A section at true size for a former: a board to build the hull to, or to hold hull edge and loop against."""

from __future__ import annotations

import numpy as np

from skirtloft.drawing.lettering import text_width
from skirtloft.drawing.page import Stamp, drawn_length
from skirtloft.drawing.section_view import View, chosen_stations, crown_line, key_points, loop_line, station_words
from skirtloft.drawing.sheet import Circle, Item, Line, Sheet, Text
from skirtloft.drawing.template import MARGIN, rules
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.pipeline import Skirt

GROUND = 40.0  # mm of ground line drawn on both sides of the tip
LETTERS = 5.0  # mm


def former_sheets(skirt: Skirt, stamp: Stamp) -> list[Sheet]:
    """Return one true-size section for the bow, each corner's middle, the side and the stern."""
    return [former_sheet(skirt, i, stamp) for i in chosen_stations(skirt)]


def former_sheet(skirt: Skirt, i: int, stamp: Stamp) -> Sheet:
    """Return the section at station index `i` at true size: hull edge, loop, joint, tip, inner fixing and back.

    The cloth lies on the outside of the line. Hull edge to inner fixing is drawn straight.
    """
    points = key_points(skirt, i)
    ring = np.vstack([loop_line(skirt, i), points["G"], points["I"]])
    every = 1000.0 * np.vstack([ring, crown_line(skirt, i), points["C"]])
    low, high = every.min(axis=0) - MARGIN, every.max(axis=0) + MARGIN
    view = View(1.0, -float(low[0]), -float(low[1]))
    width, height = high - low
    e, j, g, inner, c = (view.at(points[name]) for name in "EJGIC")
    items: list[Item] = [
        Line("cut", frozen_array(view.at(ring)), True),
        Line("sew", frozen_array([j, inner])),
        Line("finished", frozen_array(view.at(crown_line(skirt, i)))),
        Line("ground", frozen_array([[max(g[0] - GROUND, 0.0), g[1]], [min(g[0] + GROUND, width), g[1]]])),
        Circle("holes", float(c[0]), float(c[1]), 1.0),
    ]
    for centre in (c, e, j, g, inner):
        items += [Line("mark", frozen_array([centre - way, centre + way])) for way in 6.0 * np.eye(2)]
    middle = (j + g + inner) / 3.0
    for name, at in zip("EJGI", (e, j, g, inner), strict=True):
        items.append(_letter(name, at, middle if name != "E" else (e + j + inner) / 3.0))
    items += _words(skirt, i, stamp, (j, g, inner))
    name = f"former-{skirt.plan.stations.ids[i]}"
    items += rules(float(width), float(height))
    title = f"Former {station_words(skirt, i)}"
    return Sheet(name, title, float(width), float(height), tuple(items), "template")


def _letter(name: str, at: Floats, towards: Floats) -> Text:
    """A letter inside the outline, off the corner that it names."""
    way = (towards - at) / np.linalg.norm(towards - at)
    x, y = at + 16.0 * way
    return Text("text", float(x), float(y) - LETTERS / 2.0, name, LETTERS, 0.0, "middle", True)


def _words(skirt: Skirt, i: int, stamp: Stamp, web: tuple[Floats, Floats, Floats]) -> list[Item]:
    """What the board is, below the upper edge of the web, in letters that fit its width there."""
    j, g, inner = web
    show, project = skirt.design.project.show, stamp.project
    lengths = [drawn_length(float(skirt.sections.length[i]), show), drawn_length(float(skirt.sections.radius[i]), show)]
    words = [
        f"Former {station_words(skirt, i)}",
        f"{project.name}, revision {stamp.revision}",
        f"loop {lengths[0]} from E round to J, radius {lengths[1]}",
        "outboard to the right; turn over for the other side",
        "dots: crown of the face; heavy dashes: ground, level",
        *(line for line in (stamp.banner, stamp.record) if line),
    ]
    top = min(float(j[1]), float(inner[1])) - 12.0
    items: list[Item] = []
    for k, line in enumerate(words):
        size = LETTERS if k else 1.4 * LETTERS
        top -= 1.9 * size
        share = (top - float(g[1])) / (float(j[1]) - float(g[1]))
        left, right = (float(g[0]) + share * (float(end[0]) - float(g[0])) for end in (inner, j))
        room = right - left - 24.0
        while text_width(line, size, True) > room and size > 1.5:
            size -= 0.25
        bold = k == 0 or line == stamp.banner
        items.append(Text("text", (left + right) / 2.0, top, line, size, 0.0, "middle", bold))
    return items
