"""Loops and tips changed in the text of a design file."""

import tomllib

import pytest

from skirtloft.design.read import parse_design
from skirtloft.design.recut_text import with_recut
from skirtloft.errors import DesignError
from tests.designs import EXAMPLES, NAMES


def text_of(name: str) -> str:
    return (EXAMPLES / f"{name}.toml").read_text(encoding="utf-8")


@pytest.mark.parametrize("name", NAMES)
def test_every_example_takes_it_and_keeps_its_comments(name):
    text = text_of(name)
    made = with_recut(text, [(0.5, 0.004), (1.25, -0.0021)], 0.0137)
    design = parse_design(made)
    rows = [wish for wish in design.skirt.station if wish.what == "recut"]
    assert [wish.at for wish in rows] == pytest.approx([0.5, 1.25])
    assert [wish.loop for wish in rows] == pytest.approx([0.004, -0.0021])
    assert design.making.tip_change == pytest.approx(0.0137)
    for line in text.splitlines():
        if "#" in line and "tip_change" not in line:
            assert line in made.splitlines()


def test_a_second_time_gives_the_same_as_once():
    once = with_recut(text_of("four-seat"), [(0.5, 0.004), (1.0, 0.001)], 0.01)
    assert with_recut(once, [(0.5, 0.004), (1.0, 0.001)], 0.01) == once
    other = with_recut(once, [(0.7, 0.002)], 0.012)
    assert other == with_recut(text_of("four-seat"), [(0.7, 0.002)], 0.012)
    none = tomllib.loads(with_recut(once, [], 0.0))
    assert "station" not in none["skirt"]


def test_stations_of_the_builder_stay():
    text = text_of("four-seat") + '\n[[skirt.station]]\nat = "2.5 m"  # my seam\nwhat = "add"\n'
    made = with_recut(text, [(0.5, 0.004)], 0.01)
    assert "# my seam" in made
    assert [row["what"] for row in tomllib.loads(made)["skirt"]["station"]] == ["add", "recut"]


def test_crlf_stays():
    text = text_of("one-seat").replace("\n", "\r\n")
    made = with_recut(text, [(0.5, 0.004)], 0.01)
    assert "\r\n" in made
    assert "\n" not in made.replace("\r\n", "")


def test_what_cannot_be_changed_safely_is_refused():
    with pytest.raises(DesignError):
        with_recut("[skirt\n", [(0.5, 0.004)], 0.01)
    with pytest.raises(DesignError, match="by hand"):
        with_recut('skirt = { depth = "250 mm" }\n[making]\n', [(0.5, 0.004)], 0.01)
