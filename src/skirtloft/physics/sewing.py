"""Sewn seams and thread: what a row of stitches holds, thread sizes and needles."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats
from skirtloft.physics.stated import MEMORY

Stitch = Literal["301", "401"]

# Stitch of ISO 4915: 301 lockstitch, 401 two-thread chainstitch. Factor of the seam estimate.
# Published for apparel (learnapparel, 2013, seam strength of a superimposed seam); not tested on coated cloth.
STITCH_FACTORS: dict[Stitch, float] = {"301": 1.5, "401": 1.7}


def sewn_seam_strength(
    stitch_density: npt.ArrayLike, thread_strength: npt.ArrayLike, stitch: Stitch = "301", *, rows: npt.ArrayLike = 1
) -> Floats:
    """Return the estimated strength of a superimposed sewn seam, (...) [N/m].

    Parameters
    ----------
    stitch_density : (...) [1/m]
        Stitches per metre.
    thread_strength : (...) [N]
        Of the single thread.
    stitch : "301" or "401"
    rows : (...)
        The estimate was published for one row; that rows add up is assumed.

    Notes
    -----
    Strength = stitches per length times thread strength times 1.5 (301) or 1.7 (401). The cloth, its coating and the
    needle holes may give first.

    References
    ----------
    learnapparel, 2013; apparel practice.

    Examples
    --------
    >>> round(float(sewn_seam_strength(300.0, 62.0)))
    27900
    """
    density, thread = np.asarray(stitch_density, dtype=np.float64), np.asarray(thread_strength, dtype=np.float64)
    return np.asarray(density * thread * STITCH_FACTORS[stitch] * np.asarray(rows))


def seam_efficiency(seam: npt.ArrayLike, cloth: npt.ArrayLike) -> Floats:
    """Return seam strength over cloth strength (...); above 1 the cloth gives first.

    Usual: sewn 0.60 to 0.85, a good glued lap 0.80 to 1.00 (from memory).
    """
    return np.asarray(np.asarray(seam, dtype=np.float64) / np.asarray(cloth, dtype=np.float64))


@dataclass(frozen=True)
class Thread:
    """A bonded polyester thread.

    Parameters
    ----------
    tex : float [g/km]
    ticket : str  the trade's V number
    strength : (low, high) [N]
    needle : (low, high)  Nm, hundredths of a millimetre
    source : str
    """

    tex: float
    ticket: str
    strength: tuple[float, float]
    needle: tuple[int, int]
    source: str


THREADS: tuple[Thread, ...] = (
    Thread(70.0, "V69", (45.0, 50.0), (100, 110), MEMORY),
    Thread(90.0, "V92", (62.0, 67.0), (110, 120), MEMORY),
    Thread(135.0, "V138", (95.0, 100.0), (130, 140), MEMORY),
)


def nearest_thread(tex: float, threads: tuple[Thread, ...] = THREADS) -> Thread:
    """Return the thread of the table whose size [tex] is nearest in ratio: its needle is the one to try first."""
    return min(threads, key=lambda thread: abs(float(np.log(thread.tex / tex))))


def thread_for(
    wanted: float, stitch_density: float, stitch: Stitch = "301", threads: tuple[Thread, ...] = THREADS
) -> Thread | None:
    """Return the thinnest thread whose low strength gives a seam of `wanted` [N/m]; None if none does.

    Parameters
    ----------
    stitch_density : [1/m]
    """
    enough = (t for t in threads if float(sewn_seam_strength(stitch_density, t.strength[0], stitch)) >= wanted)
    return min(enough, key=lambda thread: thread.tex, default=None)


def tex_from_denier(denier: npt.ArrayLike) -> Floats:
    """Return tex [g/km] from denier [g/9 km]."""
    return np.asarray(np.asarray(denier, dtype=np.float64) / 9.0)


def tex_from_metric_count(count: npt.ArrayLike, plies: npt.ArrayLike = 1) -> Floats:
    """Return the tex of the whole thread from Nm [m/g] of one of its plies."""
    return np.asarray(1000.0 / np.asarray(count, dtype=np.float64) * np.asarray(plies))


def tex_from_cotton_count(count: npt.ArrayLike, plies: npt.ArrayLike = 1) -> Floats:
    """Return the tex of the whole thread from the English cotton count Ne of one of its plies.

    Notes
    -----
    590.5/Ne for each ply; 40/2 is 29.5 tex.
    """
    return np.asarray(590.5 / np.asarray(count, dtype=np.float64) * np.asarray(plies))
