"""What a tip line carries and lets through at a given clearance: integrals along its elements, and their slopes.

Clearance goes straight along an element, from `clear - half` to `clear + half`; `low` and `high` are the smaller and
the larger of the two. Shapes (..., n).
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats
from skirtloft.physics.attitude.bounds import Contact
from skirtloft.physics.attitude.tip_line import TipLine

# Gauss points of the unit interval: exact to the fifth power; the highest here is the fourth.
_NODES, _WEIGHTS = (np.polynomial.legendre.leggauss(3)[0] + 1.0) / 2.0, np.polynomial.legendre.leggauss(3)[1] / 2.0


def open_with_share(low: Floats, high: Floats) -> tuple[Floats, Floats]:
    """Return the mean of max(0, g) along each element [m], and the share of it that is open: the mean's slope by g."""
    across = high - low
    above = np.maximum(high, 0.0)
    share = np.minimum(1.0, above / np.where(across > 0.0, across, 1e-300))
    return share * (above - 0.5 * share * across), share


def _sunk_square(low: Floats, high: Floats) -> Floats:
    """Return the mean of max(0, -g)^2 along each element [m2]."""
    across, below = high - low, np.maximum(-low, 0.0)
    share = np.minimum(1.0, below / np.where(across > 0.0, across, 1e-300))
    rest = below - share * across
    return share * (below * below + below * rest + rest * rest) / 3.0


def footprint(line: TipLine, low: Floats, high: Floats, shift: Floats) -> Floats:
    """Return the area inside the contact line (...) [m2]."""
    sunk, _ = open_with_share(-high, -low)
    bent, weight = _bent(line, shift)
    return np.asarray(line.area + sunk @ (shift * line.length) + _sunk_square(low[..., bent], high[..., bent]) @ weight)


def escape_and_support(
    line: TipLine, contact: Contact, low: Floats, high: Floats
) -> tuple[Floats, Floats, Floats, Floats]:
    """Return Int Cd max(0, g) ds (...) [m2] and its slope by heave [m], lift over pressure [m2] and its slope [m].

    Notes
    -----
    Mean sink = mean opening less mean clearance; share sunk = 1 less share open.
    """
    opened, share = open_with_share(low, high)
    sunk = opened - 0.5 * (low + high)
    escape, strips = line.discharge * line.length, (contact.shift + contact.stiffness) * line.length
    bent, weight = _bent(line, contact.shift)
    support = line.area + sunk @ strips + _sunk_square(low[..., bent], high[..., bent]) @ weight
    slope = share @ strips - strips.sum() - 2.0 * (sunk[..., bent] @ weight)
    return opened @ escape, share @ escape, np.asarray(support), np.asarray(slope)


def _bent(line: TipLine, shift: Floats) -> tuple[npt.NDArray[np.intp], Floats]:
    """Return which elements are curved, and what a square of their sink adds to the footprint [1]."""
    bent = np.flatnonzero(line.curvature)
    return bent, 0.5 * line.curvature[bent] * shift[bent] ** 2 * line.length[bent]


def _sunk_part(clear: Floats, half: Floats) -> tuple[Floats, Floats, Floats]:
    """Return where each element is sunk as shares of its length: first and last, and which share is sunk."""
    start, end = clear - half, clear + half
    across = np.where(end != start, end - start, 1.0)
    root = np.clip(-start / across, 0.0, 1.0)
    first = np.where(start < 0.0, 0.0, np.where(end < 0.0, root, 0.0))
    last = np.where(end < 0.0, 1.0, np.where(start < 0.0, root, 0.0))
    return first, last, last - first


def _nodes(line: TipLine, clear: Floats, half: Floats) -> tuple[Floats, Floats, Floats]:
    """Return sink [m], place along the element from its middle [m] and length [m] at points of the sunk parts.

    The points are the first axis: (3, ..., n).
    """
    first, _, part = _sunk_part(clear, half)
    points = (3,) + (1,) * clear.ndim
    place = first + part * _NODES.reshape(points) - 0.5
    sink = np.maximum(0.0, -(clear + 2.0 * half * place))
    return sink, place * line.length, part * line.length * _WEIGHTS.reshape(points)


def lift_moment(line: TipLine, clear: Floats, half: Floats, contact: Contact) -> tuple[Floats, Floats]:
    """Return lift and its first moments over the pressure, (...) [m2] and (..., 2) [m3], from the area's centre.

    Notes
    -----
    Per metre: strip m (1 + k m/2) and tip force K s at x + m n, m = shift s; the strip's own moment along n is
    m^2 (1/2 + k m/3), k the curvature.
    """
    sink, aside, ds = _nodes(line, clear, half)
    shift, bend = contact.shift, line.curvature
    move = shift * sink
    force = contact.stiffness * sink
    on_line = ds * (move * (1.0 + 0.5 * bend * move) + force)
    outward = ds * (move**2 * (0.5 + bend * move / 3.0) + force * move)
    moment = (
        on_line.sum(axis=0) @ line.middle
        + (on_line * aside).sum(axis=0) @ line.along
        + outward.sum(axis=0) @ line.normal
    )
    return line.area + on_line.sum(axis=0).sum(axis=-1), moment


def carry_slopes(line: TipLine, clear: Floats, half: Floats, contact: Contact) -> tuple[Floats, Floats, Floats]:
    """Return slopes by heave, trim and heel: of the open area, of the support area and of its moments.

    Returns
    -------
    opened : (..., 3) [m], [m2/rad]
        Of Int Cd max(0, g) ds.
    support : (..., 3)
        Of lift over pressure.
    moments : (..., 2, 3)
    """
    sink, aside, ds = _nodes(line, clear, half)
    shift, bend = contact.shift, line.curvature
    force = contact.stiffness
    on_line = -ds * (shift * (1.0 + bend * shift * sink) + force)
    outward = -ds * (shift**2 * sink * (1.0 + bend * shift * sink) + 2.0 * force * shift * sink)
    whole, first, second = ((on_line * aside**k).sum(axis=0) for k in range(3))
    out, out_first = outward.sum(axis=0), (outward * aside).sum(axis=0)
    one = np.ones(len(line.length))
    by = np.stack([one, line.middle[:, 0], line.middle[:, 1]], axis=-1)
    by_aside = np.stack([0.0 * one, line.along[:, 0], line.along[:, 1]], axis=-1)
    support = whole @ by + first @ by_aside
    moments = [
        whole @ (x[:, None] * by)
        + first @ (x[:, None] * by_aside + t[:, None] * by)
        + second @ (t[:, None] * by_aside)
        + out @ (n[:, None] * by)
        + out_first @ (n[:, None] * by_aside)
        for x, t, n in zip(line.middle.T, line.along.T, line.normal.T, strict=True)
    ]
    begin, last, part = _sunk_part(clear, half)
    weight = line.discharge * line.length
    sunk_aside = part * (0.5 * (begin + last) - 0.5) * line.length
    opened = ((1.0 - part) * weight) @ by - (sunk_aside * weight) @ by_aside
    return np.asarray(opened), np.asarray(support), np.stack(moments, axis=-2)
