"""How it sits, in words: a mass moved, a load off the middle, what heel and trim are held by, where ballast goes."""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np

from skirtloft.answers.told import Told, degrees
from skirtloft.design.model import Show
from skirtloft.design.units import format_flow, format_length, format_mass, format_pressure, format_whole_length
from skirtloft.physics.attitude.ballast import LevelPlace
from skirtloft.physics.attitude.bounds import BOUNDS, CAUTION, LIKELY, TYPICAL, Bound, likely_words
from skirtloft.physics.attitude.heel_limits import HEEL_LIMITS, NOT_BINDING
from skirtloft.physics.attitude.rest import Rest
from skirtloft.physics.attitude.restoring import RestoringCurve, Side
from skirtloft.physics.attitude.tip_line import TipLine

HOLD_CAUTION = f"{CAUTION}; {LIKELY}; soft: segments fold, firm: they turn about the inner fixing"


def hold_caution(line: TipLine) -> str:
    """Return the caution of every figure on what holds the craft, with what likely stands on for this tip line."""
    return HOLD_CAUTION.replace(LIKELY, likely_words(line))


TOWARDS: dict[Side, str] = {"starboard": "to starboard", "port": "to port", "bow": "forward", "stern": "aft"}
DOWN: dict[Side, str] = {"starboard": "to starboard", "port": "to port", "bow": "by the bow", "stern": "by the stern"}
LIMIT_WORDS = {"hull touches": "the hull touches", "loop straight": "a loop goes straight"}


def told_shift(
    moved: float, distance: float, side: Side, rests: Mapping[Bound, Rest], show: Show, *, load: int = 0
) -> Told:
    """Return what a mass [kg] moved by a distance [m] towards a side does to a craft that sat level.

    Parameters
    ----------
    rests : by bound
        Of the craft with the mass moved, see `rest.rest`.
    load : int
        Which of the loads in them.
    """
    verb = "heels" if side in ("port", "starboard") else "trims"
    what = f"{format_mass(moved, show)} moved {format_length(distance, show)} {TOWARDS[side]}"
    likely = rests["likely"]
    hold = str(likely.hold.ravel()[load])
    angle = {bound: _tilt(rest, load) for bound, rest in rests.items()}
    if hold == "lolls":
        sentence = (
            f"{what} puts it on no one side: its weight is so high that it leans to one side or the other by itself,"
            f" about {degrees(angle['likely'])}."
        )
    elif hold == "held":
        deep = -float(likely.leaning.least_gap.ravel()[load])
        lowest = f"; the low tips sink {_whole(deep, show)}" if deep > 0.0 else ""
        sentence = f"{what} {verb} it about {degrees(angle['likely'])}{lowest}."
    else:
        sentence = f"{what}: {_hold_words(likely, load, show)}"
    numbers = f"{verb.rstrip('s').capitalize()} {_by_bound(angle, rests, load)}."
    return Told(sentence, numbers, HOLD_CAUTION)


def told_rest(name: str, rests: Mapping[Bound, Rest], show: Show, *, load: int = 0) -> Told:
    """Return how a load sits: heel, trim, gap all round, pressure and flow."""
    likely = rests["likely"]
    leaning, hold = likely.leaning, str(likely.hold.ravel()[load])
    if hold not in ("held", "lolls", "touches"):
        sentence = f"With {name!r}: {_hold_words(likely, load, show)}"
    elif hold == "lolls":
        sentence = _lolls_words(name, likely, load, show)
    else:
        trim, heel = leaning.tilt.reshape(-1, 2)[load]
        gap = [float(value.ravel()[load]) for value in (leaning.least_gap, leaning.most_gap)]
        sunk = f"tips sunk up to {_whole(-gap[0], show)}" if gap[0] < 0.0 else "no tip sunk"
        over = " " + _hold_words(likely, load, show) if hold != "held" else ""
        sentence = (
            f"With {name!r} it sits {_way(heel, 'starboard', 'port')} and {_way(-trim, 'bow', 'stern')},"
            f" {sunk}, daylight up to {_whole(gap[1], show)}.{over}"
        )
    numbers = "Tilt " + _by_bound({bound: _tilt(rest, load) for bound, rest in rests.items()}, rests, load) + "."
    if math.isfinite(float(leaning.pressure.ravel()[load])):
        numbers += (
            f" Heave {format_length(float(leaning.heave.ravel()[load]), show)} at the middle,"
            f" {format_pressure(float(leaning.pressure.ravel()[load]), show)},"
            f" {format_flow(float(leaning.flow.ravel()[load]), show)}."
        )
    return Told(sentence, numbers, HOLD_CAUTION)


def _lolls_words(name: str, likely: Rest, load: int, show: Show) -> str:
    """Return how a load sits that nothing holds inside the gap: where its tips would hold it, either way."""
    trim, heel = likely.leaning.tilt.reshape(-1, 2)[load]
    deep = _whole(max(0.0, -float(likely.leaning.least_gap.ravel()[load])), show)
    high = _whole(float(likely.leaning.most_gap.ravel()[load]), show)
    return (
        f"With {name!r} the first tip touches at {degrees(float(likely.dead_band.ravel()[load]))}: up to there an even"
        f" cushion says nothing of how it sits, level or not. If the jets under the tips do not hold it, it leans to"
        f" one side or the other, for its weight is high, and its tips hold it, {_way(heel, 'starboard', 'port')} and"
        f" {_way(-trim, 'bow', 'stern')}, tips sunk up to {deep}, daylight up to {high}."
    )


def told_hold(curves: Mapping[Bound, RestoringCurve], show: Show) -> Told:
    """Return what holds the craft when one side goes down: per degree in contact."""
    curve = curves["likely"]
    across = "beam" if curve.towards in ("port", "starboard") else "length"
    per_degree = {bound: math.radians(c.contact_slope) for bound, c in curves.items()}
    move = _whole(per_degree["likely"] * curve.extent, show)
    typical = f" {TYPICAL}." if across == "beam" else ""
    if per_degree["likely"] > 0.0:
        sentence = (
            f"With tips touching, each degree down {DOWN[curve.towards]} holds a centre of gravity {move} farther out."
        )
    else:
        sentence = f"Tips that touch do not hold it: down {DOWN[curve.towards]} it goes on by itself."
    numbers = (
        f"Held {_list({b: f'{100.0 * v:.2g}' for b, v in per_degree.items()})} % of the {across} per degree in contact;"
        f" first tip touches at {degrees(curve.dead_band)}, and up to there nothing holds any tilt.{typical}"
    )
    return Told(sentence, numbers, HOLD_CAUTION)


def told_diaphragm(curves: Mapping[Bound, RestoringCurve], slack: Mapping[Bound, RestoringCurve]) -> Told:
    """Return what a taut diaphragm does to the hold: curves with it, and with the same loops and it slack."""
    held, bare = (
        {bound: 100.0 * math.radians(curve.contact_slope) for bound, curve in one.items()} for one in (curves, slack)
    )
    across = "beam" if curves["likely"].towards in ("port", "starboard") else "length"
    side = DOWN[curves["likely"].towards]
    sentence = (
        f"The taut diaphragm is in these figures: down {side} they would be {bare['likely']:.2g} % of the {across} per"
        f" degree in place of {held['likely']:.2g} with it slack."
    )
    numbers = (
        f"With it slack: {_list({bound: f'{value:.2g}' for bound, value in bare.items()})} %. A tip on the ground draws"
        " it tighter; where segments fold (soft) it does nothing. Firm takes its cloth for all there is: seams,"
        " fixings and folding tips give long before, so with a diaphragm firm is a bound that no skirt comes near."
    )
    return Told(sentence, numbers, HOLD_CAUTION)


def told_range(curves: Mapping[Bound, RestoringCurve], show: Show) -> Told:
    """Return how far off the middle the centre of gravity may be towards a side, and what ends it."""
    curve = curves["likely"]
    most = {bound: _whole(max(0.0, c.most_held), show) for bound, c in curves.items()}
    why = LIMIT_WORDS.get(curve.limit)
    ending = f"there, at {degrees(curve.limit_angle)}, {why}" if why else "farther was not looked at"
    if curve.most_held <= 0.0:
        sentence = f"Nothing off the middle is held when it goes down {DOWN[curve.towards]}."
    else:
        sentence = f"Its centre of gravity may be up to {most['likely']} off {TOWARDS[curve.towards]}; {ending}."
    beyond = [bound for bound, c in curves.items() if c.linear_angle < c.most_held_angle]
    flag = f" Tips sunk beyond 0.3 of their depth on the way ({', '.join(beyond)}): less sure." if beyond else ""
    return Told(sentence, f"Most that is held: {_list(most)}.{flag}", HOLD_CAUTION)


def told_loll(curves: Mapping[Bound, RestoringCurve]) -> Told:
    """Return whether a craft with its centre of gravity in the middle stays upright."""
    curve = curves["likely"]
    lolls = {bound: "goes over" if math.isnan(c.loll) else degrees(c.loll) for bound, c in curves.items()}
    if curve.loll == 0.0:
        sentence = "With its centre of gravity in the middle it has no wish to lean."
    elif math.isnan(curve.loll):
        sentence = (
            "With its centre of gravity in the middle it leans over until hull or ground stops it: it is too high."
        )
    else:
        lean = f"{degrees(curve.loll)} by itself {DOWN[curve.towards]}"
        sentence = (
            f"With its centre of gravity in the middle it may lean {lean}, if the jets under the tips do not hold it:"
            f" inside the gap, up to {degrees(curve.dead_band)}, an even cushion says nothing."
        )
    return Told(sentence, f"Angle of loll: {_list(lolls)}.", HOLD_CAUTION)


def told_place(ballast: float, place: LevelPlace, show: Show, *, what: str = "ballast", loll: float = 0.0) -> Told:
    """Return where a mass [kg] has to be for the craft to sit level; one case.

    Parameters
    ----------
    loll : float [rad]
        Angle to which the load leans by itself with its centre of gravity in the middle, more than is usual; nan: it
        goes over; 0: it does not. Ballast counts as put in at the height of the centre of gravity.
    """
    least, (x, y) = float(place.least_mass), place.place
    if least == 0.0:
        return Told("It sits level: no ballast is needed.", "Centre of gravity in the middle of the cushion.")
    at = f"x {format_length(float(x), show)}, y {format_length(float(y), show)}"
    if bool(place.inside):
        sentence = f"{format_mass(ballast, show)} of {what} at {at} makes it sit level."
        if loll != 0.0:
            leans = "it goes over" if math.isnan(loll) else f"it leans {degrees(loll)} to one side or the other"
            sentence = (
                f"{format_mass(ballast, show)} of {what} at {at} brings its weight to the middle, but that is so high"
                f" that {leans} by itself: bring it down first. Ballast low in the hull helps both."
            )
    elif math.isfinite(least):
        ex, ey = place.edge
        sentence = (
            f"{format_mass(ballast, show)} of {what} is too little to level it from inside the outline:"
            f" {format_mass(least, show)} at its edge, x {format_length(float(ex), show)},"
            f" y {format_length(float(ey), show)}, would do."
        )
    else:
        sentence = f"No {what} inside the outline levels it that way."
    fewest = format_mass(least, show) if math.isfinite(least) else "none"
    return Told(sentence, f"Place {at} (x forward, y to port); least mass at the edge of the outline {fewest}.")


def told_limits(heel: float) -> Told:
    """Return a heel [rad] beside the published limits."""
    named = ", ".join(f"{limit.name} {math.degrees(limit.angle):g} degrees" for limit in HEEL_LIMITS)
    least = min(limit.angle for limit in HEEL_LIMITS)
    word = "inside" if abs(heel) <= least else "beyond"
    sentence = f"{degrees(heel).capitalize()} of heel is {word} the strictest limit for craft in service."
    return Told(sentence, f"IMO HSC Code 2.12: {named}.", NOT_BINDING)


def _whole(length: float, show: Show) -> str:
    """Return a length to whole millimetres: no more is known."""
    return format_whole_length(length, show)


def _tilt(rest: Rest, load: int) -> float:
    return float(np.hypot(*rest.leaning.tilt.reshape(-1, 2)[load]))


def _way(angle: float, positive: str, negative: str) -> str:
    """Return "1.4 degrees down to starboard" or "level"."""
    side = positive if angle > 0.0 else negative
    if abs(angle) < math.radians(0.05):
        return "level across" if positive == "starboard" else "level along"
    return f"{degrees(float(angle))} down {'to ' + side if positive == 'starboard' else 'by the ' + side}"


def _list(values: Mapping[Bound, str]) -> str:
    return ", ".join(f"{bound} {values[bound]}" for bound in BOUNDS if bound in values)


def _by_bound(angle: Mapping[Bound, float], rests: Mapping[Bound, Rest], load: int) -> str:
    words: dict[Bound, str] = {}
    for bound, rest in rests.items():
        hold = str(rest.hold.ravel()[load])
        words[bound] = degrees(angle[bound]) if hold in ("held", "lolls", "touches") else hold
    return _list(words)


def _hold_words(rest: Rest, load: int, show: Show) -> str:
    """Return a sentence for a load that is not simply held."""
    band = float(rest.dead_band.ravel()[load])
    return {
        "neutral": f"its weight is in the middle, and up to {degrees(band)} nothing holds any tilt."
        if math.isfinite(band)
        else "its weight is in the middle.",
        "lolls": "It could as well lean the other way, or stay up if the jets hold it: its weight is high, not off.",
        "touches": "Before that the hull is on the ground or a loop straight: it drags.",
        "no rest": "nothing holds it before the hull is on the ground.",
        "not lifted": "the air does not lift it.",
        "held": "",
    }[str(rest.hold.ravel()[load])]
