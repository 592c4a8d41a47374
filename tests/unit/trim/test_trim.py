"""Trim by synthetic gaps: a known plane with known residuals comes back; files that are wrong tell all of it."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from skirtloft.design.units import format_mass_moment
from skirtloft.errors import DesignError
from skirtloft.physics.attitude.lean import HoverLoad
from skirtloft.physics.attitude.rest import Rest, rest
from skirtloft.physics.attitude.tip_line import TipLine
from skirtloft.sits.tips import hover_load, tips_of
from skirtloft.trim.gaps import Measured, read_gaps
from skirtloft.trim.places import WORDS, face_slopes, places, tip_outline
from skirtloft.trim.plane import stand, trims
from skirtloft.trim.report import trim_lines
from skirtloft.trim.righting import examples, level_by_mass, stand_on_air
from tests.designs import skirt_of

LOADS = ("full", "solo")


@cache
def known() -> dict[str, tuple[float, float]]:
    return places(skirt_of("four-seat").plan)


def text(gaps: dict[str, float], head: str = 'format = "skirtloft-gaps/1"') -> str:
    return head + "".join(f'\n[[gap]]\nat = "{at}"\ngap = "{1000 * gap:.6f} mm"' for at, gap in gaps.items())


def on_plane(c: float, pitch: float, roll: float, names: tuple[str, ...] = tuple(WORDS)) -> dict[str, float]:
    points = np.array([known()[name] for name in names])
    middle = 0.5 * (points.min(axis=0) + points.max(axis=0))
    slope = np.array([math.tan(pitch), math.tan(roll)])
    return dict(zip(names, c + (points - middle) @ slope, strict=True))


def measured(gaps: dict[str, float]) -> Measured:
    return read_gaps(text(gaps), known(), LOADS)


def test_place_words_lie_where_they_say() -> None:
    outline = tip_outline(skirt_of("four-seat").plan)
    found = known()
    assert found["bow"] == pytest.approx((outline[:, 0].max(), 0.0), abs=1e-6)
    assert found["stern"] == pytest.approx((outline[:, 0].min(), 0.0), abs=1e-6)
    assert found["port"][1] == pytest.approx(outline[:, 1].max(), abs=2e-3)
    for one, other in (("port-bow", "starboard-bow"), ("port-stern", "starboard-stern"), ("P08", "S08")):
        assert found[one] == pytest.approx((found[other][0], -found[other][1]), abs=1e-6)
    assert found["port-bow"][0] > found["port"][0] > found["port-stern"][0]
    assert "S00" not in found  # the bow centre is one place


def test_a_known_plane_comes_back() -> None:
    """Gaps made from 15 mm, 0.3 deg bow up and 0.2 deg port down: exactly those, no scatter."""
    found = stand(measured(on_plane(0.015, math.radians(0.3), math.radians(-0.2))))
    assert found.gap == pytest.approx(0.015, abs=1e-8)
    assert found.pitch == pytest.approx(math.radians(0.3), rel=1e-5)
    assert found.roll == pytest.approx(math.radians(-0.2), rel=1e-5)
    assert found.scatter < 1e-8
    low, high = (
        tip_outline(skirt_of("four-seat").plan)[:, 0].min(),
        tip_outline(skirt_of("four-seat").plan)[:, 0].max(),
    )
    assert found.along == pytest.approx(math.tan(math.radians(0.3)) * (high - low), rel=1e-5)
    assert not found.is_level


def test_known_residuals_come_back() -> None:
    """Residuals at right angles to 1, x and y survive least squares untouched; the plane under them too."""
    names = tuple(WORDS)
    points = np.array([known()[name] for name in names])
    X = np.column_stack([np.ones(8), points])
    raw = np.array([0.0, -9.0, 4.0, 1.0, 0.0, -2.0, 3.0, 1.0]) * 1e-3
    residual = raw - X @ np.linalg.lstsq(X, raw, rcond=None)[0]
    plane = on_plane(0.030, math.radians(0.1), math.radians(0.05))
    given = measured({name: plane[name] + r for name, r in zip(names, residual, strict=True)})
    found = stand(given)
    assert found.residuals == pytest.approx(residual, abs=1e-8)
    assert found.pitch == pytest.approx(math.radians(0.1), rel=1e-4)
    assert found.scatter == pytest.approx(math.sqrt(residual @ residual / 5.0), rel=1e-4)
    cuts = trims(given, found, np.full(len(given.gaps), math.radians(45.0)))
    assert [cut.place for cut in cuts] == [n for r, n in sorted(zip(residual, names, strict=True)) if r < -0.005]
    assert cuts
    assert cuts[0].along_face == pytest.approx(math.sqrt(2.0) * cuts[0].height)


def test_standard_errors_are_those_of_many_tries() -> None:
    """Noise of 2 mm, 4000 tries: the spread of the pitch found is its told error, within 5 % (1 / sqrt(2 n) = 1 %)."""
    names, noise = tuple(WORDS), np.random.default_rng(5)
    points = np.array([known()[name] for name in names])
    pitch, told = [], []
    for _ in range(4000):
        given = Measured(names, points, 0.02 + 0.002 * noise.standard_normal(8), "full", None)
        found = stand(given)
        pitch.append(found.pitch)
        told.append(found.pitch_error**2)
    assert np.std(pitch) == pytest.approx(math.sqrt(np.mean(told)), rel=0.05)


@cache
def aboard(index: int = 0) -> tuple[TipLine, HoverLoad]:
    skirt = skirt_of("four-seat")
    return tips_of(skirt, index), hover_load(skirt, index)


def gaps_at_rest(offset: tuple[float, float]) -> tuple[Measured, Rest]:
    """Return what a builder would measure on a craft with its centre of mass so far off, and how it rests."""
    line, load = aboard()
    found = rest(line, load, line.centre + np.array(offset), "likely")
    points = np.array([known()[name] for name in WORDS])
    gap = found.leaning.heave + (points - line.centre) @ found.leaning.tilt
    return Measured(tuple(WORDS), points, np.maximum(0.0, gap), "full", float(found.leaning.pressure)), found


def told(given: Measured, index: int = 0) -> str:
    found = stand_on_air(given, stand(given), *aboard(index))
    move = level_by_mass(found, *aboard(index), given.pressure)
    cuts = trims(given, found, np.full(len(given.gaps), math.radians(45.0)))
    return "\n".join(trim_lines(given, found, move, cuts))


@pytest.mark.parametrize("offset", [(0.0, -0.03), (0.0, 0.015), (0.06, 0.0), (-0.04, 0.0), (-0.05, -0.02)])
def test_gaps_of_a_craft_off_its_middle_ask_for_that_moment_back(offset: tuple[float, float]) -> None:
    """Centre of mass off by a known amount, the attitude's gaps (0 where sunk): the same amount comes back, 2 %."""
    given, found = gaps_at_rest(offset)
    assert str(found.hold) == "held"
    assert (given.gaps == 0.0).any()
    line, load = aboard()
    move = level_by_mass(stand_on_air(given, stand(given), line, load), line, load, given.pressure)
    assert move.touches
    wanted = -float(load.mass) * np.array(offset)
    assert move.moment == pytest.approx(wanted, abs=0.02 * float(np.hypot(*wanted)))
    assert np.hypot(*move.soft) < np.hypot(*move.moment) < np.hypot(*move.firm)
    assert move.pressure_mass == pytest.approx(float(load.mass), rel=0.01)


def test_what_to_move_is_said_in_kilograms_and_millimetres() -> None:
    """15 mm to starboard of some 700 kg (the file's own mass): m x 15 mm, moved to port, towards the high side."""
    given, _ = gaps_at_rest((0.0, -0.015))
    words, mass = told(given), float(aboard()[1].mass)
    assert f"move {format_mass_moment(0.015 * mass)} to port" in words
    thing = next(one for one in examples(level_by_mass(stand_on_air(given, stand(given), *aboard()), *aboard())))
    assert thing.to_port * thing.mass == pytest.approx(0.015 * mass, rel=0.02)
    assert 0.0 < thing.to_port <= 0.5
    assert words.index("1 Level") < words.index("2 Trim")


def test_a_pressure_that_carries_another_mass_is_doubted() -> None:
    given, _ = gaps_at_rest((0.0, -0.015))
    assert given.pressure is not None
    heavy = replace(given, pressure=1.2 * given.pressure)
    assert "weigh it" in told(heavy)
    assert "weigh it" not in told(given)


def test_inside_the_gap_no_mass_follows() -> None:
    """Port 8 mm up over the beam and every tip clear: neutral (the attitude's own words), so no number."""
    words = told(measured(on_plane(0.020, 0.0, math.radians(0.25))))
    assert "all tips are clear" in words
    assert "kg m" not in words


def test_too_few_clear_places_give_a_least_tilt_till_the_air_says_how_deep() -> None:
    given, found = gaps_at_rest((0.0, -0.03))
    least = stand(given)
    assert least.at_least
    assert 0.0 < least.roll < 0.7 * float(found.leaning.tilt[1])
    assert stand_on_air(given, least, *aboard()).roll == pytest.approx(float(found.leaning.tilt[1]), rel=0.01)
    assert "the lift air of the file helps" in told(given)


def test_a_level_craft_keeps_its_masses_and_dragging_tips_are_told() -> None:
    names = tuple(WORDS)
    given = measured({name: 0.0 if name == "stern" else 0.008 for name in names})
    assert "no gap at stern" in told(given)
    level = measured(dict.fromkeys(names, 0.010))
    assert stand(level).is_level
    assert "leave the masses where they are" in told(level)


def test_every_problem_of_a_file_at_once() -> None:
    bad = """
format = "skirtloft-gaps/2"
load = "half"
pressure = "6 bar"
wind = "none"
[[gap]]
at = "bwo"
gap = "12 mm"
[[gap]]
at = "stern"
gap = "-3 mm"
[[gap]]
at = "port"
"""
    with pytest.raises(DesignError) as caught:
        read_gaps(bad, known(), LOADS)
    told = {problem.path: problem for problem in caught.value.problems}
    assert set(told) == {"format", "load", "pressure", "wind", "gap", "gap[0].at", "gap[1].gap", "gap[2].gap"}
    assert '"bow"' in told["gap[0].at"].would_do
    assert "drag" in told["gap[1].gap"].wrong


@pytest.mark.parametrize(
    ("gaps", "told"),
    [
        ({"bow": 0.01, "stern": 0.01, "port": 0.01}, "Measure eight places"),
        ({"P00": 0.01, "bow": 0.01, "stern": 0.01, "P19": 0.01}, "They lie in a line"),
    ],
)
def test_too_few_or_in_a_line(gaps: dict[str, float], told: str) -> None:
    with pytest.raises(DesignError, match=told):
        measured(gaps)


def test_a_place_twice_and_broken_toml() -> None:
    twice = text({"bow": 0.01, "stern": 0.01, "port": 0.01, "starboard": 0.01}) + '\n[[gap]]\nat = "bow"\ngap = "9 mm"'
    with pytest.raises(DesignError, match="there already"):
        read_gaps(twice, known(), LOADS)
    with pytest.raises(DesignError, match="not TOML"):
        read_gaps("format = ", known(), LOADS)


def test_pressure_and_load_are_kept() -> None:
    given = read_gaps(
        text(on_plane(0.02, 0.0, 0.0), 'format = "skirtloft-gaps/1"\nload = "solo"\npressure = "600 Pa"'),
        known(),
        LOADS,
    )
    assert (given.load, given.pressure) == ("solo", pytest.approx(600.0))


def test_places_and_slopes_where_bow_and_side_differ() -> None:
    """A bow with a 50 deg face: its places carry that slope, the side's stay at 45 deg."""
    plan = skirt_of("four-seat", ("skirt.bow.face_angle", "50 deg")).plan
    known = places(plan)
    assert all(math.isfinite(value) for point in known.values() for value in point)
    slopes = face_slopes(plan, np.array([known["bow"], known["starboard"]]))
    assert np.degrees(slopes) == pytest.approx([50.0, 45.0])
