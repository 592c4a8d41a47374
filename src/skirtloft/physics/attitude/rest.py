"""Where a load comes to rest: heel, trim, heave, pressure and gap all round for a centre of gravity off the middle."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.attitude.bounds import ATTITUDE_DEFAULTS, Bound, Contact, contact_of
from skirtloft.physics.attitude.lean import HoverLoad, Leaning, lean, load_shapes, some_loads, tilt_slopes
from skirtloft.physics.attitude.tip_line import TipLine, ends

Hold = Literal["held", "lolls", "neutral", "touches", "no rest", "not lifted"]

_STEPS = 200
_SETTLED = 1e-10  # m of centre of gravity
_FIRST_STEP = np.radians(0.2)
_LONGEST_STEP = np.radians(0.5)
_EASE = 0.7  # of the drag on each step, besides what the residual eases it


@dataclass(frozen=True, eq=False)
class Rest:
    """Craft at rest, one per load; (...) each.

    Parameters
    ----------
    bound : str
    hold : (...) of str
        "held": at rest on its tips, and it comes back. "lolls": the same, but leaning one way as soon as the other,
        because the height of its centre of gravity tips it out of the gap; one of the two is given. "neutral": the
        centre of gravity is in the middle and nothing holds any tilt inside `dead_band`; given level. "touches": at
        rest only with the hull on the ground or a loop straight, which this does not count; given as if neither were.
        "no rest": none up to the tilt looked at; given at the last one. "not lifted": the air does not carry it.
    offset : (..., 2) [m]  centre of gravity from the area's centre, as given
    leaning : Leaning
    dead_band : (...) [rad]  tilt at which the first tip touches, towards the centre of gravity
    slope : (..., 2) [m/rad]  shift of the centre of gravity per tilt, the softest and the stiffest way; nan unless held
    low_point : (..., 2) [m]  where the lowest tip is, in the craft's axes; nan where level
    """

    bound: Bound
    hold: npt.NDArray[np.str_]
    offset: Floats
    leaning: Leaning
    dead_band: Floats
    slope: Floats
    low_point: Floats


def rest(
    line: TipLine,
    load: HoverLoad,
    centre_of_gravity: npt.ArrayLike,
    bound: Bound,
    *,
    hull: npt.ArrayLike | None = None,
    least_offset: float = ATTITUDE_DEFAULTS["least_offset"].value,
    most_tilt: float = ATTITUDE_DEFAULTS["most_tilt"].value,
) -> Rest:
    """Return where the craft comes to rest.

    Parameters
    ----------
    line : TipLine
    load : HoverLoad
        Mass, height and flow one per load.
    centre_of_gravity : (..., 2) [m]
        In the craft's axes, one per load.
    bound : "soft", "likely" or "firm"
    hull : (m, 3) [m], optional
        Low points of the hull, see `lean`.
    least_offset : float [m]
        A centre of gravity nearer than this to the area's centre is neutral.
    most_tilt : float [rad]
        No rest is looked for beyond.

    Notes
    -----
    The tilt is led, not solved for from level, where the even cushion leaves nothing to solve: it starts where the
    tips on the side of the centre of gravity touch, and follows tilt' = offset balanced - offset there is, in implicit
    steps that grow as it settles, so it goes the way the craft would and ends with Newton's steps. From a rest that it
    would leave at a touch it is nudged, and led on.

    References
    ----------
    Our own derivation.
    """
    point = np.asarray(centre_of_gravity, dtype=np.float64)
    shape = np.broadcast_shapes(point.shape[:-1], *load_shapes(load))
    offset = np.broadcast_to(point - line.centre, (*shape, 2)).reshape(-1, 2)
    each = some_loads(load, shape, slice(None))
    contact = contact_of(line, bound)
    band = _dead_bands(line, each, offset)
    near = np.hypot(offset[:, 0], offset[:, 1]) < least_offset

    away = offset / np.maximum(np.hypot(offset[:, 0], offset[:, 1]), 1e-300)[:, None]
    start = np.where(near[:, None], 0.0, -1.001 * band[:, None] * away)
    with np.errstate(invalid="ignore", divide="ignore"):
        tilt, settled, jacobian = _led(line, each, offset, contact, start, near, most_tilt)
        slope, weak = _slopes(jacobian)
        tips_over = settled & (slope[:, 0] <= 0.0)
        nudged = np.where(tips_over[:, None], tilt + band[:, None] * weak, tilt)
        again, settled_again, other = _led(line, each, offset, contact, nudged, ~tips_over, most_tilt)
    tilt = np.where(tips_over[:, None], again, tilt)
    settled = np.where(tips_over, settled_again, settled)
    slope, _ = _slopes(np.where(tips_over[:, None, None], other, jacobian))
    leaning = lean(line, each, tilt, contact, hull=hull)
    steady = settled & (slope[:, 0] > 0.0)
    hold = np.where(steady, np.where(tips_over, "lolls", "held"), "no rest").astype("U10")
    hold = np.where(steady & ~(np.minimum(leaning.hull_clearance, leaning.turn_left) > 0.0), "touches", hold)
    hold = np.where(near, "neutral", np.where(np.isnan(band) | np.isnan(leaning.heave), "not lifted", hold))
    both = np.concatenate(ends(line))
    lowest = both[np.argmin(np.nan_to_num(tilt) @ both.T, axis=-1)]
    low = np.where(near[:, None], np.nan, line.centre + lowest)
    return Rest(
        bound=bound,
        hold=np.asarray(hold.reshape(shape)),
        offset=frozen_array(offset.reshape(*shape, 2)),
        leaning=_reshaped(leaning, shape),
        dead_band=frozen_array(band.reshape(shape)),
        slope=frozen_array(np.where((steady & ~near)[:, None], slope, np.nan).reshape(*shape, 2)),
        low_point=frozen_array(low.reshape(*shape, 2)),
    )


def _dead_bands(line: TipLine, load: HoverLoad, offset: Floats) -> Floats:
    """Return the tilt (k,) [rad] at which the first tip towards each centre of gravity touches.

    Without a direction (centre of gravity in the middle): the smallest of all directions.
    """
    level = lean(line, load, np.zeros(2), contact_of(line, "soft")).least_gap
    weight = line.discharge * line.length
    both = np.concatenate(ends(line)) - weight @ line.middle / weight.sum()
    size = np.hypot(offset[:, 0], offset[:, 1])
    towards = offset / np.where(size > 0.0, size, 1.0)[:, None]
    farthest = float(np.hypot(both[:, 0], both[:, 1]).max())
    return np.asarray(level / np.where(size > 0.0, (towards @ both.T).max(axis=-1), farthest))


def _led(
    line: TipLine,
    load: HoverLoad,
    offset: Floats,
    contact: Contact,
    start: Floats,
    done: npt.NDArray[np.bool_],
    most: float,
) -> tuple[Floats, npt.NDArray[np.bool_], Floats]:
    """Return tilts (k, 2) [rad], which of them settled, and -d excess/d tilt there (k, 2, 2)."""
    tilt, settled = start.copy(), np.zeros(len(start), dtype=bool)
    size, drag = np.full(len(start), np.nan), np.full(len(start), np.nan)
    jacobian = np.full((len(start), 2, 2), np.nan)
    going = np.flatnonzero(~done)
    for _ in range(_STEPS):
        if not going.size:
            break
        some = some_loads(load, (len(start),), going)
        leaning = lean(line, some, tilt[going], contact)
        left = leaning.offset - offset[going]
        after = np.linalg.norm(left, axis=-1)
        eased = drag[going] * np.clip(_EASE * after / size[going], 0.1, 4.0)
        drag[going] = np.where(np.isnan(drag[going]), after / _FIRST_STEP, eased)
        size[going] = after
        jacobian[going] = -tilt_slopes(line, some, leaning, contact)
        settled[going] = after < _SETTLED
        lost = np.isnan(after) | (np.linalg.norm(tilt[going], axis=-1) >= most)
        moving = ~settled[going] & ~lost
        going, left = going[moving], left[moving]
        step = _solved(jacobian[going] + drag[going, None, None] * np.eye(2), left)
        long = np.linalg.norm(step, axis=-1)
        tilt[going] += step * np.minimum(1.0, _LONGEST_STEP / np.maximum(long, 1e-300))[:, None]
    return tilt, settled, jacobian


def _solved(matrix: Floats, right: Floats) -> Floats:
    """Return the solutions of 2 by 2 systems, (k, 2)."""
    (a, b), (c, d) = np.moveaxis(matrix[:, 0], -1, 0), np.moveaxis(matrix[:, 1], -1, 0)
    determinant = a * d - b * c
    first = d * right[:, 0] - b * right[:, 1]
    second = a * right[:, 1] - c * right[:, 0]
    return np.asarray(np.stack([first, second], axis=-1) / determinant[:, None])


def _slopes(jacobian: Floats) -> tuple[Floats, Floats]:
    """Return the real parts of the eigenvalues, the smaller first (k, 2) [m/rad], and the direction of the smaller."""
    values, vectors = np.linalg.eig(np.nan_to_num(jacobian))
    parts = np.where(np.isnan(jacobian.sum(axis=(-1, -2)))[:, None], np.nan, values.real)
    first = np.argmin(values.real, axis=-1)
    weak = np.take_along_axis(vectors.real, first[:, None, None], axis=-1)[..., 0]
    return np.sort(parts, axis=-1), weak / np.linalg.norm(weak, axis=-1, keepdims=True)


def _reshaped(leaning: Leaning, shape: tuple[int, ...]) -> Leaning:
    values = {name: np.reshape(value, (*shape, *np.shape(value)[1:])) for name, value in vars(leaning).items()}
    return Leaning(**values)
