"""Rules on how the craft sits: at rest, what holds it, how far the centre of gravity may go, a person, a turn.

They are findings of this chapter, printed by its command and on its sheets, and not in the flow: they cost a second.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from skirtloft.checks.finding import TRADE, Finding, Verdict, grade
from skirtloft.physics.air import GRAVITY
from skirtloft.physics.attitude.bounds import CAUTION
from skirtloft.physics.attitude.heel_limits import HEEL_LIMITS, HSC_CODE, PERSON_MASS, outward_heel_offset
from skirtloft.physics.attitude.rest import rest
from skirtloft.physics.attitude.restoring import RestoringCurve, Side
from skirtloft.pipeline import Skirt
from skirtloft.sits.enough import Margin, help_words
from skirtloft.sits.margins import (
    clearance_margin,
    degrees_text,
    loll_margin,
    person_margin,
    room_margin,
    room_of,
    slope_margin,
    tilt_margin,
    tilt_of,
    turn_margin,
)
from skirtloft.sits.on_water import thrust_of
from skirtloft.sits.sits import MOST_TILT, PERSON_ASIDE, LoadSits, Sits

MEMORY = "common practice of 0.5 to 1.5 % of the beam per degree, from memory, not looked up"
OURS = "choice of this program"
HEEL, TRIM = math.radians(2.0), math.radians(1.5)  # at rest: it shows, drags one side, and wears it
LOLL = math.radians(3.0)
HELD_ROLL, HELD_PITCH = 0.5, 0.5  # % of beam, of length, per degree in contact
CLEAR = 0.5  # of the clearance, left under the hull at rest
_TURN = next(limit.angle for limit in HEEL_LIMITS if limit.name == "turn")
_PEOPLE = next(limit.angle for limit in HEEL_LIMITS if limit.name == "passengers and wind")
HOLDS = "Nothing: it holds."
INSIDE = f"Likely bound; {CAUTION}"
ARM: dict[Side, float] = {"starboard": 0.30, "port": 0.30, "bow": 0.50, "stern": 0.50}  # m that a person moves; chosen


def sits_findings(skirt: Skirt, sits: Sits, only: str | None = None) -> tuple[Finding, ...]:
    """Return the findings on how the craft sits, each at its worst load; of one rule only, where it is named."""
    loads = [entry for entry in sits.loads if str(entry.rests["likely"].hold) != "not lifted"]
    if not loads:
        return ()
    rules: dict[str, Callable[[], Finding]] = {
        "heel-at-rest": lambda: _tilt(skirt, loads, 1),
        "trim-at-rest": lambda: _tilt(skirt, loads, 0),
        "hull-clear-at-rest": lambda: _clear(skirt, loads),
        "roll-held": lambda: _held(skirt, loads, ("starboard",)),
        "pitch-held": lambda: _held(skirt, loads, ("bow", "stern")),
        "range-sideways": lambda: _range(skirt, loads, ("starboard",)),
        "range-fore-aft": lambda: _range(skirt, loads, ("bow", "stern")),
        "loll": lambda: _loll(skirt, loads),
        "heel-with-a-person": lambda: _person(skirt, loads),
    }
    if thrust_of(skirt) is not None:
        rules["heel-in-a-turn"] = lambda: _turn(skirt, loads)
    return tuple(find() for rule, find in rules.items() if only in (None, rule))


def _named(entry: LoadSits) -> str:
    return f"load {entry.name!r}"


def _change(skirt: Skirt, verdict: Verdict, margin: Callable[[], Margin]) -> str:
    """Return what would help, solved again; only asked for where the rule does not hold, for it takes a second."""
    return HOLDS if verdict == "pass" else help_words(margin(), skirt.design.project.show)


def _tilt(skirt: Skirt, loads: list[LoadSits], which: int) -> Finding:
    """Heel (1) or trim (0) at rest; a lean that only the height of the centre of gravity makes is for `loll`."""
    values = [_tilt_of(entry, which) for entry in loads]
    k = int(np.argmax(values))
    value, limit = values[k], (TRIM, HEEL)[which]
    verdict: Verdict = "fail" if value > _TURN else grade(value, None, limit, "warn")
    return Finding(
        rule=("trim-at-rest", "heel-at-rest")[which],
        title=("Trim at rest, bow or stern down", "Heel at rest")[which],
        verdict=verdict,
        value=value,
        unit="rad",
        low=None,
        high=limit,
        where=_named(loads[k]),
        why=f"The low tips drag and wear, and the room left before the hull touches shrinks. {INSIDE}.",
        change=_change(skirt, verdict, lambda: tilt_margin(loads[k], which, limit)),
        source=f"limit: {OURS}; above {degrees_text(_TURN)}: {HSC_CODE}, 2.12.2",
    )


def _tilt_of(entry: LoadSits, which: int) -> float:
    found = entry.rests["likely"]
    if str(found.hold) == "no rest":
        return MOST_TILT if which == _goes(entry) else 0.0
    return tilt_of(found, which)


def _is_lost(entry: LoadSits) -> bool:
    return str(entry.rests["likely"].hold) == "no rest"


def _goes(entry: LoadSits) -> int:
    """Return which way a load goes that nothing holds: 0 along, 1 across, by its offset over what is held there."""
    ahead, aside = (float(value) for value in entry.offset)
    held = [entry.curves[side]["likely"].most_held for side in ("bow" if ahead > 0.0 else "stern", "starboard")]
    shares = [abs(off) / most if most > 0.0 else math.inf for off, most in zip((ahead, aside), held, strict=True)]
    return int(np.argmax(shares))


def _clear(skirt: Skirt, loads: list[LoadSits]) -> Finding:
    values = [0.0 if _is_lost(entry) else float(entry.rests["likely"].leaning.hull_clearance) for entry in loads]
    k = int(np.argmin(values))
    low = CLEAR * skirt.design.hull.clearance
    verdict: Verdict = "fail" if not values[k] > 0.0 else grade(values[k], low, None, "warn")
    return Finding(
        rule="hull-clear-at-rest",
        title="Least height of the hull over the ground at rest",
        verdict=verdict,
        value=values[k],
        unit="m",
        low=low,
        high=None,
        where=_named(loads[k]),
        why=f"What is left takes waves, stones and slopes. {INSIDE}.",
        change=_change(skirt, verdict, lambda: clearance_margin(loads[k], low, skirt.design.project.show)),
        source=f"half the clearance: {OURS}",
    )


def _worst_curve(loads: list[LoadSits], sides: tuple[Side, ...], of: Callable[[RestoringCurve, LoadSits], float]
                 ) -> tuple[LoadSits, Side, float]:  # fmt: skip
    rows = [(of(entry.curves[side]["likely"], entry), entry, side) for entry in loads for side in sides]
    value, entry, side = min(rows, key=lambda row: -math.inf if math.isnan(row[0]) else row[0])
    return entry, side, value


def _held(skirt: Skirt, loads: list[LoadSits], sides: tuple[Side, ...]) -> Finding:
    """Offset held per degree in contact."""
    entry, side, value = _worst_curve(loads, sides, lambda curve, _: 100.0 * math.radians(curve.contact_slope))
    roll = side == "starboard"
    low, what = (HELD_ROLL, "beam") if roll else (HELD_PITCH, "length")
    verdict: Verdict = "fail" if not value > 0.0 else grade(value, low, None, "warn")
    return Finding(
        rule="roll-held" if roll else "pitch-held",
        title=f"Offset held per degree of contact, share of the {what}",
        verdict=verdict,
        value=value,
        unit="%/deg",
        low=low,
        high=None,
        where=f"{side}, {_named(entry)}",
        why=f"A craft that is held softly leans far for a small shift of its crew. {INSIDE}.",
        change=_change(skirt, verdict, lambda: slope_margin(entry, sides, low)),
        source=MEMORY if roll else f"{TRADE}: as in roll",
    )


def _range(skirt: Skirt, loads: list[LoadSits], sides: tuple[Side, ...]) -> Finding:
    """Room for the centre of gravity beyond where it is, against one person who moves."""

    def room(curve: RestoringCurve, entry: LoadSits) -> float:
        return room_of(curve, entry.offset, entry.mass, ARM[curve.towards])

    entry, side, value = _worst_curve(loads, sides, room)
    curve, arm = entry.curves[side]["likely"], PERSON_MASS * ARM[side] / entry.mass
    verdict: Verdict = "fail" if not value > 0.0 else grade(value, 1.0, None, "warn")
    return Finding(
        rule="range-sideways" if side == "starboard" else "range-fore-aft",
        title="Room for the centre of gravity over what one person moves it by",
        verdict=verdict,
        value=value,
        unit="1",
        low=1.0,
        high=None,
        where=f"{side}, {_named(entry)}",
        why=f"{PERSON_MASS:g} kg moved {1000.0 * ARM[side]:.0f} mm are {1000.0 * arm:.0f} mm here; beyond the room"
        f" ({curve.limit}) nothing holds. {INSIDE}.",
        change=_change(skirt, verdict, lambda: room_margin(entry, sides, ARM[side])),
        source=f"derived; person {PERSON_MASS:g} kg: {HSC_CODE}, 2.10; distance: {OURS}",
    )


def _loll(skirt: Skirt, loads: list[LoadSits]) -> Finding:
    """Angle to which a craft with its weight in the middle may lean by itself."""
    rows = [(entry.curves["starboard"]["likely"], entry) for entry in loads]
    values = [curve.limit_angle if math.isnan(curve.loll) else curve.loll for curve, _ in rows]
    k = int(np.argmax([math.inf if math.isnan(curve.loll) else curve.loll for curve, _ in rows]))
    over = math.isnan(rows[k][0].loll)
    verdict: Verdict = "fail" if over else grade(values[k], None, LOLL, "warn")
    why = "Its weight is so high that it goes on leaning until the hull is down." if over else (
        "Its weight is high: if the jets do not hold it inside the gap, of which an even cushion says nothing, it leans"
        " by itself to one side or the other until its tips hold it."
    )  # fmt: skip
    return Finding(
        rule="loll",
        title="Lean by itself with the centre of gravity in the middle",
        verdict=verdict,
        value=values[k],
        unit="rad",
        low=None,
        high=LOLL,
        where=_named(rows[k][1]),
        why=f"{why} {INSIDE}.",
        change=_change(skirt, verdict, lambda: loll_margin(rows[k][1], LOLL)),
        source=f"limit: {OURS}",
    )


def _person(skirt: Skirt, loads: list[LoadSits]) -> Finding:
    """Heel with one person moved aside."""
    values = [
        math.inf if str(entry.person.hold) == "no rest" else abs(float(entry.person.leaning.tilt[1])) for entry in loads
    ]
    k = int(np.argmax(values))
    verdict = grade(values[k], None, _PEOPLE, "warn")
    return Finding(
        rule="heel-with-a-person",
        title=f"Heel with {PERSON_MASS:g} kg moved {1000.0 * PERSON_ASIDE:.0f} mm aside",
        verdict=verdict,
        value=min(values[k], MOST_TILT),
        unit="rad",
        low=None,
        high=_PEOPLE,
        where=_named(loads[k]),
        why=f"People move. The Code is for larger craft and does not bind; its limit is a measure. {INSIDE}.",
        change=_change(skirt, verdict, lambda: person_margin(loads[k], _PEOPLE)),
        source=f"{HSC_CODE}, 2.12.1",
    )  # fmt: skip


def _turn(skirt: Skirt, loads: list[LoadSits]) -> Finding:
    """Outward heel in a turn as tight as the whole thrust pulls it round."""
    thrust = thrust_of(skirt)
    assert thrust is not None
    push = float(np.nanmax(thrust(np.linspace(0.0, 10.0, 11))))

    def outward(mass: float, height: float) -> float:
        speed = 10.0  # m/s; only V^2/r counts, and that is thrust over mass
        return float(outward_heel_offset(speed, speed**2 * mass / push, height))

    values = []
    for entry in loads:
        aside = outward(entry.mass, float(np.asarray(entry.hover.height)))
        found = rest(
            entry.line, entry.hover, entry.line.centre + [0.0, -aside], "likely", hull=entry.hull, most_tilt=MOST_TILT
        )
        values.append(math.inf if str(found.hold) == "no rest" else abs(float(found.leaning.tilt[1])))
    k = int(np.argmax(values))
    verdict = grade(values[k], None, _TURN, "warn")
    pull = push / (loads[k].mass * GRAVITY)
    return Finding(
        rule="heel-in-a-turn",
        title="Outward heel in a turn that the whole thrust pulls it round",
        verdict=verdict,
        value=min(values[k], MOST_TILT),
        unit="rad",
        low=None,
        high=_TURN,
        where=_named(loads[k]),
        why=f"Turned sideways the thrust pulls with {pull:.2g} of the weight, and tips in the water hold against it."
        f" The Code is for larger craft and does not bind. {INSIDE}.",
        change=_change(skirt, verdict, lambda: turn_margin(loads[k], _TURN, outward)),
        source=f"{HSC_CODE}, 2.12.2",
    )  # fmt: skip
