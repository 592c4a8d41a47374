"""How loads sit, from solved skirts: closed forms, balance, moves, ballast, signs."""

from __future__ import annotations

import math

import numpy as np
import pytest

from skirtloft.design.read import parse_design
from skirtloft.errors import DesignError
from skirtloft.physics.attitude.bounds import BOUNDS
from skirtloft.physics.attitude.tip_line import extent
from skirtloft.pipeline import build
from skirtloft.sits.sits import LoadSits, moved_centre, outline_of, rests_at, sits_of
from tests.designs import EXAMPLES, NAMES, TAUT, skirt_of


@pytest.fixture(scope="module")
def full() -> LoadSits:
    return sits_of(skirt_of("four-seat"), "full").loads[0]


@pytest.mark.parametrize("name", NAMES)
def test_every_load_of_every_example(name: str) -> None:
    skirt = skirt_of(name)
    sits = sits_of(skirt)
    assert [entry.name for entry in sits.loads] == [load.name for load in skirt.design.craft.load]
    assert sits.is_uneven == (name == "ten-seat")
    for entry in sits.loads:
        for found in entry.rests.values():
            assert str(found.hold) in ("held", "lolls")
            np.testing.assert_allclose(found.leaning.offset, entry.offset, atol=1e-9)  # balanced where it is
            weight = entry.mass * 9.80665
            carried = float(found.leaning.pressure) * float(found.leaning.area)
            assert carried == pytest.approx(weight, rel=1e-9) if found.bound == "soft" else carried < weight
        slopes = [entry.curves["starboard"][bound].contact_slope for bound in BOUNDS]
        assert slopes == sorted(slopes)  # soft, likely, firm


def test_dead_band_is_the_gap_over_half_the_beam(full: LoadSits) -> None:
    """Alike on both sides: h/(B/2) (closed form); with the level gap of the fan, 12.2 mm."""
    band = full.curves["starboard"]["likely"].dead_band
    assert band == pytest.approx(0.0122 / (0.5 * extent(full.line, (0.0, 1.0))), rel=6e-3)


def test_inside_the_gap_only_the_height_counts(full: LoadSits) -> None:
    """held = - height . angle before first contact."""
    curve = full.curves["starboard"]["likely"]
    inside = curve.angle < 0.9 * curve.dead_band
    np.testing.assert_allclose(curve.held[inside], -0.870 * curve.angle[inside], atol=1e-9)
    assert inside.sum() > 1


def test_where_the_hull_touches(full: LoadSits) -> None:
    """Bow down: at the limit the lowest hull point is on the ground, and it is a point of the bow."""
    curve = full.curves["bow"]["likely"]
    assert curve.limit == "hull touches"
    rests = rests_at(full, full.line.centre + [curve.most_held * 0.98, 0.0])
    assert 0.0 < float(rests["likely"].leaning.hull_clearance) < 0.012
    assert math.degrees(curve.limit_angle) == pytest.approx(4.2, abs=0.15)


def test_moves_shift_the_centre_of_gravity(full: LoadSits) -> None:
    """m d / M: 80 kg of 700 by 0.3 m is 34.29 mm."""
    shift = moved_centre(full, [(80.0, np.array([0.0, 0.3, 0.0])), (35.0, np.array([0.2, 0.0, -0.4]))])
    np.testing.assert_allclose(shift, [0.010, 0.0342857, -0.020], atol=1e-6)


def test_the_side_that_goes_down(full: LoadSits) -> None:
    port, starboard = (rests_at(full, full.line.centre + [0.0, way * 0.04])["likely"].leaning for way in (1.0, -1.0))
    assert float(port.tilt[1]) < -math.radians(1.0)  # starboard down is positive
    assert float(starboard.tilt[1]) == pytest.approx(-float(port.tilt[1]), rel=1e-6)
    assert float(rests_at(full, full.line.centre - [0.08, 0.0])["likely"].leaning.tilt[0]) > math.radians(0.8)


def test_higher_is_worse(full: LoadSits) -> None:
    at = full.line.centre + [0.0, 0.03]
    tilts = [abs(float(rests_at(full, at, height)["likely"].leaning.tilt[1])) for height in (0.5, 0.87, 1.1)]
    assert tilts == sorted(tilts)
    assert tilts[2] > 1.2 * tilts[0]


def test_ballast_brings_it_to_the_middle(full: LoadSits) -> None:
    """M e + m r = 0: the sum of load and ballast lies over the centre of the cushion."""
    place, added = full.ballast.place, 20.0
    centre = (full.mass * full.centre + added * place) / (full.mass + added)
    np.testing.assert_allclose(centre, full.line.centre, atol=1e-9)
    assert bool(full.ballast.inside)


def test_what_can_be_moved() -> None:
    tank = '[balance]\nballast = "35 kg"\nmovable = [{ name = "tank", mass = "28 kg", x = "1.4 m", y = "0.2 m" }]\n'
    text = (EXAMPLES / "four-seat.toml").read_text(encoding="utf-8")
    skirt = build(parse_design(f"{text}\n{tank}"), cut=False)
    entry = sits_of(skirt, "solo").loads[0]
    moved = entry.movable[0]
    shift = entry.mass * entry.offset + 28.0 * np.asarray(moved.shift)
    np.testing.assert_allclose(shift, 0.0, atol=1e-9)
    np.testing.assert_allclose(moved.place, np.array([1.4, 0.2]) + moved.shift, atol=1e-12)
    centre = (entry.mass * entry.centre + 35.0 * entry.ballast.place) / (entry.mass + 35.0)
    np.testing.assert_allclose(centre, entry.line.centre, atol=1e-9)


def test_the_outline_is_the_hull_edge() -> None:
    outline = outline_of(skirt_of("four-seat"))
    assert outline[:, 0].max() == pytest.approx(5.1)
    assert outline[:, 1].max() == pytest.approx(1.2)
    x, y = outline.T
    area = 0.5 * float((x * np.roll(y, -1) - y * np.roll(x, -1)).sum())
    assert 10.0 < area < 12.2  # counter-clockwise


def test_a_wrong_load_is_told() -> None:
    with pytest.raises(DesignError) as refused:
        sits_of(skirt_of("four-seat"), "empty")
    assert "'two aboard'" in refused.value.problems[0].would_do


def test_a_taut_diaphragm_stands_in_the_restoring_curves(full: LoadSits) -> None:
    assert full.slack == {}
    taut = sits_of(skirt_of("four-seat", *TAUT), "full").loads[0]
    held = {bound: taut.curves["starboard"][bound].contact_slope for bound in BOUNDS}
    bare = {bound: taut.slack[bound].contact_slope for bound in BOUNDS}
    assert held["soft"] == pytest.approx(bare["soft"], rel=1e-9)  # segments that fold pull on no diaphragm
    assert held["likely"] > 1.2 * bare["likely"]
    assert held["firm"] > 2.0 * bare["firm"]
