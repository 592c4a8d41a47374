"""Corners too tight for whole webs: the inner fixings are brought in, so that no web crosses another.

On an arc of radius r neighbouring inner fixings stand (r - inboard) Q apart, Q the plan angle of a segment. Where that
is less than their hems, every web of the corner, its two end lines with it, is shortened to inboard = r - hem/Q, the
fixing at the height it had. The webs of the straight runs beside it keep to their own side of the line that halves the
corner: u from its end they may be u / tan(turn/2) longer.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from skirtloft.design.segment_form import SegmentForm, tip_angle_of
from skirtloft.errors import ShapeError
from skirtloft.maths.curves import ArcPiece, piece_start
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.shape.joint_line import JointLine
from skirtloft.shape.types import SegmentField, TightCorner
from skirtloft.shape.wording import at_least, millimetres, place_text

ROOM = 1.000001  # times the hem between two inner fixings, so that the rule on it holds
WIDEST_TURN = math.radians(150.0)  # beyond it the runs beside the corner face each other and have no line to keep to


def segments_of(line: JointLine, piece: int, pitch: float) -> tuple[int, float]:
    """Return how many segments a piece of the joint line takes and their fitted pitch [m]; whole where it crosses."""
    start, end = float(line.path.breaks[piece]), float(line.path.breaks[piece + 1])
    last = len(line.names) - 1
    across = (piece == 0 and line.crosses_bow) or (piece == last and line.crosses_stern)
    length = (end - start) * (2.0 if across else 1.0)
    count = max(1, round(length / pitch))
    return count, length / count


def tight_corners(
    line: JointLine, forms: Mapping[str, SegmentForm], pitch: float, hem: float
) -> tuple[TightCorner, ...]:
    """Return the arcs that are too tight for whole webs, with what their webs are shortened to.

    Parameters
    ----------
    line : JointLine
    forms : label -> SegmentForm
    pitch : float [m]
        Wanted.
    hem : float [m]
        Room asked for between two inner fixings.

    Raises
    ------
    ShapeError
        Webs would cross, and shortened ones would not hold the segments.
    """
    found = []
    for k, piece in enumerate(line.path.pieces):
        if not isinstance(piece, ArcPiece):
            continue
        ends = [forms[line.break_names[i].removesuffix("_corner")] for i in (k, k + 1)]
        whole = max(form.inboard for form in ends)
        wedge = segments_of(line, k, pitch)[1] / piece.radius
        inboard = piece.radius - ROOM * hem / wedge
        turn = piece.sweep * (2.0 if _crosses(line, k) else 1.0)
        if inboard >= whole or turn > WIDEST_TURN:
            continue
        least = max(_least_inboard(form) for form in ends)
        if inboard < least and piece.radius >= whole:
            continue  # they only crowd: that is judged
        if inboard < least and piece.radius >= max(form.tip_inboard for form in ends):
            raise ShapeError(
                f"{line.names[k].replace('_', ' ')} of the joint line, {place_text(piece_start(piece))}",
                f"at a radius of {millimetres(piece.radius)} the inner fixings, brought in until they do not crowd,"
                f" would lie {millimetres(inboard)} inboard of the joint; below {millimetres(least)} the loop would"
                " have to pull the joint down.",
                f"Use a radius of at least {at_least(least + ROOM * hem / wedge)}, or a smaller depth.",
            )
        beside = [_beside(line, k, run, forms, pitch, inboard, turn) for run in (k - 1, k + 1)]
        if any(
            len(some) and _too_short(line, run, some, pitch) for run, some in zip((k - 1, k + 1), beside, strict=True)
        ):
            continue  # whole webs then: judged, or refused, as such
        found.append(TightCorner(k, inboard, whole, whole + ROOM * hem / wedge, *beside))
    return tuple(found)


def _crosses(line: JointLine, k: int) -> bool:
    return (k == 0 and line.crosses_bow) or (k == len(line.names) - 1 and line.crosses_stern)


def _least_inboard(form: SegmentForm) -> float:
    """Return the least inboard distance at which the loop pulls the joint up: d/(2 tan t) + (d/2 - drop) tan t [m]."""
    slope = math.tan(form.face_angle)
    return form.depth / (2.0 * slope) + (form.depth / 2.0 - form.drop) * slope


def _beside(
    line: JointLine, arc: int, run: int, forms: Mapping[str, SegmentForm], pitch: float, inboard: float, turn: float
) -> Floats:
    """Return the inboard limits of the web lines of run `run` from the end of the arc on."""
    if not 0 <= run < len(line.names) or isinstance(line.path.pieces[run], ArcPiece):
        return frozen_array([])
    whole = forms[line.names[run].removesuffix("_corner")].inboard
    step = segments_of(line, run, pitch)[1] / math.tan(turn / 2.0)
    count = max(1, math.ceil((whole - inboard) / step - 1e-9))
    return frozen_array(np.minimum(inboard + step * np.arange(count + 1), max(whole, inboard)))


def _too_short(line: JointLine, run: int, limits: Floats, pitch: float) -> bool:
    """Return whether a straight run has fewer web lines, on its half where it crosses, than are to be shortened."""
    count = segments_of(line, run, pitch)[0]
    return len(limits) - 2 >= (count / 2.0 if _crosses(line, run) else count)


def ramp_places(line: JointLine, corners: Sequence[TightCorner], pitch: float) -> tuple[float, ...]:
    """Return where on the straight runs beside tight corners a station must stand: the web lines in the way [m]."""
    places = []
    for corner in corners:
        for way, run, limits in ((-1, corner.piece - 1, corner.before), (1, corner.piece + 1, corner.after)):
            if len(limits):
                end = float(line.path.breaks[corner.piece if way < 0 else corner.piece + 1])
                fitted = segments_of(line, run, pitch)[1]
                inside = line.path.breaks[run], line.path.breaks[run + 1]
                own = [end + way * fitted * number for number in range(1, len(limits))]
                places += [at for at in own if inside[0] < at < inside[1]]
    return tuple(sorted(places))


def shortened_field(
    field: SegmentField, line: JointLine, corners: Sequence[TightCorner], break_at: Floats, pitch: float
) -> SegmentField:
    """Return `field` with the webs of tight corners shortened, and those of the runs beside them as far as needed."""
    limits: dict[float, float] = {}
    for corner in corners:
        k = corner.piece
        for way, run, along in ((-1, k - 1, corner.before), (1, k + 1, corner.after)):
            end = float(break_at[k if way < 0 else k + 1])
            fitted = segments_of(line, run, pitch)[1] if len(along) else 0.0
            for number, inboard in enumerate(along if len(along) else [corner.inboard]):
                place = end + way * fitted * number
                if number == 0 or break_at[run] < place < break_at[run + 1]:
                    limits[place] = min(limits.get(place, math.inf), float(inboard))
    at = np.union1d(field.at, list(limits))
    depth, face, tip, drop = (
        np.interp(at, field.at, values) for values in (field.depth, field.face_angle, field.tip_angle, field.drop)
    )
    for place, inboard in limits.items():
        i = int(np.flatnonzero(at == place)[0])
        own = SegmentForm(float(depth[i]), float(face[i]), float(tip[i]), float(drop[i]))
        tip[i] = shortened(own, inboard).tip_angle
    return SegmentField(*(frozen_array(values) for values in (at, depth, face, tip, drop)))


def shortened(form: SegmentForm, inboard: float) -> SegmentForm:
    """Return a web whose inner fixing lies no further than `inboard` [m] from the joint, at the height it has."""
    if form.inboard <= inboard:
        return form
    return replace(form, tip_angle=tip_angle_of(form.depth, form.face_angle, inboard, form.drop))


def run_lines(
    own: SegmentForm, run: int, count: int, across: bool, corners: Sequence[TightCorner]
) -> tuple[SegmentForm, ...]:
    """Return the webs at the lines of a straight run beside tight corners, bow end first; () where all are whole.

    `count` segments; `across`: both ends are the same corner's, to starboard and to port.
    """
    beside = [corner for corner in corners if abs(corner.piece - run) == 1]
    if not beside:
        return ()
    lines = [own] * (count + 1)
    for corner in beside:
        for is_start, is_mine, limits in (
            (True, corner.piece == run - 1, corner.after),
            (False, corner.piece == run + 1, corner.before),
        ):
            if not is_mine:
                continue
            for number, inboard in enumerate(limits):
                for i in {number, count - number} if across else {number if is_start else count - number}:
                    if 0 <= i <= count:
                        lines[i] = shortened(lines[i], float(inboard))
    return tuple(lines) if any(form != own for form in lines) else ()
