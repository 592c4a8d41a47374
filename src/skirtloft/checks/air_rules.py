"""Rules on the lift air: does the feed choke, is the engine strong enough, does it get up, does the battery last."""

from __future__ import annotations

import math

import numpy as np

from skirtloft.checks.fan_rules import fan_findings
from skirtloft.checks.finding import TRADE, Finding, Verdict, grade
from skirtloft.checks.worst import least, load_name, no_point_is_none
from skirtloft.design.model import Design
from skirtloft.lift.types import FanMatch, LiftAir
from skirtloft.physics.watts import WANTED_AREA_RATIO


def air_findings(design: Design, lift: LiftAir) -> list[Finding]:
    """Return the findings on the lift air; those on the fan only where the file has one."""
    found = [] if lift.choke is None else [_feed(design, lift)]
    match = lift.match
    if match is None:
        return found
    found += fan_findings(design, lift, match)
    if not lift.system.losses:
        found.append(_no_losses())
    if design.air.engine_power is not None:
        found.append(_engine(design, match))
    if match.start_up is not None:
        found.append(_gets_up(design, match))
    if match.electric is not None:
        found += [_battery_gives(design, match), _battery_lasts(design, match)]
    return found


def _feed(design: Design, lift: LiftAir) -> Finding:
    assert lift.choke is not None
    index, value = least(lift.choke.least_ratio)
    line = lift.choke.names[int(lift.choke.narrowest[index])]
    low, wanted = WANTED_AREA_RATIO
    verdict: Verdict = "fail" if not value >= low else grade(value, wanted, None, "warn")
    area = float(lift.system.losses[int(lift.choke.narrowest[index])].area)
    share = lift.system.losses[int(lift.choke.narrowest[index])].share
    return Finding(
        rule="feed-choked",
        title="The narrowest way of the air against the escape area",
        verdict=verdict,
        value=value,
        unit="1",
        low=wanted,
        high=None,
        where=f"{line}, {load_name(design, index)}",
        why="A way little wider than the gap eats the pressure that should carry the craft.",
        change=f"Give {line} {1e4 * area * wanted / value:.0f} cm2 or more (it has {1e4 * area:.0f})"
        + ("." if float(share) == 1.0 else ", or give its share of the air another way."),
        source=f"{TRADE}: 2 to 3 times the effective escape area",
    )


def _no_losses() -> Finding:
    return Finding(
        rule="losses-told",
        title="No loss between fan and cushion is told",
        verdict="note",
        value=0.0,
        unit="1",
        low=1.0,
        high=None,
        where="air.loss",
        why="The fan is matched as if nothing were lost; ducts and feed holes take 20 to 50 % of the cushion pressure.",
        change="Write an [[air.loss]] for guard, duct, bends, frames and feed holes.",
        source=TRADE,
    )


def _engine(design: Design, match: FanMatch) -> Finding:
    assert design.air.engine_power is not None
    index, value = least(no_point_is_none(design.air.engine_power / match.for_gap.engine_power))
    reserve = design.air.reserve
    needed = float(match.for_gap.engine_power[index])
    told = f"{needed * reserve / 1000.0:.1f} kW" if math.isfinite(needed) else "more than this fan can tell"
    return Finding(
        rule="engine-power",
        title="Power installed for lift over the power into belt or gearbox at the wanted gap",
        verdict="fail" if not value >= 1.0 else grade(value, reserve, None, "warn"),
        value=value,
        unit="1",
        low=reserve,
        high=None,
        where=load_name(design, index),
        why="Calm, smooth ground is the least case: grass, waves and a tired engine take the reserve.",
        change=f"Install {told} for lift (reserve {reserve:g}), or be content with less gap or mass.",
        source=f"{TRADE}: 1.5 to 2 times",
    )


def _gets_up(design: Design, match: FanMatch) -> Finding:
    start = match.start_up
    assert start is not None
    margin = np.where(start.hangs, np.minimum(start.margin, -0.0), start.margin)
    index = int(np.argmin(margin))  # whether there is a working point afterwards has rules of its own
    value = float(margin[index])
    gets_up = bool(np.all(start.margin >= 0.0) and not start.hangs.any())
    if start.hangs[index]:
        why = "The fan blows the holes clear, but then hangs at a lower flow on its stalled side."
    elif start.holes_decide[index]:
        why = "Water stands over the feed holes: the fan's shut-off pressure must first blow them clear."
    else:
        why = "Air gets under the hull only at cushion pressure, with no flow: the fan's shut-off pressure decides."
    return Finding(
        rule="gets-up-from-water",
        title="Shut-off pressure of the fan over what getting up from rest on water asks",
        verdict="pass" if gets_up else "fail",
        value=value,
        unit="Pa",
        low=0.0,
        high=None,
        where=load_name(design, index),
        why=why,
        change="Run the fan faster, raise the feed holes, take mass off or let the water out.",
        source="derived: hydrostatics of a box at rest, fan without flow",
    )


def _battery_gives(design: Design, match: FanMatch) -> Finding:
    assert match.electric is not None
    battery = design.air.battery
    assert battery is not None
    asked = match.for_gap.engine_power / (battery.motor_efficiency * battery.controller_efficiency)
    index, value = least(no_point_is_none(match.electric.most_power / asked))
    return Finding(
        rule="battery-can-give",
        title="Most power the battery can give over the power that lift draws from it",
        verdict=grade(value, 1.0, None, "fail"),
        value=value,
        unit="1",
        low=1.0,
        high=None,
        where=load_name(design, index),
        why="Its own resistance lets no more through: the voltage breaks down before the fan is up to speed.",
        change="Use cells of less resistance, more of them side by side, or a higher voltage.",
        source="closed form: V^2/(4 R)",
    )


def _battery_lasts(design: Design, match: FanMatch) -> Finding:
    assert match.electric is not None
    battery = design.air.battery
    assert battery is not None
    index, value = least(no_point_is_none(match.electric.duration))
    return Finding(
        rule="battery-lasts",
        title="Time that the battery lifts the craft at the wanted gap",
        verdict=grade(value, battery.duration, None, "warn"),
        value=value,
        unit="s",
        low=battery.duration,
        high=None,
        where=load_name(design, index),
        why="Lift alone empties it sooner; thrust is not counted.",
        change=f"A capacity of {battery.capacity / 3600.0 * battery.duration / value:.0f} Ah would do at this voltage."
        if value > 0.0
        else "Mend what keeps the battery from giving the power.",
        source="the duration wanted in the design file",
    )
