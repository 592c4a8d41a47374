"""The loop cut into panels and unrolled flat, without any strain.

Method: the strip between two neighbouring sections is flat along its rulings (closed form, `rulings`); both sections
carry equally spaced samples, the strip is cut into triangles in the order of the rulings and laid out triangle by
triangle. Neighbours share the samples of their seam and its true arc steps, so both sides agree edge by edge.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

from skirtloft.errors import ShapeError
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.types import Sections
from skirtloft.shape.flatten.row import FlatRow
from skirtloft.shape.flatten.strain import StrainReport
from skirtloft.shape.loft import Loft, SectionArcs, arc_angles, arc_points, loft, take_arcs
from skirtloft.shape.outset import Outset, set_out
from skirtloft.shape.rulings import axis_distances, step_order
from skirtloft.shape.types import FlatPanel, Plan

Pattern = Literal["quick", "exact"]
INTERVALS = 128  # steps along every seam: corners of a panel good to 1e-6 m, falling with the square of the step
SAME = 1e-9  # m: sections this much alike make a rectangle
SQUARE = 1e-9  # of a direction: a section this true to the centre line stands on it


@dataclass(frozen=True, eq=False)
class Development:
    """The loop of the port half as flat panels, from the bow.

    Parameters
    ----------
    surface : Loft
        The sections as they stand.
    outset : Outset
        The sections the panels were unrolled between.
    panels : tuple of FlatPanel
        One between every two stations.
    hull_edge_error, joint_edge_error : (panels,) [m]
        Edge of the pattern less the true curve.
    pattern : "quick" or "exact"
        Unrolled without strain between sections set out a little, edges straight; or flattened by least strain.
    flat_rows : tuple of FlatRow
        What exact panels come from; empty for quick ones.
    strain : tuple of StrainReport or None
        One per exact panel, None where it is a rectangle as it stands; empty for quick ones.
    deviation : (panels,) [m], optional
        How far each panel may stand off the drawn shape when inflated.
    deviation_by : "rule" or "inflated"
        Whether `deviation` is a rule of thumb, or was found by inflating these panels with their edges held.
    """

    surface: Loft
    outset: Outset
    panels: tuple[FlatPanel, ...]
    hull_edge_error: Floats
    joint_edge_error: Floats
    pattern: Pattern = "quick"
    flat_rows: tuple[FlatRow, ...] = ()
    strain: tuple[StrainReport | None, ...] = ()
    deviation: Floats | None = None
    deviation_by: Literal["rule", "inflated"] = "rule"


def develop(plan: Plan, sections: Sections, intervals: int = INTERVALS) -> Development:
    """Return the loop panels of the port half, unrolled flat.

    Parameters
    ----------
    plan : Plan
    sections : Sections
        One per station of `plan`.
    intervals : int
        Steps along every seam.

    Returns
    -------
    Development
        Panel ids L01, L02 ... from the bow. A rectangular panel at the bow or stern centre goes on across the centre
        line, from station S01 to P01; any other has a seam on the centre line.

    Raises
    ------
    ShapeError
        Where two neighbouring sections cannot be joined.
    """
    surface = loft(plan, sections)
    edges = set_out(surface)
    rectangular = _is_rectangle(surface, edges)
    unrolled = np.flatnonzero(~rectangular)
    _refuse_crossed_planes(surface, edges)
    start_seams, end_seams = unroll_strips(take_arcs(edges.start, unrolled), take_arcs(edges.end, unrolled), intervals)
    panels: list[FlatPanel] = []
    for i in range(len(surface.ids) - 1):
        if rectangular[i]:
            panels.append(_rectangle(surface, i, intervals))
        else:
            k = int(np.searchsorted(unrolled, i))
            panels.append(_flat_panel(surface, i, start_seams[k], end_seams[k]))
    width = np.array([2.0 if panel.across else 1.0 for panel in panels])
    return Development(
        surface=surface,
        outset=edges,
        panels=tuple(panels),
        hull_edge_error=frozen_array([panel.hull_edge for panel in panels] - width * surface.hull_length),
        joint_edge_error=frozen_array([panel.joint_edge for panel in panels] - width * surface.joint_length),
    )


def unroll_strips(start: SectionArcs, end: SectionArcs, intervals: int) -> tuple[Floats, Floats]:
    """Return both seams of every strip, flat, each (n, intervals + 1, 2) [m], from the hull edge to the joint.

    The joint end of `end` is the origin, the joint edge runs along +x to `start`, the hull edge lies at larger y.
    Seam steps are true arc lengths, the lines across are chords in space: second order in the step.
    """
    end_moves = step_order(end, start, intervals)
    end_points = arc_points(end, arc_angles(end, intervals))
    start_points = arc_points(start, arc_angles(start, intervals))
    crossings = crossing_lengths(end_points, start_points, end_moves)
    steps = np.where(end_moves, (end.length / intervals)[:, None], (start.length / intervals)[:, None])
    end_seam, start_seam = unroll(steps, crossings, end_moves)
    return _in_piece_frame(start_seam, end_seam)


def crossing_lengths(left: Floats, right: Floats, left_moves: npt.NDArray[np.bool_]) -> Floats:
    """Return the lengths of the lines across a strip, (n, k + 1) [m].

    Parameters
    ----------
    left, right : (n, m, 3) [m]
    left_moves : (n, k) bool, k = 2 (m - 1)
        Which side moves on to its next sample at each step.
    """
    none_yet = np.zeros((len(left_moves), 1), dtype=np.intp)
    on_left = np.concatenate([none_yet, np.cumsum(left_moves, axis=1)], axis=1)
    on_right = np.concatenate([none_yet, np.cumsum(~left_moves, axis=1)], axis=1)
    apart = np.take_along_axis(right, on_right[..., None], axis=1) - np.take_along_axis(
        left, on_left[..., None], axis=1
    )
    lengths: Floats = np.linalg.norm(apart, axis=-1)
    return lengths


def unroll(steps: Floats, crossings: Floats, left_moves: npt.NDArray[np.bool_]) -> tuple[Floats, Floats]:
    """Return the two sides of triangle strips laid flat, each (n, moves of that side + 1, 2) [m].

    Parameters
    ----------
    steps : (n, k) [m]
        Length of the outer side of every triangle: a step along the left or the right seam.
    crossings : (n, k + 1) [m]
        Lengths of the lines from the left to the right seam that bound the triangles.
    left_moves : (n, k) bool
        Which side moves on; each strip with the same number of moves on the left.

    Returns
    -------
    left, right : the first crossing runs from the origin along +x, the strip hangs down from it.

    Notes
    -----
    Every triangle turns the crossing by its apex angle g about the side that stands still,
    ``tan(g/2)^2 = (s^2 - (c - c')^2)/((c + c')^2 - s^2)``; crossings are complex numbers, seams running sums of their
    differences, so a step of either seam has its given length to rounding. [derived: law of cosines, half angle]
    """
    before, after = crossings[:, :-1], crossings[:, 1:]
    spare = np.maximum(steps**2 - (before - after) ** 2, 0.0)
    apex = 2.0 * np.arctan2(np.sqrt(spare), np.sqrt(np.maximum((before + after) ** 2 - steps**2, 0.0)))
    turned = np.cumsum(np.where(left_moves, apex, -apex), axis=1)
    direction = np.concatenate([np.zeros((len(steps), 1)), turned], axis=1)
    change = np.diff(crossings * np.exp(1j * direction), axis=1)
    count, lefts = len(steps), int(np.count_nonzero(left_moves[:1]))
    left = np.cumsum(-change[left_moves].reshape(count, lefts), axis=1)
    right = np.cumsum(change[~left_moves].reshape(count, steps.shape[1] - lefts), axis=1)
    first = np.zeros((count, 1), dtype=np.complex128)
    left = np.concatenate([first, left], axis=1)
    right = np.concatenate([first, right], axis=1) + crossings[:, :1]
    return np.stack([left.real, left.imag], axis=-1), np.stack([right.real, right.imag], axis=-1)


def _in_piece_frame(start_seam: Floats, end_seam: Floats) -> tuple[Floats, Floats]:
    """Turn strips (n, m, 2) so that the joint edge runs from the origin (end) along +x (start)."""
    origin = end_seam[:, -1:, :]
    along = start_seam[:, -1, :] - end_seam[:, -1, :]
    cosine, sine = (along / np.linalg.norm(along, axis=1)[:, None]).T
    turn = np.stack([np.stack([cosine, -sine], axis=-1), np.stack([sine, cosine], axis=-1)], axis=-2)
    return (start_seam - origin) @ turn, (end_seam - origin) @ turn


def _is_rectangle(surface: Loft, edges: Outset) -> npt.NDArray[np.bool_]:
    """Return per panel whether it is straight between equal sections, (p,)."""
    arcs = surface.arcs
    one, two = take_arcs(arcs, slice(0, -1)), take_arcs(arcs, slice(1, None))
    shape = np.column_stack([arcs.centre_outboard, arcs.centre_z, arcs.length, surface.hull[:, 2], surface.depth])
    alike = np.all(np.abs(np.diff(shape, axis=0)) < SAME, axis=1)
    straight = np.isinf(axis_distances(one, two)[0])
    square = np.abs(np.sum((two.joint - one.joint) * one.outward, axis=1)) < SAME
    result: npt.NDArray[np.bool_] = alike & straight & square & ~edges.is_set_out
    return result


def _refuse_crossed_planes(surface: Loft, edges: Outset) -> None:
    """Raise where two section planes meet outboard of the hull edge or the joint: the loop would cross itself."""
    for arcs, from_axis in zip((edges.start, edges.end), axis_distances(edges.start, edges.end), strict=True):
        hull = from_axis + arcs.centre_outboard + arcs.radius * np.cos(arcs.start_angle)
        room = np.minimum(hull, from_axis)
        if np.any(room <= 0.0):
            i = int(np.argmin(room))
            raise ShapeError(
                f"loop between stations {surface.ids[i]} and {surface.ids[i + 1]}",
                f"the section planes meet {-room[i]:.3f} m outboard of the hull edge.",
                f"A joint line with a corner radius larger by {-room[i] + 0.05:.3f} m would do.",
            )


def _flat_panel(surface: Loft, i: int, start_seam: Floats, end_seam: Floats) -> FlatPanel:
    return FlatPanel(
        id=f"L{i + 1:02d}",
        start=surface.ids[i],
        end=surface.ids[i + 1],
        run=surface.runs[i],
        seam_start=frozen_array(start_seam),
        seam_end=frozen_array(end_seam),
        hull_line=frozen_array([start_seam[0], end_seam[0]]),
        joint_line=frozen_array([start_seam[-1], end_seam[-1]]),
        hull_edge=float(np.hypot(*(start_seam[0] - end_seam[0]))),
        joint_edge=float(np.hypot(*(start_seam[-1] - end_seam[-1]))),
        is_rectangle=False,
        across=False,
        area=outline_area(np.concatenate([end_seam[::-1], start_seam])),
    )


def outline_area(outline: Floats) -> float:
    """Return the area inside a closed line (k, 2) [m2], first point not repeated."""
    following = np.roll(outline, -1, axis=0)
    return abs(float(np.sum(outline[:, 0] * following[:, 1] - outline[:, 1] * following[:, 0]))) / 2.0


def _rectangle(surface: Loft, i: int, intervals: int) -> FlatPanel:
    """Return a straight panel between equal sections; at the bow or stern centre on its full width."""
    last = len(surface.ids) - 2
    at_bow, at_stern = i == 0 and _on_centre(surface, 0), i == last and _on_centre(surface, -1)
    across = at_bow or at_stern
    height = float(surface.arcs.length[i])
    width = float(surface.joint_length[i]) * (2.0 if across else 1.0)
    down = np.linspace(height, 0.0, intervals + 1)
    sides = np.array([width, 0.0])
    return FlatPanel(
        id=f"L{i + 1:02d}",
        start=_mirrored(surface.ids[i + 1]) if at_bow else surface.ids[i],
        end=_mirrored(surface.ids[i]) if at_stern and not at_bow else surface.ids[i + 1],
        run=surface.runs[i],
        seam_start=frozen_array(np.column_stack([np.full(intervals + 1, width), down])),
        seam_end=frozen_array(np.column_stack([np.zeros(intervals + 1), down])),
        hull_line=frozen_array(np.column_stack([sides, np.full(2, height)])),
        joint_line=frozen_array(np.column_stack([sides, np.zeros(2)])),
        hull_edge=width,
        joint_edge=width,
        is_rectangle=True,
        across=across,
        area=width * height,
    )


def _on_centre(surface: Loft, station: int) -> bool:
    """Return whether a station stands on the centre line, facing along it."""
    return bool(abs(surface.arcs.joint[station, 1]) < SAME and abs(surface.arcs.outward[station, 1]) < SQUARE)


def _mirrored(station: str) -> str:
    return "S" + station[1:]
