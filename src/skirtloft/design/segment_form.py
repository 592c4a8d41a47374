"""The form of a segment as the file gives it: depth, angles and inner fixing of each run."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from skirtloft.design.model import Skirt

TIP_ANGLES = (math.radians(70.0), math.radians(110.0))
LEAST_LOWER_SLOPE = math.radians(15.0)  # flatter, the lower edge meets the planing surface nowhere sensible; our choice
DEEPEST_DROP = 0.9  # of the depth: the inner fixing stays above the ground; our choice


@dataclass(frozen=True)
class SegmentForm:
    """The web J-G-I of a segment.

    Parameters
    ----------
    depth : float [m]
        Height of the joint J above the tip plane.
    face_angle : float [rad]
        Slope of the web's edge J-G to the ground.
    tip_angle : float [rad]
        Angle of the web at the tip G.
    drop : float [m]
        Inner fixing I below the joint.
    """

    depth: float
    face_angle: float
    tip_angle: float
    drop: float = 0.0

    @property
    def tip_inboard(self) -> float:
        """Web corner G inboard of the joint [m]: d cot(face)."""
        return self.depth / math.tan(self.face_angle)

    @property
    def inboard(self) -> float:
        """Inner fixing inboard of the joint [m]: d cot(face) - (d - drop) cot(face + tip)."""
        return self.tip_inboard - (self.depth - self.drop) / math.tan(self.face_angle + self.tip_angle)

    @property
    def face_length(self) -> float:
        """Length of the web's edge J-G [m]."""
        return self.depth / math.sin(self.face_angle)


def tip_angle_of(depth: float, face_angle: float, inboard: float, drop: float) -> float:
    """Return the tip angle [rad] of a web whose inner fixing lies `inboard` of the joint and `drop` below it [m]."""
    return math.pi - face_angle - math.atan2(depth - drop, inboard - depth / math.tan(face_angle))


def inboard_of(depth: float, face_angle: float, tip_angle: float, drop: float) -> float:
    """Return how far inboard of the joint the inner fixing lies [m] at a tip angle [rad]."""
    return SegmentForm(depth, face_angle, tip_angle, drop).inboard


def form_of(skirt: Skirt, run: str) -> SegmentForm:
    """Return the form of the segments of a run, "bow", "side" or "stern": its own values, else those of the skirt."""
    own = getattr(skirt, run)
    form = resolved_form(
        {
            "depth": skirt.depth,
            "face_angle": skirt.face_angle,
            "tip_angle": skirt.tip_angle,
            "drop": skirt.inner.drop,
            "inboard": skirt.inner.inboard,
        },
        {
            "depth": own.depth,
            "face_angle": own.face_angle,
            "tip_angle": own.tip_angle,
            "drop": own.inner.drop,
            "inboard": own.inner.inboard,
        },
    )
    assert form is not None  # every value of a design is there
    return form


def resolved_form(whole: Mapping[str, Any], own: Mapping[str, Any]) -> SegmentForm | None:
    """Return the form from the values of the whole skirt and a run's own (None: not given there).

    A run's own tip angle takes the place of an inboard distance of the whole skirt, and the other way round. None
    where a value is missing, because it could not be read.
    """
    value = {key: own.get(key) if own.get(key) is not None else whole.get(key) for key in ("depth", "face_angle")}
    drop = own.get("drop") if own.get("drop") is not None else whole.get("drop")
    depth, face = value["depth"], value["face_angle"]
    tip, inboard = (whole.get("tip_angle"), whole.get("inboard"))
    if own.get("inboard") is not None:
        inboard = own["inboard"]
    elif own.get("tip_angle") is not None:
        tip, inboard = own["tip_angle"], None
    if depth is None or face is None or drop is None or (tip is None and inboard is None):
        return None
    angle = (
        float(tip) if inboard is None and tip is not None else tip_angle_of(depth, face, float(inboard or 0.0), drop)
    )
    return SegmentForm(depth, face, angle, drop)
