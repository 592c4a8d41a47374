"""Stations put into a design file: after the skirt, nothing else touched."""

from __future__ import annotations

import tomllib

import pytest

from skirtloft.design.read import parse_design
from skirtloft.design.start import new_design
from skirtloft.design.station_text import with_stations
from skirtloft.errors import DesignError
from tests.designs import EXAMPLES, NAMES


@pytest.mark.parametrize("imperial, at", [(False, 1.25), (True, 1.2446)])  # 49 in
@pytest.mark.parametrize("name", [*NAMES, "new"])
def test_added_after_the_skirt(name: str, imperial: bool, at: float) -> None:
    text = new_design("x", 4)[0] if name == "new" else (EXAMPLES / f"{name}.toml").read_text(encoding="utf-8")
    made = with_stations(text, [at], imperial)
    assert parse_design(made).skirt.station[0].at == pytest.approx(at, abs=1e-9)  # type: ignore[index]
    new = [line for line in made.split("\n") if line not in text.split("\n")]
    assert len(new) == 3
    kept = iter(made.split("\n"))
    assert all(line in kept for line in text.split("\n"))  # the old lines, in their order
    again = with_stations(made, [at + 0.5], imperial)
    assert [s["what"] for s in tomllib.loads(again)["skirt"]["station"]] == ["add", "add"]
    windows = with_stations(text.replace("\n", "\r\n"), [at], imperial)
    assert windows == made.replace("\n", "\r\n")


def test_a_list_in_one_line_is_left_alone() -> None:
    text = (EXAMPLES / "four-seat.toml").read_text(encoding="utf-8")
    text = text.replace("stations_per_corner = 7", 'stations_per_corner = 7\nstation = [{ at = "3 m" }]')
    with pytest.raises(DesignError) as caught:
        with_stations(text, [4.0])
    assert caught.value.problems[0].path == "skirt.station"
