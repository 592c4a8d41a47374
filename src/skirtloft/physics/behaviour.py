"""What sections do when something moves them: pull of the fixings, force line, taut limit, restoring moment."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from functools import cached_property

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.force_line import diaphragm_pull, force_line, reactions
from skirtloft.physics.quarter_rule import quarter_rule
from skirtloft.physics.statics_types import (
    FaceEdge,
    ForceLine,
    QuarterRule,
    Reactions,
    SectionStatics,
    SegmentCloth,
    TautLimits,
    TurnedSections,
)
from skirtloft.physics.turning import LARGEST_TURN, restoring_moment, taut_limits

CURVE_POINTS = 61
SQUARE = 1e-9  # rad: a tip angle this near to a right angle is one
NEAR_TAUT = 0.98  # of the way to the taut limit: where the curves end


@dataclass(frozen=True, eq=False)
class SectionBehaviour:
    """What the sections of a skirt do; n stations, k loads.

    Parameters
    ----------
    sections : SectionStatics, (n,)
        In the design case.
    rests : TurnedSections, (k, n)
        The same cloth at rest under each load.
    taut : TautLimits, (n, 2)
        Where the loop goes straight, tip down and tip up.
    taut_joint, taut_tip : (n, 2, 2) [m]
        J and G there.
    drag_at_taut : (n,) [N/m]
        Inboard pull at the web corner G that turns the segment `taut.share` of the way to its taut limit, tip down.
    reactions : Reactions, (k, n)
        What the fixings carry under each load.
    face_push, tip_edge_pull : (n,) [N/m]
        Push along the face at the tip (0 where it does not pucker) and pull of the lower edge there, by two lines.
    force_line : ForceLine, (n,)
    turn : (c, n) [rad]
        Turns of the curve of the restoring moment, from tip down to tip up.
    moment : (c, n) [N m / m]
        Restoring moment there, tip up positive.
    hardness : (n,) [-]
        Stiffness over pressure and depth squared.
    """

    sections: SectionStatics
    rests: TurnedSections
    taut: TautLimits
    taut_joint: Floats
    taut_tip: Floats
    drag_at_taut: Floats
    reactions: Reactions
    face_push: Floats
    tip_edge_pull: Floats
    force_line: ForceLine
    turn: Floats
    moment: Floats
    hardness: Floats

    @cached_property
    def quarter_rule(self) -> QuarterRule:
        """The loops that the quarter rule cuts, and where they would stand, (n,); a search never asks for them."""
        return quarter_rule(self.sections)


def section_behaviour(
    sections: SectionStatics, rests: TurnedSections, diaphragm: Floats | None = None
) -> SectionBehaviour:
    """Return what the sections do.

    Parameters
    ----------
    sections : SectionStatics, (n,)
    rests : TurnedSections, (k, n)
        See `design_case.rest_under`; the first load is the design case.
    diaphragm : (n, 2), optional
        Unit vector from J to where a diaphragm is fixed; nan where there is none.

    Notes
    -----
    A pull F inboard at G turns the segment down until F (I_z - G_z) is the restoring moment. With P = p |JG|/2 at the
    tip and two lines for face and lower edge, the edge pulls P/sin and the face pushes P cot of the tip angle.

    References
    ----------
    Derived.
    """
    shape, taut = sections.shape, taut_limits(sections)
    towards = np.full_like(shape.joint, np.nan) if diaphragm is None else diaphragm
    there = taut.share * taut.turn[..., 0]
    height = shape.inner[..., 1] - turned_about(shape.tip, shape.inner, there)[..., 1]
    turn = _curve_turns(taut)
    half = sections.pressure * shape.face_length / 2.0
    at_taut = [
        np.stack([turned_about(point, shape.inner, taut.turn[..., side]) for side in (0, 1)], axis=-2)
        for point in (shape.joint, shape.tip)
    ]
    return SectionBehaviour(
        sections=sections,
        rests=rests,
        taut=taut,
        taut_joint=frozen_array(at_taut[0]),
        taut_tip=frozen_array(at_taut[1]),
        drag_at_taut=frozen_array(taut.held_moment[..., 0] / height),
        reactions=_under_loads(sections, rests, towards),
        face_push=frozen_array(np.where(shape.tip_angle < np.pi / 2.0 - SQUARE, half / np.tan(shape.tip_angle), 0.0)),
        tip_edge_pull=frozen_array(half / np.sin(shape.tip_angle)),
        force_line=force_line(sections, diaphragm_pull(sections, towards, -sections.diaphragm_moment)),
        turn=frozen_array(turn),
        moment=frozen_array(restoring_moment(sections, turn)),
        hardness=frozen_array(sections.stiffness / (sections.pressure * shape.depth**2)),
    )


def _under_loads(sections: SectionStatics, rests: TurnedSections, towards: Floats) -> Reactions:
    """Return the reactions (k, n): the design case as cut, which stands even where nothing holds it, then the rest.

    Notes
    -----
    A taut diaphragm keeps a section from turning, and holds back the moment that is left there; where the section has
    turned to its rest none is left.
    """
    first = reactions(sections, diaphragm_pull(sections, towards, -sections.diaphragm_moment))
    turned, left = turned_statics(sections, rests), restoring_moment(sections, rests.turn, pressure=rests.pressure)
    held = np.where(rests.turn == 0.0, left, 0.0)
    others = reactions(turned, diaphragm_pull(turned, np.broadcast_to(towards, turned.shape.joint.shape), held))
    values = {}
    for field in fields(Reactions):
        mine, theirs = getattr(first, field.name), getattr(others, field.name)
        every = np.broadcast_to(theirs, (len(rests.turn), *mine.shape))
        values[field.name] = frozen_array(np.concatenate([mine[None], every[1:]]))
    return Reactions(**values)


def _curve_turns(taut: TautLimits) -> Floats:
    """Return turns (c, n) [rad] from near the lower taut limit to near the upper, closer together towards both."""
    low = np.maximum(NEAR_TAUT * np.nan_to_num(taut.turn[..., 0], nan=-LARGEST_TURN), -LARGEST_TURN)
    high = np.minimum(NEAR_TAUT * np.nan_to_num(taut.turn[..., 1], nan=LARGEST_TURN), LARGEST_TURN)
    share = np.sin(np.linspace(0.0, np.pi / 2.0, CURVE_POINTS // 2 + 1))  # 0 is on the curve: the design case itself
    return np.concatenate([share[::-1, None] * low, share[1:, None] * high])


def turned_about(point: Floats, centre: Floats, turn: npt.ArrayLike) -> Floats:
    """Return points (..., 2) [m] turned about `centre` by `turn` [rad], all broadcast."""
    phi = np.asarray(turn, dtype=np.float64)
    x, z = np.moveaxis(point - centre, -1, 0)
    turned = np.stack([x * np.cos(phi) - z * np.sin(phi), z * np.cos(phi) + x * np.sin(phi)], axis=-1)
    return np.asarray(centre + turned)


def turned_statics(sections: SectionStatics, rests: TurnedSections) -> SectionStatics:
    """Return the sections as they stand at rest under other loads: everything of the segment turned about I.

    Parameters
    ----------
    sections : SectionStatics, (n,)
    rests : TurnedSections, (k, n)

    Returns
    -------
    SectionStatics
        (k, n); points, edges of the face and moments of the cloth are the turned ones, `shape.depth` and the web's
        angles those as cut. nan where the sections come to rest nowhere.
    """
    turn, shape, cloth = rests.turn, sections.shape, sections.segment
    cosine, sine = np.cos(turn), np.sin(turn)
    moment = cloth.moment * cosine - cloth.height_moment * sine
    height_moment = cloth.height_moment * cosine + cloth.moment * sine
    edge = np.broadcast_to(sections.hull_edge, (*turn.shape, 2))
    chord = np.linalg.norm(rests.joint - edge, axis=-1)
    return replace(
        sections,
        shape=replace(
            shape,
            joint=rests.joint,
            tip=rests.tip,
            inner=frozen_array(np.broadcast_to(shape.inner, (*turn.shape, 2))),
            joint_edge=_turned_edge(shape.joint_edge, cosine, sine),
            tip_edge=_turned_edge(shape.tip_edge, cosine, sine),
        ),
        segment=SegmentCloth(cloth.mass, frozen_array(moment), frozen_array(height_moment)),
        pressure=frozen_array(np.broadcast_to(rests.pressure, turn.shape)),
        hull_edge=frozen_array(edge),
        centre=rests.centre,
        bulge=frozen_array(-rests.radius * np.cos(rests.angle / 2.0)),
        chord=frozen_array(chord),
        radius=rests.radius,
        angle=rests.angle,
        start_angle=rests.start_angle,
        end_angle=rests.end_angle,
        length=frozen_array(np.broadcast_to(rests.length, turn.shape)),
        tension=rests.tension,
        stiffness=rests.stiffness,
    )


def _turned_edge(edge: FaceEdge, cosine: Floats, sine: Floats) -> FaceEdge:
    """Return a face's edge turned with its segment."""
    return FaceEdge(
        frozen_array(edge.out * cosine - edge.up * sine),
        frozen_array(edge.up * cosine + edge.out * sine),
        edge.spread,
    )
