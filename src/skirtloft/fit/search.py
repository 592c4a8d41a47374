"""A skirt for a hull that exists: a bounded search, the same every time, on the real plan, sections and checks.

Order of what is wanted: no failed rule; then the clearance nearest the one asked; then the least cost (see
`skirtloft.fit.trial`: change from what is usual, rules to watch, inner fixings off the hull's line).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from itertools import combinations

import numpy as np

from skirtloft.checks.finding import Finding
from skirtloft.design.model import Design
from skirtloft.design.segment_form import form_of
from skirtloft.fit.trial import REFUSED, Trial, change_cost, try_values, usual_values
from skirtloft.fit.variables import Variable, depth_rates, on_step, variables, with_values
from skirtloft.shape.fixing_line import fixing_line
from skirtloft.shape.hull_edge import hull_edge
from skirtloft.shape.plan import RUNS

MOST_TRIES = 1500
MOST_OUT = 1200  # of them while looking for a clearance that holds
MOST_QUICK = 24  # for one descent then
STRIDES = (16, 8, 4, 2, 1)  # steps that a value moves by, tried in turn
QUICK = (16, 4, 1)  # while only looking for a clearance at which no rule fails
WORTH = 0.001  # of cost: what gains less is left as it is
PARTS, FURTHEST = 8, 4  # clearances looked at: up to 4/8 of the one asked, up and down
Progress = Callable[[int, int, str], None]


@dataclass(frozen=True, eq=False)
class Hold:
    """What keeps a value from its usual one, all others as found.

    Parameters
    ----------
    variable : Variable
    value, usual : float [m]
    finding : Finding or None
        The rule that fails, or else is to watch, at the usual value.
    refusal : str
        Why the shape cannot be made there; "" where it can.
    off_line : float [m]
        How far the inner fixings then lie off the hull's line, at most; nan where that is not given.
    moves_off : bool
        They lie further off it than now.
    """

    variable: Variable
    value: float
    usual: float
    finding: Finding | None
    refusal: str
    off_line: float
    moves_off: bool


@dataclass(frozen=True, eq=False)
class Fit:
    """What the search found.

    Parameters
    ----------
    variables : tuple of Variable
    trial : Trial
        The best one; where `trial.holds` is False, the nearest miss.
    design : Design
        With the best values in it.
    nearer : Trial or None
        The best at the clearance one step nearer to the one asked, which does not hold; None where the clearance is
        as asked.
    holds : tuple of Hold
        What keeps each value from its usual one.
    tries : int
    """

    variables: tuple[Variable, ...]
    trial: Trial
    design: Design
    nearer: Trial | None
    holds: tuple[Hold, ...]
    tries: int


@dataclass
class _Search:
    """What has been tried so far."""

    design: Design
    names: tuple[Variable, ...]
    progress: Progress
    known: dict[tuple[float, ...], Trial] = field(default_factory=dict)

    limit: int = MOST_TRIES

    @property
    def spent(self) -> bool:
        return len(self.known) >= self.limit


def fit(design: Design, progress: Progress = lambda done, total, what: None) -> Fit:
    """Return the skirt that fits the hull of `design`.

    Parameters
    ----------
    design : Design
        Its hull edge, fixing line and flat bottom stay; its clearance is the one asked.
    progress : callable
        Called before every try with (done, at most, what); whatever it raises stops the search.

    Raises
    ------
    DesignError
        The joint line is given outright, or a line of the hull is drawn wrongly.
    ShapeError
        A fillet of the hull's own lines does not fit.

    Notes
    -----
    At one clearance: from a few starts (the file's values; what is usual; what puts the inner fixings on the hull's
    line) the best goes down by pattern search (Hooke and Jeeves, J. ACM 8, 1961: from memory): single values, and
    depth with insets or radii together, moved by 16, 8, 4, 2 and 1 steps while that improves; then any two values at
    once, by 2 steps and 1. Where the clearance
    asked does not hold, others at eighths of it are looked at outwards, up to half of it away; from the first that
    holds the search halves back to the one asked, to the step. It is taken that between two such clearances no rule
    fails, holds and fails again. At most 1500 tries.
    """
    hull_edge(design.hull.edge, design.hull.clearance)
    if design.hull.fixing is not None and design.hull.fixing.line is not None:
        fixing_line(design.hull.fixing.line, design.hull.clearance)
    search = _Search(design, variables(design), progress)
    asked = design.hull.clearance
    best = _best_at(search, asked, ())
    nearer: Trial | None = None
    if not best.holds:
        search.limit = MOST_OUT
        best, nearer = _walk_out(search, best)
        search.limit = MOST_TRIES
        best = _descend(search, best, quick=False) if best.holds else best
    return Fit(
        search.names,
        best,
        with_values(design, search.names, best.values),
        nearer,
        _holds(search, best) if best.holds else (),
        len(search.known),
    )


def _tried(search: _Search, values: Sequence[float]) -> Trial:
    """Return the trial of values moved to whole steps; from memory where they were tried before."""
    stepped = tuple(on_step(name, value) for name, value in zip(search.names, values, strict=True))
    key = tuple(round(value, 9) for value in stepped)
    if key not in search.known:
        search.progress(len(search.known), MOST_TRIES, f"clearance {1000.0 * stepped[0]:.0f} mm")
        search.known[key] = try_values(search.design, search.names, stepped)
    return search.known[key]


def _best_at(search: _Search, clearance: float, near: Sequence[Trial], quick: bool = False) -> Trial:
    """Return the best trial at a clearance [m]; `quick` stops as soon as no rule fails.

    `near` are trials at other clearances to start from, their inner fixings kept at their height above the bottom.
    """
    starts = [_tried(search, values) for values in _starts(search, clearance, near)]
    starts += [corrected for start in starts if (corrected := _corrected(search, start)) is not None]
    starts = sorted(starts, key=lambda trial: trial.rank)
    if quick and starts[0].holds:
        return starts[0]
    best = _descend(search, starts[0], quick)
    if not best.holds and len(starts) > 1 and starts[1].violation < REFUSED:
        best = min(best, _descend(search, starts[1], quick), key=lambda trial: trial.rank)
    return best


def _starts(search: _Search, clearance: float, near: Sequence[Trial]) -> list[tuple[float, ...]]:
    """Return values to start from: the file's, those of `near`, what is usual, and with radii that leave room."""
    names = search.names
    asked = tuple(name.asked for name in names)
    moved = [_at_clearance(names, values, clearance) for values in (*(trial.values for trial in near), asked)]
    usual = usual_values(names, (clearance, *asked[1:]))
    found = [*moved, (clearance, *usual[1:])]
    return [*found, *(_with_room(search, values, 1.0) for values in found), _with_room(search, found[-1], 1.3)]


def _at_clearance(names: Sequence[Variable], values: Sequence[float], clearance: float) -> tuple[float, ...]:
    """Return values at another clearance, the depth moved with it."""
    change = clearance - values[0]
    return tuple(
        clearance if name.kind == "clearance" else value + change if name.kind == "depth" else value
        for name, value in zip(names, values, strict=True)
    )


def _with_room(search: _Search, values: tuple[float, ...], factor: float) -> tuple[float, ...]:
    """Return values with corner radii that leave two hems between neighbouring inner fixings, times `factor`.

    With the fixings b inboard of the joint (r - b) w / r >= 2 hem, so r >= b / (1 - 2 hem / w). (derived)
    """
    skirt = with_values(search.design, search.names, values).skirt
    reach = max(form_of(skirt, run).inboard for run in RUNS)
    share = min(0.8, 2.0 * search.design.making.hem / search.design.skirt.pitch)
    least = factor * reach / (1.0 - share)
    return tuple(
        max(value, least) if name.kind == "radius" else value for name, value in zip(search.names, values, strict=True)
    )


def _corrected(search: _Search, start: Trial) -> Trial | None:
    """Return the trial with the mean miss of the inner fixings taken out of depth and insets; None where none is known.

    The depth moves by the miss in height, and a fixing moves inboard with its joint and with the depth (see
    `depth_rates`).
    """
    miss, stations = start.miss, start.stations
    if miss is None or stations is None or np.isnan(miss.distance).all():
        return None
    deeper = -float(np.nanmean(miss.up))
    values = list(start.values)
    for k, name in enumerate(search.names):
        if name.kind == "depth":
            values[k] += deeper
        elif name.kind in ("tip_inside", "joint_inside"):
            run = name.path.split(".")[1]
            mine = np.array([place == run for place in stations.runs]) & ~np.isnan(miss.distance)
            inward = float(miss.outboard[mine].mean()) if mine.any() else 0.0
            values[k] += inward - depth_rates(search.design, run)[name.kind] * deeper
    return _tried(search, values)


def _descend(search: _Search, start: Trial, quick: bool) -> Trial:
    """Return where the pattern search from `start` ends."""
    best, enough = start, len(search.known) + MOST_QUICK
    alone = _moves(search)
    rounds = [(stride, alone) for stride in (QUICK if quick else STRIDES)]
    if not quick:
        rounds += [(stride, _pairs(search.names)) for stride in (2, 1)]
    for stride, moves in rounds:
        if moves is not alone and not best.holds:
            break
        improved = True
        while improved:
            improved = False
            for move in moves:
                for sign in (stride, -stride):
                    if search.spent or (quick and (best.holds or len(search.known) >= enough)):
                        return best
                    moved = [v + sign * m for v, m in zip(best.values, move, strict=True)]
                    if best.holds and _at_least(search, moved) >= best.cost - WORTH:
                        continue  # the changes alone cost more than the best does
                    trial = _tried(search, moved)
                    if _is_better(trial, best):
                        best, improved = trial, True
                        break
    return best


def _at_least(search: _Search, values: Sequence[float]) -> float:
    """Return what values cost at least once moved to whole steps: their changes from what is usual."""
    return change_cost(search.names, [on_step(name, v) for name, v in zip(search.names, values, strict=True)])


def _is_better(trial: Trial, best: Trial) -> bool:
    """Tell whether a trial is better by more than nothing."""
    if abs(trial.violation - best.violation) > 1e-9:
        return trial.violation < best.violation
    return trial.cost < best.cost - WORTH


def _moves(search: _Search) -> list[tuple[float, ...]]:
    """Return the directions of the search [m per step]: each value alone, and the ones that go together."""
    names = search.names
    depth_step = next(name.step for name in names if name.kind == "depth")
    rates = depth_rates(search.design, "side")
    stays = {"depth": 1.0, **{kind: -rate for kind, rate in rates.items()}}  # the inner fixing keeps its place inboard
    grows = {"depth": 1.0, "radius": 2.0}
    moves = [
        tuple(other.step if other is name else 0.0 for other in names) for name in names if name.kind != "clearance"
    ]
    for together in (stays, grows, {**stays, "radius": 2.0}, {"radius": 2.0}, {"tip_inside": 1.0, "joint_inside": 1.0}):
        moves.append(tuple(together.get(name.kind, 0.0) * depth_step for name in names))
    radii = [name.step for name in names if name.kind == "radius"]
    if radii:  # radii move by their own, coarser steps
        moves = [
            tuple(
                np.ceil(m / name.step - 1e-9) * name.step if name.kind == "radius" and m > 0.0 else m
                for m, name in zip(move, names, strict=True)
            )
            for move in moves
        ]
    return list(dict.fromkeys(move for move in moves if any(move)))


def _pairs(names: Sequence[Variable]) -> list[tuple[float, ...]]:
    """Return the directions in which two values move at once, the same way and against each other [m per step]."""
    free = [k for k, name in enumerate(names) if name.kind != "clearance"]
    return [
        tuple(name.step if i == a else way * name.step if i == b else 0.0 for i, name in enumerate(names))
        for a, b in combinations(free, 2)
        for way in (1.0, -1.0)
    ]


def _walk_out(search: _Search, at_asked: Trial) -> tuple[Trial, Trial | None]:
    """Return the trial that holds at the clearance nearest to the one asked, and the best one step nearer.

    Where none holds, the nearest miss of all and None.
    """
    asked = at_asked.values[0]
    behind = {-1: at_asked, 1: at_asked}
    found: list[tuple[Trial, Trial]] = []
    for part in range(1, FURTHEST + 1):
        for way in (-1, 1):
            clearance = on_step(search.names[0], asked + way * part * asked / PARTS)
            if search.spent or abs(clearance - behind[way].values[0]) < 1e-9:
                continue
            trial = _best_at(search, clearance, (behind[way],), quick=True)
            if trial.holds:
                found.append(_halve(search, behind[way], trial))
            behind[way] = trial
        if found:
            break
    if not found:
        return min(search.known.values(), key=lambda trial: (*trial.rank, abs(trial.values[0] - asked))), None
    good, bad = min(found, key=lambda pair: abs(pair[0].values[0] - asked))
    return good, bad


def _halve(search: _Search, bad: Trial, good: Trial) -> tuple[Trial, Trial]:
    """Return neighbours in clearance, one step apart, of which the first holds and the second does not."""
    step = search.names[0].step
    while abs(good.values[0] - bad.values[0]) > 1.5 * step:
        middle = on_step(search.names[0], (good.values[0] + bad.values[0]) / 2.0)
        trial = _best_at(search, middle, (good, bad), quick=True)
        good, bad = (trial, bad) if trial.holds else (good, trial)
        if search.spent:
            break
    return good, bad


def _holds(search: _Search, best: Trial) -> tuple[Hold, ...]:
    """Return what each value that is not the usual one would break there, all others as found."""
    usual = usual_values(search.names, best.values)
    watched = {finding.rule for finding in best.findings if finding.verdict != "pass"}
    found = []
    for k, name in enumerate(search.names):
        if name.kind == "clearance" or abs(best.values[k] - usual[k]) < 0.75 * name.step:
            continue
        values = [usual[k] if i == k else value for i, value in enumerate(best.values)]
        trial = _tried(search, values)
        broken = [f for f in trial.findings if f.verdict == "fail"]
        broken += [f for f in trial.findings if f.verdict == "warn" and f.rule not in watched]
        far, near = _furthest_off(trial), _furthest_off(best)
        first = broken[0] if broken else None
        found.append(Hold(name, best.values[k], usual[k], first, trial.refusal, far, far > near + 1e-4))
    return tuple(found)


def _furthest_off(trial: Trial) -> float:
    """Return how far the inner fixings lie off the hull's line at most [m]; nan where that is not given."""
    miss = trial.miss
    return float("nan") if miss is None or np.isnan(miss.distance).all() else float(np.nanmax(miss.distance))
