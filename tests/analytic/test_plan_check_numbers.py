"""Plan geometry against closed forms: areas and perimeters of rounded outlines, printed to six decimals.

d .28, face 45 deg, pitch .15: delta = .28 - (pi/8) .15 / sin 45 deg = .196696. Side and stern tips 50 mm inside, so
X = delta - .05 = .146696; bow joint 75 mm inside. The numbers are those of the closed forms for rectangles and
polygons with tangent arcs (area less r^2 (tan(q/2) - q/2) per corner), worked by hand to the digits given; each test
also evaluates the closed form itself.
"""

from __future__ import annotations

import math

import pytest

from skirtloft.maths.curves import area_to_axis, path_length
from skirtloft.shape.plan import crown_inset, lay_out, line_inboard, tip_inset, web_inset
from skirtloft.shape.types import Plan
from tests.plan_cases import DEPTH, PITCH, ROUND, SQUARE, TAPERED, design_of, hull_points

SIX = 5.0e-7  # half a unit in the sixth decimal


def case_a() -> Plan:
    return lay_out(design_of(hull_points(SQUARE)))


def case_b() -> Plan:
    return lay_out(design_of(hull_points(TAPERED), {"bow": 0.7, "side": 0.7, "stern": 0.7}))


def case_c() -> Plan:
    return lay_out(design_of(hull_points(ROUND), {"bow": "full", "side": 0.75, "stern": 0.75}))


def lengths(plan: Plan, *, straight: bool) -> list[float]:
    return [run.end - run.start for run in plan.runs if math.isinf(run.radius) == straight]


def areas(plan: Plan) -> tuple[float, float, float, float]:
    return plan.joint_area, plan.joint_perimeter, plan.tip_area, plan.tip_perimeter


def test_delta() -> None:
    assert tip_inset(DEPTH, math.pi / 4, PITCH) == pytest.approx(0.196696, abs=SIX)
    assert tip_inset(DEPTH, math.pi / 4, PITCH) - 0.05 == pytest.approx(0.146696, abs=SIX)


def test_square_bow() -> None:
    plan = case_a()
    assert [run.name for run in plan.runs] == ["bow", "bow_corner", "side", "stern_corner", "stern"]
    assert lengths(plan, straight=True) == pytest.approx([0.446696, 2.976696, 0.446696], abs=SIX)
    assert areas(plan) == pytest.approx((10.231634, 12.452565, 7.903811, 11.216688), abs=SIX)
    # closed form: rectangle L x B with four quarter circles
    x = plan.tip_inset - 0.05
    length, beam, r = 4.405 - 0.075 + x, 2 * (1.05 + x), 0.75
    assert plan.joint_area == pytest.approx(length * beam - (4 - math.pi) * r**2, abs=1e-12)
    assert plan.joint_perimeter == pytest.approx(2 * (length + beam) - (8 - 2 * math.pi) * r, abs=1e-12)


def test_tapered_bow() -> None:
    plan = case_b()
    assert [run.name for run in plan.runs] == [
        "bow",
        "bow_corner",
        "side",
        "side_corner",
        "side",
        "stern_corner",
        "stern",
    ]
    angles = [math.degrees(length / 0.7) for length in lengths(plan, straight=False)]
    assert angles == pytest.approx([70.34618, 19.65382, 90.0], abs=5e-6)
    assert angles[1] == pytest.approx(math.degrees(math.atan2(0.5, 1.4)), abs=1e-12)  # slope of the taper
    assert lengths(plan, straight=True) == pytest.approx([0.239253, 0.765433, 2.350856, 0.496696], abs=SIX)
    assert areas(plan) == pytest.approx((9.798336, 12.102705, 7.539329, 10.866828), abs=SIX)


def test_round_bow() -> None:
    plan = case_c()
    assert [run.name for run in plan.runs] == ["bow_corner", "side", "stern_corner", "stern"]  # bow run shrunk away
    assert plan.runs[0].radius == pytest.approx(1.196696, abs=SIX)
    assert plan.runs[0].radius == pytest.approx(1.05 + plan.tip_inset - 0.05, abs=1e-12)
    assert lengths(plan, straight=True) == pytest.approx([2.525000, 0.446696], abs=SIX)
    assert areas(plan) == pytest.approx((9.846439, 12.059118, 7.596006, 10.823240), abs=SIX)
    assert not plan.runs[0].crosses_centre
    assert (plan.stations.ids[0], plan.stations.runs[0]) == ("P00", "bow")  # keeps its centre section
    assert plan.stations.joint[0] == pytest.approx((4.325, 0.0), abs=1e-12)


def test_flat_faces() -> None:
    """With a vanishing pitch the tip line is the line of the web corners, d inboard."""
    plan = lay_out(design_of(hull_points(SQUARE), pitch=1e-9))
    assert plan.stations.offset[-1] == pytest.approx(0.23, abs=1e-8)
    assert areas(plan) == pytest.approx((11.190746, 12.952389, 7.810378, 11.193097), abs=SIX)


@pytest.mark.parametrize("case", [case_a, case_b, case_c])
def test_tip_line_as_a_path_has_the_area_and_length_of_the_formula(case) -> None:
    """Steiner's formulas for parallel curves (Steiner, 1840) against the parallel path measured piece by piece."""
    plan = case()
    tip = line_inboard(plan, plan.tip_inset)
    assert 2.0 * area_to_axis(tip) == pytest.approx(plan.tip_area, abs=1e-12)
    assert 2.0 * path_length(tip) == pytest.approx(plan.tip_perimeter, abs=1e-12)


def test_web_mean_and_crown_lines_lie_in_that_order() -> None:
    """Half an ellipse of half axis w / (2 sin face): mean height pi/4 of it, crown 1 (closed form)."""
    web, crown = web_inset(DEPTH, math.pi / 4), crown_inset(DEPTH, math.pi / 4, PITCH)
    mean = tip_inset(DEPTH, math.pi / 4, PITCH)
    assert web == pytest.approx(0.28)
    assert crown == pytest.approx(0.28 - 0.075 * math.sqrt(2.0))
    assert (web - mean) / (web - crown) == pytest.approx(math.pi / 4)
    plan = case_a()
    widths = [float(line_inboard(plan, inset).pieces[2].start[1]) for inset in (web, mean, crown)]
    assert widths == sorted(widths)
    assert widths[1] == pytest.approx(1.0, abs=1e-12)  # 50 mm inside y = 1.05
