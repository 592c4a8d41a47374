"""What must hold between the keys of a design file, whatever the shape it makes.

Whether an outline turns one way, or a corner has room, belongs to `skirtloft.shape`; whether the skirt is a good one
belongs to `skirtloft.checks`. Here are only the rules without which the file has no meaning.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from datetime import date
from itertools import pairwise
from typing import Any

from skirtloft.design.air_keys import air_problems
from skirtloft.design.cloth_keys import diaphragm_problems, making_problems
from skirtloft.design.fields import NOTHING, Values
from skirtloft.design.quantity import shown
from skirtloft.design.segment_rules import segments_can_be_drawn
from skirtloft.design.told import given
from skirtloft.errors import Problem

Raw = dict[str, Any]
RUNS = ("bow", "side", "stern")
LABELS = '"bow", "side", "stern" or "corner"'
SAME_POINT = 1e-6  # [m] two points nearer than this are one: a millionth of a metre is nothing on cloth (derived)


def broken_rules(values: Values, raw: Raw) -> Iterator[Problem]:
    """Yield every rule between keys that the file breaks.

    Parameters
    ----------
    values : dict
        As `skirtloft.design.fields.read_record` returns for the whole file: keys that are wrong are left out.
    raw : dict
        The file as tomllib gives it, for what was given.
    """
    rules: tuple[Callable[[Values, Raw], Iterator[Problem]], ...] = (
        _date_is_a_date,
        _loads_have_names_of_their_own,
        segments_can_be_drawn,
        _hull_edge_is_an_outline,
        _fixings_are_told_one_way,
        _flat_bottom_lies_inside,
        _insets_are_one_each,
        _corners_have_radii,
        _joint_line_is_an_outline,
        _air_keys_fit,
        _cloth_keys_fit,
    )
    for rule in rules:
        yield from rule(values, raw)


def _date_is_a_date(values: Values, raw: Raw) -> Iterator[Problem]:
    text = values.get("project", {}).get("date")
    if text is None:
        return
    try:
        is_date = date.fromisoformat(text).isoformat() == text
    except ValueError:
        is_date = False
    if not is_date:
        yield Problem(
            "project.date", given(raw, "project", "date"), "It is not a date.", 'Write year-month-day: "2026-01-31".'
        )


def _loads_have_names_of_their_own(values: Values, raw: Raw) -> Iterator[Problem]:
    loads = values.get("craft", {}).get("load")
    if loads is None:
        return
    if not loads:
        yield Problem(
            "craft.load", "[]", "No load is listed.", "Write at least one [[craft.load]], the design case first."
        )
    seen: dict[str, int] = {}
    for index, load in enumerate(loads):
        name = load.get("name")
        if name in seen:
            wrong = f"The name is taken by craft.load[{seen[name]}]."
            yield Problem(f"craft.load[{index}].name", shown(name), wrong, "Give every load a name of its own.")
        elif name is not None:
            seen[name] = index


def _hull_edge_is_an_outline(values: Values, raw: Raw) -> Iterator[Problem]:
    points = values.get("hull", {}).get("edge")
    if points is not None:
        yield from _outline_problems(points, "hull.edge", raw.get("hull", {}).get("edge"))


def _fixings_are_told_one_way(values: Values, raw: Raw) -> Iterator[Problem]:
    fixing = values.get("hull", {}).get("fixing")
    if fixing is None:
        return
    told = [run for run in RUNS if given(raw, "hull", "fixing", run) != NOTHING]
    line = given(raw, "hull", "fixing", "line")
    if raw["hull"]["fixing"] == {}:
        wrong = "It does not say where the inner fixings are."
        would_do = 'Write [hull.fixing.side] with height = "30 mm" and inboard = "420 mm", or [[hull.fixing.line]].'
        yield Problem("hull.fixing", given(raw, "hull", "fixing"), wrong, would_do)
    if told and line != NOTHING:
        wrong = f"The fixings are given by run ({', '.join(told)}) and as a line."
        yield Problem("hull.fixing.line", line, wrong, "Leave one of the two out.")
    yield from _runs_not_on_hull(values, raw, "fixing", told)
    if fixing.get("line") is not None:
        yield from _outline_problems(fixing["line"], "hull.fixing.line", raw["hull"]["fixing"]["line"])


def _runs_not_on_hull(values: Values, raw: Raw, table: str, told: list[str]) -> Iterator[Problem]:
    runs = _runs_of_the_hull(values)
    for run in told:
        if runs is not None and run not in runs:
            wrong = f'It is not used: no piece of hull.edge is labelled "{run}".'
            yield Problem(f"hull.{table}.{run}", given(raw, "hull", table, run), wrong, "Leave it out.")


def _flat_bottom_lies_inside(values: Values, raw: Raw) -> Iterator[Problem]:
    bottom, fixing = (values.get("hull", {}).get(key) or {} for key in ("bottom", "fixing"))
    told = [run for run in RUNS if given(raw, "hull", "bottom", run) != NOTHING]
    if raw.get("hull", {}).get("bottom") == {}:
        would_do = 'Write side = "480 mm", how far inside the hull edge the flat bottom ends.'
        yield Problem("hull.bottom", given(raw, "hull", "bottom"), "It says nothing.", would_do)
    yield from _runs_not_on_hull(values, raw, "bottom", told)
    for run in told:
        inside, inboard = bottom.get(run), (fixing.get(run) or {}).get("inboard")
        if inside is not None and inboard is not None and inside <= inboard:
            path, words = f"hull.bottom.{run}", given(raw, "hull", "bottom", run)
            wrong = "The flat bottom ends outboard of the inner fixing, so there is no planing surface between them."
            yield Problem(path, words, wrong, f"More than {1000.0 * inboard:g} mm would do, or a smaller inboard.")


def _joint_line_is_an_outline(values: Values, raw: Raw) -> Iterator[Problem]:
    points = values.get("skirt", {}).get("joint_line")
    if points is not None:
        yield from _outline_problems(points, "skirt.joint_line", raw.get("skirt", {}).get("joint_line"))


def _outline_problems(points: list[Values], path: str, raw: Any) -> Iterator[Problem]:
    if len(points) < 2:
        yield Problem(
            path,
            "1 point" if points else "0 points",
            "An outline has at least two points.",
            "List the port half from bow to stern.",
        )
        return
    last = len(points) - 1
    for index, point in enumerate(points):
        yield from _point_problems(point, index, last, f"{path}[{index}]", raw)
        if index < last:
            yield from _piece_problems(point, points[index + 1], f"{path}[{index}]", given(raw, index, "through"))
    first_x, last_x = points[0].get("x"), points[last].get("x")
    if first_x is not None and last_x is not None and first_x <= last_x:
        yield Problem(
            f"{path}[{last}].x",
            given(raw, last, "x"),
            "The last point does not lie aft of the first: x points forward.",
            "List the points from bow centre to stern centre.",
        )


def _point_problems(point: Values, index: int, last: int, path: str, raw: Any) -> Iterator[Problem]:
    on_centre = index in (0, last)
    y = point.get("y")
    if y is not None and on_centre and abs(y) > SAME_POINT:
        yield Problem(
            f"{path}.y",
            given(raw, index, "y"),
            "The first and the last point lie on the centre line.",
            'Write y = "0 m".',
        )
    if y is not None and not on_centre and y <= SAME_POINT:
        yield Problem(
            f"{path}.y",
            given(raw, index, "y"),
            "The outline is the port half: y is above zero between its ends.",
            "Give y to port as a positive length; starboard is mirrored.",
        )
    if on_centre and point.get("radius") is not None:
        yield Problem(
            f"{path}.radius",
            given(raw, index, "radius"),
            "An end of the outline has no corner to round.",
            "Leave radius out here, or draw a round bow with `through`.",
        )
    if index == last:
        for key in ("run", "through"):
            if point.get(key) is not None:
                yield Problem(
                    f"{path}.{key}",
                    given(raw, index, key),
                    "No piece begins at the last point.",
                    f"Leave {key} out here.",
                )
    elif "run" in point and point["run"] is None:
        yield Problem(
            f"{path}.run", NOTHING, "The piece to the next point has no label.", f"Write run = one of {LABELS}."
        )


def _piece_problems(point: Values, following: Values, path: str, through_given: str) -> Iterator[Problem]:
    if not all(key in end for end in (point, following) for key in ("x", "y")):
        return
    start, end = (point["x"], point["y"]), (following["x"], following["y"])
    chord = math.dist(start, end)
    if chord <= SAME_POINT:
        yield Problem(
            path, f"x {start[0]:g} m, y {start[1]:g} m", "The next point is the same point.", "Leave one out."
        )
    through = point.get("through")
    if through is None:
        return
    reach = abs((end[0] - start[0]) * (through[1] - start[1]) - (end[1] - start[1]) * (through[0] - start[0]))
    if min(math.dist(start, through), math.dist(end, through)) <= SAME_POINT:
        wrong = "The point that the arc goes through is one of its ends."
    elif chord > SAME_POINT and reach <= 1e-4 * chord**2:
        wrong = "The point that the arc goes through lies on the straight line between its ends."
    else:
        return
    yield Problem(f"{path}.through", through_given, wrong, "Give a point about half way round, off the straight line.")


def _runs_of_the_hull(values: Values) -> list[str] | None:
    points = values.get("hull", {}).get("edge")
    if not points or len(points) < 2 or any(point.get("run") is None for point in points[:-1]):
        return None
    return [point["run"] for point in points[:-1]]


def _runs_of_the_joint_line(values: Values) -> list[str] | None:
    points = values.get("skirt", {}).get("joint_line")
    if not points or any(point.get("run") is None for point in points[:-1]):
        return None
    return [point["run"] for point in points[:-1]]


def _insets_are_one_each(values: Values, raw: Raw) -> Iterator[Problem]:
    skirt = values.get("skirt")
    if not skirt:
        return
    outright = isinstance(raw.get("skirt"), dict) and "joint_line" in raw["skirt"]
    runs = _runs_of_the_joint_line(values) if outright else _runs_of_the_hull(values)
    line = "skirt.joint_line" if outright else "hull.edge"
    for run in RUNS:
        path, inset = f"skirt.{run}", skirt.get(run, {})
        told = given(raw, "skirt", run) != NOTHING
        if runs is not None and run not in runs:
            if told:
                reason = f'no piece of {line} is labelled "{run}"'
                yield Problem(path, given(raw, "skirt", run), f"It is not used: {reason}.", f"Leave [{path}] out.")
            continue
        insets = {key: inset[key] for key in ("tip_inside", "joint_inside") if key in inset}
        if len(insets) < 2:
            continue
        places = [key for key, value in insets.items() if value is not None]
        if outright:
            for key in places:
                wrong = "It is not used: the joint line is given outright."
                yield Problem(f"{path}.{key}", given(raw, "skirt", run, key), wrong, f"Leave {key} out.")
        elif not places and (told or runs is not None):
            yield Problem(
                path,
                NOTHING if not told else given(raw, "skirt", run),
                "It does not say how far inside the hull edge the skirt lies.",
                f'Write [{path}] with tip_inside = "50 mm" or joint_inside = "75 mm".',
            )
        elif len(places) == 2:
            both = ", ".join(f"{key} {given(raw, 'skirt', run, key)}" for key in places)
            yield Problem(path, both, "Only one of the two can be chosen; the other follows.", "Leave one of them out.")


def _corners_have_radii(values: Values, raw: Raw) -> Iterator[Problem]:
    skirt, runs = values.get("skirt"), _runs_of_the_hull(values)
    if not skirt:
        return
    told = raw["skirt"].get("corner", {}) if isinstance(raw.get("skirt"), dict) else {}
    if not isinstance(told, dict):
        return
    if "joint_line" in raw["skirt"]:
        if told:
            wrong = "It is not used: the joint line is given outright, with its own radii."
            yield Problem("skirt.corner", shown(told), wrong, "Leave [skirt.corner] out.")
        return
    if runs is None:
        return
    wanted = _corners_of(runs)
    for corner, where in (("bow", "bow meets side"), ("side", "side meets side"), ("stern", "side meets stern")):
        path = f"skirt.corner.{corner}"
        if corner in wanted and corner not in told and corner != "side":
            yield Problem(
                path, NOTHING, f"The corner where {where} has no radius.", f'Write {corner} = "700 mm" or "full".'
            )
        if corner in told and corner not in wanted:
            yield Problem(
                path, shown(told[corner]), f"It is not used: nowhere on this hull edge {where}.", "Leave it out."
            )


def _corners_of(runs: list[str]) -> set[str]:
    straight = [run for run in runs if run != "corner"]
    corners = set()
    for run, following in pairwise(straight):
        pair = {run, following}
        corners.add("side" if pair == {"side"} else "stern" if "stern" in pair else "bow")
    return corners


def _air_keys_fit(values: Values, raw: Raw) -> Iterator[Problem]:
    yield from air_problems(values.get("air") or {}, raw.get("air"))


def _cloth_keys_fit(values: Values, raw: Raw) -> Iterator[Problem]:
    yield from making_problems(values.get("making") or {}, raw.get("making"))
    skirt, told = values.get("skirt") or {}, raw.get("skirt")
    if isinstance(skirt.get("diaphragm"), dict) and isinstance(told, dict):
        yield from diaphragm_problems(skirt["diaphragm"], told.get("diaphragm"), _runs_of_the_hull(values))
