"""Mass put aboard or moved: where the centre of gravity goes, and where ballast or a tank has to be to sit level."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats, frozen_array

Flags = npt.NDArray[np.bool_]


def centre_with(
    mass: npt.ArrayLike, centre: npt.ArrayLike, added: npt.ArrayLike, place: npt.ArrayLike
) -> tuple[Floats, Floats]:
    """Return mass (...) [kg] and centre of gravity (..., 2 or 3) [m] after `added` [kg] is put at `place` [m].

    Parameters
    ----------
    mass : (...) [kg]
    centre, place : (..., 2) or (..., 3) [m]
        In one set of axes.
    added : (...) [kg]
        Negative: taken out, fuel burnt.
    """
    m, extra = np.asarray(mass, dtype=np.float64), np.asarray(added, dtype=np.float64)
    whole = m + extra
    moment = m[..., None] * np.asarray(centre, dtype=np.float64) + extra[..., None] * np.asarray(place)
    return whole, np.asarray(moment / whole[..., None])


def shift_of(mass: npt.ArrayLike, moved: npt.ArrayLike, distance: npt.ArrayLike) -> Floats:
    """Return the shift of the centre of gravity [m] when `moved` [kg] of `mass` [kg] goes `distance` [m]: m d/M."""
    moment = np.asarray(moved, dtype=np.float64) * np.asarray(distance, dtype=np.float64)
    return np.asarray(moment / np.asarray(mass, dtype=np.float64))


@dataclass(frozen=True, eq=False)
class LevelPlace:
    """Where a mass has to go for the centre of gravity to come to the middle; (...) each.

    Parameters
    ----------
    place : (..., 2) [m]  in the craft's axes; nan for no mass
    shift : (..., 2) [m]  from the middle, or for a mass already aboard from where it is
    inside : bool  within the outline
    least_mass : [kg]  that does it at the outline's edge, the same way; inf: no mass can, 0: level already
    edge : (..., 2) [m]  that point of the outline
    """

    place: Floats
    shift: Floats
    inside: Flags
    least_mass: Floats
    edge: Floats


def ballast_place(
    mass: npt.ArrayLike,
    centre: npt.ArrayLike,
    middle: npt.ArrayLike,
    ballast: npt.ArrayLike,
    outline: npt.ArrayLike,
) -> LevelPlace:
    """Return where added ballast makes the craft sit level.

    Parameters
    ----------
    mass : (...) [kg]
        Without the ballast.
    centre : (..., 2) [m]
        Of gravity, in the craft's axes.
    middle : (2,) [m]
        Centre of the cushion area.
    ballast : (...) [kg]
    outline : (m, 2) [m]
        Where mass can be put: hull edge, floor or locker, convex, counter-clockwise, with `middle` inside.

    Notes
    -----
    M e + m r = 0, both from the middle: r = -M e/m.
    """
    e = np.asarray(centre, dtype=np.float64) - np.asarray(middle)
    m, extra = np.asarray(mass, dtype=np.float64), np.asarray(ballast, dtype=np.float64)
    with np.errstate(invalid="ignore", divide="ignore"):
        shift = -m[..., None] * e / extra[..., None]
    return _level_place(np.asarray(middle, dtype=np.float64), shift, -m[..., None] * e, outline)


def level_move(
    mass: npt.ArrayLike,
    centre: npt.ArrayLike,
    middle: npt.ArrayLike,
    moved: npt.ArrayLike,
    place: npt.ArrayLike,
    outline: npt.ArrayLike,
) -> LevelPlace:
    """Return where a mass already aboard (tank, battery, seat) has to go for the craft to sit level.

    Parameters
    ----------
    mass : (...) [kg]
        With it.
    moved : (...) [kg]
    place : (..., 2) [m]
        Where it is now.

    Notes
    -----
    shift = -M e/m. `least_mass` is that of a mass standing where this one stands, moved to the outline.
    """
    e = np.asarray(centre, dtype=np.float64) - np.asarray(middle)
    m, part = np.asarray(mass, dtype=np.float64), np.asarray(moved, dtype=np.float64)
    with np.errstate(invalid="ignore", divide="ignore"):
        shift = -m[..., None] * e / part[..., None]
    return _level_place(np.asarray(place, dtype=np.float64), shift, -m[..., None] * e, outline)


def _level_place(start: Floats, shift: Floats, moment: Floats, outline: npt.ArrayLike) -> LevelPlace:
    """Return the record for a mass that goes from `start` by `shift`; `moment` [kg m] is what it has to give."""
    place = start + shift
    size = np.linalg.norm(moment, axis=-1)
    towards = moment / np.where(size > 0.0, size, 1.0)[..., None]
    reach = _reach(np.broadcast_to(start, place.shape), towards, np.asarray(outline, dtype=np.float64))
    with np.errstate(invalid="ignore", divide="ignore"):
        least = np.where(size > 0.0, np.where(reach > 0.0, size / reach, np.inf), 0.0)
    gone = np.linalg.norm(shift, axis=-1)
    return LevelPlace(
        place=frozen_array(place),
        shift=frozen_array(shift),
        inside=np.asarray(gone <= reach * (1.0 + 1e-12)),
        least_mass=frozen_array(least),
        edge=frozen_array(start + reach[..., None] * towards),
    )


def _reach(start: Floats, towards: Floats, outline: Floats) -> Floats:
    """Return how far it is from `start` (..., 2) along `towards` to the convex outline (...) [m]."""
    side = np.roll(outline, -1, axis=0) - outline
    normal = np.stack([side[:, 1], -side[:, 0]], axis=-1)
    normal = normal / np.linalg.norm(normal, axis=-1, keepdims=True)
    room = ((outline - start[..., None, :]) * normal).sum(axis=-1)
    speed = towards @ normal.T
    with np.errstate(invalid="ignore", divide="ignore"):
        far = np.where(speed > 1e-12, np.maximum(0.0, room) / speed, np.inf)
    reach = far.min(axis=-1)
    return np.where((room >= -1e-12).all(axis=-1) & np.isfinite(reach), reach, 0.0)
