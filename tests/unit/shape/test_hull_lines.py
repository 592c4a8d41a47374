"""What the hull must be: closed forms on straight runs and arcs, and a brute-force length along a rising edge."""

from __future__ import annotations

import math

import numpy as np
import pytest

from skirtloft.maths.curves import points_at
from skirtloft.shape.fixing_line import fixing_miss
from skirtloft.shape.hull_edge import hull_edge, hull_height
from skirtloft.shape.hull_lines import STEPS, HullLines, hull_edge_line, inner_line
from skirtloft.shape.hull_offsets import COLUMNS, hull_offsets
from tests.designs import NAMES, skirt_of

DEPTH, CLEARANCE, HEIGHT, PITCH = 0.280, 0.250, 0.340, 0.150  # m: the four-seat example
DELTA = DEPTH - math.pi / 8.0 * PITCH * math.sqrt(2.0)  # tip line inboard of the joint line, face 45 deg
X_SIDE = DELTA - 0.050


def hull_of(*changes: tuple[str, str], name: str = "four-seat") -> HullLines:
    return skirt_of(name, *changes).hull


def test_points_of_a_side_section_by_closed_form() -> None:
    """Inner fixing 2 d inboard of J, level with it; flat's edge where the line E to I comes down to the clearance."""
    hull = hull_of()
    i = hull.runs.index("stern")
    inside = 2.0 * DEPTH - X_SIDE
    rise = CLEARANCE + HEIGHT - DEPTH
    np.testing.assert_allclose(hull.hull_edge[i, [0, 2]], [0.0, CLEARANCE + HEIGHT], atol=1e-9)
    np.testing.assert_allclose(hull.inner[i, [0, 2]], [inside, DEPTH], atol=1e-9)
    np.testing.assert_allclose(hull.tip[i, [0, 2]], [DEPTH - X_SIDE, 0.0], atol=1e-9)
    assert hull.slope[i] == pytest.approx(math.atan2(rise, inside), abs=1e-9)
    assert hull.side_slope[i] == pytest.approx(hull.slope[i], abs=1e-12)
    assert hull.width[i] == pytest.approx((DEPTH - CLEARANCE) / math.sin(math.atan2(rise, inside)), abs=1e-9)
    assert hull.bottom_edge[i, 2] == pytest.approx(CLEARANCE)


def test_edge_of_the_flat_as_the_design_gives_it() -> None:
    """Slope from the flat's edge, given 520 mm inside at the side; bow and stern take the run beside them."""
    hull = hull_of(("hull.bottom.side", "520 mm"))
    inside = 2.0 * DEPTH - X_SIDE
    for i, run in enumerate(hull.runs):
        if run in ("side", "stern"):
            slope = math.atan2(DEPTH - CLEARANCE, 0.520 - inside)
            assert hull.slope[i] == pytest.approx(slope, abs=1e-9)
            assert hull.width[i] == pytest.approx(math.hypot(DEPTH - CLEARANCE, 0.520 - inside), abs=1e-9)


def test_edge_of_the_flat_is_blended_evenly_through_a_corner() -> None:
    skirt = skirt_of("four-seat", ("hull.bottom.side", "520 mm"), ("hull.bottom.stern", "620 mm"))
    stations, hull = skirt.plan.stations, skirt.hull
    corner = [i for i, run in enumerate(hull.runs) if run == "stern_corner"]
    first, last = corner[0] - 1, corner[-1] + 1
    inside = np.linalg.norm(hull.hull_edge[:, :2] - hull.bottom_edge[:, :2], axis=1)
    share = (stations.at[corner] - stations.at[first]) / (stations.at[last] - stations.at[first])
    np.testing.assert_allclose(inside[corner], 0.520 + 0.100 * share, atol=1e-9)


@pytest.mark.parametrize("name", NAMES)
def test_the_fixing_line_is_as_long_as_its_arcs_and_straights(name: str) -> None:
    """Parallel to the joint line, 2 d inboard: every run keeps its length times (r - 2 d)/r."""
    skirt = skirt_of(name)
    depth = skirt.design.skirt.depth
    closed = sum(
        (run.end - run.start) * (1.0 - (0.0 if math.isinf(run.radius) else 2.0 * depth / run.radius))
        for run in skirt.plan.runs
    )
    assert skirt.hull.along_inner[-1] == pytest.approx(closed, rel=2e-6)


def test_length_along_a_rising_edge_is_that_in_space() -> None:
    """The ten-seat's edge rises to the bow: chords of 100,000 samples of the edge itself."""
    skirt = skirt_of("ten-seat")
    edge = hull_edge(skirt.design.hull.edge, skirt.design.hull.clearance)
    assert np.ptp(edge.heights) > 0.05
    at = np.linspace(0.0, float(edge.path.breaks[-1]), 100_001)
    points = np.column_stack([points_at(edge.path, at), hull_height(edge, at)])
    brute = float(np.linalg.norm(np.diff(points, axis=0), axis=1).sum())
    assert skirt.hull.along_hull_edge[-1] == pytest.approx(brute, rel=1e-7)
    assert brute > skirt.plan.hull_edge.breaks[-1] + 2e-4


@pytest.mark.parametrize("name", NAMES)
def test_lines_for_drawing_pass_through_the_stations(name: str) -> None:
    skirt = skirt_of(name)
    np.testing.assert_allclose(inner_line(skirt.plan, skirt.sections).points[::STEPS], skirt.hull.inner, atol=2e-5)
    np.testing.assert_allclose(hull_edge_line(skirt.plan).points[::STEPS], skirt.hull.hull_edge, atol=2e-5)


def test_offsets_are_the_lines_in_millimetres() -> None:
    hull = hull_of()
    rows = hull_offsets(hull)
    assert [row["station"] for row in rows] == list(hull.ids)
    assert all(set(row) == set(COLUMNS) for row in rows)
    for i, row in enumerate(rows):
        assert float(row["inner_fixing_x_mm"]) == pytest.approx(1000.0 * hull.inner[i, 0], abs=0.0501)
        assert float(row["inner_fixing_above_bottom_mm"]) == pytest.approx(30.0, abs=0.0501)
        assert float(row["along_hull_edge_mm"]) == pytest.approx(1000.0 * hull.along_hull_edge[i], abs=0.0501)
    assert not any(str(value) == "-0.0" for row in rows for value in row.values())


SIDE = (("hull.fixing.side.height", "40 mm"), ("hull.fixing.side.inboard", "420 mm"))


def test_miss_by_run_is_measured_in_the_section_and_nowhere_else() -> None:
    """The skirt's fixing: 30 mm above the bottom, 2 d - X = 413.3 mm inboard."""
    skirt = skirt_of("four-seat", *SIDE)
    miss = fixing_miss(skirt.design, skirt.plan, skirt.sections)
    assert miss is not None
    for i, run in enumerate(skirt.plan.stations.runs):
        if run == "side":
            assert miss.outboard[i] == pytest.approx(0.420 - (2.0 * DEPTH - X_SIDE), abs=1e-4)
            assert miss.up[i] == pytest.approx(-0.010, abs=1e-9)
            assert miss.distance[i] == pytest.approx(math.hypot(miss.outboard[i], 0.010), abs=1e-9)
        else:
            assert math.isnan(miss.distance[i])


def test_miss_of_a_line_is_the_distance_in_space() -> None:
    """A line drawn as the skirt's own, 6 mm higher and 8 mm further in: 10 mm away everywhere, corners too."""
    skirt = skirt_of("one-seat")
    inset = 2.0 * skirt.design.skirt.depth
    joint = skirt.plan.joint_line
    front, side = (points_at(joint, [at])[0] for at in (0.0, float(joint.breaks[2])))
    radius, stern = skirt.plan.runs[1].radius, points_at(joint, [float(joint.breaks[-1])])[0]
    away = inset + 0.008
    height = skirt.design.skirt.depth - skirt.design.hull.clearance + 0.006
    corner = {"height": height, "radius": radius - away}
    points = [
        {"x": front[0] - away, "y": 0.0, "height": height},
        {"x": front[0] - away, "y": side[1] - away, **corner},
        {"x": stern[0] + away, "y": side[1] - away, **corner},
        {"x": stern[0] + away, "y": 0.0, "height": height},
    ]
    from skirtloft.design.model import Fixing, FixingPoint

    line = Fixing(line=tuple(FixingPoint(**point) for point in points))
    hull = skirt.design.hull.model_copy(update={"fixing": line})
    miss = fixing_miss(skirt.design.model_copy(update={"hull": hull}), skirt.plan, skirt.sections)
    assert miss is not None
    np.testing.assert_allclose(miss.distance, 0.010, atol=2e-5)
    np.testing.assert_allclose(miss.outboard, 0.008, atol=2e-5)
    np.testing.assert_allclose(miss.up, -0.006, atol=1e-9)
