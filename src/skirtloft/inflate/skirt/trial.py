"""Inflating what was sewn: the shape, what the mesh makes of it, other loads, the ground, and levelling."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from skirtloft.inflate.press import press
from skirtloft.inflate.relax import Inflated, Progress, Settings, inflate
from skirtloft.inflate.skirt.flat import COARSE, FINE
from skirtloft.inflate.skirt.level import Advice, advise, with_loops
from skirtloft.inflate.skirt.measure import Measures, measure
from skirtloft.inflate.skirt.model import Cut, Making, SewnSkirt, sew_skirt
from skirtloft.inflate.skirt.on_ground import FOOT, GroundStep, ground_step
from skirtloft.maths.frozen import Floats, frozen_array

GROUND_STEP = 0.0025  # m: slow enough that webs fold where they want to
CLOSE = replace(Settings(), tolerance=1e-5)  # of a single pitch
SAME_LOOP = 1e-3  # m: runs whose loops are this much alike show the same of a mesh

Watch = Callable[[str, Progress], None]
Stop = Callable[[], bool]


@dataclass(frozen=True)
class Asked:
    """What to do.

    Parameters
    ----------
    making : Making
    pressures : tuple of (name, Pa)
        Other loads to inflate the same skirt at.
    ground : tuple of float [m]
        How far the ground comes up over the mean tip.
    rounds : int
        How often to cut the loops again and trim the tips; 0: only say what would do.
    tolerance : float [m]
        Within which joint and tips count as level.
    settings : Settings
    mesh : bool
        Whether to find out what a finer mesh changes.
    fast : bool, optional
        Compiled or plain forces; by itself whichever is there.
    """

    making: Making = Making()  # noqa: RUF009  frozen
    pressures: tuple[tuple[str, float], ...] = ()
    ground: tuple[float, ...] = ()
    rounds: int = 0
    tolerance: float = 0.010
    settings: Settings = Settings()  # noqa: RUF009  frozen
    mesh: bool = True
    fast: bool | None = None


@dataclass(frozen=True, eq=False)
class MeshShift:
    """What a finer mesh adds to heights, from single pitches of the straight runs inflated in both; arrays (k,).

    Parameters
    ----------
    at : [m]
        Where along the joint line.
    joint, tip : [m]
        Fine less coarse. None are known where no straight run has a whole segment on a rectangular panel.
    applied : bool
        Whether the skirt itself is on the coarse mesh, so that they are to be added to its heights.
    """

    at: Floats
    joint: Floats
    tip: Floats
    applied: bool

    def along(self, at: Floats) -> tuple[Floats, Floats]:
        """Return what to add to the heights of joint and tips at places (n,) [m]."""
        if not self.applied or len(self.at) == 0:
            return np.zeros(len(at)), np.zeros(len(at))
        return np.asarray(np.interp(at, self.at, self.joint)), np.asarray(np.interp(at, self.at, self.tip))


@dataclass(frozen=True, eq=False)
class LoadShape:
    """The same skirt at another pressure."""

    name: str
    pressure: float
    shape: Inflated
    measures: Measures


@dataclass(frozen=True, eq=False)
class Round:
    """One state of the levelling.

    Parameters
    ----------
    loops, trims : (stations,), (segments,) [m]
        What it was cut with.
    joint_worst : float [m]
        Largest distance of the joint's mean over a pitch from its drawn height.
    tip_worst, tip_mean : float [m]
        Largest distance of a tip from the mean of all, and that mean over the drawn plane.
    """

    loops: Floats
    trims: Floats
    joint_worst: float
    tip_worst: float
    tip_mean: float


@dataclass(frozen=True, eq=False)
class Trial:
    """A skirt inflated, and all that was asked about it.

    Parameters
    ----------
    asked : Asked
    first : Measures
        As designed, before any levelling.
    first_points : (n, 3) [m]
    skirt : SewnSkirt
        As it was cut last.
    shape : Inflated
    measures : Measures
    mesh : MeshShift
    advice : Advice
        What would still bring it level.
    loads : tuple of LoadShape
    ground : tuple of GroundStep
    rounds : tuple of Round
        As designed first; the last is `shape`.
    is_stopped : bool
        Whether it was cancelled: what is here is the best so far.
    """

    asked: Asked
    first: Measures
    first_points: Floats
    skirt: SewnSkirt
    shape: Inflated
    measures: Measures
    mesh: MeshShift
    advice: Advice
    loads: tuple[LoadShape, ...]
    ground: tuple[GroundStep, ...]
    rounds: tuple[Round, ...]
    is_stopped: bool

    @property
    def is_level(self) -> bool:
        """Whether joint and tips are level within the tolerance; never where the shape has not settled."""
        last = self.rounds[-1]
        return self.shape.is_settled and max(last.joint_worst, last.tip_worst) <= self.asked.tolerance


class _Work:
    """Inflates with one way of telling and stopping."""

    def __init__(self, asked: Asked, watch: Watch | None, stop: Stop | None) -> None:
        self.asked, self.watch = asked, watch
        self._stop = stop

    @property
    def is_stopped(self) -> bool:
        return self._stop is not None and self._stop()

    def tell(self, what: str) -> Callable[[Progress], None] | None:
        watch = self.watch
        return None if watch is None else lambda at: watch(what, at)

    def inflate(self, skirt: SewnSkirt, what: str, settings: Settings) -> Inflated:
        return inflate(skirt.problem, settings, progress=self.tell(what), stop=self._stop, fast=self.asked.fast)

    def press(self, skirt: SewnSkirt, heights: list[float]) -> list[tuple[float, Inflated]]:
        found = press(
            skirt.problem,
            (skirt.feet, FOOT),
            heights,
            self.asked.settings,
            progress=self.tell("ground"),
            stop=self._stop,
            fast=self.asked.fast,
        )
        return [(step.height, step.shape) for step in found]


def try_skirt(cut: Cut, asked: Asked = Asked(), watch: Watch | None = None, stop: Stop | None = None) -> Trial:
    """Return a skirt inflated from its cut pieces.

    Parameters
    ----------
    cut : Cut
    asked : Asked
    watch : callable, optional
        Called now and then with what is being done and how far it is.
    stop : callable, optional
        Asked often; True ends with the best so far.

    Raises
    ------
    ShapeError, SolveError
        As `sew_skirt`, `inflate`; cutting again may fail as `develop` does.
    """
    work = _Work(asked, watch, stop)
    skirt = sew_skirt(cut, asked.making)
    shape = work.inflate(skirt, "inflating", asked.settings)
    first, first_points = measure(skirt, shape.points), shape.points
    mesh = _mesh_shift(work, cut, skirt)
    skirt, shape, advice, rounds = _level(work, skirt, (shape, first), mesh)
    measures = measure(skirt, shape.points) if len(rounds) > 1 else first
    return Trial(
        asked=asked,
        first=first,
        first_points=first_points,
        skirt=skirt,
        shape=shape,
        measures=measures,
        mesh=mesh,
        advice=advice,
        loads=_loads(work, skirt, shape),
        ground=_ground(work, skirt, (shape, measures)),
        rounds=rounds,
        is_stopped=work.is_stopped,
    )


def moved_to(skirt: SewnSkirt, points: Floats) -> SewnSkirt:
    """Return a skirt that starts from other points, where it has as many."""
    if points.shape != skirt.problem.mesh.points.shape:
        return skirt
    return replace(skirt, problem=replace(skirt.problem, mesh=replace(skirt.problem.mesh, points=points)))


def _mesh_shift(work: _Work, cut: Cut, skirt: SewnSkirt) -> MeshShift:
    """Return what a finer mesh adds, from one pitch of every straight run with a loop of its own."""
    rows: list[tuple[float, float, float]] = []
    before = 0 if work.asked.making.only is None else work.asked.making.only[0]
    for segment in single_pitches(cut, skirt) if work.asked.mesh else ():
        heights = []
        for detail in (COARSE, FINE):
            if work.is_stopped:
                break
            only = (segment + before, segment + before)
            one = sew_skirt(cut, replace(work.asked.making, detail=detail, only=only, trims=None))
            shape = work.inflate(one, "mesh", CLOSE)
            own = measure(one, shape.points).segments
            heights.append((float(own.joint[0]), float(own.tip[0])))
        if len(heights) == 2:
            at = float(skirt.chain.at[skirt.chain.segments[segment].first])
            rows.append((at, heights[1][0] - heights[0][0], heights[1][1] - heights[0][1]))
    columns = np.array(rows).reshape(-1, 3).T
    is_coarse = work.asked.making.detail.face < FINE.face
    places, joint, tip = (frozen_array(column) for column in columns)
    return MeshShift(places, joint, tip, applied=is_coarse)


def single_pitches(cut: Cut, skirt: SewnSkirt) -> list[int]:
    """Return a segment in the middle of every rectangular panel that holds whole ones, loops of one length once."""
    flat = {panel.id: panel for panel in cut.panels}
    found, seen = [], list[float]()
    for span in skirt.chain.panels:
        panel = flat[span.panel]
        length = float(np.ptp(panel.seam_start[:, 1]))
        if not panel.is_rectangle or any(abs(length - other) < SAME_LOOP for other in seen):
            continue
        inside = [
            k
            for k, own in enumerate(skirt.chain.segments)
            if own.first >= span.first and own.last <= span.last and own.high - own.low == 1.0
        ]
        if inside:
            seen.append(length)
            found.append(inside[len(inside) // 2])
    return found


def _level(
    work: _Work, skirt: SewnSkirt, start: tuple[Inflated, Measures], mesh: MeshShift
) -> tuple[SewnSkirt, Inflated, Advice, tuple[Round, ...]]:
    """Cut again until joint and tips are level, or for so many rounds."""
    (shape, found), asked = start, work.asked
    count = len(skirt.chain.segments)
    trims = np.zeros(count) if asked.making.trims is None else np.asarray(asked.making.trims)
    shift = mesh.along(found.segments.at)
    advice = advise(skirt.cut, found, shift, asked.tolerance, trims)
    rounds = [_round(skirt, trims, found, shift)]
    learned = np.ones(len(advice.rise))
    for number in range(asked.rounds):
        last = rounds[-1]
        if work.is_stopped or not shape.is_settled or max(last.joint_worst, last.tip_worst) <= asked.tolerance:
            break
        # whoever cuts again does it for all stations that are more than a third of the tolerance off
        firm = advise(skirt.cut, found, shift, asked.tolerance / 3.0, trims)
        cut = with_loops(skirt.cut, skirt.cut.sections.length + firm.loop / learned)
        trims = trims + firm.trim
        fresh = moved_to(sew_skirt(cut, replace(asked.making, trims=frozen_array(trims))), shape.points)
        settings = replace(asked.settings, soft=()) if fresh.problem.mesh.points is shape.points else asked.settings
        moved = work.inflate(fresh, f"levelling, round {number + 1}", settings)
        after = measure(fresh, moved.points)
        now = advise(cut, after, shift, asked.tolerance, trims)
        learned = _learn(learned, advice, now, cut.sections.length - skirt.cut.sections.length)
        skirt, shape, found, advice = fresh, moved, after, now
        rounds.append(_round(skirt, trims, found, shift))
    return skirt, shape, advice, tuple(rounds)


def _learn(before: Floats, then: Advice, now: Advice, cut: Floats) -> Floats:
    """Return how much more or less than its own slope each station's joint followed its loop, kept within reason."""
    with np.errstate(divide="ignore", invalid="ignore"):
        seen = (now.rise - then.rise) / (cut * then.slope)
    return np.where(np.isfinite(seen) & (np.abs(cut) > 0.002), np.clip(seen, 0.6, 1.5), before)


def _round(skirt: SewnSkirt, trims: Floats, found: Measures, shift: tuple[Floats, Floats]) -> Round:
    joint, tips = found.segments.joint + shift[0], found.segments.tip + shift[1]
    mean = float(np.average(tips, weights=found.segments.width))
    return Round(
        loops=skirt.cut.sections.length,
        trims=frozen_array(trims),
        joint_worst=float(np.abs(joint).max()),
        tip_worst=float(np.abs(tips - mean).max()),
        tip_mean=mean,
    )


def _loads(work: _Work, skirt: SewnSkirt, shape: Inflated) -> tuple[LoadShape, ...]:
    found = []
    for name, pressure in work.asked.pressures:
        if work.is_stopped or not shape.is_settled:
            break
        loads = skirt.problem.loads
        inside = frozen_array(np.where(loads.pressure > 0.0, pressure, 0.0))
        other = replace(skirt, problem=replace(skirt.problem, loads=replace(loads, pressure=inside)))
        other = moved_to(other, shape.points)
        now = work.inflate(other, name, replace(work.asked.settings, soft=()))
        found.append(LoadShape(name, pressure, now, measure(other, now.points)))
    return tuple(found)


def _ground(work: _Work, skirt: SewnSkirt, free: tuple[Inflated, Measures]) -> tuple[GroundStep, ...]:
    shape, found = free
    heights = sorted(work.asked.ground)
    if not heights or work.is_stopped or not shape.is_settled:
        return ()
    own = found.segments
    base = float(np.average(own.tip, weights=own.width))
    steps = sorted({round(k * GROUND_STEP, 6) for k in range(1, int(heights[-1] / GROUND_STEP) + 1)} | set(heights))
    pressed = work.press(moved_to(skirt, shape.points), [base + step for step in steps])
    results = []
    for step, (height, now) in zip(steps, pressed, strict=False):
        if step in heights:
            results.append(ground_step(skirt, found, now, (step, height)))
    return tuple(results)
