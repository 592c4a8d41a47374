"""The free skirt: craft, segments, cushion air and duct air as one linear system, any number of runs, batched.

States: heave z and its speed w, the turn phi and rate om of every run, cushion pressure p, duct flow Q, all as small
departures from rest: (z, w, phi_1..n, om_1..n, p, Q), 4 + 2 n of them; one run gives the six-state model. All segments
of a run move together, the unfavourable case.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from skirtloft.maths.frozen import Floats
from skirtloft.physics.bounce.hover import compliance, hover_flow, lip_pull, run_flow, tip_opening
from skirtloft.physics.bounce.rigid import leading_mode
from skirtloft.physics.bounce.types import HeaveCraft, Modes, SkirtRuns


@dataclass(frozen=True, eq=False)
class Slopes:
    """What the small motions need; craft fields (...), run fields (..., n).

    Parameters
    ----------
    flow : [m3/s]  Q0
    compliance : [m3/Pa]  C
    duct_slope : [Pa s/m3]  Rf = tau p0/Q0
    gap_flow : [m2/s]  H of each run
    pressure_flow : [m3/s/Pa]  Q/(2 p0) of each run
    all_pressure_flow : [m3/s/Pa]  Q0/(2 p0)
    displaced : [m2/rad]  A' + heff e: air that a turning segment displaces
    pull, pull_slope : [m], [-]  Fs and dFs/dh of the lip
    damping : [N m s/rad/m]  eta sqrt(K I)
    turn_stiffness : [N m/rad/m]  section, diaphragm and lip
    loop_flow : [N m s/m3/m]  2 Delta (A' + lever)/Q0
    """

    flow: Floats
    compliance: Floats
    duct_slope: Floats
    gap_flow: Floats
    pressure_flow: Floats
    all_pressure_flow: Floats
    displaced: Floats
    pull: Floats
    pull_slope: Floats
    damping: Floats
    turn_stiffness: Floats
    loop_flow: Floats


def section_damping(runs: SkirtRuns) -> Floats:
    """Return c (..., n) [N m s/rad/m] = eta K/omega with omega = sqrt(K/I): the loss factor as a damper."""
    return np.asarray(runs.loss_factor * np.sqrt(np.maximum(runs.stiffness, 0.0) * runs.inertia))


def section_frequency(runs: SkirtRuns) -> Floats:
    """Return sqrt(K/I) (..., n) [rad/s] of a run by itself, no diaphragm; nan where the section is not stable."""
    return np.asarray(np.sqrt(np.where(runs.stiffness > 0.0, runs.stiffness, np.nan) / runs.inertia))


def slopes(craft: HeaveCraft, runs: SkirtRuns) -> Slopes:
    """Return the slopes at rest."""
    p = craft.pressure[..., None]
    out, h_flow = run_flow(craft, runs)
    flow = hover_flow(craft, runs)
    pull, pull_slope = lip_pull(runs)
    lip = p * (runs.tip_out**2 * pull_slope + runs.tip_down * pull)
    over = p * runs.over_pressure * (runs.area_rate + runs.lever)
    return Slopes(
        flow=flow,
        compliance=compliance(craft),
        duct_slope=np.asarray(craft.steepness * craft.pressure / flow),
        gap_flow=h_flow,
        pressure_flow=np.asarray(out / (2.0 * p)),
        all_pressure_flow=np.asarray(flow / (2.0 * craft.pressure)),
        displaced=np.asarray(runs.area_rate + tip_opening(runs.gap, runs.roughness)[0] * runs.tip_down),
        pull=pull,
        pull_slope=pull_slope,
        damping=section_damping(runs),
        turn_stiffness=np.asarray(runs.stiffness + runs.diaphragm_stiffness + lip),
        loop_flow=np.asarray(2.0 * over / flow[..., None]),
    )


def free_matrix(craft: HeaveCraft, runs: SkirtRuns) -> Floats:
    """Return A (..., 4 + 2 n, 4 + 2 n) with x' = A x; needs inertance above 0.

    Notes
    -----
    Sums over runs with H, G = Q/2p0, l tip out, e tip down, P length:

    - C p' = -(sum H) z - S w - sum H l phi - sum P (A' + heff e) om - Q0/(2 p0) p + Q
    - If Q' = -p - Rf Q
    - m w' + sum P m_x om' = S p + p0 sum P e phi
    - m_x w' + I om' = -p0 l Fs' z - K phi - c om + (A' - l Fs) p + 2 Delta (A' + lever)/Q0 Q + g q'

    with q' = (H/P)(w + l om) + (G/P) p', and K the stiffness of section, diaphragm and lip.

    References
    ----------
    Derived.
    """
    s = slopes(craft, runs)
    n = runs.length.shape[-1]
    batch = np.broadcast_shapes(craft.mass.shape, runs.length.shape[:-1], s.flow.shape)
    rows = np.zeros((*batch, 4 + 2 * n, 4 + 2 * n))
    turn, rate, air, duct = slice(2, 2 + n), slice(2 + n, 2 + 2 * n), 2 + 2 * n, 3 + 2 * n
    rows[..., 0, 1] = 1.0
    rows[..., turn, rate] = np.eye(n)

    c = s.compliance
    rows[..., air, 0] = -s.gap_flow.sum(axis=-1) / c
    rows[..., air, 1] = -craft.area / c
    rows[..., air, turn] = -s.gap_flow * runs.tip_out / c[..., None]
    rows[..., air, rate] = -runs.length * s.displaced / c[..., None]
    rows[..., air, air] = -s.all_pressure_flow / c
    rows[..., air, duct] = 1.0 / c
    rows[..., duct, air] = -1.0 / craft.inertance
    rows[..., duct, duct] = -s.duct_slope / craft.inertance

    heave = np.zeros((*batch, 4 + 2 * n))
    heave[..., air] = craft.area
    heave[..., turn] = craft.pressure[..., None] * runs.length * runs.tip_down

    moments = _moments(craft, runs, s, rows[..., air, :])
    share = runs.moment / runs.inertia
    mass = craft.mass - (runs.length * runs.moment * share).sum(axis=-1)
    coupled = heave - ((runs.length * share)[..., None] * moments).sum(axis=-2)
    rows[..., 1, :] = coupled / np.asarray(mass)[..., None]
    rows[..., rate, :] = moments / runs.inertia[..., None] - share[..., None] * rows[..., 1:2, :]
    return rows


def _moments(craft: HeaveCraft, runs: SkirtRuns, s: Slopes, air_row: Floats) -> Floats:
    """Return the moments on every run (..., n, 4 + 2 n) per state."""
    n = runs.length.shape[-1]
    which = np.arange(n)
    air, duct = 2 + 2 * n, 3 + 2 * n
    moments = np.zeros((*air_row.shape[:-1], n, 4 + 2 * n))
    per_length = s.gap_flow / runs.length
    moments += (runs.tip_flow * s.pressure_flow / runs.length)[..., None] * air_row[..., None, :]
    moments[..., 0] -= craft.pressure[..., None] * runs.tip_out * s.pull_slope
    moments[..., 1] += runs.tip_flow * per_length
    moments[..., which, 2 + which] -= s.turn_stiffness
    moments[..., which, 2 + n + which] += runs.tip_flow * per_length * runs.tip_out - s.damping
    moments[..., air] += runs.area_rate - runs.tip_out * s.pull
    moments[..., duct] += s.loop_flow
    return moments


def free_modes(craft: HeaveCraft, runs: SkirtRuns) -> Modes:
    """Return the roots (..., 4 + 2 n) of the free skirt and the one that grows most."""
    return leading_mode(np.asarray(np.linalg.eigvals(free_matrix(craft, runs)), dtype=np.complex128))
