"""Three invented craft of an independent prototype (g = 9.81), with its mass model, and its six-state case T6.

Its model of the cloth, for these tests only: face 1.15 sqrt2 d mu (8/3 d^2), webs 2 d^2/(1.5 d) mu (4/3 d^2), a third
of the loop at J. Plan corners of radius B/4, X = d, flat faces, duct and fan as given.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from skirtloft.physics.bounce.at_rest import runs_at_rest
from skirtloft.physics.bounce.hover import heave_craft, hover_flow, jet_speed_of, over_pressure_of, skirt_runs
from skirtloft.physics.bounce.inertia import moved_air_inertia
from skirtloft.physics.bounce.section_motion import TurningSection, turning_section
from skirtloft.physics.bounce.types import HeaveCraft, SkirtRuns
from skirtloft.physics.section import loop_arc

G, RHO, CC = 9.81, 1.225, 0.53728624
SIZES = ("1-seat", "4-seat", "10-seat")


@dataclass(frozen=True)
class Craft:
    """One of the prototype's craft: SI."""

    mass: float
    length: float
    beam: float
    d: float
    rise: float
    cloth: float
    hull: float
    duct: float
    duct_area: float


CRAFT = {
    "1-seat": Craft(250.0, 3.2, 1.7, 0.18, 0.20, 0.20, 0.06, 0.8, 0.30),
    "4-seat": Craft(750.0, 5.0, 2.4, 0.26, 0.28, 0.30, 0.08, 1.2, 0.55),
    "10-seat": Craft(2500.0, 8.5, 3.8, 0.40, 0.42, 0.50, 0.10, 1.8, 1.2),
}


def outline(c: Craft) -> tuple[float, float]:
    """Area and length of the tip line."""
    r = c.beam / 4.0
    return c.length * c.beam - (4.0 - math.pi) * r**2, 2.0 * (c.length + c.beam) - 8.0 * r + 2.0 * math.pi * r


def section_of(c: Craft, *, margin: float = 0.0, weight: bool = True, offset: float = 1.0, rise: float = 1.0) -> Any:
    """Section as it turns, inertia and chord; loop cut for balance with weight, or for a diaphragm margin 2a/d - 1."""
    x, z, d, mu = c.d * offset, c.rise * rise, c.d, c.cloth
    area, _ = outline(c)
    p = c.mass * G / area
    face, web = 1.15 * math.sqrt(2.0) * d * mu, 2.0 * d * d / (1.5 * d) * mu
    length = float(loop_arc(x, z, d / 2.0).length)
    moment = 1.5 * d * face + d * web + 2.0 * d * mu * length / 3.0
    inset = d / 2.0 * (1.0 + margin) if margin else d / 2.0 + (moment * G / (2.0 * p * d) if weight else 0.0)
    arc = loop_arc(x, z, inset)
    chord = float(arc.chord)
    # the cloth of the loop that is cut for pressure alone, as the prototype's numbers have it
    inertia = 8.0 / 3.0 * d**2 * face + 4.0 / 3.0 * d**2 * web + 4.0 * d**2 * mu * length / 3.0
    inertia += float(moved_air_inertia(RHO, math.sqrt(2.0) * d, 0.0, chord, 2.0 * d))
    section = turning_section(
        [[2.0 * d - x, z]],
        [[2.0 * d, 0.0]],
        [[d, -d]],
        tip_mean_square=[2.0 * d * d],
        length=[arc.length],
        moment=moment,
    )
    return section, inertia, chord


def at_hover(
    size: str,
    gap: float = 0.010,
    *,
    eps: float | None = None,
    mouth: float | None = None,
    eta: float = 0.1,
    steepness: float = 1.5,
    margin: float = 0.0,
    diaphragm: float = 0.0,
    cloth: float = 1.0,
    offset: float = 1.0,
    rise: float = 1.0,
    **more: Any,
) -> tuple[HeaveCraft, SkirtRuns, TurningSection, Any]:
    """Craft and runs at rest; `mouth` in units of the effective gap at 10 mm (Bm = mouth Cc P 10 mm)."""
    c = CRAFT[size]
    c = Craft(**{**vars(c), "cloth": c.cloth * cloth})
    area, around = outline(c)
    section, inertia, chord = section_of(c, margin=margin, offset=offset, rise=rise)
    craft = heave_craft(
        mass=c.mass,
        area=area,
        density=RHO,
        volume=area * (c.hull + c.d + gap) + 0.3 * around * chord**2,
        steepness=steepness,
        inertance=RHO * c.duct / c.duct_area,
        pressure=c.mass * G / area,
    )
    if eps is None:
        eps = 0.0
        if mouth is not None:
            flow = CC * around * _opening(gap, more.get("roughness", 0.0)) * float(jet_speed_of(craft))
            eps = float(over_pressure_of(craft, flow, mouth * CC * around * 0.010))
    runs, turn = runs_at_rest(
        craft,
        section,
        length=around,
        gap=gap,
        contraction=CC,
        inertia=inertia,
        over_pressure=eps,
        loss_factor=eta,
        diaphragm_stiffness=diaphragm,
        gravity=G,
        **more,
    )
    return craft, runs, section, turn


def _opening(gap: float, roughness: float) -> float:
    from skirtloft.physics.bounce.hover import tip_opening

    return float(tip_opening(gap, roughness)[0])


def six_state_case(**changes: float) -> tuple[HeaveCraft, SkirtRuns]:
    """T6: every number as given there."""
    p0, volume = 629.33169, 3.2892618e-5 * 1.4 * (101325.0 + 629.33169)
    craft = heave_craft(
        mass=750.0, area=11.690973, density=RHO, volume=volume, steepness=1.5, inertance=2.6727273, pressure=p0
    )
    given = {
        "length": 13.769911,
        "gap": 0.010,
        "contraction": CC,
        "tip_out": 0.26,
        "tip_down": 0.26,
        "lever": 0.26**2,
        "moment": 0.10772386,
        "inertia": 0.06607810,
        "stiffness": 120.43108,
        "area_rate": 3.2078003e-4,
        "tip_flow": 0.017572828,
        "over_pressure": 12.586634 / p0,
        "loss_factor": 0.1,
    }
    return craft, skirt_runs(**{**given, **changes})


def flow_at(craft: HeaveCraft, runs: SkirtRuns) -> float:
    """Q0 as a plain number."""
    return float(np.asarray(hover_flow(craft, runs)))
