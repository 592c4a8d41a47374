"""The design case as sections measured from the hull edge, and the same cloth at rest under every other load."""

from __future__ import annotations

from dataclasses import fields

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.segment_shape import flat_faced
from skirtloft.physics.statics import solve_statics
from skirtloft.physics.statics_types import SectionStatics, TurnedSections
from skirtloft.physics.turning import held_as_cut, settle
from skirtloft.physics.types import Sections


def sections_of(statics: SectionStatics) -> Sections:
    """Return sections in equilibrium as the rest of the flow takes them, x outboard from the hull edge.

    Parameters
    ----------
    statics : SectionStatics
        One per station, at one pressure.

    Notes
    -----
    The quarter rule's length is that of the same equation for a flat face without weight: with the face at 45 deg, a
    right angle at the tip and I level with J its centre lies a = d/2 inboard of the joint.

    References
    ----------
    Quarter rule: common practice, no source.
    """
    shape = statics.shape
    offset, rise = -statics.hull_edge[..., 0], statics.hull_edge[..., 1] - shape.depth
    rule = solve_statics(flat_faced(shape), offset, rise, statics.pressure)
    quarter = np.where(np.isnan(statics.length), np.nan, rule.length)
    return Sections(
        offset=frozen_array(offset),
        rise=frozen_array(rise),
        depth=shape.depth,
        face_angle=shape.face_angle,
        pitch=shape.pitch,
        tip_inboard=frozen_array(-shape.tip[..., 0]),
        inboard=shape.inboard,
        drop=shape.drop,
        pressure=float(statics.pressure.flat[0]),
        centre_inset=frozen_array(-statics.centre[..., 0]),
        centre_z=frozen_array(statics.centre[..., 1]),
        radius=statics.radius,
        angle=statics.angle,
        start_angle=statics.start_angle,
        end_angle=statics.end_angle,
        length=statics.length,
        quarter_rule_length=frozen_array(quarter),
        tip_mean_square=shape.tip_mean_square,
        weight_moment=statics.weight_moment,
        tension=statics.tension,
        stiffness=statics.stiffness,
    )


def rest_under(
    statics: SectionStatics, pressures: npt.ArrayLike, *, slack_pressure: npt.ArrayLike | None = None
) -> TurnedSections:
    """Return where the cloth cut for the design case comes to rest under other pressures, (loads, stations).

    Parameters
    ----------
    statics : SectionStatics
    pressures : (k,) [Pa]
        Of the loads; at the design case's own nothing turns.
    slack_pressure : (n,) [Pa], optional
        Above it a taut diaphragm holds the section as cut; nan where there is none.
    """
    loads = np.asarray(pressures, dtype=np.float64)[:, None]
    free = settle(statics, pressure=loads)
    if slack_pressure is None:
        return free
    with np.errstate(invalid="ignore"):
        is_held = loads > np.asarray(slack_pressure, dtype=np.float64)
    held = held_as_cut(statics, pressure=loads)
    return TurnedSections(
        **{
            field.name: frozen_array(_where(is_held, getattr(held, field.name), getattr(free, field.name)))
            for field in fields(TurnedSections)
        }
    )


def _where(is_held: npt.NDArray[np.bool_], held: Floats, free: Floats) -> Floats:
    """Return `held` or `free` by section; points have one axis more."""
    mask = is_held if held.ndim == is_held.ndim else is_held[..., None]
    return np.where(mask, held, free)
