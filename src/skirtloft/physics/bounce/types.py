"""The nouns of heave and skirt bounce: the craft on its cushion, and the runs of skirt under it, at rest in hover.

A run is a length of skirt with one section; the last axis of a `SkirtRuns` field counts the runs, axes before it are
designs or states and broadcast with those of `HeaveCraft`. A turn phi of a segment is counted about its inner fixing I,
positive where the tip goes up and outboard. What is said with these numbers is a screening indicator: no test of a
built skirt stands behind it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats
from skirtloft.physics.stated import DERIVED, MEMORY, OURS, TRADE, Stated

Complexes = npt.NDArray[np.complex128]

SCREENING = "Screening indicator, unvalidated: it ranks designs, it does not promise that a skirt will not bounce."

BOUNCE_DEFAULTS: dict[str, Stated] = {
    "loss_factor": Stated(0.05, "Of cloth and seams, low end of 0.05 to 0.15; measure it by a swing test.", MEMORY),
    "gamma": Stated(1.4, "Ratio of specific heats of air.", "ISO 2533:1975"),
    "closing_width": Stated(0.0003, "Gap over which the daylight under a tip fades out [m].", OURS),
    "mouth_discharge": Stated(0.6, "Of the way from the loop into the cushion.", TRADE),
    "flow_share": Stated(1.0, "Share of the lift air that comes through the loop.", OURS),
    "lip_strength": Stated(0.0, "Suction under a rounded tip over cushion pressure; no source, so left out.", OURS),
    "lip_length": Stated(0.010, "Length of a tip's rounding [m].", OURS),
    "contact_stiffness": Stated(1e5, "Tip pressed on the ground [N/m2]; at a tenth tips sink visibly.", OURS),
    "contact_damping": Stated(1.0, "Loss of the contact per closing speed [s/m]; without it tips jump.", OURS),
    "ground_friction": Stated(0.0, "Of a tip on the ground; none is the unfavourable case.", OURS),
    "tip_flow_share": Stated(1.0, "Share of the inertia of a plane sink flow out to the face's upper edge.", DERIVED),
    "sensitivity_step": Stated(0.01, "Relative step of the sensitivities.", OURS),
}


@dataclass(frozen=True, eq=False)
class HeaveCraft:
    """The craft and its cushion at rest; (...) each.

    Parameters
    ----------
    mass : [kg]
    area : [m2]  S inside the tip line
    pressure : [Pa]  p0 = m g/S
    density, atmosphere : [kg/m3], [Pa]
    volume : [m3]  of the cushion's air, loop included
    steepness : [-]  tau = -(Q0/p0) dp_fan/dQ, fan less losses; negative: stalled side
    inertance : [kg/m4]  rho length/area of the duct
    leak_area : [m2]  effective area of openings that do not change with the gap
    """

    mass: Floats
    area: Floats
    pressure: Floats
    density: Floats
    atmosphere: Floats
    volume: Floats
    steepness: Floats
    inertance: Floats
    leak_area: Floats


@dataclass(frozen=True, eq=False)
class SkirtRuns:
    """The skirt at rest in hover, run by run; (..., n) each, per metre of run where it says so.

    Parameters
    ----------
    length : [m]  of the run along the tip line
    gap : [m]  h under its tips
    contraction : [-]  Cc of the jet
    roughness : [m]  rms height of the ground
    tip_out, tip_down : [m]  tip outboard of and below I
    lever : [m2]  (|J-I|^2 - <|G-I|^2>)/2, moment of the pressure on the face over the pressure
    moment : [kg m/m]  m_x of the cloth about I
    inertia : [kg m2/m]  about I, with the air that is moved
    stiffness : [N m/rad/m]  of the section at rest, over-pressure in the loop included, without diaphragm
    area_rate : [m2/rad]  A' at rest: what the loop lifts beyond the face's pull, over the pressure
    diaphragm_stiffness : [N m/rad/m]  0 where there is none or where it is slack
    tip_flow : [kg/m]  g, moment per metre for a growth of the flow per metre
    over_pressure : [-]  eps, loop less cushion pressure over cushion pressure
    lip_strength, lip_length : [-], [m]
    loss_factor : [-]  eta of the cloth
    """

    length: Floats
    gap: Floats
    contraction: Floats
    roughness: Floats
    tip_out: Floats
    tip_down: Floats
    lever: Floats
    moment: Floats
    inertia: Floats
    stiffness: Floats
    area_rate: Floats
    diaphragm_stiffness: Floats
    tip_flow: Floats
    over_pressure: Floats
    lip_strength: Floats
    lip_length: Floats
    loss_factor: Floats


@dataclass(frozen=True, eq=False)
class Modes:
    """What a state does by itself; (...) each.

    Parameters
    ----------
    roots : (..., k) [1/s]  complex, all of them
    growth : [1/s]  largest real part; positive: it grows
    frequency : [rad/s]  of that root, 0 where it does not swing
    damping : [-]  -real/|root| of that root
    """

    roots: Complexes
    growth: Floats
    frequency: Floats
    damping: Floats
