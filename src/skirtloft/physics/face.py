"""The flat shape of a segment's face: straight at the joint, full bulge at the tip."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats

FLARE_END = 0.6  # share of the side edge over which the bulge grows to its full width (inflation study, derived)


def face_half_width(
    fraction: npt.ArrayLike, top_chord: Floats | float, tip_chord: Floats | float, tip_half_width: Floats | float
) -> Floats:
    """Return the half width of the flat face at places along its side edge.

    Parameters
    ----------
    fraction : (k,) [-]
        Share of the side edge's length, 0 at the joint, 1 at the tip.
    top_chord, tip_chord : float, or array that broadcasts with `fraction` [m]
        Distance between the webs at the joint and at the tip; on a straight run both are the pitch.
    tip_half_width : float, or array as these [m]
        Half the flat width at the tip: pi/4 of the chord for a half-round face.

    Returns
    -------
    (k,) [m]

    Notes
    -----
    With chord c(f) = top + (tip - top) f and ratio q = 2 tip_half_width / tip_chord,
    h(f) = (c/2) [1 + (q - 1) sin((pi/2) min(1, f/0.6))]: no bulge at the joint, so that bolt holes meet, and the full
    bulge from 0.6 of the edge on. The form and the 0.6 are chosen, not measured.

    References
    ----------
    Derived; chosen by inflating segments in a membrane model.

    Examples
    --------
    >>> face_half_width([0.0, 1.0], 0.15, 0.15, np.pi / 4 * 0.15).round(5).tolist()
    [0.075, 0.11781]
    """
    share = np.asarray(fraction, dtype=np.float64)
    chord = top_chord + (tip_chord - top_chord) * share
    ratio = 2.0 * tip_half_width / tip_chord
    grown: Floats = np.sin((np.pi / 2.0) * np.minimum(1.0, share / FLARE_END))
    return chord / 2.0 * (1.0 + (ratio - 1.0) * grown)
