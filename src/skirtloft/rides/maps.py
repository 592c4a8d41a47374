"""Where she is steady: over gap and lift air, and over gap and the way from loop to cushion."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.bounce.at_rest import states
from skirtloft.physics.bounce.free import free_modes
from skirtloft.physics.bounce.hover import hover_flow
from skirtloft.physics.bounce.hurwitz import is_stable
from skirtloft.physics.bounce.rigid import locked_polynomial
from skirtloft.physics.bounce.stability_map import AIR_SPRING, BOUNCES, STEADY, StabilityMap, stability_map
from skirtloft.rides.types import Rides

GAPS, ACROSS = 41, 41
SPAN = (0.05, 2.05)  # of gap and flow at rest
LEAST_SHARE = 0.025  # of the mouth there is
MOST_OVER_PRESSURE = 0.5  # of the cushion's; beyond it the small changes this rests on are not small: our own choice
BEYOND = "beyond the model"


@dataclass(frozen=True, eq=False)
class MouthMap:
    """Gaps (a,) [m], shares of the effective way from loop to cushion (b,) [-], and a verdict for each, (a, b)."""

    gap: Floats
    share: Floats
    verdict: npt.NDArray[np.str_]


def map_of(rides: Rides) -> StabilityMap:
    """Return the stability map of gap and lift air round the working point: rows are gaps, columns flows.

    One gap under all runs: what `air.gap_by_run` adds is left out.
    """
    hover = rides.hover
    flow = float(hover_flow(hover.craft, hover.runs))
    found = stability_map(
        hover.craft,
        hover.runs,
        gap=np.linspace(*SPAN, GAPS) * hover.point.gap,
        flow=np.linspace(*SPAN, ACROSS) * flow,
        mouth_area=hover.mouth.area,
        flow_share=hover.flow_share,
    )
    beyond = np.nan_to_num(found.over_pressure, nan=0.0) > MOST_OVER_PRESSURE
    verdict = np.where(beyond, BEYOND, found.verdict)
    verdict.setflags(write=False)
    return replace(found, verdict=verdict)


def mouth_map(rides: Rides) -> MouthMap:
    """Return where she is steady over gap and way from loop to cushion; the lift air is what the gap takes."""
    hover = rides.hover
    share = np.linspace(LEAST_SHARE, 1.0, ACROSS)
    gap = np.linspace(*SPAN, GAPS) * hover.point.gap
    h, part = np.meshgrid(gap, share, indexing="ij")
    one, many = states(hover.craft, hover.runs, gap=h, mouth_area=part * hover.mouth.area, flow_share=hover.flow_share)
    spring = ~is_stable(locked_polynomial(one, many))
    word = np.where(spring, AIR_SPRING, np.where(free_modes(one, many).growth >= 0.0, BOUNCES, STEADY))
    word = np.where(many.over_pressure[..., 0] > MOST_OVER_PRESSURE, BEYOND, word)
    word.setflags(write=False)
    return MouthMap(frozen_array(gap), frozen_array(share), word)
