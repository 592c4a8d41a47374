"""What water does to it, in words: the hump, thrust to spare, top speed, the hollow, the bow, what moves a margin."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence

from skirtloft.answers.told import Told, degrees
from skirtloft.design.model import Show
from skirtloft.design.units import format_force, format_length, format_mass, format_speed, format_whole_length
from skirtloft.physics.sensitivity import Mover
from skirtloft.physics.water.drag import CAUTION, LEVELS, Drag, Level
from skirtloft.physics.water.over_hump import OverHump
from skirtloft.physics.water.plough import CAUTION as BOW_CAUTION
from skirtloft.physics.water.plough import SAVITSKY, BowHold
from skirtloft.physics.water.wave_drag import hollow_depth

OVER = "Between low and high the assumed factors all err to one side"


def told_hump(levels: Mapping[Level, OverHump], show: Show) -> Told:
    """Return whether the thrust takes the craft over the hump, with how much to spare."""
    best = levels["best"]
    at, spare = format_speed(best.hump_speed, show), _force(abs(best.least_margin), show)
    if math.isnan(best.least_margin):
        sentence = f"The thrust curve does not reach the hump at {at}: give it more points."
    elif best.gets_over and levels["high"].gets_over:
        sentence = f"It gets over the hump at {at} with {spare} of thrust to spare."
    elif best.gets_over:
        sentence = (
            f"It should get over the hump at {at}, with {spare} to spare, but not if the drag is as high as it may be."
        )
    else:
        stuck = format_speed(best.stuck_speed, show)
        sentence = f"It does not get over the hump at {at}: {spare} of thrust are missing, and it stays at {stuck}."
    margins = ", ".join(f"{level} {_force(levels[level].least_margin, show)}" for level in LEVELS)
    numbers = (
        f"At the hump: wave drag {format_force(best.hump_wave, show)}, drag {format_force(best.hump_drag, show)},"
        f" thrust {_force(best.hump_thrust, show)}. Least thrust to spare by the drag factors: {margins}. {OVER}."
    )
    return Told(sentence, numbers, CAUTION)


def told_heaviest(levels: Mapping[Level, OverHump], show: Show) -> Told:
    """Return how heavy the craft may be and still get over."""
    mass = {level: _mass(levels[level].most_mass, show) for level in LEVELS}
    sentence = f"Heavier than {mass['best']} it does not get over the hump."
    numbers = ", ".join(f"{level} {mass[level]}" for level in LEVELS)
    return Told(sentence, f"Heaviest mass over the hump by the drag factors: {numbers}.", CAUTION)


def told_top_speed(levels: Mapping[Level, OverHump], show: Show) -> Told:
    """Return the speed on calm water at which thrust and drag meet."""
    top = {level: _top(levels[level].top_speed, show) for level in LEVELS}
    best = levels["best"].top_speed
    if math.isnan(best):
        sentence = "It has no speed beyond the hump."
    elif math.isinf(best):
        sentence = "Thrust and drag do not meet on the thrust curve given: how fast it goes is not known."
    else:
        sentence = f"On calm water thrust and drag meet at {top['best']}."
    numbers = ", ".join(f"{level} {top[level]}" for level in LEVELS)
    return Told(sentence, f"Top speed by the drag factors: {numbers}.", CAUTION)


def told_drag(drag: Drag, show: Show, *, at: int = 0) -> Told:
    """Return what drags at one of the speeds, the largest first."""
    parts = {
        "waves": float(drag.wave[at]),
        "the lift air taken along": float(drag.momentum[at]),
        "the wind of its speed": float(drag.air[at]),
        "the wet skirt": float(drag.skirt[at]),
    }
    ranked = sorted(parts.items(), key=lambda part: -part[1])
    speed, total = format_speed(float(drag.speed[at]), show), format_force(float(drag.total[at]), show)
    slow = " So slow, waves break and real wave drag is lower." if bool(drag.is_doubtful[at]) else ""
    return Told(
        f"At {speed} it takes {total} to push it, most of it for {ranked[0][0]}.",
        f"Drag: {', '.join(f'{name} {format_force(value, show)}' for name, value in ranked)}.{slow}",
        CAUTION,
    )


def told_hollow(pressure: float, show: Show, water_density: float = 1000.0) -> Told:
    """Return the hollow that a cushion at rest presses into the water."""
    depth = format_length(float(hollow_depth(pressure, water_density)), show)
    return Told(f"Standing still it presses a hollow {depth} deep into the water.", f"Depth p/(rho g) = {depth}.")


def told_bow(hold: BowHold, speed: float, show: Show, *, at: int = 0, thrust: str = "under thrust") -> Told:
    """Return what is left of the skirt's hold on the bow at one speed [m/s]."""
    margin, angle = float(hold.margin[at]), float(hold.angle[at])
    where = f"At {format_speed(speed, show)} {thrust}"
    if margin < 0.0:
        sentence = f"{where} the skirt does not hold the bow up: it may plough in."
    elif angle > 0.0:
        sentence = f"{where} the bow goes down {degrees(angle)} and the skirt holds it."
    else:
        sentence = f"{where} nothing presses the bow down to the water."
    digs = (
        f"the planing surface still slopes {degrees(hold.surface_left)} up there"
        if hold.surface_left > 0.0
        else "the planing surface there has no slope left and digs in"
    )
    numbers = (
        f"Centre of gravity with thrust and drag in it {format_whole_length(float(hold.offset[at]), show)} ahead of"
        f" the middle; {100.0 * margin:.1f} % of the length left to the limit ({hold.limit}); {digs}."
    )
    return Told(sentence, numbers, BOW_CAUTION)


def told_planing(lift: float, speed: float, show: Show) -> Told:
    """Return the lift [N] of the bow planing surface, nan where the formula says nothing."""
    if math.isnan(lift):
        return Told("What the bow planing surface lifts there is outside what is known.", SAVITSKY + ".", BOW_CAUTION)
    sentence = f"Touching at {format_speed(speed, show)} the bow planing surface lifts {format_force(lift, show)}."
    return Told(sentence, f"{SAVITSKY}.", BOW_CAUTION)


def told_movers(
    margin: str,
    movers: Sequence[Mover],
    words: Mapping[str, str],
    format_input: Mapping[str, Callable[[float], str]],
    format_margin: Callable[[float], str],
    *,
    steps: Mapping[str, float],
    count: int = 3,
) -> Told:
    """Return which inputs move a margin most.

    Parameters
    ----------
    margin : str
        In words: "thrust to spare at the hump".
    movers : sequence of Mover
        The strongest first, see `sensitivity.movers`.
    words : mapping of input to words
        "beam", "mass".
    format_input, format_margin : callables
        Value to text with a unit.
    steps : mapping of input to the step that `change` is for
    """
    first = [mover for mover in movers if mover.change != 0.0][:count]
    if not first:
        return Told(f"None of these inputs moves the {margin}.", "No change.")
    lead = first[0]
    verb = "adds" if lead.change > 0.0 else "takes"
    sentence = (
        f"Most of all the {words[lead.name]} moves the {margin}: {format_input[lead.name](steps[lead.name])} more"
        f" {verb} {format_margin(abs(lead.change))}."
    )
    numbers = "; ".join(
        f"{words[m.name]} {format_input[m.name](steps[m.name])} more: {'+' if m.change > 0 else '-'}"
        f"{format_margin(abs(m.change))}"
        for m in first
    )
    return Told(sentence, f"{numbers[0].upper()}{numbers[1:]}.")


def _force(value: float, show: Show) -> str:
    return "not known" if math.isnan(value) else format_force(value, show)


def _mass(value: float, show: Show) -> str:
    return "not known" if math.isnan(value) else format_mass(value, show)


def _top(value: float, show: Show) -> str:
    if math.isnan(value):
        return "none"
    return "beyond the curve" if math.isinf(value) else format_speed(value, show)
