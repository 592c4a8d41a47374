"""At rest: overall sizes, hanging cloth, room on the skids."""

from __future__ import annotations

import math

import numpy as np
import pytest

from skirtloft.physics.sitting import SITTING_DEFAULTS, hanging, lowest_common_point, overall_size, sit_on_skids

EDGE, INNER = (0.0, 0.50), (-0.33, 0.28)
D, W, LOOP = 0.28, 0.15, 0.44  # m: side section, common proportions
UPPER, SLANT = 2 * D, math.sqrt(2) * D


def test_overall_size_of_a_box() -> None:
    points = [[4.0, 0.0], [4.0, 1.0], [2.0, 1.0], [0.0, 1.0], [0.0, 0.0]]
    normals = [[1.0, 0.0], [0.6, 0.8], [0.0, 1.0], [-0.6, 0.8], [-1.0, 0.0]]
    assert overall_size(points, normals, 0.2) == pytest.approx((4.4, 2.4))
    assert overall_size(points, normals, [0.1, 0.0, 0.3, 0.0, 0.2]) == pytest.approx((4.3, 2.6))


def lowest_by_search(centre: np.ndarray, radius: float, other: np.ndarray, far: float) -> float:
    x = np.linspace(centre[0] - radius, centre[0] + radius, 40001)
    first = centre[1] - np.sqrt(np.maximum(radius**2 - (x - centre[0]) ** 2, 0))
    second = other[1] - np.sqrt(np.maximum(far**2 - (x - other[0]) ** 2, 0))
    low = np.maximum(first, second)
    inside = (np.hypot(x - other[0], low - other[1]) <= far + 1e-9) & (
        np.hypot(x - centre[0], low - centre[1]) <= radius + 1e-9
    )
    return float(low[inside].min())


def test_lowest_common_point_against_a_search() -> None:
    draw = np.random.default_rng(5)
    for _ in range(60):
        centre, other = draw.uniform(-0.5, 0.5, 2), draw.uniform(-0.5, 0.5, 2)
        radius, far = draw.uniform(0.3, 1.2, 2)
        apart = float(np.hypot(*(centre - other)))
        point = lowest_common_point(centre, np.float64(radius), other, np.float64(far))
        if apart > radius + far:
            assert np.isnan(point).all()
            continue
        assert np.hypot(*(point - centre)) <= radius + 1e-9
        assert np.hypot(*(point - other)) <= far + 1e-9
        assert point[1] == pytest.approx(lowest_by_search(centre, radius, other, far), abs=2e-4)


def test_a_short_loop_hangs_straight_down_from_the_hull_edge() -> None:
    cloth = hanging(EDGE, INNER, LOOP, UPPER, SLANT, SLANT, W)
    np.testing.assert_allclose(cloth.joint, [0.0, 0.06], atol=1e-12)  # L below E, and |J-I| allows it
    np.testing.assert_allclose(cloth.tip, [-0.33, 0.28 - SLANT], atol=1e-12)  # |G-I| below I, and |J-G| allows it
    assert cloth.outermost == 0.0
    # half sqrt(pi^2/4 - 1) = .60566 of the pitch: a half-round strip pi w/2 folded between webs w apart
    assert float(cloth.outermost_bound) == pytest.approx(0.60566 * W, rel=1e-4)
    assert float(cloth.lowest_bound) == pytest.approx(0.28 - SLANT)
    assert cloth.fits
    assert not cloth.lies_on_ground


def test_a_long_loop_has_a_belly_no_lower_than_its_ellipse() -> None:
    """J under I on a short upper edge; string L between foci E and J: lowest z = mean - sqrt(L^2 - dx^2)/2."""
    cloth = hanging(EDGE, INNER, 1.2, 0.2, 0.1, 0.2, W)
    np.testing.assert_allclose(cloth.joint, [-0.33, 0.08], atol=1e-12)
    assert float(cloth.lowest_bound) == pytest.approx(0.29 - 0.5 * math.sqrt(1.2**2 - 0.33**2), rel=1e-12)


def test_cloth_that_stands_out_is_counted_from_the_hull_edge() -> None:
    """I outboard of E (not built so, but it has a sum): J hangs on I, out there."""
    cloth = hanging((0.0, 0.5), (0.3, 0.4), 0.6, 0.1, 0.1, 0.1, 0.1)
    np.testing.assert_allclose(cloth.joint, [0.3, 0.3], atol=1e-12)
    assert float(cloth.outermost) == pytest.approx(0.3)
    assert float(cloth.outermost_bound) == pytest.approx(0.3 + 0.060566, abs=1e-5)
    shifted = hanging((1.0, 0.5), (1.3, 0.4), 0.6, 0.1, 0.1, 0.1, 0.1)
    assert float(shifted.outermost) == pytest.approx(0.3)


def test_on_the_ground_the_loop_may_sprawl_no_farther_than_its_string() -> None:
    ground = 0.20
    cloth = hanging(EDGE, INNER, LOOP, UPPER, SLANT, SLANT, W, ground=ground)
    assert cloth.lies_on_ground
    assert cloth.joint[1] == cloth.tip[1] == cloth.lowest_bound == ground
    far = min(math.sqrt(LOOP**2 - 0.3**2), -0.33 + math.sqrt(UPPER**2 - 0.08**2))
    sprawl = 0.5 * far + 0.5 * math.sqrt(LOOP**2 - 0.3**2)
    assert float(cloth.outermost_bound) == pytest.approx(sprawl, rel=1e-12)
    assert float(cloth.outermost) == 0.0
    # E to P to J is no longer than the loop at the bound, and longer just beyond it.
    for beyond, longer in [(0.0, False), (0.002, True)]:
        z = np.linspace(ground - 0.3, 0.6, 20001)
        string = np.hypot(sprawl + beyond, z - 0.5) + np.hypot(sprawl + beyond - far, z - ground)
        assert (string.min() > LOOP + 1e-6) == longer
    free = hanging(EDGE, INNER, LOOP, UPPER, SLANT, SLANT, W, ground=-1.0)
    assert not free.lies_on_ground


def test_lengths_that_contradict_each_other_are_said() -> None:
    assert not hanging((0.0, 0.5), (-1.0, 0.3), 0.2, 0.3, 0.2, 0.2, 0.1).fits


def test_a_batch_is_its_single_cases() -> None:
    lengths = np.array([0.40, 0.44, 0.60])
    batch = hanging(EDGE, INNER, lengths, UPPER, SLANT, SLANT, W)
    for k, length in enumerate(lengths):
        np.testing.assert_array_equal(batch.joint[k], hanging(EDGE, INNER, length, UPPER, SLANT, SLANT, W).joint)


def sat(skid: float, **more: float):
    return sit_on_skids(0.28, 0.24, skid, cloth_area=1.8, lying_width=0.56, areal_mass=0.4, lower_edge=SLANT, **more)


def test_room_on_the_skids_by_hand() -> None:
    """.28 - .24 + .03 = .07 high; heap 5 x 1.8/.56 x .4/1200 = 5.357 mm; fixing 10 mm."""
    sitting = sat(0.03)
    assert float(sitting.available) == pytest.approx(0.07)
    assert float(sitting.heap) == pytest.approx(0.0053571, abs=1e-7)
    assert float(sitting.spare) == pytest.approx(0.0546429, abs=1e-7)
    assert not sitting.is_pinched
    assert float(sitting.skid_air) == pytest.approx(0.21)
    assert float(sitting.tip_inboard) == pytest.approx(math.sqrt(SLANT**2 - 0.07**2))


def test_pinched_on_one_side_of_the_least_skid_and_not_on_the_other() -> None:
    kept = {"fixing": 0.06}
    least = float(sat(0.0, **kept).least_skid)
    assert least == pytest.approx(0.24 - 0.28 + 0.06 + 0.0053571, abs=1e-7)
    assert sat(least - 1e-6, **kept).is_pinched
    assert not sat(least + 1e-6, **kept).is_pinched
    assert float(sat(0.0).least_skid) == 0.0


def test_skids_longer_than_the_clearance_drag() -> None:
    assert sat(0.25).skid_air < 0.0 < sat(0.23).skid_air


def test_tips_under_a_skid() -> None:
    reach = float(sat(0.03).tip_inboard)
    assert sat(0.03, skid_inboard=reach - 1e-6).tip_reaches_skid
    assert not sat(0.03, skid_inboard=reach + 1e-6).tip_reaches_skid
    assert not sat(0.03).tip_reaches_skid


def test_every_default_states_its_source() -> None:
    assert all(stated.reason and stated.source for stated in SITTING_DEFAULTS.values())
