"""Published limits of heel, and the passengers they reckon with. They do not bind a craft of 1 to 12 seats."""

from __future__ import annotations

import math
from dataclasses import dataclass

from skirtloft.physics.air import GRAVITY

HSC_CODE = "IMO, International Code of Safety for High-Speed Craft (1994 text; also in HSC 2000)"
NOT_BINDING = "the Code is for larger craft in service and does not bind 1 to 12 seats; its limits are a measure"


@dataclass(frozen=True)
class HeelLimit:
    """A limit of heel.

    Parameters
    ----------
    name : str
    angle : float [rad]
    where : str
        Paragraph.
    meaning : str
    source : str
    """

    name: str
    angle: float
    where: str
    meaning: str
    source: str


HEEL_LIMITS: tuple[HeelLimit, ...] = (
    HeelLimit(
        "passengers and wind", math.radians(10.0), "2.12.1", "inclined by passengers moving and wind on the beam",
        HSC_CODE,
    ),
    HeelLimit("turn", math.radians(8.0), "2.12.2", "inclined outward in a turn", HSC_CODE),
    HeelLimit("turn and wind", math.radians(12.0), "2.12.2", "inclined outward in a turn with wind", HSC_CODE),
)  # fmt: skip

PERSON_MASS = 75.0  # kg; HSC Code 2.10, 1994
SEATED_HEIGHT = 0.3  # m, centre of gravity of a person above the seat; HSC Code 2.10, 1994
STANDING_HEIGHT = 1.0  # m, above the deck; HSC Code 2.10, 1994
STANDING_DENSITY = 4.0  # persons per m2; HSC Code 2.10, 1994


def outward_heel_offset(speed: float, radius: float, height: float) -> float:
    """Return the offset [m] of the centre of gravity that heels like a steady turn, outward.

    Parameters
    ----------
    speed : float [m/s]
    radius : float [m]
        Of the turn.
    height : float [m]
        Centre of gravity above where the sideways force acts: above the ground, where tips or skegs hold it.

    Notes
    -----
    V^2/(g r) times the height.

    References
    ----------
    Statics; our own derivation.
    """
    return speed**2 / (GRAVITY * radius) * height
