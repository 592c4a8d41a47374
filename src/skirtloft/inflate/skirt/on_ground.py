"""What the skirt does when the ground comes up: how hard it presses, and whether segments turn or fold."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from skirtloft.inflate.contact import ContactForces, ground
from skirtloft.inflate.relax import Inflated
from skirtloft.inflate.skirt.measure import Measures, measure
from skirtloft.inflate.skirt.model import SewnSkirt
from skirtloft.inflate.types import Ints
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.shape.segment_field import inboard_at, tip_insets

FOOT = 1e3  # N/m of every node that may touch the ground


@dataclass(frozen=True, eq=False)
class GroundStep:
    """The skirt on ground that came up by `up` [m] over the mean tip; arrays over the segments (k,).

    Parameters
    ----------
    up : float [m]
    lift : [N/m]
        How hard it presses, per metre of joint.
    turned : [-]
        How much of the tips' rise is a turn of the segment about its inner fixing; the rest is folding.
    is_settled : bool
    """

    up: float
    lift: Floats
    turned: Floats
    is_settled: bool


def ground_step(skirt: SewnSkirt, free: Measures, now: Inflated, where: tuple[float, float]) -> GroundStep:
    """Return what a skirt does on ground that came `up`, to `height` [m]; `free` are its measures off the ground."""
    up, height = where
    push = ContactForces(ground(skirt.feet, height, FOOT)).pushes(now.points)
    of = _segment_of(skirt)[skirt.feet]
    own, after = free.segments, measure(skirt, now.points).segments
    lift = np.bincount(of, push, minlength=len(own.width)) / own.width
    plan = skirt.cut.plan
    arm = inboard_at(plan.segments, own.at)
    pitch = np.array([skirt.runs[span.run].pitch for span in skirt.chain.segments])
    inset = np.array([tip_insets(plan.segments, p, np.array([at]))[0] for p, at in zip(pitch, own.at, strict=True)])
    by_turn = (after.joint - own.joint) * (arm - inset) / arm
    rise = after.tip - own.tip
    with np.errstate(divide="ignore", invalid="ignore"):
        turned = np.where(np.abs(rise) > 1e-4, np.clip(by_turn / rise, 0.0, 1.0), np.nan)
    return GroundStep(up, frozen_array(lift), frozen_array(turned), now.is_settled)


def _segment_of(skirt: SewnSkirt) -> Ints:
    """Return for every node the segment whose face or web it lies in, 0 for loop nodes, (n,)."""
    of = np.zeros(len(skirt.problem.mesh.points), dtype=np.intp)
    ends = np.append(skirt.face_pieces[1:], len(skirt.problem.mesh.nodes))
    for k, (first, last) in enumerate(zip(skirt.face_pieces, ends, strict=True)):
        for piece in range(first, last):
            of[skirt.problem.mesh.nodes[piece]] = k
    return of
