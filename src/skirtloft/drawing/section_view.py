"""One section on a sheet: its key points, its scale, and the lines that every drawing of it shares."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from skirtloft.design.units import format_length
from skirtloft.drawing.chart_labels import Wanted, placed_labels
from skirtloft.drawing.dimension import Dimension
from skirtloft.drawing.overlap import item_shape
from skirtloft.drawing.page import Room
from skirtloft.drawing.sheet import Circle, Item, Layer, Line, Text
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.arc import half_angle_of
from skirtloft.physics.face import face_half_width
from skirtloft.pipeline import Shaped, Skirt
from skirtloft.service.diaphragm import DiaphragmResult
from skirtloft.shape.chosen import chosen_stations as stations_of_runs

SCALES = (1.0, 2.0, 2.5, 4.0, 5.0, 7.5, 10.0, 15.0, 20.0)
STUB = 0.06  # m of flat bottom and of ground drawn beyond the inner fixing
ARC_POINTS = 121


@dataclass(frozen=True, eq=False)
class View:
    """From metres in the section to millimetres on the sheet."""

    scale: float
    x0: float
    y0: float

    def at(self, points: Sequence[float] | Floats | list[list[float]]) -> Floats:
        """Map (…, 2) [m] to sheet mm."""
        return frozen_array(np.asarray(points) * (1000.0 / self.scale) + np.array([self.x0, self.y0]))


def chosen_stations(skirt: Shaped) -> list[int]:
    """Return the stations that get a drawing: for each run in turn the one nearest its middle."""
    return stations_of_runs(skirt.plan.stations)


def station_words(skirt: Shaped, i: int) -> str:
    """Return "P04, bow corner"."""
    return f"{skirt.plan.stations.ids[i]}, {skirt.plan.stations.runs[i].replace('_', ' ')}"


def key_points(skirt: Shaped, i: int) -> dict[str, Floats]:
    """Return E, J, G, I, C in section coordinates [m], x outboard from E."""
    sections = skirt.sections
    depth, offset = float(sections.depth[i]), float(sections.offset[i])
    return {
        "E": np.array([0.0, depth + float(sections.rise[i])]),
        "J": np.array([offset, depth]),
        "G": np.array([offset - float(sections.tip_inboard[i]), 0.0]),
        "I": np.array([offset - float(sections.inboard[i]), depth - float(sections.drop[i])]),
        "C": np.array([offset - float(sections.centre_inset[i]), float(sections.centre_z[i])]),
    }


def loop_line(skirt: Shaped, i: int) -> Floats:
    """Return points of the loop, E to J, (n, 2) [m]."""
    sections = skirt.sections
    angle = np.linspace(float(sections.start_angle[i]), float(sections.end_angle[i]), ARC_POINTS)
    centre, radius = key_points(skirt, i)["C"], float(sections.radius[i])
    return np.asarray(centre + radius * np.column_stack([np.cos(angle), np.sin(angle)]))


def fitted_view(points: Floats, room: Room, ends: Floats | None = None) -> View:
    """Return the view at the largest standard scale at which everything fits in `room`, centred.

    Parameters
    ----------
    points : (n, 2) [m]
        Drawn to scale; the ground is kept in view.
    room : Room [mm]
    ends : (n, 2) [mm], optional
        How far from each point something of fixed size reaches.
    """
    reach = np.zeros_like(points) if ends is None else ends
    for scale in SCALES:
        at = points * (1000.0 / scale)
        every = np.vstack([at, at + reach, [[at[0, 0], 0.0]]])
        low, high = every.min(axis=0), every.max(axis=0)
        if high[0] - low[0] <= room.width and high[1] - low[1] <= room.height:
            break
    middle = (low + high) / 2.0
    return View(scale, (room.left + room.right) / 2.0 - middle[0], (room.bottom + room.top) / 2.0 - middle[1])


def outline(skirt: Shaped, i: int, view: View) -> list[Item]:
    """Return hull, loop, web, ground and the crown of the face."""
    points, clearance = key_points(skirt, i), skirt.design.hull.clearance
    e, j, g, inner = (view.at(points[name]) for name in "EJGI")
    bottom = view.at([points["I"][0] - STUB, clearance])
    chine = view.at([points["I"][0] - STUB / 3.0, clearance])
    ground = view.at([[points["I"][0] - STUB, 0.0], [max(points["J"][0], 0.0) + STUB, 0.0]])
    return [
        Line("hull", frozen_array([bottom, chine, inner, e])),
        Line("loop", frozen_array(view.at(loop_line(skirt, i)))),
        Line("segment", frozen_array([j, g, inner]), False),
        Line("segment", frozen_array([inner, j]), False),
        Line("ground", frozen_array(ground)),
        Line("finished", frozen_array(view.at(crown_line(skirt, i)))),
        Line("register", frozen_array(ground - np.array([0.0, 1000.0 * hover_gap(skirt, i) / view.scale]))),
        *_diaphragm(skirt, i, view),
    ]


def hover_gap(skirt: Shaped, i: int) -> float:
    """Return the daylight [m] wanted under the tip at station `i`; in a corner that of the craft."""
    air = skirt.design.air
    return float(air.gap + getattr(air.gap_by_run, skirt.plan.stations.runs[i], 0.0))


def _held(skirt: Shaped) -> DiaphragmResult | None:
    """Return the diaphragm; None where there is none, or only the shape is known yet."""
    return skirt.service.diaphragm if isinstance(skirt, Skirt) else None


def _diaphragm(skirt: Shaped, i: int, view: View) -> list[Item]:
    """Return the diaphragm from the joint to where it is held on the hull; nothing where there is none."""
    held = _held(skirt)
    if held is None or not bool(held.is_there[i]):
        return []
    return [Line("slit", frozen_array(view.at([key_points(skirt, i)["J"], held.place.attachment.point[i]])))]


def taut_ghost(skirt: Shaped, i: int) -> Floats:
    """Return E, J, G and I at the taut limit, tip down, (4, 2) [m]; where there is none, those as cut."""
    points = key_points(skirt, i)
    out = np.array([float(skirt.sections.offset[i]), 0.0])  # from the joint's axes to the hull edge's
    joint, tip = skirt.behaviour.taut_joint[i, 0] + out, skirt.behaviour.taut_tip[i, 0] + out
    if np.isnan(joint).any():
        joint, tip = points["J"], points["G"]
    return np.stack([points["E"], joint, tip, points["I"]])


def ghost_lines(ghost: Floats, view: View) -> list[Item]:
    """Return the loop gone straight and the web turned under, as `taut_ghost` gives them."""
    return [Line("ghost", view.at(ghost[:2])), Line("ghost", view.at(ghost[1:]), True)]


def section_legend(skirt: Shaped, i: int, rows: Sequence[tuple[Layer, str]]) -> tuple[tuple[Layer, str], ...]:
    """Return legend rows with those of the ground at the gap and the diaphragm."""
    show = skirt.design.project.show
    words = format_length(hover_gap(skirt, i), "imperial" if show == "imperial" else "metric")
    held = _held(skirt)
    rows = (*rows, ("register", f"ground at a gap of {words}"))
    return (*rows, ("slit", "diaphragm")) if held is not None and bool(held.is_there[i]) else rows


def crown_line(skirt: Shaped, i: int) -> Floats:
    """Return the crown of the face at mid pitch, (n, 2) [m]: from flat at the joint to half round at the tip."""
    pitch, face = float(skirt.sections.pitch[i]), float(skirt.sections.face_angle[i])
    points = key_points(skirt, i)
    share = np.linspace(0.0, 1.0, 61)
    half = face_half_width(share, pitch, pitch, math.pi / 4.0 * pitch)
    turn = half_angle_of(pitch / (2.0 * half))
    bulge = half * (1.0 - np.cos(turn)) / np.maximum(turn, 1e-9)
    normal = np.array([math.sin(face), -math.cos(face)])
    line: Floats = points["J"] + share[:, None] * (points["G"] - points["J"]) + bulge[:, None] * normal
    below = np.flatnonzero(line[:, 1] < 0.0)
    if len(below) == 0:
        return line
    last, first = line[below[0] - 1], line[below[0]]
    on_ground = last + (first - last) * last[1] / (last[1] - first[1])  # the tip is cut level
    return np.vstack([line[: below[0]], on_ground])


def named_points(skirt: Shaped, i: int, view: View, names: str, drawn: Sequence[Item], room: Room) -> list[Item]:
    """Return a circle on each key point and its letter at the nearest place clear of what is drawn."""
    points = key_points(skirt, i)
    places = {name: view.at(points[name]) for name in names}
    circles: list[Item] = [Circle("mark", float(p[0]), float(p[1]), 0.8) for p in places.values()]
    wanted = [Wanted(name, frozen_array([place]), 0.8) for name, place in places.items()]
    return [*circles, *(_bold(item) for item in placed_labels(wanted, [*drawn, *circles], room))]


def _bold(item: Item) -> Item:
    return replace(item, bold=True) if isinstance(item, Text) else item


def cross(at: Floats) -> list[Item]:
    """Return a small cross."""
    x, y = at
    return [
        Line("axis", frozen_array([[x - 4, y], [x + 4, y]])),
        Line("axis", frozen_array([[x, y - 4], [x, y + 4]])),
    ]


def clearest(candidates: Sequence[Dimension], drawn: Sequence[Item]) -> tuple[Item, ...]:
    """Return the items of the dimension whose text meets least of what is drawn, the first of several."""
    import shapely

    tree = shapely.STRtree([item_shape(item) for item in drawn])
    hits = [len(tree.query(shapely.Polygon(one.text_box).buffer(0.4), predicate="intersects")) for one in candidates]
    return candidates[int(np.argmin(hits))].items


def legend(rows: Sequence[tuple[Layer, str]], left: float, top: float) -> list[Item]:
    """Return a line of each layer with its words, one below the other; many stand closer."""
    items: list[Item] = []
    step = min(4.6, 20.0 / max(1, len(rows) - 1))
    for k, (layer, words) in enumerate(rows):
        y = top - step * k
        items.append(Line(layer, frozen_array([[left, y], [left + 18.0, y]])))
        items.append(Text("text", left + 20.0, y - 1.0, words, 2.3))
    return items
