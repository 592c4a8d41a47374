"""What the air loses on its way from the fan into the cushion, one line for each thing in its way.

Drop = K rho/2 (share Q/A)^2 on the line's own area. The K are handbook values written down from memory (Idelchik,
Handbook of Hydraulic Resistance; White, Fluid Mechanics): good to their band, and every one can be replaced.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.air_types import Loss, LossPlace

IDELCHIK = "Idelchik, Handbook of Hydraulic Resistance, from memory"
WHITE = "White, Fluid Mechanics, from memory"
TRADE = "common practice, no source"

Bend = Literal["mitre", "mitre with vanes", "rounded"]
Inlet = Literal["bellmouth", "flush", "pipe end"]


@dataclass(frozen=True)
class Factor:
    """A loss factor with its band and where it comes from."""

    low: float
    best: float
    high: float
    source: str


BENDS: dict[Bend, Factor] = {
    "mitre": Factor(0.9, 1.1, 1.3, WHITE),
    "mitre with vanes": Factor(0.15, 0.25, 0.40, IDELCHIK),
    "rounded": Factor(0.20, 0.25, 0.35, f"middle radius 1 to 1.5 diameters; {IDELCHIK}"),
}
INLETS: dict[Inlet, Factor] = {
    "bellmouth": Factor(0.03, 0.05, 0.10, WHITE),
    "flush": Factor(0.45, 0.50, 0.55, WHITE),
    "pipe end": Factor(0.80, 0.90, 1.00, WHITE),
}
FRICTION = Factor(0.015, 0.020, 0.035, f"Darcy factor, smooth to rough ply or moulding; {WHITE}")
SPLITTER = Factor(0.1, 0.3, 0.6, f"dividing flow straight on; {IDELCHIK}; wide band")
MOUTH = Factor(0.9, 1.0, 1.1, f"all speed is lost where a duct opens into a large space; {WHITE}")
HOLE_DISCHARGE = Factor(0.65, 0.60, 0.58, f"discharge of a sharp hole; {TRADE}")  # low loss first
GUARD_SPREAD = 0.3  # share by which a guard's factor may be off; our own choice


def loss(
    name: str,
    area: npt.ArrayLike,
    factor: npt.ArrayLike,
    *,
    place: LossPlace = "supply",
    low: npt.ArrayLike | None = None,
    high: npt.ArrayLike | None = None,
    share: npt.ArrayLike = 1.0,
    source: str = "as given",
) -> Loss:
    """Return one line of the budget.

    Parameters
    ----------
    name : str
    area : (...) [m2]
        Of all equal ways side by side; or of one of them, with its `share` of the flow.
    factor : (...)
        K on that area; `low` and `high` are its band (none given: known exactly).
    place : "intake", "supply" or "feed"
        See `Loss`.
    share : (...)
        Of the flow at that place.
    """
    return Loss(
        name,
        place,
        frozen_array(area),
        frozen_array(factor),
        frozen_array(factor if low is None else low),
        frozen_array(factor if high is None else high),
        frozen_array(share),
        source,
    )


def _from(factor: Factor, name: str, area: npt.ArrayLike, times: npt.ArrayLike = 1.0, **where: object) -> Loss:
    scale = np.asarray(times, dtype=np.float64)
    place: LossPlace = where.get("place", "supply")  # type: ignore[assignment]
    share: npt.ArrayLike = where.get("share", 1.0)  # type: ignore[assignment]
    return loss(
        name,
        area,
        factor.best * scale,
        low=factor.low * scale,
        high=factor.high * scale,
        place=place,
        share=share,
        source=factor.source,
    )


def guard_loss(area: npt.ArrayLike, open_share: npt.ArrayLike, *, name: str = "inlet guard") -> Loss:
    """Return the loss of a wire guard over the intake.

    Parameters
    ----------
    area : (...) [m2]
        Of the whole guard.
    open_share : (...)
        Free area over whole area; (1 - wire/mesh)^2 for a square mesh.

    Notes
    -----
    K = 1.3 (1 - f) + (1/f - 1)^2, f the open share. Idelchik, wire screens, from memory.
    """
    f = np.asarray(open_share, dtype=np.float64)
    factor = 1.3 * (1.0 - f) + (1.0 / f - 1.0) ** 2
    band = {"low": (1.0 - GUARD_SPREAD) * factor, "high": (1.0 + GUARD_SPREAD) * factor}
    return loss(name, area, factor, place="intake", source=f"wire screens; {IDELCHIK}", **band)


def inlet_loss(area: npt.ArrayLike, inlet: Inlet, *, name: str = "intake") -> Loss:
    """Return the loss of the intake itself, by its edge."""
    return _from(INLETS[inlet], name, area, place="intake")


def duct_loss(
    area: npt.ArrayLike,
    length: npt.ArrayLike,
    perimeter: npt.ArrayLike,
    *,
    name: str = "duct",
    share: npt.ArrayLike = 1.0,
) -> Loss:
    """Return the friction of a straight duct: K = f L/D, D = 4 A/perimeter, f Darcy's factor.

    Parameters
    ----------
    area : (...) [m2]
    length, perimeter : (...) [m]
    """
    across = 4.0 * np.asarray(area, dtype=np.float64) / np.asarray(perimeter, dtype=np.float64)
    return _from(FRICTION, name, area, np.asarray(length) / across, share=share)


def bend_loss(
    area: npt.ArrayLike, bend: Bend, *, count: npt.ArrayLike = 1, name: str = "bends", share: npt.ArrayLike = 1.0
) -> Loss:
    """Return the loss of `count` bends of 90 deg."""
    return _from(BENDS[bend], name, area, count, share=share)


def splitter_loss(area: npt.ArrayLike, *, name: str = "splitter") -> Loss:
    """Return the loss at the plate that parts lift air from thrust air; area on its lift side."""
    return _from(SPLITTER, name, area)


def passage_loss(
    free_area: npt.ArrayLike,
    passage_area: npt.ArrayLike,
    *,
    frames: npt.ArrayLike = 1,
    name: str = "past frames",
    share: npt.ArrayLike = 1.0,
) -> Loss:
    """Return the loss past frames or foam that leave only part of a passage free.

    Parameters
    ----------
    free_area, passage_area : (...) [m2]
        At a frame, and between frames.
    frames : (...)
        One behind the other, far enough apart for the jet to spread (some three widths).

    Notes
    -----
    On the free area K = (0.707 sqrt(1 - a) + 1 - a)^2 each, a = free/passage: contraction at a sharp edge, then sudden
    spreading. Band from rounded edges (half) to ragged ones (a quarter more). Idelchik, from memory.
    """
    a = np.asarray(free_area, dtype=np.float64) / np.asarray(passage_area, dtype=np.float64)
    factor = np.asarray(frames) * (0.707 * np.sqrt(1.0 - a) + 1.0 - a) ** 2
    return loss(
        name, free_area, factor, low=0.5 * factor, high=1.25 * factor, share=share, source=f"thin orifice; {IDELCHIK}"
    )


def hole_loss(area: npt.ArrayLike, *, name: str = "feed holes", discharge: npt.ArrayLike | None = None) -> Loss:
    """Return the loss through holes in cloth (feed holes, vents of a diaphragm in the lift air's way).

    Parameters
    ----------
    area : (...) [m2]
        All holes together.
    discharge : (...), optional
        The builder's own Cd; K = 1/Cd^2.
    """
    if discharge is not None:
        return loss(name, area, np.asarray(discharge, dtype=np.float64) ** -2.0, place="feed", source="as given")
    d = HOLE_DISCHARGE
    return loss(name, area, d.best**-2, low=d.low**-2, high=d.high**-2, place="feed", source=d.source)


def mouth_loss(area: npt.ArrayLike, *, name: str = "open mouth", place: LossPlace = "feed") -> Loss:
    """Return the loss where an open mouth of `area` (...) [m2] lets the air into the cushion."""
    return _from(MOUTH, name, area, place=place)


def shares_in_parallel(area: npt.ArrayLike, factor: npt.ArrayLike) -> Floats:
    """Return how the flow shares itself between ways side by side, (..., n) from areas [m2] and factors (..., n).

    Notes
    -----
    All have the same drop, so the share goes as A/sqrt(K).
    """
    ease = np.asarray(area, dtype=np.float64) / np.sqrt(np.asarray(factor, dtype=np.float64))
    return np.asarray(ease / ease.sum(axis=-1, keepdims=True))


def at_band(losses: tuple[Loss, ...], end: Literal["low", "high"]) -> tuple[Loss, ...]:
    """Return the same lines with every factor at the low or high end of its band."""
    return tuple(replace(line, factor=line.factor_low if end == "low" else line.factor_high) for line in losses)


def resistance(losses: tuple[Loss, ...], place: LossPlace, density: Floats) -> Floats:
    """Return the pressure lost at a place over the square of the flow there, (...) [Pa s2/m6].

    Notes
    -----
    Where a line takes a share only, the rest goes round it: per cubic metre of all the air its share of the drop is
    lost, so R = rho/2 sum of K share^3/A^2. Ways side by side with the shares of `shares_in_parallel` have one drop,
    and then this is exact.
    """
    total = np.zeros(np.shape(density))
    for line in losses:
        if line.place == place:
            total = total + 0.5 * density * line.factor * line.share**3 / line.area**2
    return total
