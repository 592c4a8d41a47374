"""Reading a good file: values, loads by items, changes from the command line, digest."""

from __future__ import annotations

import hashlib
import math
from pathlib import Path

import pytest
from pydantic import ValidationError

from skirtloft.design.model import CornerRadii, Design, RunInset
from skirtloft.design.read import design_digest, load_design, parse_design, split_changes
from skirtloft.design.write import change_text
from skirtloft.errors import DesignError

EXAMPLES = Path(__file__).parents[3] / "examples"
FOUR = (EXAMPLES / "four-seat.toml").read_text(encoding="utf-8")


def test_values_arrive_in_si() -> None:
    """As the example writes them."""
    design = parse_design(FOUR)
    assert design.project.show == "metric"
    assert design.skirt.depth == 0.280
    assert design.skirt.face_angle == math.pi / 4
    assert design.skirt.corner == CornerRadii(bow=0.75, side=1.5, stern=0.75)
    assert design.skirt.bow == RunInset(joint_inside=0.075)
    assert design.skirt.joint_line is None
    assert design.hull.edge[2].radius == 1.35
    assert design.hull.edge[-1].run is None
    assert design.air.temperature == 285.15
    assert design.cloth.segment.warp == "around"
    assert design.making.joint == 0.025


def test_the_side_corner_follows_the_bow_corner() -> None:
    """Left out, it is the bow's radius; by hand as well."""
    design = parse_design(FOUR.replace('side = "1.5 m"', ""))
    assert design.skirt.corner.side == design.skirt.corner.bow == 0.75
    assert CornerRadii(bow=0.6, stern="full").side == 0.6


def test_items_are_summed() -> None:
    """Total mass and centre of mass of the one-seater, by hand: 440 lb; 25,980 in lb over 440 lb."""
    load = load_design(EXAMPLES / "one-seat.toml").craft.load[0]
    assert load.mass == pytest.approx(440 * 0.45359237, rel=1e-12)
    assert load.x == pytest.approx(25980 / 440 * 0.0254, rel=1e-12)
    assert load.z == pytest.approx((165 * 9 + 105 * 20 + 150 * 18 + 20 * 10) / 440 * 0.0254, rel=1e-12)
    assert load.y == 0.0


def test_records_are_frozen_and_closed() -> None:
    """No later change, no key that is not in the schema, no number that is not finite."""
    design = parse_design(FOUR)
    with pytest.raises(ValidationError):
        design.skirt.depth = 1.0  # type: ignore[misc]
    with pytest.raises(ValidationError):
        RunInset(tip_outside=0.1)  # type: ignore[call-arg]
    with pytest.raises(ValidationError):
        RunInset(tip_inside=math.inf)


def test_changes_are_read_like_the_file() -> None:
    """Dotted paths, list indices, numbers and words; tables that are not there are made."""
    changes = {
        "skirt.depth": "11 in",
        "hull.edge[2].x": "3.6 m",
        "skirt.stations_per_corner": "9",
        "cloth.loop.face_side": "false",
        "air.discharge": "0.6",
        "making.paper": "Letter",
        "craft.load[1].name": "pair",
        "hull.edge[1].through": '["4.5 m", "0.95 m"]',
        "making.hole": "7 mm",
    }
    design = parse_design(FOUR, changes)
    assert design.skirt.depth == 0.2794
    assert design.hull.edge[2].x == 3.6
    assert design.skirt.stations_per_corner == 9
    assert design.cloth.loop.face_side is False
    assert design.air.discharge == 0.6
    assert design.making.paper == "Letter"
    assert design.craft.load[1].name == "pair"
    assert design.hull.edge[1].through == (4.5, 0.95)
    assert design.making.hole == 0.007
    assert parse_design(FOUR, list(changes.items())) == design


def test_changes_make_tables_that_are_not_there() -> None:
    """The key goes where it belongs though the file has no such table."""
    text = FOUR[: FOUR.index("\n[air]")] + FOUR[FOUR.index("\n[cloth.loop]") : FOUR.index("\n[making]")]
    assert parse_design(text, {"air.gap": "20 mm", "making.printer_x": "1.01"}).air.gap == 0.020


@pytest.mark.parametrize(
    ("path", "value", "wrong"),
    [
        ("skirt.dept", "1 m", "No such key"),
        ("skirt", "1 m", "table"),
        ("hull.edge", "1 m", "table"),
        ("hull.edge[1]", "1 m", "table"),
        ("hull.edge[9].x", "1 m", "none is 9"),
        ("hull.edge.x", "1 m", "entries"),
        ("skirt.depth[0]", "1 m", "plain value"),
        ("craft.load[0].items[0].mass", "1 kg", "has no items"),
        ("hull..edge", "1 m", "No such key"),
        ("", "1 m", "No such key"),
    ],
)
def test_changes_that_cannot_be_made(path: str, value: str, wrong: str) -> None:
    """Each is a problem at its path that shows the value."""
    with pytest.raises(DesignError) as refused:
        parse_design(FOUR, {path: value})
    (problem,) = refused.value.problems
    assert problem.path == path
    assert problem.given == f'"{value}"'
    assert wrong in problem.wrong
    assert problem.would_do


def test_problems_of_changes_and_of_the_file_come_together() -> None:
    """A wrong path, a wrong value and a fault of the file itself are all told."""
    with pytest.raises(DesignError) as refused:
        parse_design(FOUR.replace('"A4"', '"A3"'), {"skirt.dept": "1 m", "skirt.depth": "270", "air.gap": "-1 mm"})
    assert [problem.path for problem in refused.value.problems] == [
        "skirt.dept",
        "skirt.depth",
        "air.gap",
        "making.paper",
    ]


def test_changed_text_keeps_its_comments() -> None:
    """Only the value differs."""
    text, problems = change_text(FOUR, {"skirt.pitch": "140 mm"})
    assert problems == []
    assert text == FOUR.replace('pitch = "150 mm"', 'pitch = "140 mm"')


def test_changes_of_the_command_line_are_split_at_the_first_sign() -> None:
    """KEY=VALUE; every text without the sign is told."""
    assert split_changes(["skirt.depth=270 mm", "project.name = a=b"]) == [
        ("skirt.depth", "270 mm"),
        ("project.name", "a=b"),
    ]
    with pytest.raises(DesignError) as refused:
        split_changes(["skirt.depth", "air.gap=1 mm", "x"])
    assert [problem.given for problem in refused.value.problems] == ['"skirt.depth"', '"x"']


def test_the_digest_is_of_the_text() -> None:
    """SHA-256 of the UTF-8 text; line ends do not matter, a change does."""
    assert design_digest(FOUR) == hashlib.sha256(FOUR.encode()).hexdigest()
    assert design_digest(FOUR.replace("\n", "\r\n")) == design_digest(FOUR)
    changed = design_digest(FOUR, {"skirt.pitch": "140 mm"})
    assert changed == design_digest(FOUR.replace('pitch = "150 mm"', 'pitch = "140 mm"'))
    assert changed != design_digest(FOUR)


@pytest.mark.parametrize("name", ["one-seat", "four-seat", "ten-seat"])
def test_examples_are_good_files(name: str) -> None:
    """They read, and each has a name of its own."""
    design = load_design(EXAMPLES / f"{name}.toml")
    assert isinstance(design, Design)
    assert design.project.name


def test_one_example_is_wholly_in_inches() -> None:
    """No metric unit stands in it."""
    text = (EXAMPLES / "one-seat.toml").read_text(encoding="utf-8")
    values = [line.split("#")[0] for line in text.splitlines() if "=" in line.split("#")[0]]
    assert not any(f" {unit}" in line for line in values for unit in ('mm"', 'm"', 'kg"', 'g/m2"', 'degC"'))
