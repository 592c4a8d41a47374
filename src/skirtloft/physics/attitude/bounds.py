"""Three ways a tip pressed on the ground may give: the two bounds, and the likely one between them.

Nobody knows beforehand how a segment shares a sink between folding and turning. So every answer is given three times:
`soft`, where segments fold up and only the contact line moves; `firm`, where the whole segment turns about its inner
fixing against the loop; and `likely`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.attitude.tip_line import TipLine
from skirtloft.physics.stated import DERIVED, OURS, Stated

Bound = Literal["soft", "likely", "firm"]
BOUNDS: tuple[Bound, ...] = get_args(Bound)

ATTITUDE_DEFAULTS: dict[str, Stated] = {
    "fold_stiffness": Stated(2.0, "Stiffness of a tip that folds, over the pressure.", f"{DERIVED}: own inflation"),
    "linear_sink": Stated(0.3, "Sink over depth beyond which the stiffness is no longer that of a small turn.", OURS),
    "least_offset": Stated(0.0005, "m; a centre of gravity this near to the middle counts as in the middle.", OURS),
    "most_tilt": Stated(math.radians(12.0), "rad; farther no rest is looked for.", OURS),
}

LIKELY = "likely is a fit to own inflated shapes, good to 25 %; no built skirt is in it"
PRESSED = (
    "likely is this skirt inflated as sewn and pressed on the ground by the command inflate, over the first step only;"
    " no built skirt is in it, and it may lie outside the two bounds, which are for flat faces and small sinks"
)
CAUTION = (
    "uniform cushion pressure; sideways jet force held at ground level;"
    " the result inside the gap is no prediction of stability"
)
TYPICAL = "Usual is said to be 0.5 to 1.5 % of the beam per degree: from memory, not looked up"


@dataclass(frozen=True, eq=False)
class Contact:
    """What a tip does per metre of sink; (n,) each.

    Parameters
    ----------
    stiffness : upward force per metre of tip line, per sink and per pressure
    shift : [m/m]  how far the contact line moves outboard
    turning : share of the sink that is a turn about the inner fixing
    """

    stiffness: Floats
    shift: Floats
    turning: Floats


def contact_of(
    line: TipLine, bound: Bound, *, fold_stiffness: float = ATTITUDE_DEFAULTS["fold_stiffness"].value
) -> Contact:
    """Return what the tips do by one of the three bounds.

    Notes
    -----
    soft: no force, shift cot(face). firm: k = K/(p l^2), shift (height of I)/l, l the lever from I to the mean tip.
    likely: the two in a row, 1/k = 1/k_firm + 1/fold_stiffness; the shift is shared as the sink is. A section that is
    itself unstable (K <= 0) holds nothing. Where the skirt itself was inflated and pressed on the ground
    (`TipLine.pressed`), likely is what that showed: its force over its sink, and the share of it that was a turn.

    References
    ----------
    soft, firm: our own derivation. likely: a fit to our own inflated shapes in 3D, within 25 %.
    """
    slope = 1.0 / np.tan(line.face_angle)
    firm = np.maximum(line.stiffness, 0.0) / line.lever**2
    if bound == "soft":
        return Contact(frozen_array(np.zeros_like(firm)), frozen_array(slope), frozen_array(np.zeros_like(firm)))
    share = np.ones_like(firm) if bound == "firm" else fold_stiffness / (fold_stiffness + firm)
    stiffness = share * firm
    if bound == "likely":
        stiffness = np.where(np.isnan(line.pressed), stiffness, line.pressed)
        share = np.where(np.isnan(line.pressed_turn), share, line.pressed_turn)
    shift = share * line.drop / line.lever + (1.0 - share) * slope
    return Contact(frozen_array(stiffness), frozen_array(shift), frozen_array(share))


def likely_words(line: TipLine) -> str:
    """Return what `likely` stands on for this tip line."""
    return LIKELY if np.isnan(line.pressed).any() else PRESSED
