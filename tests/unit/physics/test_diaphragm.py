"""Where the diaphragm is fixed on the hull, and what is said of a doubtful one."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from shapely.geometry import LineString

from skirtloft.physics.diaphragm import size_diaphragm
from skirtloft.physics.diaphragm_fixing import diaphragm_doubts, find_attachment
from skirtloft.physics.loop_margin import loop_balance, loop_of_length, loop_of_margin

JOINT, INNER = np.array([0.23, 0.28]), np.array([-0.33, 0.28])
# Hull edge, down a steep side to a chine, then inboard: common proportions, no source.
STEEP = np.array([[0.0, 0.50], [-0.10, 0.16], [-0.60, 0.10]])


def brute_force(hull: np.ndarray, clearance: float, least: float) -> float:
    """Longest lever over 20,001 places on each piece, without looking whether the hull is in the way."""
    share = np.linspace(0.0, 1.0, 20001)[:, None]
    places = np.concatenate([a + share * (b - a) for a, b in itertools.pairwise(hull)])
    u = places - JOINT
    u /= np.hypot(u[:, 0], u[:, 1])[:, None]
    arm = JOINT - INNER
    lever = -(arm[0] * u[:, 1] - arm[1] * u[:, 0])
    return float(lever[(places[:, 1] >= clearance) & (lever > 0) & (np.abs(u[:, 1]) >= least)].max())


@pytest.mark.parametrize("clearance", [0.0, 0.12, 0.16, 0.17, 0.175])
def test_the_longest_lever_on_the_hull_is_found(clearance: float) -> None:
    found = find_attachment(JOINT, INNER, STEEP, clearance)
    assert found.is_found
    assert float(found.lever) == pytest.approx(brute_force(STEEP, clearance, 0.3), rel=1e-4)
    assert found.point[1] >= clearance - 1e-12
    assert found.steepness >= 0.3
    assert float(found.lever) == pytest.approx(0.56 * float(found.steepness), rel=1e-12)  # level I: 2 d |u_z|


def test_where_nothing_is_steep_enough_the_steepest_is_given_and_not_called_found() -> None:
    # J to (-.10, z): |u_z| = .3 at z = .28 - .33 tan(asin .3) = .176222
    just_steep = 0.28 - 0.33 * np.tan(np.arcsin(0.3))
    hull = np.array([[-0.10, 0.50], [-0.10, 0.10]])
    assert find_attachment(JOINT, INNER, hull, just_steep - 1e-6).is_found
    flat = find_attachment(JOINT, INNER, hull, just_steep + 1e-3)
    assert not flat.is_found
    np.testing.assert_allclose(flat.point, [-0.10, just_steep + 1e-3], atol=1e-12)
    assert 0.29 < flat.steepness < 0.3


def test_a_diaphragm_along_the_upper_edge_is_not_steep_though_it_slopes() -> None:
    """I .20 below J: J-I itself has |u_z| = .20/hypot(.5, .2) = .371, but D just under I has hardly a lever."""
    inner = JOINT + [-0.50, -0.20]
    below = inner + [-0.001, -0.02]
    found = find_attachment(JOINT, inner, [inner, below], 0.0)
    case = loop_balance([0.0, 0.50], JOINT, inner, tip_mean_square=2 * 0.28**2, pressure=500.0)
    for steepness, good in [
        (found.steepness, found.is_found),
        *[(r.steepness, r.is_steep) for r in [size_diaphragm(case, loop_of_margin(case, 0.2), below)]],
    ]:
        assert not good
        assert 0.0 < steepness < 0.04


def test_nothing_below_the_line_or_above_the_clearance_is_no_place_at_all() -> None:
    above_line = find_attachment(JOINT, INNER, [[0.0, 0.50], [-0.1, 0.30]], 0.1)
    below_clearance = find_attachment(JOINT, INNER, STEEP, 0.6)
    for nothing in (above_line, below_clearance):
        assert not nothing.is_found
        assert np.isnan(nothing.point).all()


def test_the_place_is_in_sight_of_the_joint() -> None:
    """Ragged hulls with keels and steps: the line from J meets the hull at D and nowhere before."""
    draw = np.random.default_rng(3)
    keels = 0
    for _ in range(200):
        hull = np.stack([np.linspace(0.0, -0.7, 9), draw.uniform(0.05, 0.35, 9)], axis=-1)
        found = find_attachment(JOINT, INNER, hull, 0.10, least_steepness=0.15)
        if not found.is_found:
            continue
        sight = LineString([JOINT, JOINT + (1.0 - 1e-6) * (found.point - JOINT)])
        assert not sight.intersects(LineString(hull))
        keels += bool(found.point[0] < -0.1)
    assert keels > 20


def test_a_batch_is_its_single_cases() -> None:
    heights = np.array([0.0, 0.12, 0.17, 0.6])
    batch = find_attachment(JOINT, INNER, STEEP, heights)
    for k, height in enumerate(heights):
        single = find_attachment(JOINT, INNER, STEEP, height)
        np.testing.assert_array_equal(batch.point[k], single.point)
        assert batch.is_found[k] == single.is_found


def sized(margin: float, attachment: tuple[float, float] = (-0.10, 0.15)):
    case = loop_balance([0.0, 0.50], JOINT, INNER, tip_mean_square=2 * 0.28**2, pressure=500.0, weight_moment=0.2)
    return size_diaphragm(case, loop_of_margin(case, margin), attachment)


@pytest.mark.parametrize(
    ("margin", "attachment", "rules"),
    [
        (0.16, (-0.10, 0.15), []),
        (0.14, (-0.10, 0.15), ["margin too small"]),
        (0.001, (-0.10, 0.15), ["margin too small"]),
        (0.0, (-0.10, 0.15), ["slack"]),
        (-0.05, (-0.10, 0.15), ["slack"]),
        (0.16, (-0.10, 0.170), []),
        (0.16, (-0.10, 0.180), ["too flat"]),
        (0.16, (-0.10, 0.300), ["wrong side"]),
    ],
)
def test_doubts_on_both_sides_of_their_limits(margin: float, attachment: tuple[float, float], rules: list[str]) -> None:
    doubts = diaphragm_doubts(sized(margin, attachment))
    assert [doubt.rule for doubt in doubts] == rules
    for doubt in doubts:
        assert doubt.says.endswith(".")
        if doubt.rule in ("slack", "margin too small"):
            assert doubt.value == pytest.approx(margin, abs=1e-12)


def test_a_loop_cut_long_is_slack_with_its_number_and_place() -> None:
    case = loop_balance([0.0, 0.50], JOINT, INNER, tip_mean_square=2 * 0.28**2, pressure=500.0)
    balanced = float(loop_of_margin(case, 0.0).length)
    result = size_diaphragm(case, loop_of_length(case, balanced * np.array([0.9, 1.02])), [-0.10, 0.15])
    assert result.is_taut.tolist() == [True, False]
    (doubt,) = diaphragm_doubts(result)
    assert (doubt.rule, doubt.place) == ("slack", (1,))
    assert doubt.value < 0.0
    assert f"{doubt.value:.3f}" in doubt.says


def test_a_section_without_balance_is_said() -> None:
    case = loop_balance([0.0, 0.50], JOINT, INNER, tip_mean_square=0.5, pressure=500.0)
    assert [d.rule for d in diaphragm_doubts(size_diaphragm(case, loop_of_margin(case, 0.2), [-0.1, 0.15]))] == [
        "no balance"
    ]
    assert np.isnan(loop_of_length(case, 0.1).length)  # shorter than the chord
