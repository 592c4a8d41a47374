"""Diaphragm strips: a light cloth with vents from the joint to the hull, one strip between every two webs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from skirtloft.design.units import format_length
from skirtloft.errors import ShapeError
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.pieces.finish import RUN_WORDS, Sewn, finish
from skirtloft.pieces.joint import holes_in_pitch, pitch_text, places_on_joint_line, segment_number
from skirtloft.pieces.seams import hem_allowance
from skirtloft.pieces.strip import hole_line
from skirtloft.pieces.types import CutPiece, Edge, Hand, SewnRun

if TYPE_CHECKING:
    from skirtloft.design.model import Design
    from skirtloft.shape.types import Plan

SAME_STRIP = 1e-3  # m: strips whose corners differ by less are cut alike; the cloth gives more than that


@dataclass(frozen=True)
class Vents:
    """Vents of one strip: `rows` along the joint of `columns` each, `count` in all; distances [m].

    `first` is from the joint line to the centres of the row beside it, `row_step` and `column_step` between centres.
    """

    diameter: float
    count: int
    rows: int
    columns: int
    first: float
    row_step: float
    column_step: float


@dataclass(frozen=True, eq=False)
class DiaphragmCut:
    """A diaphragm as it is to be cut.

    Parameters
    ----------
    at : (n,) [m]
        Along the joint line from the bow centre, increasing.
    reach, rise : (n,) [m]
        From the joint inboard and up to the place on the hull.
    there : (n,) bool
    vents : mapping
        By the name of the run.
    """

    at: Floats
    reach: Floats
    rise: Floats
    there: np.ndarray[tuple[int], np.dtype[np.bool_]]
    vents: dict[str, Vents]


@dataclass(frozen=True, eq=False)
class _Strips:
    """Segments of the port half of a run, by place, whose strips are alike; `corners` as `strip_corners`."""

    run: SewnRun
    numbers: tuple[int, ...]
    corners: Floats


def strip_corners(run: SewnRun, bow: tuple[float, float], stern: tuple[float, float]) -> Floats:
    """Return the corners of a strip flat: joint stern, joint bow, hull bow, hull stern, (4, 2) [m].

    Parameters
    ----------
    run : SewnRun
    bow, stern : (reach, rise) [m]
        From the joint to the hull at the two web lines.

    Raises
    ------
    ShapeError
        The strip has no width left at the hull.

    Notes
    -----
    The joint edge is the cut pitch. Both sides and both diagonals are those of the strip in space, its plan widths
    scaled so that the joint edge is the pitch. Frame: x to the bow, y to the hull, origin in the middle of the joint.
    """
    if run.wedge > 0.0:
        half = run.wedge / 2.0
        scale = run.pitch / (2.0 * run.radius * np.sin(half))
        inward = np.array([-np.cos(half), -scale * np.sin(half)])  # outboard and along, at the bow side
    else:
        inward = np.array([-1.0, 0.0])
    if run.wedge > 0.0 and max(bow[0], stern[0]) >= run.radius:
        raise ShapeError(
            "diaphragm",
            f"In the {RUN_WORDS[run.name]} of radius {run.radius * 1e3:.0f} mm strips that reach "
            f"{max(bow[0], stern[0]) * 1e3:.0f} mm inboard would cross.",
            "Bring skirt.diaphragm's place on the hull nearer to the joint there, or give the bow or stern margin = 0.",
        )
    joint = np.array([[0.0, run.pitch / 2.0, 0.0], [0.0, -run.pitch / 2.0, 0.0]])
    hull = []
    for (reach, rise), side, at in ((bow, 1.0, joint[0]), (stern, -1.0, joint[1])):
        hull.append(at + np.array([reach * inward[0], side * reach * inward[1], rise]))
    ends = (joint[0], joint[1])
    flat = []
    for point, side in ((hull[0], 1.0), (hull[1], -1.0)):
        to_bow, to_stern = (float(np.linalg.norm(point - end)) for end in ends)
        x = (to_stern**2 - to_bow**2) / (2.0 * run.pitch)
        flat.append([x, float(np.sqrt(to_bow**2 - (x - run.pitch / 2.0) ** 2))])
        if side * x <= 0.0:
            raise ShapeError("diaphragm", "A strip has no width left at the hull.", "Give that run margin = 0.")
    return frozen_array([[-run.pitch / 2.0, 0.0], [run.pitch / 2.0, 0.0], flat[0], flat[1]])


def diaphragm_pieces(
    design: Design, plan: Plan, runs: Sequence[SewnRun], cut: DiaphragmCut, faces: Sequence[str]
) -> tuple[CutPiece, ...]:
    """Return the strips of a diaphragm, each distinct shape once per hand.

    Parameters
    ----------
    design : Design
    plan : Plan
    runs : sequence of SewnRun
    cut : DiaphragmCut
    faces : sequence of str
        Codes of the faces by run, for the labels.

    Raises
    ------
    ShapeError
        As `strip_corners`.
    """
    made: list[CutPiece] = []
    for index, run in enumerate(runs):
        vents = cut.vents.get(run.name)
        for strips in _alike(plan, run, index, runs, cut) if vents is not None else ():
            made += _pieces(design, strips, f"D{_bases(made) + 1}", vents, faces[index])
    return tuple(made)


def _bases(made: Sequence[CutPiece]) -> int:
    return len({piece.base for piece in made})


def _alike(plan: Plan, run: SewnRun, index: int, runs: Sequence[SewnRun], cut: DiaphragmCut) -> list[_Strips]:
    """Strips of the port half of a run by shape, with that across the centre line."""
    at = np.abs(places_on_joint_line(plan, runs, index))
    last = float(cut.at[-1])
    at = np.where(at > last, 2.0 * last - at, at)
    reach, rise = np.interp(at, cut.at, cut.reach), np.interp(at, cut.at, cut.rise)
    there = np.interp(at, cut.at, cut.there.astype(np.float64)) >= 1.0 - 1e-9
    found: list[_Strips] = []
    middle = run.segments // 2
    ways = {"bow": range(middle, run.segments), "stern": range((run.segments + 1) // 2), "": range(run.segments)}
    for number in ways[run.crosses]:
        if not (there[number] and there[number + 1]):
            continue
        ends = [(float(reach[k]), float(rise[k])) for k in (number, number + 1)]
        corners = strip_corners(run, ends[0], ends[1])
        same = [i for i, other in enumerate(found) if np.abs(other.corners - corners).max() < SAME_STRIP]
        if same:
            other = found[same[0]]
            found[same[0]] = _Strips(run, (*other.numbers, number), other.corners)
        else:
            found.append(_Strips(run, (number,), corners))
    return found


def _pieces(design: Design, strips: _Strips, base: str, vents: Vents | None, faces: str) -> list[CutPiece]:
    assert vents is not None
    assert design.skirt.diaphragm is not None
    making, run, corners = design.making, strips.run, strips.corners
    stern_joint, bow_joint, bow_hull, stern_hull = corners
    hem = hem_allowance(making)
    edges = (
        Edge("joint", "joint", frozen_array([stern_joint, bow_joint]), making.joint, joins=faces),
        Edge("bow side", "hem", frozen_array([bow_joint, bow_hull]), hem),
        Edge("hull edge", "hull", frozen_array([bow_hull, stern_hull]), making.hull_edge, joins="hull"),
        Edge("stern side", "hem", frozen_array([stern_hull, stern_joint]), hem),
    )
    numbers = sorted({segment_number(run, number) for number in strips.numbers})
    is_even = bool(np.abs(corners[:, 0] + corners[[1, 0, 3, 2], 0]).max() < SAME_STRIP)
    sewn = Sewn(
        base=base,
        name=f"diaphragm strip, {RUN_WORDS[run.name]}, {_numbers(numbers)}",
        kind="diaphragm",
        run=run.name,
        edges=edges,
        holes=np.vstack([_joint_holes(design, run), _hull_holes(design, bow_hull, stern_hull)]),
        warp=np.array([0.0, 1.0]),
        joint_length=run.pitch,
        notes=_notes(design, strips),
        cloth="diaphragm",
        vents=vent_places(vents),
        vent_diameter=vents.diameter,
    )
    hands: tuple[Hand, ...] = ("",) if is_even else ("P", "S")
    across = sum(1 for number in strips.numbers if run.crosses and 2 * number + 1 == run.segments)
    count = 2 * len(strips.numbers) - across if is_even else len(strips.numbers)
    return [finish(sewn, hand, count, making.hole, design.skirt.diaphragm.cloth) for hand in hands]


def _numbers(numbers: Sequence[int]) -> str:
    """``segment 3``, ``segments 3, 5`` or ``segments 9 to 12``."""
    if len(numbers) == 1:
        return f"segment {numbers[0]}"
    if len(numbers) > 2 and list(numbers) == list(range(numbers[0], numbers[-1] + 1)):
        return f"segments {numbers[0]} to {numbers[-1]}"
    return f"segments {', '.join(str(number) for number in numbers)}"


def _notes(design: Design, strips: _Strips) -> tuple[str, ...]:
    run = strips.run
    imperial = design.project.show == "imperial"
    lines = ", ".join(pitch_text(run, k) for k in (strips.numbers[0], strips.numbers[-1] + 1))
    span = format_length(
        float(np.hypot(*(strips.corners[2] - strips.corners[1]))), "imperial" if imperial else "metric"
    )
    return (
        f"Between web lines {lines}. Bolt it at the joint with loop, strip and face; finished {span} from joint "
        "to hull. Taut only when the loop is up.",
    )


def _joint_holes(design: Design, run: SewnRun) -> Floats:
    at = -holes_in_pitch(run)
    return np.column_stack([at, np.full(len(at), -hole_line(design.making))])


def _hull_holes(design: Design, bow: Floats, stern: Floats) -> Floats:
    """Holes in the hull hem, evenly along it, the edge distance from its cut edge."""
    making = design.making
    length = float(np.hypot(*(stern - bow)))
    count = max(2, round(length / making.hole_pitch)) if length > 4.0 * making.hole else 1
    along = (stern - bow) / length
    out = np.array([along[1], -along[0]])
    off = making.hull_edge - making.hole_edge
    if off <= making.hole / 2.0:
        return np.zeros((0, 2))
    share = (np.arange(count) + 0.5) / count
    holes: Floats = bow + share[:, None] * (stern - bow) + off * out
    return holes


def vent_places(vents: Vents) -> Floats:
    """Return the centres of the vents of a strip, (count, 2) [m], row by row from the joint; a short row is centred."""
    places = []
    left = vents.count
    for row in range(vents.rows):
        here = min(vents.columns, left)
        left -= here
        x = (np.arange(here) - (here - 1) / 2.0) * vents.column_step
        places.append(np.column_stack([x, np.full(here, vents.first + row * vents.row_step)]))
    return frozen_array(np.vstack(places) if places else np.zeros((0, 2)))
