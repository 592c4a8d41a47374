"""Rules on the diaphragm: has it a place on the hull, is it taut, does it stay so, do its vents let the air through?"""

from __future__ import annotations

import math

import numpy as np

from skirtloft.checks.finding import TRADE, Finding, Verdict, grade
from skirtloft.design.cloth_model import Diaphragm
from skirtloft.design.model import Design
from skirtloft.maths.frozen import Floats
from skirtloft.physics.types import Cushion
from skirtloft.service.diaphragm import DiaphragmResult
from skirtloft.shape.diaphragm_place import DiaphragmPlace, Flags
from skirtloft.shape.types import Plan, Stations

USUAL_MARGIN = (0.15, 0.25)
OFF_HULL = 0.010  # m: farther off the hull's lines, the finding says so; our own choice


def diaphragm_findings(
    design: Design, plan: Plan, cushions: tuple[Cushion, ...], result: DiaphragmResult | None
) -> list[Finding]:
    """Return the findings on the diaphragm; none where the file has none."""
    wanted = design.skirt.diaphragm
    if wanted is None or result is None:
        return []
    place, stations = result.place, plan.stations
    if not (place.asked > 0.0).any():
        return [_no_margin()]
    found = [_has_a_place(wanted, stations, place, design.hull.clearance)]
    if not place.is_possible:
        return found
    if place.is_given:
        found.append(_clear_of_webs(stations, place))
    whole = place.is_whole & result.is_there
    if whole.any():
        found += [
            _taut(stations, result, whole),
            _usual(stations, place, whole),
            _light_load(stations, cushions, result, whole),
        ]
    found.append(_vents(wanted, result))
    return found


def _at(stations: Stations, i: int) -> str:
    return f"{stations.ids[i]} ({stations.runs[i].replace('_', ' ')})"


def _least(values: Floats, there: Flags) -> int:
    """Return the place of the least value where `there`; nan counts as least."""
    return int(np.argmin(np.where(there, np.where(np.isnan(values), -np.inf, values), np.inf)))


def _no_margin() -> Finding:
    return Finding(
        rule="diaphragm-taut",
        title="The diaphragm is taut",
        verdict="fail",
        value=0.0,
        unit="1",
        low=USUAL_MARGIN[0],
        high=None,
        where="all round",
        why="With a margin of zero the loop is cut for balance: the diaphragm hangs slack and does nothing.",
        change="Set skirt.diaphragm.margin to 0.2, or leave [skirt.diaphragm] out.",
        source=TRADE,
    )


def _has_a_place(wanted: Diaphragm, stations: Stations, place: DiaphragmPlace, clearance: float) -> Finding:
    i = _least(place.attachment.steepness, place.asked > 0.0)
    wrong_side = bool(np.isnan(place.attachment.lever[i]) or place.attachment.lever[i] <= 0.0)
    value = 0.0 if wrong_side else float(place.attachment.steepness[i])
    why = "Nearer to the level, or to the line from joint to inner fixing, its pull grows without bound."
    if not place.is_possible:
        why += " " + (
            "No place is below that line. " if wrong_side and not place.is_given else _where_it_is(place, i, wrong_side)
        )
        why += "Not possible on this hull as it is, so the loops are cut for balance, without a diaphragm."
    elif place.is_given and place.off_hull.max() > OFF_HULL:
        why += (
            f" The place given lies up to {1000 * place.off_hull.max():.0f} mm off the straight lines from hull edge to"
            " inner fixing to flat bottom: the hull, a rail or a keel has to reach there."
        )
    return Finding(
        rule="diaphragm-place",
        title="The diaphragm has a place on the hull that is steep enough",
        verdict="pass" if place.is_possible else "fail",
        value=value,
        unit="1",
        low=wanted.steepness,
        high=None,
        where=_at(stations, i),
        why=why,
        change="Lower the place, or bring it nearer to the joint."
        if place.is_possible
        else _what_would_do(wanted, stations, place, i, clearance),
        source="derived: balance of moments about the inner fixing; limit: skirt.diaphragm.steepness",
    )


def _where_it_is(place: DiaphragmPlace, i: int, wrong_side: bool) -> str:
    along, down = place.points.joint[i] - place.attachment.point[i]
    side = ", not below the line from joint to inner fixing" if wrong_side else ""
    place_is = "The place given lies" if place.is_given else "The steepest place there is lies"
    return f"{place_is} {1000 * along:.0f} mm inboard of the joint and {1000 * down:.0f} mm below it{side}. "


def _what_would_do(wanted: Diaphragm, stations: Stations, place: DiaphragmPlace, i: int, clearance: float) -> str:
    """Return, in numbers, the place that would do at station `i`."""
    joint, inner = place.points.joint[i], place.points.inner[i]
    fall = math.atan2(joint[1] - inner[1], joint[0] - inner[0])
    steep = math.tan(min(math.asin(wanted.steepness) + fall, math.radians(85.0)))
    run = next((name for name in ("bow", "side", "stern") if stations.runs[i].startswith(name)), "side")
    key = f"skirt.diaphragm.{run}"
    if place.is_given:
        along = float(joint[0] - place.attachment.point[i, 0])
        height = float(joint[1]) - steep * along - clearance
        if height > 0.0:
            return f"Set {key}.height to {1000 * height:.0f} mm or less at that distance, or bring it nearer outboard."
        reach = float(joint[1] - clearance) / steep
        inside = reach - float(joint[0])
        return (
            f"Even the flat of the bottom is too high at that distance: set {key}.inboard to {1000 * inside:.0f} mm or"
            " less, inboard of the webs."
        )
    reach = float(joint[0] - inner[0])
    down = steep * reach
    most = float(joint[1]) - down
    words = (
        f"Under the inner fixing, {1000 * reach:.0f} mm inboard of the joint, it has to lie {1000 * down:.0f} mm below"
        f" the joint, and {steep:.2f} of every distance further in"
    )
    if most > 0.0:
        words += f": a clearance of {1000 * most:.0f} mm or less at this depth, on a hull that drops there"
    return (
        f"{words}. Or give a rail or keel that reaches so low, in sight of the joint past the webs, with {key}.height"
        " and .inboard. Or leave [skirt.diaphragm] out."
    )


def _clear_of_webs(stations: Stations, place: DiaphragmPlace) -> Finding:
    i = _least(place.beyond_webs, place.margin > 0.0)
    value = float(place.beyond_webs[i])
    return Finding(
        rule="diaphragm-clear-of-webs",
        title="The diaphragm's place on the hull is inboard of the webs",
        verdict=grade(value, 0.0, None, "fail"),
        value=value,
        unit="m",
        low=0.0,
        high=None,
        where=_at(stations, i),
        why="A hull that reaches there stands between the webs and cuts into their lower edge.",
        change=f"Move the place {1000 * max(-value, 0.0):.0f} mm inboard, square to the lower edge, or lower the inner"
        " fixing.",
        source="closed form: distance from the line through web corner and inner fixing",
    )


def _taut(stations: Stations, result: DiaphragmResult, whole: Flags) -> Finding:
    i = _least(result.sized.margin - result.required, whole)
    value, least = float(result.sized.margin[i]), float(result.required[i])
    verdict: Verdict = "fail" if not value > 0.0 else grade(value, least, None, "warn")
    change = f"Set skirt.diaphragm.margin to {math.ceil(100 * least) / 100:.2f} or more."
    return Finding(
        rule="diaphragm-taut",
        title="The diaphragm stays taut in heave, at low pressure and under suction at the lip",
        verdict=verdict,
        value=value,
        unit="1",
        low=least,
        high=None,
        where=_at(stations, i),
        why="Slack, it does not hold the joint, and the skirt may bounce as if it were not there.",
        change=change,
        source="derived: weight at pressure_share with heave, lip_suction and imperfection of [skirt.diaphragm]",
    )


def _usual(stations: Stations, place: DiaphragmPlace, whole: Flags) -> Finding:
    low, high = USUAL_MARGIN
    i = _least(-np.abs(place.margin - 0.5 * (low + high)), whole)
    value = float(place.margin[i])
    return Finding(
        rule="diaphragm-margin",
        title="Margin of the diaphragm",
        verdict=grade(value, low - 1e-12, high + 1e-12, "warn"),
        value=value,
        unit="1",
        low=low,
        high=high,
        where=_at(stations, i),
        why="Less leaves nothing for load, heave and sewing; more makes the loop short and stiff for no gain.",
        change="Set skirt.diaphragm.margin to 0.2.",
        source=TRADE,
    )


def _light_load(stations: Stations, cushions: tuple[Cushion, ...], result: DiaphragmResult, whole: Flags) -> Finding:
    i = _least(-result.slack_mass, whole)
    value = float(result.slack_mass[i])
    lightest = min(cushions, key=lambda cushion: cushion.mass)
    return Finding(
        rule="diaphragm-light-load",
        title="The diaphragm stays taut under the lightest load",
        verdict=grade(value, None, lightest.mass, "warn"),
        value=value,
        unit="kg",
        low=None,
        high=lightest.mass,
        where=f"{_at(stations, i)}, load {lightest.name!r}",
        why="Below this all-up mass the weight of the cloth outweighs the loop's excess, and the diaphragm goes slack.",
        change="Use a larger skirt.diaphragm.margin or lighter cloth.",
        source="derived: balance of moments about the inner fixing",
    )


def _vents(wanted: Diaphragm, result: DiaphragmResult) -> Finding:
    value = result.vent_ratio
    way = "the lift air passes them" if wanted.feed == "through" else "the lift air goes beside them"
    crowded = [run for run in result.runs if not run.have_room]
    run = crowded[0] if crowded else max(result.runs, key=lambda run: run.strips)
    holes = run.holes
    return Finding(
        rule="diaphragm-vents",
        title=f"Area of the diaphragm's vents over what is wanted; {way}",
        verdict="warn" if crowded else grade(value, 1.0 - 1e-9, None, "warn"),
        value=value,
        unit="1",
        low=1.0,
        high=None,
        where=f"all round; {run.run.replace('_', ' ')}: {int(holes.count)} of"
        f" {1000 * float(holes.diameter):.0f} mm in a strip",
        why="The holes of the file do not go into a strip with cloth left between them."
        if crowded
        else "Too little hole holds back the lift air, or keeps the loop's pressure from following the cushion's.",
        change="Give each strip more or larger holes, or feed beside the diaphragm; with the lift air through them, put"
        ' them into the air too: [[air.loss]] of kind = "vents".',
        source="derived: flow through the gap at over_pressure, or air breathed at frequency, swing and lag",
    )
