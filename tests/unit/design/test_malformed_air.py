"""Wrong air tables: each problem with its path, the value as written, and what would do. Ranges: our own choices."""

from __future__ import annotations

import pytest

from skirtloft.design.read import parse_design
from skirtloft.errors import DesignError
from tests.designs import EXAMPLES

FOUR = (EXAMPLES / "four-seat.toml").read_text(encoding="utf-8")
GUARD = 'kind = "guard"\ndiameter = "640 mm"\nopen_share = 0.85\n'

Edit = tuple[str, str]
# edits of the four-seat file, and (path, part of what was given, part of what would do) of every problem
CASES: dict[str, tuple[list[Edit], list[tuple[str, str, str]]]] = {
    "kind of loss unknown": ([('"guard"', '"grille"')], [("air.loss[0].kind", '"grille"', '"guard"')]),
    "a loss without a size": (
        [(GUARD, 'kind = "guard"\nopen_share = 0.85\n')],
        [("air.loss[0]", "(nothing)", "diameter =")],
    ),
    "a loss with two sizes": (
        [(GUARD, GUARD + 'area = "0.3 m2"\n')],
        [("air.loss[0]", 'area "0.3 m2", diameter "640 mm"', "Leave area or diameter out.")],
    ),
    "a guard without its mesh": (
        [(GUARD, 'kind = "guard"\ndiameter = "640 mm"\n')],
        [("air.loss[0].open_share", "(nothing)", "open_share = 0.85")],
    ),
    "a key of another kind": (
        [(GUARD, GUARD + 'bend = "mitre"\n')],
        [("air.loss[0].bend", '"mitre"', "open_share")],
    ),
    "frames that leave more than there is": (
        [('free_area = "0.26 m2"', 'free_area = "0.46 m2"')],
        [("air.loss[4].free_area", '"0.46 m2"', "passage")],
    ),
    "a mesh with nothing open": ([("open_share = 0.85", "open_share = 0")], [("air.loss[0].open_share", "0", "0.01")]),
    "flow without a unit": ([('"0.8 m3/s"', "0.8")], [("air.fan.points[1].flow", "0.8", "m3/s")]),
    "flow in litres": ([('"0.8 m3/s"', '"800 litres"')], [("air.fan.points[1].flow", '"800 litres"', "l/s")]),
    "pressure as power": ([('"1330 Pa"', '"1330 W"')], [("air.fan.points[0].pressure", '"1330 W"', "Pa")]),
    "a point without pressure": (
        [('{ flow = "0 m3/s", pressure = "1330 Pa", power = "2.5 kW" }', '{ flow = "0 m3/s", power = "2.5 kW" }')],
        [("air.fan.points[0].pressure", "(nothing)", "pressure =")],
    ),
    "a fan without speed": ([('speed = "2550 rpm"', "")], [("air.fan.speed", "(nothing)", "speed =")]),
    "speed as a frequency": ([('"2550 rpm"', '"42 Hz"')], [("air.fan.speed", '"42 Hz"', "rpm")]),
    "blades of wood": ([('"plastic"', '"wood"')], [("air.fan.blades", '"wood"', '"metal"')]),
    "static without an outlet": (
        [('blades = "plastic"', 'pressure_kind = "static"')],
        [("air.fan.outlet_area", "(nothing)", "outlet_area =")],
    ),
    "an outlet that is not used": (
        [('blades = "plastic"', 'outlet_area = "0.2 m2"')],
        [("air.fan.outlet_area", '"0.2 m2"', "static")],
    ),
    "points and two numbers": (
        [('blades = "plastic"', 'shut_off = "900 Pa"')],
        [("air.fan.shut_off", '"900 Pa"', "points")],
    ),
    "a leak with no size": ([('area = "8 cm2"\n', "")], [("air.leak[0]", "(nothing)", "area =")]),
    "a leak somewhere else": ([('place = "loop"', 'place = "duct"')], [("air.leak[1].place", '"duct"', '"cushion"')]),
    "half a leak": ([("count = 6", "count = 0.5")], [("air.leak[0].count", "0.5", "whole number")]),
    "water of oil": (
        [('aboard = "25 kg"', 'kind = "oil"\naboard = "25 kg"')],
        [("air.water.kind", '"oil"', '"salt"')],
    ),
    "no bottom to float on": ([('float_area = "8.5 m2"', "")], [("air.water.float_area", "(nothing)", "float_area")]),
    "engine in amperes": ([('"9 kW"', '"9 A"')], [("air.engine_power", '"9 A"', "kW")]),
    "a least gap above the gap": (
        [('engine_power = "9 kW"', 'least_gap = "12 mm"')],
        [("air.least_gap", '"12 mm"', '"10 mm"')],
    ),
    "tips below the ground": (
        [("[[air.leak]]", '[air.gap_by_run]\nstern = "-12 mm"\n[[air.leak]]')],
        [("air.gap_by_run.stern", '"-12 mm"', '"-10 mm"')],
    ),
    "two days of one name": (
        [
            (
                "[[air.leak]]",
                '[[air.day]]\nname = "a"\naltitude = "0 m"\ntemperature = "5 degC"\n'
                '[[air.day]]\nname = "a"\naltitude = "9 m"\ntemperature = "5 degC"\n[[air.leak]]',
            )
        ],
        [("air.day[1].name", '"a"', "its own")],
    ),
    "a band that falls": (
        [("[air.water]", "[air.kinds.bag]\nleakage = [1.2, 1.0, 1.1]\n[air.water]")],
        [("air.kinds.bag.leakage", "[1.2, 1.0, 1.1]", "low, best, high")],
    ),
    "a band of two": (
        [("[air.water]", "[air.kinds.bag]\nleakage = [1.0, 1.1]\n[air.water]")],
        [("air.kinds.bag.leakage", "[1.0, 1.1]", "[1.0, 1.15, 1.3]")],
    ),
    "an assumption of another kind": (
        [("[air.water]", "[air.kinds.bag]\nhole_ratio = [1.0, 1.1, 1.2]\n[air.water]")],
        [("air.kinds.bag.hole_ratio", "[1.0, 1.1, 1.2]", "bag_ratio")],
    ),
    "a battery without a voltage": (
        [("[air.water]", '[air.battery]\ncapacity = "90 Ah"\n[air.water]')],
        [("air.battery.voltage", "(nothing)", "voltage =")],
    ),
    "capacity as energy": (
        [("[air.water]", '[air.battery]\nvoltage = "48 V"\ncapacity = "5 kWh"\n[air.water]')],
        [("air.battery.capacity", '"5 kWh"', "Ah")],
    ),
}


def edited(edits: list[Edit]) -> str:
    text = FOUR
    for old, new in edits:
        assert old in text, f"{old!r} is not in the file"
        text = text.replace(old, new, 1)
    return text


@pytest.mark.parametrize("case", CASES)
def test_every_problem_is_told_with_place_value_and_cure(case: str) -> None:
    edits, expected = CASES[case]
    with pytest.raises(DesignError) as refused:
        parse_design(edited(edits))
    assert sorted(problem.path for problem in refused.value.problems) == sorted(path for path, _, _ in expected)
    problems = {problem.path: problem for problem in refused.value.problems}
    for path, written, cure in expected:
        assert written in problems[path].given
        assert problems[path].wrong.endswith(".")
        assert cure in problems[path].would_do, problems[path]


@pytest.mark.parametrize(
    ("kind", "text", "value"),
    [
        # definitions: 1 ft = .3048 m; 1 hp = 550 ft lbf/s = 745.69987 W; 1 inWG = 249.08891 Pa (NIST SP 811)
        ("flow", "5100 ft3/min", 5100 * 0.3048**3 / 60),
        ("flow", "5100 cfm", 5100 * 0.3048**3 / 60),
        ("flow", "2.4 m³/s", 2.4),
        ("flow", "3600 m3/h", 1.0),
        ("pressure", "4 inH2O", 996.35564),
        ("pressure", "10 lb/ft2", 478.80259),
        ("pressure", "1 psi", 6894.75729),
        ("pressure", "100 mmWG", 980.665),
        ("power", "10 hp", 7456.9987),
        ("rotation", "2400 rpm", 251.32741),
        ("density", "0.075 lb/ft3", 1.20138475),
        ("area", "390 in2", 390 * 0.0254**2),
        ("area", "2.5 m2", 2.5),
        ("duration", "1.5 h", 5400.0),
        ("charge", "60 Ah", 216000.0),
        ("resistance", "12 mohm", 0.012),
        ("voltage", "48V", 48.0),
    ],
)
def test_new_units(kind: str, text: str, value: float) -> None:
    from skirtloft.design.quantity import parse_quantity

    assert parse_quantity(kind, text, "x") == pytest.approx(value, rel=1e-7)  # type: ignore[arg-type]
