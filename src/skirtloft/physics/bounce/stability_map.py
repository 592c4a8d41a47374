"""Where she is steady and where she bounces, over gap and lift flow: thousands of states in one batch."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.bounce.at_rest import states
from skirtloft.physics.bounce.free import free_modes, section_frequency
from skirtloft.physics.bounce.hover import each_alone
from skirtloft.physics.bounce.hurwitz import is_stable
from skirtloft.physics.bounce.rigid import locked_polynomial
from skirtloft.physics.bounce.threshold import margin_of_loss, neutral_swing
from skirtloft.physics.bounce.types import BOUNCE_DEFAULTS, HeaveCraft, SkirtRuns

Words = npt.NDArray[np.str_]

STEADY, BOUNCES, AIR_SPRING, IMPOSSIBLE = "steady", "bounces", "air spring", "not enough air"


@dataclass(frozen=True, eq=False)
class StabilityMap:
    """Screening of a craft over gap (rows) and lift flow (columns); (a, b) each.

    Parameters
    ----------
    gap, flow : [m], [m3/s]
    over_pressure : [-]  of the loop
    growth : [1/s]  of the free skirt with its own loss factors; positive: it grows
    frequency : [rad/s]  of that motion, 0 where it does not swing
    margin : [-]  least over the runs of loss over loss needed, by the closed form, each as if all the way round
    verdict : str  "steady", "bounces", "air spring" (the locked skirt heaves too) or "not enough air"
    """

    gap: Floats
    flow: Floats
    over_pressure: Floats
    growth: Floats
    frequency: Floats
    margin: Floats
    verdict: Words


def stability_map(
    craft: HeaveCraft,
    runs: SkirtRuns,
    *,
    gap: npt.ArrayLike,
    flow: npt.ArrayLike,
    mouth_area: float,
    flow_share: float = BOUNCE_DEFAULTS["flow_share"].value,
) -> StabilityMap:
    """Return the map of one craft.

    Parameters
    ----------
    craft, runs : HeaveCraft, SkirtRuns
        () and (n,).
    gap : (a,) [m]
    flow : (b,) [m3/s]
        All lift air. What does not go under the tips leaves by openings that do not change with the gap; where the
        gap alone takes more, the state is impossible and its numbers are nan.
    mouth_area : float [m2]
        Effective area from loop to cushion.
    """
    h, q = np.meshgrid(np.asarray(gap, dtype=np.float64), np.asarray(flow, dtype=np.float64), indexing="ij")
    one, many = states(craft, runs, gap=h, flow=q, mouth_area=mouth_area, flow_share=flow_share)
    can = ~np.isnan(one.leak_area)
    one = HeaveCraft(**{name: value[can] for name, value in vars(one).items()})
    many = SkirtRuns(**{name: value[can] for name, value in vars(many).items()})
    modes = free_modes(one, many)
    spring = ~is_stable(locked_polynomial(one, many))
    margin = np.where(spring, 0.0, _least_margin(one, many))
    word = np.where(spring, AIR_SPRING, np.where(modes.growth >= 0.0, BOUNCES, STEADY))

    def whole(values: Floats) -> Floats:
        full = np.full(h.shape, np.nan)
        full[can] = values
        return frozen_array(full)

    verdict = np.full(h.shape, IMPOSSIBLE, dtype="<U16")
    verdict[can] = word
    verdict.setflags(write=False)
    return StabilityMap(
        gap=frozen_array(h),
        flow=frozen_array(q),
        over_pressure=whole(many.over_pressure[..., 0]),
        growth=whole(modes.growth),
        frequency=whole(modes.frequency),
        margin=whole(margin),
        verdict=verdict,
    )


def _least_margin(craft: HeaveCraft, runs: SkirtRuns) -> Floats:
    alone_craft, alone = each_alone(craft, runs)
    swing = neutral_swing(alone_craft, alone)
    with np.errstate(invalid="ignore"):
        eta = swing.needed * section_frequency(alone)[..., 0] / alone.stiffness[..., 0]
    margin = margin_of_loss(runs.loss_factor, np.where(np.isnan(eta), 0.0, eta))
    return np.asarray(np.where(np.isnan(eta), np.nan, margin).min(axis=-1))
