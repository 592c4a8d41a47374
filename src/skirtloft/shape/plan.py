"""The plan of a skirt: hull edge, joint line, tip line, runs and stations of the port half."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import TYPE_CHECKING

from skirtloft.design.segment_form import SegmentForm, form_of
from skirtloft.errors import DesignError, Problem
from skirtloft.maths.curves import ArcPiece, Path, area_to_axis, parallel, path_length
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.shape.hull_edge import hull_edge
from skirtloft.shape.joint_given import check_arc_radii, given_joint_line
from skirtloft.shape.joint_line import JointLine, Radius, joint_line
from skirtloft.shape.segment_field import (
    area_and_perimeter,
    form_at,
    has_one_tip_line,
    inboard_at,
    segment_field,
    tip_insets,
    web_insets,
)
from skirtloft.shape.station_wishes import pinned_places, with_wishes
from skirtloft.shape.stations import place_marks, sections_at
from skirtloft.shape.tight_corners import (
    ramp_places,
    run_lines,
    segments_of,
    shortened_field,
    tight_corners,
)
from skirtloft.shape.types import JointRun, Plan, SegmentField, TightCorner

if TYPE_CHECKING:
    from skirtloft.design.model import Design, RunInset

RUNS = ("bow", "side", "stern")


def lay_out(design: Design) -> Plan:
    """Return the plan of `design`.

    Raises
    ------
    DesignError
        Hull edge or joint line are drawn wrongly: points, labels, turns.
    ShapeError
        A fillet, a corner, a section or a station cannot be made: where, why and what would do.

    Notes
    -----
    Where the segments are alike all round the tip line is parallel to the joint line, delta inboard: with S, P of the
    joint line, S_tip = S - delta P + pi delta^2 and P_tip = P - 2 pi delta (Steiner, for a convex outline without a
    kink). Else see `segment_field.area_and_perimeter`.
    """
    skirt = design.skirt
    hull = hull_edge(design.hull.edge, design.hull.clearance)
    forms = {name: form_of(skirt, name) for name in RUNS}
    if skirt.joint_line is not None:
        line = given_joint_line(skirt.joint_line)
    else:
        line = joint_line(hull.drawn, run_offsets(design, tip_insets_of(design)), corner_radii(design))
    wishes = skirt.station or ()
    longest = longest_panel(design)
    tight = tight_corners(line, forms, skirt.pitch, design.making.hem) if skirt.inner.tight == "shorten" else ()
    needed = ramp_places(line, tight, skirt.pitch)
    even = place_marks(hull, line, skirt.stations_per_corner, pinned_places(wishes), longest, needed)
    marks = with_wishes(even, wishes)
    field = segment_field(line, forms, marks.break_at)
    if tight:
        field = shortened_field(field, line, tight, marks.break_at, skirt.pitch)
    check_arc_radii(line, lambda at: web_insets(field, at), lambda at: inboard_at(field, at))
    stations = sections_at(hull, line, marks, field)
    area, perimeter = 2.0 * area_to_axis(line.path), 2.0 * path_length(line.path)
    if has_one_tip_line(field):
        inset = float(tip_insets(field, skirt.pitch, [0.0])[0])
        tip_area, tip_perimeter = area - inset * perimeter + math.pi * inset**2, perimeter - 2.0 * math.pi * inset
    else:
        inset = math.nan
        taken, tip_perimeter = area_and_perimeter(line.path, field, skirt.pitch)
        tip_area = area - taken
    return Plan(
        hull_edge=hull.path,
        hull_heights=hull.heights,
        joint_line=line.path,
        segments=field,
        pitch=skirt.pitch,
        tip_inset=inset,
        runs=joint_runs(line, skirt.pitch, field, forms, marks.break_at, tight),
        stations=stations,
        joint_area=area,
        joint_perimeter=perimeter,
        tip_area=tip_area,
        tip_perimeter=tip_perimeter,
        even_at=marks.even_at,
        held_at=marks.held_at,
        tight=tight,
    )


def longest_panel(design: Design) -> float:
    """Return the longest panel of a straight run [m]: what the file says, or what the roll takes across the warp."""
    asked = design.making.loop.longest
    longest = math.inf if asked is None else asked
    cloth = design.cloth.loop
    return longest if cloth.warp == "along" else min(longest, cloth.roll_width - 2.0 * design.making.seam)


def tip_insets_of(design: Design) -> Mapping[str, float]:
    """Return delta of the plan [m] for the segments of each run."""
    found = {}
    for name in RUNS:
        form = form_of(design.skirt, name)
        found[name] = tip_inset(form.depth, form.face_angle, design.skirt.pitch)
    return found


def web_inset(depth: float, face_angle: float) -> float:
    """Return how far the web corners G lie inboard of the joint line [m]: d cot(face)."""
    return depth / math.tan(face_angle)


def tip_inset(depth: float, face_angle: float, pitch: float) -> float:
    """Return how far the mean tip edge lies inboard of the joint line [m].

    Notes
    -----
    delta = d cot(face) - (pi/8) w / sin(face): the face bulges half-round between webs a pitch w apart and is cut
    level, so its tip edge is an ellipse arc of mean height (pi/4)(w/2)/sin(face) outboard of the webs (derived).
    """
    return web_inset(depth, face_angle) - math.pi / 8.0 * pitch / math.sin(face_angle)


def crown_inset(depth: float, face_angle: float, pitch: float) -> float:
    """Return how far the crowns of the faces lie inboard of the joint line [m]: d cot(face) - w / (2 sin(face))."""
    return web_inset(depth, face_angle) - pitch / (2.0 * math.sin(face_angle))


def fixing_inset(depth: float, face_angle: float, tip_angle: float) -> float:
    """Return how far inner fixings that are level with the joint lie inboard of the joint line [m].

    Notes
    -----
    The lower edge rises from G at face + tip angle, so d cot(face) - d cot(face + tip): 2d at 45/90 (derived).
    """
    return web_inset(depth, face_angle) - depth / math.tan(face_angle + tip_angle)


def line_inboard(plan: Plan, inset: float) -> Path:
    """Return the port half of the line `inset` [m] inboard of the joint line: `plan.tip_inset` gives the tip line.

    With `web_inset` the line of the web corners, with `crown_inset` that of the crowns.

    Raises
    ------
    ValueError
        The inset is more than the radius of an arc.
    """
    return parallel(plan.joint_line, -inset)


def run_offsets(design: Design, insets: Mapping[str, float]) -> Mapping[str, float]:
    """Return X [m] of each run on the hull edge, J outboard positive; `insets` are those of its tip line.

    Raises
    ------
    DesignError
        A run of the hull edge has no inset.
    """
    labels = [name for name in RUNS if any(point.run == name for point in design.hull.edge)]
    given = {name: offset_of(getattr(design.skirt, name), insets[name]) for name in labels}
    missing = [
        Problem(
            f"skirt.{name}",
            "(nothing)",
            f"The hull edge has a {name} piece, and its skirt has no place.",
            "Give tip_inside or joint_inside.",
        )
        for name, offset in given.items()
        if offset is None
    ]
    if missing:
        raise DesignError(missing)
    return {name: offset for name, offset in given.items() if offset is not None}


def offset_of(run: RunInset, inset: float) -> float | None:
    """Return X [m] from the one inset a run gives: delta - tip_inside, or - joint_inside; None where it gives none."""
    if run.joint_inside is not None:
        return -run.joint_inside
    return None if run.tip_inside is None else inset - run.tip_inside


def corner_radii(design: Design) -> Mapping[str, Radius]:
    """Return the radius of each kind of corner, or "full"."""
    corner = design.skirt.corner
    return {"bow": corner.bow, "side": corner.side, "stern": corner.stern}


def joint_runs(
    line: JointLine,
    pitch: float,
    field: SegmentField,
    forms: Mapping[str, SegmentForm],
    break_at: Floats,
    tight: tuple[TightCorner, ...] = (),
) -> tuple[JointRun, ...]:
    """Return the runs of the joint line with the number of segments nearest to the wanted `pitch` [m]."""
    last = len(line.names) - 1
    runs = []
    for k, (piece, name) in enumerate(zip(line.path.pieces, line.names, strict=True)):
        start, end = float(line.path.breaks[k]), float(line.path.breaks[k + 1])
        across = (k == 0 and line.crosses_bow) or (k == last and line.crosses_stern)
        is_arc, count = isinstance(piece, ArcPiece), segments_of(line, k, pitch)[0]
        own = forms[name.removesuffix("_corner")]
        runs.append(
            JointRun(
                name=name,
                start=start,
                end=end,
                radius=piece.radius if isinstance(piece, ArcPiece) else math.inf,
                centre=piece.centre if isinstance(piece, ArcPiece) else frozen_array((math.nan, math.nan)),
                segments=count,
                crosses_centre=across,
                first=form_at(field, float(break_at[k])) if is_arc else own,
                last=form_at(field, float(break_at[k + 1])) if is_arc else own,
                lines=() if is_arc else run_lines(own, k, count, across, tight),
            )
        )
    return tuple(runs)
