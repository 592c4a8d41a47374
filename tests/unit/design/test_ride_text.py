"""The tables [balance] and [under_way]: uncommented they are read; everything wrong in them is told with its cure."""

from __future__ import annotations

import re
import tomllib

import pytest

from skirtloft.design.read import parse_design
from skirtloft.design.ride_text import ride_tables
from skirtloft.design.start import new_design_text
from skirtloft.design.start_text import Writer
from skirtloft.errors import DesignError
from tests.designs import EXAMPLES

PLAIN = (EXAMPLES / "one-seat.toml").read_text(encoding="utf-8")


def uncommented(text: str) -> str:
    """Take "# " off every line that is TOML below it, as a builder would."""
    pattern = r"# (\[|[a-z_]+ = |\]|    \{)"
    return "\n".join(line[2:] if re.match(pattern, line) else line for line in text.splitlines()) + "\n"


@pytest.mark.parametrize("show", ["metric", "imperial"])
def test_uncommented_it_is_read(show: str) -> None:
    tables = uncommented(ride_tables(Writer(show == "imperial")))
    assert {"balance", "under_way"} == set(tomllib.loads(tables))
    whole = new_design_text("x", 4, 650.0, 5.0, 2.3, show)  # type: ignore[arg-type]
    assert "# [under_way]" in whole
    design = parse_design(whole + tables)
    assert design.balance.movable[0].name == "fuel tank"
    assert design.under_way.static_thrust == pytest.approx(620.0, rel=0.01)  # 140 lbf are 622.8 N
    assert design.under_way.disc == pytest.approx(1.1, rel=0.01)
    assert design.under_way.wet_band is not None
    assert design.under_way.wet_band[1] == pytest.approx(0.02, rel=0.05)


# tables at the end of the one-seat file, which has none -> (path, part of what was given, part of what would do)
CASES: dict[str, tuple[str, list[tuple[str, str, str]]]] = {
    "thrust without a disc": ('[under_way]\nstatic_thrust = "400 N"', [("under_way.disc", "(nothing)", "disc =")]),
    "a disc without thrust": (
        '[under_way]\ndisc = "1 m"',
        [("under_way.static_thrust", "(nothing)", "static_thrust =")],
    ),
    "thrust told twice": (
        '[under_way]\nstatic_thrust = "400 N"\ndisc = "1 m"\n'
        'thrust = [{ speed = "0 m/s", thrust = "400 N" }, { speed = "8 m/s", thrust = "300 N" }]',
        [("under_way.static_thrust", '"400 N"', "points"), ("under_way.disc", '"1 m"', "points")],
    ),
    "one point": ('[under_way]\nthrust = [{ speed = "0 m/s", thrust = "4 N" }]', [("under_way.thrust", "1", "two")]),
    "points out of order": (
        '[under_way]\nthrust = [{ speed = "9 m/s", thrust = "4 N" }, { speed = "8 m/s", thrust = "5 N" }]',
        [("under_way.thrust[1].speed", '"8 m/s"', "order")],
    ),
    "a band that falls": ("[under_way]\nwave = [1.0, 0.9, 1.2]", [("under_way.wave", "0.9", "[low, best, high]")]),
    "a band of numbers for a length": (
        "[under_way]\nwet_band = [0, 1, 2]",
        [(f"under_way.wet_band[{k}]", str(k), "mm") for k in range(3)],
    ),
    "a short band of lengths": ('[under_way]\nwet_band = ["0 mm"]', [("under_way.wet_band", '"0 mm"', '"20 mm"')]),
    "thrust as a mass": (
        '[under_way]\nstatic_thrust = "40 kg"\ndisc = "1 m"',
        [("under_way.static_thrust", "40", "N")],
    ),
    "two tanks of one name": (
        '[balance]\nmovable = [{ name = "a", mass = "9 kg", x = "1 m" }, { name = "a", mass = "9 kg", x = "2 m" }]',
        [("balance.movable[1].name", '"a"', "its own")],
    ),
    "a tank nowhere": (
        '[balance]\nmovable = [{ name = "a", mass = "9 kg" }]',
        [("balance.movable[0].x", "(nothing)", "x")],
    ),
}


@pytest.mark.parametrize("case", CASES)
def test_every_problem_is_told_with_place_value_and_cure(case: str) -> None:
    tables, expected = CASES[case]
    with pytest.raises(DesignError) as refused:
        parse_design(f"{PLAIN}\n{tables}\n")
    problems = {problem.path: problem for problem in refused.value.problems}
    assert sorted(problems) == sorted(path for path, _, _ in expected)
    for path, written, cure in expected:
        assert written in problems[path].given
        assert cure in problems[path].would_do, problems[path]


@pytest.mark.parametrize(
    ("kind", "text", "value"),
    [
        # definitions: 1 lbf = .45359237 kg x 9.80665 m/s2; knot 1852 m/h; mile 1609.344 m
        ("force", "100 lbf", 444.82216),
        ("force", "0.4 kN", 400.0),
        ("speed", "20 kn", 10.288889),
        ("speed", "20 knots", 10.288889),
        ("speed", "20 mph", 8.9408),
        ("speed", "36 km/h", 10.0),
        ("speed", "10 ft/s", 3.048),
    ],
)
def test_new_units(kind: str, text: str, value: float) -> None:
    from skirtloft.design.quantity import parse_quantity

    assert parse_quantity(kind, text, "x") == pytest.approx(value, rel=1e-7)  # type: ignore[arg-type]
