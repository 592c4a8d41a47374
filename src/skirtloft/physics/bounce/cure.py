"""Which diaphragm stops a bounce: loops cut ever shorter, whether it stays taut, what it pulls, what she then does."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.bounce.free import free_modes
from skirtloft.physics.bounce.rigid import locked_modes
from skirtloft.physics.bounce.section_motion import TurningSection
from skirtloft.physics.bounce.types import HeaveCraft, SkirtRuns
from skirtloft.physics.diaphragm import DIAPHRAGM_DEFAULTS, Diaphragm, required_margin, size_diaphragm
from skirtloft.physics.loop_margin import LoopBalance, loop_balance, loop_of_margin

Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class DiaphragmCure:
    """Bounce with diaphragms of k margins on n runs.

    Parameters
    ----------
    margin : (k,) [-]  excess of the loop over its balance, as `Diaphragm.margin`
    tension : (k, n) [N/m]
    length_share : (k, n) [-]  loop length over that without diaphragm
    stiffness_gain : (k, n) [-]  of the section, the diaphragm's own stiffness left out
    taut : (k, n) bool  at rest
    stays_taut : (k, n) bool  at half pressure and half a g of heave as well
    growth : (k,) [1/s]  of craft and skirt with that diaphragm
    cures : (k,) bool  taut and staying so in all runs, and steady
    free_growth, locked_growth : [1/s]  without diaphragm; with segments that cannot turn at all
    least_margin : (n,) [-]  at which it just stays taut
    """

    margin: Floats
    tension: Floats
    length_share: Floats
    stiffness_gain: Floats
    taut: Flags
    stays_taut: Flags
    growth: Floats
    cures: Flags
    free_growth: float
    locked_growth: float
    least_margin: Floats


def diaphragm_cure(
    craft: HeaveCraft,
    runs: SkirtRuns,
    section: TurningSection,
    *,
    attachment: npt.ArrayLike,
    margins: npt.ArrayLike = (0.02, 0.05, 0.10, 0.15, 0.20, 0.25),
    cloth_stiffness: npt.ArrayLike = DIAPHRAGM_DEFAULTS["cloth_stiffness"].value,
    imperfection: float = 0.0,
) -> DiaphragmCure:
    """Return what diaphragms of several margins do to a bounce.

    Parameters
    ----------
    craft, runs, section : (), (n,), (n,)
        At rest without diaphragm, from `runs_at_rest`.
    attachment : (n, 2) [m]
        D seen from I.
    margins : (k,) [-]
    cloth_stiffness : (n,) [N/m]
        Of the diaphragm.
    imperfection : float
        Share of the balance lost by sewing, as in `required_margin`.

    Notes
    -----
    With a diaphragm the section is stiffer by the shorter loop, and the diaphragm's stretch adds to that while it is
    taut; the segments stand as cut. A bounce in which it goes slack is for the time run.
    """
    wanted = np.asarray(margins, dtype=np.float64)
    case = _balance(craft, section)
    dia = size_diaphragm(
        case, loop_of_margin(case, wanted[:, None]), attachment, cloth_stiffness=cloth_stiffness, least_steepness=0.0
    )
    least = required_margin(
        case, runs.tip_out, lip_suction=runs.lip_strength * runs.lip_length, imperfection=imperfection
    )
    held = _held(runs, section, dia)
    growth = free_modes(craft, held).growth
    locked = float(locked_modes(craft, runs).growth)
    stays = np.asarray(dia.is_taut & (dia.margin >= least))
    return DiaphragmCure(
        margin=frozen_array(wanted),
        tension=dia.tension,
        length_share=frozen_array(dia.loop.length / dia.balance_length),
        stiffness_gain=frozen_array(dia.section_stiffness * (1.0 + runs.over_pressure) / runs.stiffness - 1.0),
        taut=dia.is_taut,
        stays_taut=stays,
        growth=growth,
        cures=np.asarray(stays.all(axis=-1) & (growth < 0.0)),
        free_growth=float(free_modes(craft, runs).growth),
        locked_growth=locked,
        least_margin=frozen_array(np.broadcast_to(least, runs.length.shape)),
    )


def _balance(craft: HeaveCraft, section: TurningSection) -> LoopBalance:
    square = (section.joint**2).sum(axis=-1) - 2.0 * section.lever
    return loop_balance(
        section.edge,
        section.joint,
        np.zeros_like(section.joint),
        tip_mean_square=square,
        pressure=craft.pressure,
        weight_moment=section.moment,
    )


def _held(runs: SkirtRuns, section: TurningSection, dia: Diaphragm) -> SkirtRuns:
    """Return the runs (k, n) with these diaphragms; slack ones leave a run as it was."""
    taut = dia.is_taut
    shape = taut.shape
    many = SkirtRuns(**{name: np.broadcast_to(value, shape) for name, value in vars(runs).items()})
    stiffness = dia.section_stiffness * (1.0 + many.over_pressure)
    return replace(
        many,
        tip_out=frozen_array(np.where(taut, section.tip[..., 0], many.tip_out)),
        tip_down=frozen_array(np.where(taut, -section.tip[..., 1], many.tip_down)),
        area_rate=frozen_array(np.where(taut, dia.loop.lift - section.lever, many.area_rate)),
        stiffness=frozen_array(np.where(taut, stiffness, many.stiffness)),
        diaphragm_stiffness=frozen_array(np.where(taut, dia.stretch_stiffness + dia.turn_stiffness, 0.0)),
    )
