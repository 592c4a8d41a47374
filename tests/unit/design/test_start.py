"""First designs and examples against the trade rules, by an evaluation of its own.

Nothing of `skirtloft.shape` or `skirtloft.physics` is used here: the plan is laid out again from plain vectors with
sampled fillets, and the section is the closed form without cloth weight, solved again with some weight put in.
"""

from __future__ import annotations

import math
import tomllib
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, Polygon

from skirtloft.design.defaults import DEFAULTS
from skirtloft.design.fields import schema_paths
from skirtloft.design.model import Design
from skirtloft.design.read import load_design, parse_design
from skirtloft.design.start import (
    RANGE,
    USUAL,
    choose_sizes,
    cushion_area,
    new_design,
    new_design_text,
    project_name,
    usual_sizes,
)
from skirtloft.errors import DesignError

EXAMPLES = Path(__file__).parents[3] / "examples"
GRAVITY = 9.80665  # standard gravity, CGPM 1901
TRADE = "common practice, no source"


@dataclass(frozen=True, eq=False)
class Corner:
    """A fillet: where it starts and ends, its centre and turn."""

    start: np.ndarray
    end: np.ndarray
    centre: np.ndarray
    radius: float
    turn: float


def fillet(before: np.ndarray, at: np.ndarray, after: np.ndarray, radius: float) -> Corner:
    """Round the vertex `at`; closed form: tangent length r tan(turn/2)."""
    arriving = (at - before) / np.linalg.norm(at - before)
    leaving = (after - at) / np.linalg.norm(after - at)
    turn = math.acos(float(np.clip(arriving @ leaving, -1.0, 1.0)))
    reach = radius * math.tan(turn / 2.0)
    left = np.array([-arriving[1], arriving[0]])
    start = at - reach * arriving
    return Corner(start, at + reach * leaving, start + radius * left, radius, turn)


def sampled(points: list[np.ndarray], radii: list[float]) -> tuple[np.ndarray, np.ndarray, np.ndarray, list[Corner]]:
    """Return points, outward normals and radii along a filleted outline, with its corners."""
    corners = [
        fillet(points[i - 1], points[i], points[i + 1], radii[i]) for i in range(1, len(points) - 1) if radii[i] > 0.0
    ]
    stops, normals, bends = [], [], []
    at = points[0]
    for index in range(1, len(points)):
        corner = None
        if index < len(points) - 1 and radii[index] > 0.0:
            corner = corners[sum(r > 0.0 for r in radii[1:index])]
        end = corner.start if corner else points[index]
        ahead = (points[index] - points[index - 1]) / np.linalg.norm(points[index] - points[index - 1])
        assert (end - at) @ ahead > -1e-9, f"no room between corners before vertex {index}"
        for share in np.linspace(0.0, 1.0, 12):
            stops.append(at + share * (end - at))
            normals.append(np.array([ahead[1], -ahead[0]]))
            bends.append(math.inf)
        at = end
        if corner:
            first = corner.start - corner.centre
            for angle in np.linspace(0.0, corner.turn, 40):
                turned = np.array(
                    [
                        first[0] * math.cos(angle) - first[1] * math.sin(angle),
                        first[0] * math.sin(angle) + first[1] * math.cos(angle),
                    ]
                )
                stops.append(corner.centre + turned)
                normals.append(turned / corner.radius)
                bends.append(corner.radius)
            at = corner.end
    return np.array(stops), np.array(normals), np.array(bends), corners


@dataclass(frozen=True, eq=False)
class ByHand:
    """A plan laid out by hand: joint, normals, radii, offsets X, heights Z, hull polygon, area, corners, runs."""

    joint: np.ndarray
    normals: np.ndarray
    bends: np.ndarray
    offset: np.ndarray
    crossing: np.ndarray
    hull: Polygon
    tip: Polygon
    corners: list[Corner]
    lengths: list[tuple[str, float]]
    inset: float


def lay_out_by_hand(design: Design) -> ByHand:
    """Lay the joint line out from the design: straight pieces moved out by X, corners rounded."""
    edge, skirt = design.hull.edge, design.skirt
    points = [np.array([point.x, point.y]) for point in edge]
    hull_line, *_ = sampled(points, [point.radius or 0.0 for point in edge])
    inset = skirt.depth - math.pi / 8.0 * skirt.pitch / math.sin(math.pi / 4.0)
    lines = []
    for start, end, point in zip(points, points[1:], edge, strict=False):
        ahead = (end - start) / np.linalg.norm(end - start)
        out = np.array([ahead[1], -ahead[0]])
        run = {"bow": skirt.bow, "side": skirt.side, "stern": skirt.stern}[point.run]
        move = inset - run.tip_inside if run.tip_inside is not None else -run.joint_inside
        lines.append((start + move * out, ahead))
    vertices = [np.array([lines[0][0][0], 0.0])]
    radii = [0.0]
    for (first, ahead), (second, beyond), here, there in zip(lines, lines[1:], edge, edge[1:], strict=False):
        along = np.linalg.solve(np.column_stack([ahead, -beyond]), second - first)[0]
        vertices.append(first + along * ahead)
        pair = {here.run, there.run}
        corner = skirt.corner.stern if "stern" in pair else skirt.corner.side if pair == {"side"} else skirt.corner.bow
        radii.append(float(corner))
    vertices.append(np.array([lines[-1][0][0], 0.0]))
    radii.append(0.0)
    joint, normals, bends, corners = sampled(vertices, radii)
    hull = Polygon(np.vstack([hull_line, hull_line[::-1] * [1.0, -1.0]])).buffer(0.0)
    tip_line = joint - inset * normals
    tip = Polygon(np.vstack([tip_line, tip_line[::-1] * [1.0, -1.0]])).buffer(0.0)
    offset, crossing = hull_offsets(joint, normals, LineString(np.vstack([hull_line[:1] * [1, -1], hull_line])))
    lengths = []
    for index, point in enumerate(edge[:-1]):
        start = vertices[0] if index == 0 else corners[index - 1].end
        end = vertices[-1] if index == len(edge) - 2 else corners[index].start
        lengths.append((str(point.run), float(np.linalg.norm(end - start)) * (1.0 if point.run == "side" else 2.0)))
    return ByHand(joint, normals, bends, offset, crossing, hull, tip, corners, lengths, inset)


def hull_offsets(joint: np.ndarray, normals: np.ndarray, hull: LineString) -> tuple[np.ndarray, np.ndarray]:
    """Return X of every section, and the sine of the angle between section plane and hull edge there."""
    line = np.array(hull.coords)
    starts, steps = line[:-1], np.diff(line, axis=0)
    kept = np.hypot(steps[:, 0], steps[:, 1]) > 1e-12
    starts, steps = starts[kept], steps[kept]
    offsets, sines = [], []
    for at, normal in zip(joint, normals, strict=True):
        cross = steps[:, 0] * normal[1] - steps[:, 1] * normal[0]
        with np.errstate(divide="ignore", invalid="ignore"):
            away = at - starts
            share = (away[:, 0] * normal[1] - away[:, 1] * normal[0]) / cross
            reach = (away[:, 0] * steps[:, 1] - away[:, 1] * steps[:, 0]) / cross
        hit = (share >= -1e-9) & (share <= 1.0 + 1e-9) & (np.abs(reach) < 1.0)
        assert hit.any(), f"the section plane at {at} does not meet the hull edge"
        best = int(np.argmin(np.where(hit, np.abs(reach), np.inf)))
        offsets.append(float((at - (starts[best] + share[best] * steps[best])) @ normal))
        sines.append(abs(cross[best]) / math.hypot(*steps[best]))
    return np.array(offsets), np.array(sines)


def section(depth: float, x: np.ndarray, z: np.ndarray, pitch: float, more: float) -> dict[str, np.ndarray]:
    """Closed form of a 45/90 section with bulged faces, the loop centre `more` [m] further inboard for weight.

    Source: derived, moment about the inner fixing; Laplace-Young for the arc.
    """
    inboard = depth / 2.0 - math.pi * math.sqrt(2.0) / 16.0 * pitch - pitch**2 / (12.0 * depth) + more
    chord = np.hypot(x, z)
    s = (x / 2.0 - inboard) * chord / z
    radius = chord / 2.0 * np.sqrt(1.0 + ((2.0 * inboard - x) / z) ** 2)
    angle = 2.0 * np.arctan2(chord / 2.0, -s)
    half = angle / 2.0
    kappa = (np.cos(half) / angle + np.sin(half) / 2.0) / (np.cos(half) - 2.0 / angle * np.sin(half))
    c1 = -2.0 * depth * z / chord
    c2 = (4.0 * depth**2 - 2.0 * depth * x - c1**2) / chord
    return {
        "radius": radius,
        "length": radius * angle,
        "stiffness": depth * z - kappa * c1**2 - s * c2,
        "centre_z": z / 2.0 + s * x / chord,
        "inboard": np.full_like(x, inboard),
    }


def test_section_by_hand_matches_the_published_side_and_bow() -> None:
    """d .28 h .22 w .15: side e -.23 L .5791 K/p .1431, bow e .075 L .2529 K/p 1.6433 (derived, 4 digits)."""
    side = section(0.28, np.array([0.23]), np.array([0.22]), 0.15, 0.0)
    bow = section(0.28, np.array([-0.075]), np.array([0.22]), 0.15, 0.0)
    assert side["length"][0] == pytest.approx(0.5791, abs=5e-5)
    assert side["stiffness"][0] == pytest.approx(0.1431, abs=5e-5)
    assert bow["length"][0] == pytest.approx(0.2529, abs=5e-5)
    assert bow["stiffness"][0] == pytest.approx(1.6433, abs=5e-5)


def broken_trade_rules(design: Design) -> list[str]:
    """Return the trade rules that a design breaks, by the evaluation of this file."""
    plan, skirt, hull = lay_out_by_hand(design), design.skirt, design.hull
    width = 2.0 * max(point.y for point in hull.edge)
    lowest = min(point.height for point in hull.edge)
    z = np.full_like(plan.offset, hull.clearance + lowest - skirt.depth)
    rules = {
        "clearance at most 1/8 of the width": hull.clearance <= width / 8.0,
        "clearance at least 1/11 of the width": hull.clearance >= width / 11.0,
        "depth 15 mm or more above the clearance": skirt.depth - hull.clearance >= 0.015,
        "depth 1.5 to 2.5 pitches": 1.5 <= skirt.depth / skirt.pitch <= 2.5,
        "side and stern tips 30 to 80 mm inside": all(
            0.030 <= inset.tip_inside <= 0.080 for inset in (skirt.side, skirt.stern)
        ),
        "bow joint 50 to 100 mm inside": 0.050 <= skirt.bow.joint_inside <= 0.100,
        "hull edge 0.9 to 1.4 depths above the joint": 0.9 * skirt.depth <= z.min() <= 1.4 * skirt.depth,
        "section plane meets the hull edge at 30 deg or more": plan.crossing.min() >= 0.5,
        "X below the radius of the arc": bool((np.abs(plan.offset) < plan.bends).all()),
    }
    edge = plan.hull.exterior
    for name, inset in (("mean", plan.inset), ("crown", skirt.depth - skirt.pitch / math.sqrt(2.0))):
        tips = plan.joint - inset * plan.normals
        rules[f"{name} tip line inside the hull edge"] = bool(
            shapely.contains_xy(plan.hull, tips[1:-1]).all()
            and shapely.distance(edge, shapely.points(tips)).min() > 0.0
        )
    for corner in plan.corners:
        count = max(1, round(corner.radius * corner.turn / skirt.pitch))
        room = (corner.radius - 2.0 * skirt.depth) * corner.turn / count
        rules[f"room for hems at a corner of {corner.radius:.3f} m"] = room >= 1.2 * design.making.hem
        rules[f"pitch fits a corner of {corner.radius:.3f} m"] = (
            abs(corner.radius * corner.turn / count / skirt.pitch - 1.0) <= 0.10
        )
    for run, length in plan.lengths:
        count = max(1, round(length / skirt.pitch))
        rules[f"pitch fits the {run} run"] = abs(length / count / skirt.pitch - 1.0) <= 0.10
    for more in (0.0, 0.010, 0.025):
        solved = section(skirt.depth, plan.offset, z, skirt.pitch, more)
        rules[f"stable, weight {more}"] = bool((solved["stiffness"] > 0.3 * skirt.depth**2).all())
        rules[f"upper edge taut, weight {more}"] = bool((solved["centre_z"] > -skirt.depth / 2.0).all())
        rules[f"loop centre inboard of the joint, weight {more}"] = bool((solved["inboard"] > 0.1 * skirt.depth).all())
        lowest_loop = skirt.depth + solved["centre_z"] - solved["radius"]
        rules[f"loop above ground, weight {more}"] = bool((lowest_loop > 0.15 * skirt.depth).all())
        rules[f"loop leaves the hull upward, weight {more}"] = bool((solved["centre_z"] < z).all())
        fits = solved["length"].max() + design.making.hull_edge + design.making.joint
        rules[f"loop fits the roll, weight {more}"] = bool(fits <= design.cloth.loop.roll_width)
    centre = plan.tip.centroid.x
    reach = plan.tip.bounds[2] - plan.tip.bounds[0]
    for load in design.craft.load:
        rules[f"{load.name} balanced"] = abs(load.x - centre) <= 0.03 * reach
    return [name for name, holds in rules.items() if not holds]


sensible = st.tuples(
    st.integers(*RANGE.seats),
    st.floats(*RANGE.beam),
    st.floats(*RANGE.slenderness),
    st.floats(0.0, 1.0),
    st.sampled_from(["metric", "imperial", "both"]),
)


def sizes_at(seats: int, beam: float, slenderness: float, share: float) -> tuple[float, float, float]:
    """Return mass, length, beam at a share of the way through the pressures of the seats."""
    length = min(max(slenderness * beam, RANGE.length[0]), RANGE.length[1])
    low, high = (250.0, 620.0) if seats == 1 else (360.0, 960.0) if seats <= 4 else (550.0, 1250.0)
    area = cushion_area(choose_sizes(seats, 1.0, length, beam, "metric"))
    return (low + share * (high - low)) * area / GRAVITY, length, beam


@settings(max_examples=60, deadline=None)
@given(sensible)
def test_new_designs_keep_every_trade_rule(drawn: tuple[int, float, float, float, str]) -> None:
    """Over the whole sensible range, in both unit systems (rules: common practice, no source)."""
    seats, beam, slenderness, share, show = drawn
    mass, length, beam = sizes_at(seats, beam, slenderness, share)
    if not RANGE.slenderness[0] <= length / beam <= RANGE.slenderness[1]:
        return
    design = parse_design(new_design_text("x", seats, mass, length, beam, show))
    assert broken_trade_rules(design) == []


@pytest.mark.parametrize("beam", [RANGE.beam[0], 1.7, 2.9, RANGE.beam[1]])
@pytest.mark.parametrize("slenderness", RANGE.slenderness)
@pytest.mark.parametrize("show", ["metric", "imperial"])
def test_corners_of_the_range(beam: float, slenderness: float, show: str) -> None:
    """The ends of the range are in it."""
    length = min(max(slenderness * beam, RANGE.length[0]), RANGE.length[1])
    seats = 1 if beam < 2.0 else 8
    mass, *_ = sizes_at(seats, beam, length / beam, 0.5)
    assert broken_trade_rules(parse_design(new_design_text("x", seats, mass, length, beam, show))) == []


@pytest.mark.parametrize(
    ("name", "seats", "low", "high"),
    [("one-seat", 1, 350, 500), ("four-seat", 4, 500, 700), ("ten-seat", 10, 700, 1000)],
)
def test_examples_keep_every_trade_rule(name: str, seats: int, low: float, high: float) -> None:
    """Rules and pressures of the examples (common practice, no source)."""
    design = load_design(EXAMPLES / f"{name}.toml")
    assert broken_trade_rules(design) == []
    pressure = design.craft.load[0].mass * GRAVITY / lay_out_by_hand(design).tip.area
    assert low <= pressure <= high


@pytest.mark.parametrize("seats", range(RANGE.seats[0], RANGE.seats[1] + 1))
def test_every_number_of_seats_starts_without_a_size(seats: int) -> None:
    """The usual craft of every number of seats solves and is not unusual (pressures: common practice, no source)."""
    text, warnings = new_design("x", seats)
    assert warnings == ()
    assert broken_trade_rules(parse_design(text)) == []


def test_the_area_of_a_start_is_the_area_inside_its_tip_line() -> None:
    """Closed form of a rounded rectangle against the sampled outline (chords of 60 steps lose less than 0.1 %)."""
    sizes = choose_sizes(4, 700.0, 5.0, 2.4, "metric")
    design = parse_design(new_design_text("x", 4, 700.0, 5.0, 2.4))
    assert cushion_area(sizes) == pytest.approx(lay_out_by_hand(design).tip.area, rel=1e-3)


def test_given_sizes_stand_in_the_file() -> None:
    """What is asked for is what is written; units of entry choose the units of the file."""
    text, _ = new_design("x", 4, mass="1600 lb", length="16 ft 6 in", beam="7 ft 8 in")
    design = parse_design(text)
    assert design.project.show == "imperial"
    assert design.making.paper == "Letter"
    assert design.craft.load[0].mass == pytest.approx(1600 * 0.45359237, rel=1e-12)
    assert design.hull.edge[0].x == pytest.approx(16.5 * 0.3048, rel=1e-12)
    assert max(point.y for point in design.hull.edge) == pytest.approx(46 * 0.0254, rel=1e-12)
    assert "mm" not in text.split("[making]")[1]


def test_sizes_not_given_follow_the_others() -> None:
    """Own rule of `usual_sizes`: ratio kept, size with the root of the mass, mass with the product."""
    mass, length, beam = USUAL[4]
    assert usual_sizes(4) == (mass, length, beam)
    assert usual_sizes(4, mass=mass * 1.21)[1:] == pytest.approx((length * 1.1, beam * 1.1))
    assert usual_sizes(4, beam=beam * 1.1) == pytest.approx((mass * 1.21, length * 1.1, beam * 1.1))
    assert usual_sizes(4, length=length * 1.1) == pytest.approx((mass * 1.21, length * 1.1, beam * 1.1))


def test_warnings_say_what_is_unusual() -> None:
    """A light four-seater and a long one are made, with a sentence each."""
    _, light = new_design("x", 4, mass="400 kg", length="5 m", beam="2.3 m")
    assert len(light) == 1
    assert "Pa" in light[0]
    _, long = new_design("x", 4, mass="650 kg", length="5.7 m", beam="2 m")
    assert ["2.85 times" in sentence for sentence in long] == [True]


@pytest.mark.parametrize(
    ("arguments", "paths"),
    [
        ({"seats": 0}, ["seats"]),
        ({"seats": 13}, ["seats"]),
        ({"mass": 0.0}, ["mass"]),
        ({"mass": math.nan}, ["mass"]),
        ({"mass": 150.0}, ["mass"]),
        ({"mass": 5000.0}, ["mass"]),
        ({"beam": 1.0}, ["beam"]),
        ({"beam": 1.0, "seats": 40, "mass": -3.0}, ["seats", "mass", "beam"]),
        ({"beam": math.inf}, ["beam"]),
        ({"length": 1.9, "beam": 1.2}, ["length"]),
        ({"length": 3.0}, ["length"]),
        ({"length": 8.0}, ["length"]),
        ({"name": " \t"}, ["name"]),
    ],
)
def test_what_makes_no_sensible_craft_is_refused(arguments: dict[str, object], paths: list[str]) -> None:
    """Each refusal names its place and what would do."""
    asked = {"name": "x", "seats": 4, "mass": 650.0, "length": 5.0, "beam": 2.3, **arguments}
    with pytest.raises(DesignError) as refused:
        new_design_text(**asked)  # type: ignore[arg-type]
    assert [problem.path for problem in refused.value.problems] == paths
    assert all(problem.would_do for problem in refused.value.problems)


def test_what_would_do_does() -> None:
    """The masses named in a refusal are accepted, to the last digit of the sentence."""
    with pytest.raises(DesignError) as refused:
        new_design_text("x", 4, 3000.0, 5.0, 2.3)
    words = refused.value.problems[0].would_do
    least, most = (float(part.split(" kg")[0].split()[-1]) for part in words.split(" to "))
    for mass in (least * 1.001, most * 0.999):
        new_design_text("x", 4, mass, 5.0, 2.3)
    for mass in (least * 0.999, most * 1.001):
        with pytest.raises(DesignError):
            new_design_text("x", 4, mass, 5.0, 2.3)


def test_unreadable_sizes_are_all_told() -> None:
    """Every option that cannot be read is a problem of its own."""
    with pytest.raises(DesignError) as refused:
        new_design("x", 4, mass="750", length="5,2 m", beam="2 yd")
    assert [problem.path for problem in refused.value.problems] == ["mass", "length", "beam"]


@given(st.text(max_size=80))
def test_any_name_makes_a_file_that_says_it(name: str) -> None:
    """Quotes, backslashes and control letters do not break the file; the name comes back as `project_name`."""
    if not project_name(name):
        with pytest.raises(DesignError):
            new_design(name)
        return
    text, _ = new_design(name)
    assert parse_design(text).project.name == project_name(name)


def test_a_start_names_every_key_of_the_schema() -> None:
    """Every key stands in the file, at least in a comment, and the values left to defaults equal them."""
    text, _ = new_design("x", 4)
    for path in schema_paths():
        if not path.startswith("skirt.joint_line"):
            assert path.rpartition(".")[2] in text, path
    raw = tomllib.loads(text)
    for path, entry in DEFAULTS.items():
        table, _, key = path.rpartition(".")
        if table in ("air", "making"):
            assert raw[table].get(key, entry.value) == entry.value
