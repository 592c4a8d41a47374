"""Wave drag of a uniform rectangular pressure in deep water, by linear theory, at many speeds at once.

Below `breaking_speed` the waves of the theory would be too steep to stand: real drag there is lower, and the second and
further humps of the theory are not seen. The plan is taken as a rectangle of the cushion's length and area.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.air import GRAVITY

FRESH_WATER = 1000.0  # kg/m3; sea water 1025, both rounded
SEA_WATER = 1025.0
SLOWEST_FROUDE = 0.05  # slower, the waves are a few centimetres long and the theory has no meaning
STEEPEST_WAVE = 1.0 / 7.0  # height over length; Everest and Hogben, in Yun and Bliault, 2000, p. 88

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(12)
_ENOUGH_PHASE = 300.0  # rad of the beam's phase at which the sum is cut and closed by its tail
_LENGTH_PHASE = 120.0  # rad of the length's phase at which the tail's own sum is cut
_TAIL_SHARES = np.linspace(0.0, 1.0, 49)[1:]
_NEAR_SHARES = np.linspace(0.0, 1.0, 11)[:-1]
_FIRST_PANELS = 10
_BATCH = 400_000  # points at a time
_KEPT_SIZE = 1000  # speeds: so many or fewer are kept


def wave_coefficient(froude: npt.ArrayLike, beam_over_length: npt.ArrayLike) -> Floats:
    """Return Cw of R = Cw p^2 B/(rho_w g).

    Parameters
    ----------
    froude : (...)
        F = U/sqrt(g L), not below `SLOWEST_FROUDE` (nan there).
    beam_over_length : (...)

    Notes
    -----
    Cw = 16/(pi k0 B) Int_0^inf sin^2((k0 L/2) cosh u) sin^2((k0 B/2) cosh u sinh u)/sinh^2 u du, k0 = g/U^2.
    Twelve Gauss points on panels of at most half a turn of both phases, to where the beam's phase turns fast; see
    `_tail` for what lies beyond. Good to 1e-5 of the largest value from F 0.05 to 30 and B/L 0.1 to 100.

    References
    ----------
    Linear theory of a moving pressure (Lamb, Hydrodynamics; form of Newman and Poole, in Yun and Bliault, 2000, pp. 86
    to 88).

    Examples
    --------
    >>> wave_coefficient([0.5, 1.0], 0.5).round(4).tolist()
    [1.5551, 1.4617]
    """
    f, ratio = np.broadcast_arrays(np.asarray(froude, np.float64), np.asarray(beam_over_length, np.float64))
    shape, f, ratio = f.shape, f.ravel(), ratio.ravel()
    found = np.full(f.shape, np.nan)
    valid = np.flatnonzero((f >= SLOWEST_FROUDE) & (ratio > 0.0) & np.isfinite(f))
    length, beam = 1.0 / f[valid] ** 2, ratio[valid] / f[valid] ** 2  # k0 L, k0 B
    count = _panel_count(length, beam)
    for size in np.unique(count):
        alike = np.flatnonzero(count == size)
        for part in np.array_split(alike, max(1, math.ceil(alike.size * size * 12 / _BATCH))):
            found[valid[part]] = _coefficient(length[part], beam[part], int(size))
    return found.reshape(shape)


def _last_phase(length: Floats, beam: Floats) -> Floats:
    """Return the beam's phase k0 B cosh u sinh u at which the sum is cut: past the place where both turn alike."""
    past = 3.0 * length / beam  # sinh u
    return np.maximum(_ENOUGH_PHASE, beam * past * np.sqrt(1.0 + past**2))


def _phase_step(length: Floats, beam: Floats) -> Floats:
    """Return the beam's phase of a panel: the length's phase grows by at most L/(2 sqrt2 B) of it."""
    return math.pi / (1.0 + length / (2.0 * math.sqrt(2.0) * beam))


def _panel_count(length: Floats, beam: Floats) -> npt.NDArray[np.int64]:
    """Return how many panels each case takes, rounded up to powers of sqrt(2): few sizes, few batches."""
    need = _last_phase(length, beam) / _phase_step(length, beam)
    return np.ceil(2.0 ** (np.ceil(2.0 * np.log2(np.maximum(need, 16.0))) / 2.0)).astype(np.int64)


def _coefficient(length: Floats, beam: Floats, panels: int) -> Floats:
    """Return Cw for k0 L and k0 B (k,)."""
    step = _last_phase(length, beam) / panels
    phase = step[:, None] * np.arange(1, panels + 1)
    later = 0.5 * np.arcsinh(2.0 * phase / beam[:, None])
    first = later[:, :1] * np.arange(_FIRST_PANELS) / _FIRST_PANELS
    edges = np.concatenate([first, later], axis=1)
    half = 0.5 * np.diff(edges, axis=1)
    u = (edges[:, :-1] + half)[..., None] + half[..., None] * _NODES
    sinh, cosh = np.sinh(u), np.cosh(u)
    along = np.sin(0.5 * length[:, None, None] * cosh)
    across = np.sin(0.5 * beam[:, None, None] * cosh * sinh)
    inner = np.einsum("kij,j,ki->k", (along * across / sinh) ** 2, _WEIGHTS, half)
    return np.asarray(16.0 / (math.pi * beam) * (inner + _tail(length, beam, edges[:, -1])))


def _tail(length: Floats, beam: Floats, u: Floats) -> Floats:
    """Return the integral beyond u, where the beam's phase turns fast.

    Notes
    -----
    sin^2(a/2) sin^2(b/2)/sinh^2 = (1 - cos a)(1 - cos b)/(4 sinh^2). The part with cos b by the first term at its end,
    Int_u^inf h cos b = -h sin(b)/b'. The rest on Gauss panels of the length's phase a until that turns fast too, and
    beyond as coth(u) - 1 and the first term of its cos a.
    """
    sinh, cosh = np.sinh(u), np.cosh(u)
    a = length * cosh
    b, b_rate = beam * cosh * sinh, beam * np.cosh(2.0 * u)
    total = 0.25 * (1.0 - np.cos(a)) * np.sin(b) / (b_rate * sinh**2)
    phase = a[:, None] + np.maximum(0.0, _LENGTH_PHASE - a)[:, None] * _TAIL_SHARES
    far = np.arccosh(np.maximum(1.0, phase / length[:, None]))
    far = np.maximum(far, u[:, None])
    edges = np.concatenate([u[:, None] * (far[:, :1] / u[:, None]) ** _NEAR_SHARES, far], axis=1)
    half = 0.5 * np.diff(edges, axis=1)
    place = (edges[:, :-1] + half)[..., None] + half[..., None] * _NODES
    turning = (np.sin(0.5 * length[:, None, None] * np.cosh(place)) / np.sinh(place)) ** 2
    total += 0.5 * np.einsum("kij,j,ki->k", turning, _WEIGHTS, half)
    sinh, cosh = np.sinh(edges[:, -1]), np.cosh(edges[:, -1])
    return np.asarray(total + 0.25 * (cosh / sinh - 1.0 + np.sin(length * cosh) / (length * sinh**3)))


def two_dimensional_limit(froude: npt.ArrayLike) -> Floats:
    """Return Cw of an endlessly wide cushion: 4 sin^2(1/(2 F^2)), Lamb."""
    return np.asarray(4.0 * np.sin(0.5 / np.asarray(froude, dtype=np.float64) ** 2) ** 2)


def wave_drag(
    speed: npt.ArrayLike,
    pressure: npt.ArrayLike,
    length: npt.ArrayLike,
    beam: npt.ArrayLike,
    *,
    water_density: float = FRESH_WATER,
) -> Floats:
    """Return the wave drag [N] at speeds [m/s] of a cushion of pressure [Pa], length and beam [m]; nan when too slow.

    Notes
    -----
    R = Cw p^2 B/(rho_w g). For a cushion of another plan: its length, and its area over it as beam.
    """
    u, lengthwise = np.asarray(speed, dtype=np.float64), np.asarray(length, dtype=np.float64)
    b = np.asarray(beam, dtype=np.float64)
    coefficient = _remembered(np.abs(u) / np.sqrt(GRAVITY * lengthwise), b / lengthwise)
    return np.asarray(coefficient * np.asarray(pressure) ** 2 * b / (water_density * GRAVITY))


def _remembered(froude: Floats, ratio: Floats) -> Floats:
    """Return `wave_coefficient`, kept for the last few places: levels of a drag ask for the same waves again."""
    if froude.ndim > 1 or ratio.ndim > 0 or froude.size > _KEPT_SIZE:
        return wave_coefficient(froude, ratio)
    return np.frombuffer(_of_bytes(froude.tobytes(), float(ratio))).reshape(froude.shape).copy()


@lru_cache(maxsize=64)
def _of_bytes(froude: bytes, ratio: float) -> bytes:
    return wave_coefficient(np.frombuffer(froude), ratio).tobytes()


@dataclass(frozen=True, eq=False)
class Hump:
    """The primary hump; (...) each.

    Parameters
    ----------
    froude, coefficient : F and Cw
    """

    froude: Floats
    coefficient: Floats


def primary_hump(beam_over_length: npt.ArrayLike) -> Hump:
    """Return the last hump of the wave drag, the highest that waves can stand, for B/L of 0.1 to 100.

    Notes
    -----
    The last maximum of Cw over F, by a look from F = 0.45 upwards and four times closer ones around it, then the top of
    a parabola. At a given cushion pressure this is the hump of the drag.
    """
    ratio = np.asarray(beam_over_length, dtype=np.float64)
    flat = ratio.ravel()
    low, high = np.full(flat.shape, 0.45), np.full(flat.shape, 2.0)
    rows = np.arange(flat.size)
    for looks in (33, 9, 9, 9):
        look = low[:, None] + (high - low)[:, None] * np.linspace(0.0, 1.0, looks)
        value = wave_coefficient(look, flat[:, None])
        best = np.clip(np.argmax(value, axis=1), 1, looks - 2)
        low, high = look[rows, best - 1], look[rows, best + 1]
    left, middle, right = (value[rows, best + k] for k in (-1, 0, 1))
    bend = left - 2.0 * middle + right
    offset = np.where(bend < 0.0, 0.5 * (left - right) / np.where(bend < 0.0, bend, 1.0), 0.0)
    froude = 0.5 * (low + high) + offset * 0.5 * (high - low)
    top = middle - 0.25 * (left - right) * offset
    return Hump(frozen_array(froude.reshape(ratio.shape)), frozen_array(top.reshape(ratio.shape)))


def hollow_depth(pressure: npt.ArrayLike, water_density: float = FRESH_WATER) -> Floats:
    """Return how deep a cushion at rest presses the water down [m]: p/(rho_w g)."""
    return np.asarray(np.asarray(pressure, dtype=np.float64) / (water_density * GRAVITY))


def breaking_speed(pressure: npt.ArrayLike, water_density: float = FRESH_WATER) -> Floats:
    """Return the speed [m/s] below which the theory's waves would be steeper than 1/7 and break.

    Notes
    -----
    Behind a wide cushion the waves have amplitude 4 p/(rho_w g) |sin(1/(2 F^2))| and length 2 pi U^2/g; at the largest
    sine, height over length 1/7 is U^2 = 28 p/(pi rho_w). Narrower cushions make lower waves: it is an upper bound.

    References
    ----------
    Waves: Lamb, Hydrodynamics; that waves steeper than 1/7 take the humps away: Everest and Hogben, in Yun and Bliault,
    2000, p. 88. Put together by us.
    """
    p = np.asarray(pressure, dtype=np.float64)
    return np.asarray(np.sqrt(4.0 * p / (STEEPEST_WAVE * math.pi * water_density)))
