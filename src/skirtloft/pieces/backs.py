"""What closes the mouth of the stern segments: an anti-scoop flap, or a closed back."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from skirtloft.errors import ShapeError
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.pieces.finish import RUN_WORDS, Sewn, finish
from skirtloft.pieces.joint import alike_segments, line_form, segment_number
from skirtloft.pieces.marks import single_notch
from skirtloft.pieces.seams import STITCH_EDGE, beside, hem_allowance
from skirtloft.pieces.types import CutPiece, Edge, Hand, MarkLine, SewnRun

if TYPE_CHECKING:
    from collections.abc import Sequence

    from skirtloft.design.model import Design
    from skirtloft.design.segment_form import SegmentForm


def back_corners(run: SewnRun, bow: SegmentForm, stern: SegmentForm, reach: tuple[float, float]) -> Floats:
    """Return the corners of a back flat: tip bow, upper bow, upper stern, tip stern, (4, 2) [m].

    Parameters
    ----------
    run : SewnRun
    bow, stern : SegmentForm
        Of the two webs.
    reach : (bow, stern) [m]
        Up the lower edges of the webs from the tip.

    Notes
    -----
    The mouth of a segment is the flat between the lower edges G-I of its webs. On a straight run it is as wide as the
    cut pitch; in a corner its width at a plan radius rho is 2 rho sin(wedge/2), times the cut pitch over that chord at
    the joint. Sides are as long as `reach`; both diagonals of unlike webs are met in the mean.
    Seen from the mouth, y up from the tip, x to the bow.
    """
    ends = []
    for form, up, side in ((bow, reach[0], 1.0), (stern, reach[1], -1.0)):
        tip = np.array([-form.depth / np.tan(form.face_angle), -form.depth])  # outboard, up from J
        inner = np.array([-form.inboard, -form.drop])
        way = (inner - tip) / np.hypot(*(inner - tip))
        ends.append([_in_space(run, point, side) for point in (tip, tip + up * way)])
    (bow_tip, bow_up), (stern_tip, stern_up) = ends
    width = float(np.linalg.norm(bow_tip - stern_tip))
    if width < 0.01:
        raise ShapeError("segment back", "The webs meet at the tip.", "Set making.back.corners = false.")
    flat = []
    for point, own, other, side in ((bow_up, bow_tip, stern_tip, 1.0), (stern_up, stern_tip, bow_tip, -1.0)):
        near, far = float(np.linalg.norm(point - own)), float(np.linalg.norm(point - other))
        x = (far**2 - near**2) / (2.0 * width)
        flat.append([side * x, float(np.sqrt(max(0.0, near**2 - (x - width / 2.0) ** 2)))])
    if flat[0][0] <= flat[1][0]:
        raise ShapeError("segment back", "The webs meet below its upper edge.", "Set making.back.corners = false.")
    return frozen_array([[width / 2.0, 0.0], flat[0], flat[1], [-width / 2.0, 0.0]])


def _in_space(run: SewnRun, point: Floats, side: float) -> Floats:
    """A point of a web's plane (outboard and up from the joint) in space: outboard, along, up [m]."""
    if run.wedge == 0.0:
        return np.array([point[0], side * run.pitch / 2.0, point[1]])
    half = run.wedge / 2.0
    scale = run.pitch / (2.0 * run.radius * np.sin(half))
    rho = run.radius + point[0]
    return np.array([rho * np.cos(half) - run.radius, side * rho * np.sin(half) * scale, point[1]])


def back_pieces(design: Design, runs: Sequence[SewnRun]) -> tuple[CutPiece, ...]:
    """Return the flaps or closed backs of the stern segments, each distinct shape once; () where none are wanted."""
    back = design.making.back
    if back is None:
        return ()
    made: list[CutPiece] = []
    for run in runs:
        if not (run.name == "stern" or (back.corners and run.name == "stern_corner")):
            continue
        for first, alike in alike_segments(run):
            forms = line_form(run, first), line_form(run, first + alike)
            made += _back(design, run, (first, alike), forms, f"K{len({p.base for p in made}) + 1}")
    return tuple(made)


def _back(
    design: Design, run: SewnRun, place: tuple[int, int], forms: tuple[SegmentForm, SegmentForm], base: str
) -> list[CutPiece]:
    back, making = design.making.back, design.making
    assert back is not None
    lower = [float(np.hypot(f.inboard - f.depth / np.tan(f.face_angle), f.depth - f.drop)) for f in forms]
    is_flap = back.form == "flap"
    reach = tuple(min(back.height, length) if is_flap else length - back.opening for length in lower)
    if min(reach) <= 0.02:
        raise ShapeError(
            "segment back",
            f"An opening of {back.opening * 1e3:.0f} mm leaves nothing of a lower edge of {min(lower) * 1e3:.0f} mm.",
            "Make making.back.opening smaller.",
        )
    bow_tip, bow_up, stern_up, stern_tip = back_corners(run, *forms, (reach[0], reach[1]))
    lap = max(making.hem, 2.0 * STITCH_EDGE)
    sides = frozen_array([bow_tip, bow_up]), frozen_array([stern_up, stern_tip])
    edges = (
        Edge("bow side", "lap", sides[0], lap, joins="web hem"),
        Edge("upper edge", "hem", frozen_array([bow_up, stern_up]), hem_allowance(making)),
        Edge("stern side", "lap", sides[1], lap, joins="web hem"),
        Edge("tip", "tip", frozen_array([stern_tip, bow_tip]), making.tip_trim),
    )
    what = "anti-scoop flap" if is_flap else "closed back"
    first, count = place
    sewn = Sewn(
        base=base,
        name=f"{what}, {RUN_WORDS[run.name]}" + (f", segment {segment_number(run, first)}" if count == 1 else ""),
        kind="back",
        run=run.name,
        edges=edges,
        holes=np.zeros((0, 2)),
        warp=np.array([1.0, 0.0]) if design.cloth.segment.warp == "along" else np.array([0.0, 1.0]),
        joint_length=0.0,
        notches=tuple(single_notch(line, 0.5) for line in sides),
        marks=tuple(MarkLine(frozen_array(beside(line, lap / 2.0)), "stitch") for line in sides),
        notes=(
            "Fold the side laps to the inside and sew each on the hem of a web's lower edge, tip to tip. "
            + ("Air enters above it." if is_flap else "Air enters by the opening left at the inner fixing.")
            + " The tip is trimmed with the face.",
        ),
    )
    is_even = forms[0] == forms[1]
    hands: tuple[Hand, ...] = ("",) if is_even or run.crosses else ("P", "S")
    quantity = count * (run.sides if hands == ("",) else 1)
    return [finish(sewn, hand, quantity, making.hole, design.cloth.segment.mass) for hand in hands]
