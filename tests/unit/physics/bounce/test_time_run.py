"""Bounce in time: rest, small motions against eigenvalues, bounces that stay, cures, and cancelling."""

from __future__ import annotations

import math

import numpy as np
import pytest

from skirtloft.errors import SolveError
from skirtloft.maths.frozen import Floats
from skirtloft.physics.bounce.free import free_matrix, free_modes
from skirtloft.physics.bounce.heave_system import Ground, HeaveSystem, heave_system, knocked, rates, rest_state
from skirtloft.physics.bounce.hover import hover_flow, skirt_runs
from skirtloft.physics.bounce.outcome import MotionOutcome, outcome_of
from skirtloft.physics.bounce.section_motion import TurningSection
from skirtloft.physics.bounce.time_run import run_in_time
from tests.bounce_cases import G, at_hover

CASES = [
    ("4-seat", 0.010, {"eps": 0.02}),
    ("1-seat", 0.010, {"eps": 0.0}),
    ("10-seat", 0.010, {"eps": 0.01}),
    ("10-seat", 0.005, {"eps": 0.02}),
    ("4-seat", 0.005, {"eps": 0.01, "roughness": 0.004}),
    ("1-seat", 0.015, {"eps": 0.01, "lip_strength": 0.3, "lip_length": 0.02}),
    ("4-seat", 0.010, {"eps": 0.01, "margin": 0.2, "diaphragm": 300.0}),
]
IDS = [f"{size} {gap} {' '.join(more)}" for size, gap, more in CASES]


def system_of(size: str, gap: float = 0.010, **more: float) -> HeaveSystem:
    craft, runs, section, turn = at_hover(size, gap, **more)
    return heave_system(craft, runs, section, turn, gravity=G)


def jacobian(system: HeaveSystem) -> Floats:
    rest = rest_state(system)
    steps = np.concatenate([[1e-6, 1e-5], np.full(2 * system.runs.length.size, 1e-6), [0.1, 1e-4]])
    moved = np.diag(steps)
    return np.stack(
        [(rates(system, rest + m) - rates(system, rest - m)) / (2.0 * s) for m, s in zip(moved, steps, strict=True)], -1
    )


@pytest.mark.parametrize("size, gap, more", CASES, ids=IDS)
def test_rest_is_rest_and_small_motions_are_the_linear_model(size: str, gap: float, more: dict[str, float]) -> None:
    system = system_of(size, gap, **more)
    assert np.abs(rates(system, rest_state(system))[:4]).max() < 1e-5
    linear = free_matrix(system.craft, system.runs)
    found, known = (np.sort_complex(np.linalg.eigvals(m)) for m in (jacobian(system), linear))
    np.testing.assert_allclose(found, known, atol=2e-5 * np.abs(known).max())


def swing_of(time: Floats, values: Floats) -> complex:
    """Growth and frequency of one damped swing: x_(k+1) = a x_k + b x_(k-1), least squares."""
    (a, b), *_ = np.linalg.lstsq(np.stack([values[1:-1], values[:-2]], axis=-1), values[2:], rcond=None)
    root = (a + np.sqrt(complex(a * a + 4.0 * b))) / 2.0
    return complex(np.log(root) / (time[1] - time[0]))


@pytest.mark.parametrize("size, gap, more", CASES[:6], ids=IDS[:6])
def test_small_swing_in_time_matches_the_eigenvalue(size: str, gap: float, more: dict[str, float]) -> None:
    """Frequency and growth within 1e-3 of each, started on the slowest swing."""
    system = system_of(size, gap, **more)
    values, vectors = np.linalg.eig(free_matrix(system.craft, system.runs))
    lead = max((k for k in range(6) if values[k].imag > 1.0), key=lambda k: values[k].real)
    root, vector = values[lead], vectors[:, lead]
    start = rest_state(system) + 1e-7 * np.real(vector / np.abs(vector[2]))
    motion = run_in_time(system, start, 6.0 * 2.0 * math.pi / root.imag, samples=400, tolerance=1e-10)
    found = swing_of(motion.time, motion.turn[:, 0] - system.rest[0])
    assert found.imag == pytest.approx(root.imag, rel=1e-3)
    assert found.real == pytest.approx(root.real, rel=1e-3)


def after_a_drop(system: HeaveSystem, drop: float, duration: float) -> MotionOutcome:
    return outcome_of(run_in_time(system, knocked(system, drop), duration, samples=int(500 * duration)), system)


# eps 1 %, eta .1: heave +- mm, Hz, lowest and highest p/p0 of an independent prototype with another ground contact
BOUNCES = [("4-seat", 3.2, 6.6, 0.58, 1.89), ("10-seat", 4.6, 5.0, 0.50, 1.56)]


@pytest.mark.parametrize("size, heave, hertz, lowest, highest", BOUNCES)
def test_a_bounce_that_stays(size: str, heave: float, hertz: float, lowest: float, highest: float) -> None:
    system = system_of(size, eps=0.01, eta=0.1)
    for drop in (0.002, 0.006):  # the same bounce from either side
        found = after_a_drop(system, drop, 5.0)
        assert found.outcome == "keeps bouncing"
        assert found.heave * 1e3 == pytest.approx(heave, rel=0.07)
        assert found.frequency / (2 * math.pi) == pytest.approx(hertz, rel=0.03)
        assert found.lowest == pytest.approx(lowest, abs=0.03)
        assert found.highest == pytest.approx(highest, abs=0.05)
        assert 0.01 < found.sealed < 0.12  # shut once a cycle


@pytest.mark.parametrize("size", ["1-seat", "4-seat", "10-seat"])
def test_more_over_pressure_bounces_harder(size: str) -> None:
    """eps 2 %: +-2.2 to 3.4 mm at 7 to 9 Hz there; the contact is another, so 40 %."""
    known = {"1-seat": (3.0, 8.1), "4-seat": (2.2, 9.1), "10-seat": (3.4, 7.2)}[size]
    found = after_a_drop(system_of(size, eps=0.02, eta=0.1), 0.005, 4.0)
    assert found.outcome == "keeps bouncing"
    assert found.heave * 1e3 == pytest.approx(known[0], rel=0.4)
    assert found.frequency / (2 * math.pi) == pytest.approx(known[1], rel=0.2)
    assert found.lowest < 0.55
    assert found.highest > 1.7


def test_a_small_over_pressure_grows_slowly_on_the_smallest() -> None:
    """1-seat, eps 1 %: +.2 /s, some .5 mm after 8 s from a small knock."""
    craft, runs, _, _ = at_hover("1-seat", eps=0.01)
    assert free_modes(craft, runs).growth == pytest.approx(0.22, abs=0.03)
    assert after_a_drop(system_of("1-seat", eps=0.01), 0.0002, 6.0).growth == pytest.approx(0.22, abs=0.06)


@pytest.mark.parametrize("size", ["1-seat", "4-seat", "10-seat"])
def test_a_taut_diaphragm_ends_it(size: str) -> None:
    found = after_a_drop(system_of(size, eps=0.02, margin=0.25, diaphragm=15000.0), 0.005, 2.0)
    assert found.outcome == "dies away"


def test_without_over_pressure_and_with_loss_a_knock_dies_away() -> None:
    assert after_a_drop(system_of("4-seat", eps=0.0, eta=0.1), 0.005, 4.0).outcome == "dies away"


def test_two_runs_that_are_one() -> None:
    craft, runs, section, turn = at_hover("4-seat", eps=0.02)
    lengths = {"length": runs.length[0] * np.array([0.3, 0.7])}
    halves = skirt_runs(**{**{k: np.repeat(v, 2) for k, v in vars(runs).items()}, **lengths})
    both = TurningSection(**{k: np.repeat(v, 2, axis=0) for k, v in vars(section).items()})
    one = heave_system(craft, runs, section, turn, gravity=G)
    two = heave_system(craft, halves, both, np.repeat(turn, 2), gravity=G)
    single = run_in_time(one, knocked(one, 0.003), 0.5, samples=200)
    double = run_in_time(two, knocked(two, 0.003), 0.5, samples=200)
    np.testing.assert_allclose(double.heave, single.heave, atol=2e-7)
    np.testing.assert_allclose(double.turn[:, 1], single.turn[:, 0], atol=2e-6)


def test_progress_rises_to_the_end() -> None:
    system, seen = system_of("4-seat", eps=0.0), []
    motion = run_in_time(
        system, knocked(system, 0.001), 0.2, samples=100, progress=lambda share: seen.append(share) or True
    )
    assert motion.finished
    assert len(seen) > 20
    assert seen == sorted(seen)
    assert seen[-1] == 1.0


def test_cancelling_gives_back_what_there_is() -> None:
    system = system_of("4-seat", eps=0.0)
    motion = run_in_time(system, knocked(system, 0.001), 2.0, samples=400, progress=lambda share: share < 0.3)
    assert not motion.finished
    assert 0.3 <= motion.time[-1] / 2.0 < 0.4
    assert motion.heave.size == motion.time.size == motion.gap.shape[0]
    assert outcome_of(motion, system).outcome == "cancelled"


def test_a_fan_curve_that_misses_the_working_point_is_refused() -> None:
    craft, runs, section, turn = at_hover("4-seat")
    with pytest.raises(ValueError, match="at rest"):
        heave_system(craft, runs, section, turn, fan=lambda q: 500.0, gravity=G)


def test_a_straight_fan_line_of_the_same_slope_is_the_same_for_small_motions() -> None:
    craft, runs, section, turn = at_hover("4-seat", eps=0.02)
    flow, p0 = float(hover_flow(craft, runs)), float(craft.pressure)
    line = heave_system(craft, runs, section, turn, fan=lambda q: p0 - 1.5 * p0 / flow * (q - flow), gravity=G)
    np.testing.assert_allclose(
        np.sort_complex(np.linalg.eigvals(jacobian(line))),
        np.sort_complex(np.linalg.eigvals(free_matrix(craft, runs))),
        atol=1e-3,
    )


def test_a_motion_that_breaks_down_says_so() -> None:
    craft, runs, section, turn = at_hover("4-seat")
    flow, p0 = float(hover_flow(craft, runs)), float(craft.pressure)
    gap_in_the_curve = lambda q: p0 if abs(q - flow) < 1e-6 else math.nan  # noqa: E731
    system = heave_system(craft, runs, section, turn, fan=gap_in_the_curve, gravity=G)
    start = knocked(system, 0.001)
    with pytest.raises(SolveError, match="bounce in time"):
        run_in_time(system, start, 0.1, samples=20)


def test_harder_ground_does_not_make_the_bounce() -> None:
    """Contact 2e4 against 4e5 N/m2: heave changes by less than half (prototype: 2.7 -> 2.0 mm)."""
    craft, runs, section, turn = at_hover("4-seat", eps=0.02)
    swings = []
    for stiffness in (2e4, 4e5):
        system = heave_system(craft, runs, section, turn, ground=Ground(stiffness=stiffness, friction=0.3), gravity=G)
        swings.append(after_a_drop(system, 0.005, 3.0).heave)
    assert 0.5 < swings[1] / swings[0] < 1.5
