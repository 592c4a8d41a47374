"""Wrong tables on cloth and diaphragm: each problem with its path, the value as written, and what would do."""

from __future__ import annotations

import pytest

from skirtloft.design.quantity import parse_quantity
from skirtloft.design.read import load_design, parse_design
from skirtloft.design.start import new_design_text
from skirtloft.errors import DesignError
from tests.designs import EXAMPLES, TAUT

FOUR = EXAMPLES / "four-seat.toml"

# changes of the four-seat file, and (path, part of what was given, part of what would do) of the one problem
CASES = {
    "a place without its height": (
        (("skirt.diaphragm.side.inboard", "300 mm"),),
        ("skirt.diaphragm.side.height", "(nothing)", 'height = "40 mm"'),
    ),
    "a place without its distance": (
        (("skirt.diaphragm.bow.height", "30 mm"),),
        ("skirt.diaphragm.bow.inboard", "(nothing)", 'inboard = "300 mm"'),
    ),
    "vents without a number": (
        (("skirt.diaphragm.vent_diameter", "40 mm"),),
        ("skirt.diaphragm.vents_per_pitch", "(nothing)", "vents_per_pitch = 6"),
    ),
    "a margin as a percentage": (
        (("skirt.diaphragm.margin", "20"),),
        ("skirt.diaphragm.margin", "20", "from 0 to 0.6"),
    ),
    "a strength without a width": (
        (("cloth.loop.strength", "1200 N"),),
        ("cloth.loop.strength", "1200 N", "N/50mm"),
    ),
    "a stitch of another machine": ((("making.stitch", "504"),), ("making.stitch", '"504"', '"301"')),
    "too many seats": ((("craft.seats", "13"),), ("craft.seats", "13", "from 1 to 12")),
    "a feed of another kind": ((("skirt.diaphragm.feed", "above"),), ("skirt.diaphragm.feed", '"above"', '"through"')),
}


@pytest.mark.parametrize("case", CASES)
def test_each_problem_is_told(case: str) -> None:
    changes, (path, given, would_do) = CASES[case]
    with pytest.raises(DesignError) as refused:
        load_design(FOUR, changes)
    (problem,) = refused.value.problems
    assert problem.path == path
    assert given in problem.given
    assert would_do in problem.would_do


def test_a_run_that_the_hull_has_not_is_told() -> None:
    text = (
        FOUR.read_text(encoding="utf-8").replace('run = "stern"', 'run = "side"').replace("[skirt.stern]", "[skirt.s]")
    )
    with pytest.raises(DesignError) as refused:
        parse_design(text + '\n[skirt.diaphragm.stern]\nheight = "0 mm"\ninboard = "300 mm"\n')
    assert "skirt.diaphragm.stern" in [problem.path for problem in refused.value.problems]


def test_both_units_of_a_place_are_read() -> None:
    wanted = load_design(FOUR, TAUT).skirt.diaphragm
    assert wanted is not None
    assert (wanted.margin, wanted.side.inboard, wanted.bow.height) == (0.2, 0.29, 0.0)
    assert wanted.side.margin is None


@pytest.mark.parametrize(
    ("text", "value"),
    # ISO 13934-1 strips are 50 mm wide; 1 lbf/in = 175.1268 N/m, 1 lbf = 4.4482216 N (definitions)
    [("1200 N/50mm", 24_000.0), ("1200 N/5cm", 24_000.0), ("24 kN/m", 24_000.0), ("100 lbf/in", 17_512.68)],
)
def test_strengths_as_data_sheets_give_them(text: str, value: float) -> None:
    assert parse_quantity("line_force", text, "x") == pytest.approx(value, rel=1e-6)


def test_thread_and_strip_by_length() -> None:
    assert parse_quantity("line_mass", "90 tex", "x") == pytest.approx(90e-6)  # g/km, ISO 1144
    assert parse_quantity("force", "14 lbf", "x") == pytest.approx(62.275, rel=1e-4)


@pytest.mark.parametrize("show", ["metric", "imperial"])
def test_the_commented_tables_of_a_first_file_are_read(show: str) -> None:
    """With the signs taken off, as a builder would."""
    text = new_design_text("x", 4, 650.0, 5.0, 2.3, show)  # type: ignore[arg-type]
    head, mark, rest = text.partition("# [skirt.diaphragm]")
    table, air, tail = rest.partition("[air]")
    bare = "\n".join(line.removeprefix("# ") for line in (mark + table).splitlines())
    skids = "# [hull.skids]", "# height = ", "# inboard = "
    lines = []
    inside = False
    for line in head.splitlines():
        inside = line.startswith(skids[0]) or (inside and line.startswith(skids[1:]))
        lines.append(line.removeprefix("# ") if inside else line)
    for key in ("strength", "tear", "thread_strength"):
        tail = tail.replace(f"# {key} =", f"{key} =")
    design = parse_design("\n".join(lines) + "\n" + bare + "\n" + air + tail)
    assert design.skirt.diaphragm is not None
    assert design.skirt.diaphragm.vents_per_pitch == 12
    assert design.hull.skids.inboard is not None
    assert design.cloth.loop.strength == pytest.approx(24_000.0, rel=0.01)
    assert design.making.thread_strength == pytest.approx(62.0, rel=0.01)
