"""The flow at which a fan's curve meets what a craft asks of it, and why there is none where it does not."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from skirtloft.maths.cubics import cubic_values
from skirtloft.maths.frozen import Floats
from skirtloft.maths.roots import bracketed_roots
from skirtloft.physics.air_types import Ints
from skirtloft.physics.fan import Fan

STEPS = 8  # looks at each piece of a curve; between knots it is monotone, so one would nearly do


@dataclass(frozen=True, eq=False)
class Meeting:
    """Reduced flow (on the tested curve) at the root, and why there is none where it is nan; all (...)."""

    flow: Floats
    failure: Ints
    margin: Floats
    crossings: Ints


Balance = Callable[[Floats, Floats], Floats]  # of reduced flow and tested pressure there


def meet(fan: Fan, excess: Balance, pascals: Balance, shape: tuple[int, ...]) -> Meeting:
    """Return the largest reduced flow of each case at which `excess` goes from above to below zero.

    Parameters
    ----------
    fan : Fan
        Its tested curve is looked at between its first and last knot and nowhere else.
    excess : callable
        Of reduced flow and tested pressure there: what the fan gives less what is asked, in any scale.
    pascals : callable
        The same in pascals, for the margin.
    shape : tuple of int
        Of the batch.
    """
    curve = fan.pressure
    grid = _grid(curve.knots, len(shape))
    tested = cubic_values(curve, grid)
    above = np.broadcast_to(excess(grid, tested), (len(grid), *shape)) > 0.0
    above[0] |= np.broadcast_to(excess(grid[0], tested[0]), shape) == 0.0
    down = above[:-1] & ~above[1:]
    beyond = above[-1]  # the point at most flow lies beyond the curve
    met = down.any(axis=0) & ~beyond
    last = np.where(met, len(grid) - 2 - np.argmax(down[::-1], axis=0), 0)
    every = np.broadcast_to(grid, above.shape)
    with np.errstate(divide="ignore", invalid="ignore"):
        surplus = np.broadcast_to(pascals(grid, tested), above.shape)
    place, most, after = _highest(pascals, fan, every, surplus, np.where(met, last + 1, -1))
    hidden = ~beyond & (most > 0.0)  # two meetings between neighbouring looks
    low = np.where(hidden, place, _pick(every, last))
    high = np.where(hidden, after, _pick(every, last + 1))
    root = bracketed_roots(lambda flow: np.asarray(excess(flow, cubic_values(curve, flow))), low, high)
    solved = met | hidden
    at_start = (curve.knots[..., 0] > 0.0) & (place <= curve.knots[..., 0])
    return Meeting(
        np.where(solved, root, np.nan),
        np.where(solved, 0, np.where(beyond, 3, np.where(at_start, 2, 1))),
        np.where(solved, np.nan, np.where(beyond, surplus[-1], most)),
        (above[1:] != above[:-1]).sum(axis=0) + 2 * hidden,
    )


def _pick(table: Floats, index: npt.NDArray[np.intp]) -> Floats:
    return np.asarray(np.take_along_axis(table, index[None], axis=0)[0])


def _highest(
    pascals: Balance, fan: Fan, flows: Floats, surplus: Floats, met_at: npt.NDArray[np.intp]
) -> tuple[Floats, Floats, Floats]:
    """Return where the surplus peaks after the look `met_at`, how high, and the look after the peak.

    Where nothing is met (`met_at` below 0) the highest of all; where the surplus only falls after `met_at`, -inf.
    """
    known = np.where(np.isnan(surplus), -np.inf, surplus)
    peak = np.zeros(known.shape, dtype=np.bool_)
    peak[1:-1] = (known[1:-1] >= known[:-2]) & (known[1:-1] >= known[2:])
    peak[-1] = known[-1] >= known[-2]
    peak &= np.arange(len(known)).reshape(-1, *(1,) * met_at.ndim) > met_at
    peak |= met_at < 0
    known = np.where(peak, known, -np.inf)
    best = np.argmax(known, axis=0)
    place, most = _pick(flows, best), _pick(known, best)
    low, after = _pick(flows, np.maximum(best - 1, 0)), _pick(flows, np.minimum(best + 1, len(flows) - 1))
    looked_for = most > -np.inf
    if not looked_for.any():
        return place, most, after
    high, share = after, np.linspace(0.0, 1.0, 9).reshape(9, *(1,) * low.ndim)
    for _ in range(6):
        looks = low + (high - low) * share
        with np.errstate(divide="ignore", invalid="ignore"):
            values = np.asarray(pascals(looks, cubic_values(fan.pressure, looks)))
        top = np.argmax(np.where(np.isnan(values), -np.inf, values), axis=0)
        place, most = _pick(looks, top), np.where(looked_for, _pick(values, top), -np.inf)
        low, high = _pick(looks, np.maximum(top - 1, 0)), _pick(looks, np.minimum(top + 1, 8))
    return place, most, after


def _grid(knots: Floats, axes: int) -> Floats:
    """Return reduced flows (m, ...) from first to last knot, `STEPS` to a piece, shaped to broadcast to `axes` axes."""
    share = np.arange(STEPS) / STEPS
    inner = knots[..., :-1, None] + np.diff(knots)[..., None] * share
    flows = np.concatenate([inner.reshape(*knots.shape[:-1], -1), knots[..., -1:]], axis=-1)
    flows = np.moveaxis(flows, -1, 0)
    return flows.reshape(len(flows), *(1,) * (axes - flows.ndim + 1), *flows.shape[1:])
