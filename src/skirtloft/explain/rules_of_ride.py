"""How the values of the rules of `sits` and `water` come about; their figures are not in the flow, see `ride`."""

from __future__ import annotations

import math

import numpy as np

from skirtloft.checks.finding import Finding
from skirtloft.design.units import format_force, format_length, format_mass, format_speed, format_whole_length
from skirtloft.explain.rules_of_air import load_of
from skirtloft.explain.types import Working
from skirtloft.physics.attitude.heel_limits import PERSON_MASS
from skirtloft.pipeline import Skirt
from skirtloft.sits.on_water import on_water, thrust_of
from skirtloft.sits.sits import sits_of
from skirtloft.sits.sits_rules import sits_findings
from skirtloft.sits.tips import centre_height
from skirtloft.sits.water_rules import water_findings


def chapter_findings(skirt: Skirt, only: str | None = None) -> tuple[Finding, ...]:
    """Return the findings of both chapters, about a second; of one rule only, where it is named."""
    sits = sits_of(skirt)
    found = sits_findings(skirt, sits, only)
    return found if only and found else (*found, *water_findings(skirt, sits, on_water(skirt, sits), only))


def _angle(skirt: Skirt, finding: Finding) -> str:
    show, height = skirt.design.project.show, centre_height(skirt, load_of(skirt, finding))
    return (
        f"{finding.where}: {_mass(skirt, finding)}, {format_whole_length(height, show)} above the tips:"
        f" {math.degrees(finding.value):.3g} degrees"
    )


def _mass(skirt: Skirt, finding: Finding) -> str:
    return format_mass(skirt.design.craft.load[load_of(skirt, finding)].mass, skirt.design.project.show)


def _length(skirt: Skirt, finding: Finding) -> str:
    return f"{format_length(finding.value, skirt.design.project.show)} with {finding.where}"


def _held(skirt: Skirt, finding: Finding) -> str:
    return f"{finding.where}, {_mass(skirt, finding)}: {finding.value:.3g} % per degree"


def _room(skirt: Skirt, finding: Finding) -> str:
    room = f"{finding.value * PERSON_MASS:.0f} kg moved so far / {PERSON_MASS:g} kg = {finding.value:.3g}"
    return f"{finding.where}: room for {room}"


def _force(skirt: Skirt, finding: Finding) -> str:
    show = skirt.design.project.show
    words = f"{format_force(finding.value, show)} with {finding.where}, {_mass(skirt, finding)}"
    thrust = thrust_of(skirt)
    return (
        words
        if thrust is None
        else f"{words}; thrust standing still {format_force(float(thrust(np.zeros(1))[0]), show)}"
    )


def _share(skirt: Skirt, finding: Finding) -> str:
    return f"{finding.where}: {100.0 * finding.value:.2g} % of the length"


def _speed(skirt: Skirt, finding: Finding) -> str:
    return f"{format_speed(finding.value, skirt.design.project.show)}, {finding.where}"


_REST = (
    "weight x (centre of lift + height of the centre of gravity x tilt - its place) = 0, air that comes = air that goes"
)
WORKINGS: dict[str, Working] = {
    "heel-at-rest": Working(_REST, _angle),
    "trim-at-rest": Working(_REST, _angle),
    "hull-clear-at-rest": Working("lowest of heave + tilt x place + height over the low points of the hull", _length),
    "roll-held": Working(
        "rise of the offset balanced, over the beam, from 0.5 to 1.5 degrees past first contact", _held
    ),
    "pitch-held": Working("the same by the bow and by the stern, over the length, the smaller", _held),
    "range-sideways": Working("(most that is held - where it is) x mass / (75 kg x 300 mm)", _room),
    "range-fore-aft": Working("(most that is held - where it is) x mass / (75 kg x 500 mm)", _room),
    "loll": Working(
        "heel at which lift, weight in the middle and its height are in balance with a rising curve", _angle
    ),
    "heel-with-a-person": Working("heel at rest with the centre of gravity 75 kg x 300 mm / mass to one side", _angle),
    "heel-in-a-turn": Working(
        "heel at rest with it thrust / weight x height of the centre of gravity to one side", _angle
    ),
    "over-hump": Working("least of thrust - wave, air, momentum and skirt drag around the hump, factors high", _force),
    "thrust-told": Working("most of wave, air, momentum and skirt drag around the hump, factors high", _force),
    "bow-held": Working("(most held by the bow - offset with the moments of thrust and drag in it) / length", _share),
    "bow-surface": Working("slope of the bow planing surface - bow-down angle at which the hull touches", _angle),
    "bow-tuck": Working(
        "drag coefficient x rho/2 V^2 x wet depth x lever = moment of the loop about the fixing", _speed
    ),
}
