"""The hull edge as TOML: exact, and put into a design with everything else as it was."""

from __future__ import annotations

import tomllib

import pytest

from skirtloft.design.edge_text import as_written, edge_tables, exact_length, with_edge
from skirtloft.design.model import HullPoint
from skirtloft.design.quantity import parse_length
from skirtloft.design.read import parse_design
from skirtloft.errors import DesignError
from tests.designs import EXAMPLES

POINTS = (
    HullPoint(x=4.4, y=0.0, height=0.34, run="bow"),
    HullPoint(x=4.4, y=0.3, height=0.34, run="corner", through=(4.1803300859, 0.8303300859)),
    HullPoint(x=3.65, y=1.05, height=0.3, run="side", radius=0.2),
    HullPoint(x=0.0, y=0.0, height=0.3),
)
NOTES = ("straight 300 mm", "arc", "", "")


@pytest.mark.parametrize(
    ("value", "metric", "imperial"),
    [
        (0.4467, "446.7 mm", "17.58661417 in"),
        (4.405, "4.405 m", "173.42519685 in"),
        (0.3937, "393.7 mm", "15.5 in"),
        (0.0, "0 m", "0 in"),
        (-1e-12, "0 m", "0 in"),
        (1.0, "1 m", "39.37007874 in"),
    ],
)
def test_lengths_are_short_where_they_can_be_and_exact_where_not(value: float, metric: str, imperial: str) -> None:
    assert exact_length(value) == metric
    assert exact_length(value, imperial=True) == imperial
    for is_imperial in (False, True):
        assert abs(as_written(value, is_imperial) - value) < 1.5e-10
        assert parse_length(exact_length(value, is_imperial)) == as_written(value, is_imperial)
        assert as_written(as_written(value, is_imperial), is_imperial) == as_written(value, is_imperial)


@pytest.mark.parametrize("imperial", [False, True])
def test_tables_say_what_the_points_say(imperial: bool) -> None:
    text = edge_tables(POINTS, NOTES, imperial)
    edge = tomllib.loads(text)["hull"]["edge"]
    assert [entry.get("run") for entry in edge] == ["bow", "corner", "side", None]
    for entry, point in zip(edge, POINTS, strict=True):
        assert parse_length(entry["x"]) == pytest.approx(point.x, abs=1.5e-10)
        assert parse_length(entry["height"]) == pytest.approx(point.height, abs=1.5e-10)
    assert [parse_length(part) for part in edge[1]["through"]] == pytest.approx(POINTS[1].through, abs=1.5e-10)
    assert parse_length(edge[2]["radius"]) == pytest.approx(0.2, abs=1.5e-10)
    assert text.count("# straight 300 mm") == 1


def test_a_design_keeps_everything_but_the_points() -> None:
    text = (EXAMPLES / "four-seat.toml").read_text(encoding="utf-8")
    made = with_edge(text, edge_tables(POINTS, NOTES))
    before, after = text.index("[[hull.edge]]"), text.index("[skirt]")
    assert made.startswith(text[:before])
    assert made.endswith(text[after:])
    assert made.count("[[hull.edge]]") == len(POINTS)
    back = tomllib.loads(made)
    assert back["hull"]["edge"] == tomllib.loads(edge_tables(POINTS, NOTES))["hull"]["edge"]


def test_comments_before_the_next_table_stay() -> None:
    head, old = '[hull]\nclearance = "240 mm"\n\n', '[[hull.edge]]\nx = "1 m"  # old\n'
    text = f"{head}{old}\n# The skirt follows.\n\n[skirt]\ndepth = 1\n"
    made = with_edge(text, edge_tables(POINTS[:1], ("",)))
    assert made.endswith('run = "bow"\n\n# The skirt follows.\n\n[skirt]\ndepth = 1\n')
    assert "old" not in made


@pytest.mark.parametrize(
    "text",
    [
        '[project]\nname = "A"\n',
        '[hull]\nclearance = "240 mm"\n[skirt]\ndepth = 1\n',
        '[hull]\nclearance = "240 mm"\nedge = [{ x = "1 m", y = "0 m" }]\n[skirt]\ndepth = 1\n',
        'hull.clearance = "240 mm"\n[skirt]\ndepth = 1\n',
        '[hull]\n[skirt]\ndepth = 1\n[[hull.edge]]\nx = "1 m"\n[air]\ngap = 1\n',
        '[hull]\n[[hull.edge]]\nx = "1 m"\n[skirt]\ndepth = 1\n[[craft.load]]\nname = "full"\n',
    ],
)
def test_however_the_hull_is_written_nothing_else_changes(text: str) -> None:
    tables = edge_tables(POINTS, NOTES)
    made, old = tomllib.loads(with_edge(text, tables)), tomllib.loads(text)
    hull = {key: value for key, value in old.get("hull", {}).items() if key != "edge"}
    assert made == {**old, "hull": {**hull, "edge": tomllib.loads(tables)["hull"]["edge"]}}


def test_a_hull_on_one_line_is_left_alone() -> None:
    with pytest.raises(DesignError) as caught:
        with_edge('hull = { clearance = "240 mm" }\n', edge_tables(POINTS, NOTES))
    assert "-o" in caught.value.problems[0].would_do


def test_windows_line_ends_stay() -> None:
    text = (EXAMPLES / "one-seat.toml").read_text(encoding="utf-8").replace("\n", "\r\n")
    made = with_edge(text, edge_tables(POINTS, NOTES))
    assert made.count("\r\n") == made.count("\n")
    assert parse_design(text).skirt.depth > 0.0


def test_what_is_no_toml_is_refused() -> None:
    with pytest.raises(DesignError):
        with_edge("[hull\n", edge_tables(POINTS, NOTES))
