"""The trade's quarter rule beside the real balance: what it would cut, and where that would stand."""

from __future__ import annotations

from skirtloft.maths.frozen import frozen_array
from skirtloft.physics.segment_shape import flat_faced
from skirtloft.physics.statics import solve_statics
from skirtloft.physics.statics_types import QuarterRule, SectionStatics
from skirtloft.physics.turning import settle


def quarter_rule(sections: SectionStatics) -> QuarterRule:
    """Return the loops the quarter rule cuts, and where segments with the real face and weight come to rest on them.

    Parameters
    ----------
    sections : SectionStatics

    Returns
    -------
    QuarterRule

    Notes
    -----
    The moment equation for a flat face and no weight. For a face of 45 degrees, a right angle at the tip and an
    inner fixing level with the joint the loop's centre then lies d/2 inboard of the joint, a quarter of |J - I|: the
    rule as the trade says it. A plane section: in a membrane model, runs with half-round faces cut by the
    rule rose 60 to 76 mm at the joint on ballooning sides, 2 mm either way at bows with a nearly straight loop.

    References
    ----------
    Rule: common practice, no source. Its moment equation: derived.
    """
    offset, rise = -sections.hull_edge[..., 0], sections.hull_edge[..., 1] - sections.shape.depth
    rule = solve_statics(flat_faced(sections.shape), offset, rise, sections.pressure)
    rest = settle(sections, length=rule.length)
    return QuarterRule(
        length=rule.length,
        length_difference=frozen_array(rule.length - sections.length),
        turn=rest.turn,
        joint_rise=rest.joint_rise,
        tip_rise=rest.tip_rise,
    )
