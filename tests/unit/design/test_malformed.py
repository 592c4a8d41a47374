"""Files that are wrong: each gives every problem with its path, the value as written, and what would do.

Each case edits a good file by replacing pieces of its text. The ranges and rules are our own choices; where a rule
comes from the trade the case says so.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from skirtloft.design.read import load_design, parse_design
from skirtloft.errors import DesignError

GOOD = """\
format = "skirtloft-design/1"
[project]
name = "Good"
revision = "A"
date = "2026-01-01"
show = "metric"
[[craft.load]]
name = "full"
mass = "750 kg"
x = "2.4 m"
y = "0 m"
z = "0.6 m"
[[craft.load]]
name = "solo"
mass = "450 kg"
x = "2.3 m"
z = "0.6 m"
[hull]
clearance = "250 mm"
[[hull.edge]]
x = "5.0 m"
y = "0 m"
height = "341 mm"
run = "bow"
[[hull.edge]]
x = "4.9 m"
y = "1.1 m"
height = "342 mm"
radius = "601 mm"
run = "side"
[[hull.edge]]
x = "0.1 m"
y = "1.2 m"
height = "343 mm"
radius = "602 mm"
run = "stern"
[[hull.edge]]
x = "0 m"
y = "0.0 m"
height = "344 mm"
[skirt]
depth = "280 mm"
face_angle = "45 deg"
tip_angle = "90 deg"
pitch = "150 mm"
stations_per_corner = 7
[skirt.bow]
joint_inside = "75 mm"
[skirt.side]
tip_inside = "50 mm"
[skirt.stern]
tip_inside = "51 mm"
[skirt.corner]
bow = "751 mm"
stern = "752 mm"
[air]
gap = "10 mm"
temperature = "15 degC"
fan_efficiency = 0.55
[cloth.loop]
mass = "300 g/m2"
roll_width = "1.45 m"
warp = "along"
face_side = true
[cloth.segment]
mass = "400 g/m2"
[making]
seam = "24 mm"
joint = "25 mm"
hole = "6 mm"
hole_pitch = "60 mm"
hole_edge = "15 mm"
paper = "A4"
printer_x = 1.0
"""

JOINT_LINE = """\
[[skirt.joint_line]]
x = "4.9 m"
y = "0 m"
run = "bow"
[[skirt.joint_line]]
x = "4.9 m"
y = "1.3 m"
radius = "0.8 m"
run = "side"
[[skirt.joint_line]]
x = "-0.1 m"
y = "1.3 m"
radius = "0.8 m"
run = "stern"
[[skirt.joint_line]]
x = "-0.1 m"
y = "0 m"
[air]
"""
INSETS = GOOD[GOOD.index("[skirt.bow]") : GOOD.index("[air]\n")]

Edit = tuple[str, str]
Expected = tuple[str, str]  # path, part of what was given

CASES: dict[str, tuple[list[Edit], list[Expected]]] = {
    # --- the file as a whole
    "no format": ([('format = "skirtloft-design/1"\n', "")], [("format", "(nothing)")]),
    "other format": ([("design/1", "design/2")], [("format", "skirtloft-design/2")]),
    "format is no text": ([('"skirtloft-design/1"', "1")], [("format", "1")]),
    "unknown table": ([("[air]", "[fan]\npower = 3\n[air]")], [("fan", "a table")]),
    "unknown key at the top": ([("[project]", "depth = 3\n[project]")], [("depth", "3")]),
    "misspelt key": ([("depth =", "dept =")], [("skirt.dept", '"280 mm"'), ("skirt.depth", "(nothing)")]),
    "key in another's table": ([("[hull]\n", '[hull]\ngap = "9 mm"\n')], [("hull.gap", '"9 mm"')]),
    "no skirt": ([(GOOD[GOOD.index("[skirt]") : GOOD.index("[air]")], "")], [("skirt", "(nothing)")]),
    "no cloth, no load": (
        [
            (GOOD[GOOD.index("[cloth.loop]") : GOOD.index("[making]")], ""),
            (GOOD[GOOD.index("[[craft.load]]") : GOOD.index("[hull]")], ""),
        ],
        [("craft", "(nothing)"), ("cloth", "(nothing)")],
    ),
    "cloth of the segments missing": (
        [('[cloth.segment]\nmass = "400 g/m2"\n', "")],
        [("cloth.segment", "(nothing)")],
    ),
    "table where a value belongs": ([('depth = "280 mm"', "depth = {is = 3}")], [("skirt.depth", "a table")]),
    "value where a table belongs": (
        [
            ('[air]\ngap = "10 mm"\ntemperature = "15 degC"\nfan_efficiency = 0.55\n', ""),
            ("[project]", "air = 3\n[project]"),
        ],
        [("air", "3")],
    ),
    "value where a list belongs": (
        [(GOOD[GOOD.index("[[craft.load]]") : GOOD.index("[hull]")], "[craft]\nload = 3\n")],
        [("craft.load", "3")],
    ),
    # --- project
    "no name": ([('name = "Good"\n', "")], [("project.name", "(nothing)")]),
    "blank name": ([('"Good"', '"  "')], [("project.name", '"  "')]),
    "name is a number": ([('"Good"', "7")], [("project.name", "7")]),
    "name too long": ([('"Good"', '"' + "g" * 61 + '"')], [("project.name", "ggg")]),
    "name with a bell": ([('"Good"', '"Go\\u0007od"')], [("project.name", "Go od")]),
    "revision too long": ([('"A"', '"a long revision"')], [("project.revision", "a long revision")]),
    "date in words": ([('"2026-01-01"', '"1 May 2026"')], [("project.date", '"1 May 2026"')]),
    "date that is not": ([('"2026-01-01"', '"2026-02-30"')], [("project.date", '"2026-02-30"')]),
    "date without dashes": ([('"2026-01-01"', '"20260101"')], [("project.date", '"20260101"')]),
    "date without quotes": ([('"2026-01-01"', "2026-01-01")], [("project.date", "2026-01-01")]),
    "unknown show": ([('"metric"', '"inches"')], [("project.show", '"inches"')]),
    # --- loads
    "two loads of one name": ([('"solo"', '"full"')], [("craft.load[1].name", '"full"')]),
    "no load listed": (
        [(GOOD[GOOD.index("[[craft.load]]") : GOOD.index("[hull]")], "[craft]\nload = []\n")],
        [("craft.load", "[]")],
    ),
    "mass nought": ([('"750 kg"', '"0 kg"')], [("craft.load[0].mass", '"0 kg"')]),
    "mass negative": ([('"450 kg"', '"-450 kg"')], [("craft.load[1].mass", '"-450 kg"')]),
    "mass of a ship": ([('"750 kg"', '"750000 kg"')], [("craft.load[0].mass", '"750000 kg"')]),
    "mass as a length": ([('"750 kg"', '"750 mm"')], [("craft.load[0].mass", '"750 mm"')]),
    "mass without a place": ([('x = "2.3 m"\n', "")], [("craft.load[1].x", "(nothing)")]),
    "items and mass": (
        [('mass = "450 kg"\n', 'mass = "450 kg"\nitems = [{name="a", mass="450 kg", x="2 m", z="1 m"}]\n')],
        [("craft.load[1].items", "[a table]")],
    ),
    "no items": (
        [('mass = "450 kg"\nx = "2.3 m"\nz = "0.6 m"\n', "items = []\n")],
        [("craft.load[1].items", "[]")],
    ),
    "items wrong one by one": (
        [
            (
                'mass = "450 kg"\nx = "2.3 m"\nz = "0.6 m"\n',
                'items = [{name="a", mass="0 kg", x="2 m", z="1 m"}, {name="b", mass="9 kg", x=2, z="1 m", w=1}]\n',
            )
        ],
        [
            ("craft.load[1].items[0].mass", '"0 kg"'),
            ("craft.load[1].items[1].w", "1"),
            ("craft.load[1].items[1].x", "2"),
        ],
    ),
    "items too light": (
        [('mass = "450 kg"\nx = "2.3 m"\nz = "0.6 m"\n', 'items = [{name="a", mass="4 kg", x="2 m", z="1 m"}]\n')],
        [("craft.load[1].items", "[a table]")],
    ),
    # --- quantities
    "bare number": ([('"280 mm"', "280")], [("skirt.depth", "280")]),
    "bare number in quotes": ([('"280 mm"', '"280"')], [("skirt.depth", '"280"')]),
    "decimal comma": ([('"280 mm"', '"0,28 m"')], [("skirt.depth", '"0,28 m"')]),
    "unknown unit": ([('"280 mm"', '"280 furlong"')], [("skirt.depth", '"280 furlong"')]),
    "no end of a number": ([('"280 mm"', '"inf mm"')], [("skirt.depth", '"inf mm"')]),
    "empty quantity": ([('"280 mm"', '""')], [("skirt.depth", '""')]),
    "true for a length": ([('"280 mm"', "true")], [("skirt.depth", "true")]),
    "cloth in ounces alone": ([('"300 g/m2"', '"9 oz"')], [("cloth.loop.mass", '"9 oz"')]),
    "inches past twelve": ([('"280 mm"', '"1 ft 13 in"')], [("skirt.depth", '"1 ft 13 in"')]),
    # --- ranges
    "depth of five metres": ([('"280 mm"', '"5 m"')], [("skirt.depth", '"5 m"')]),
    "depth nought": ([('"280 mm"', '"0 mm"')], [("skirt.depth", '"0 mm"')]),
    "pitch negative": ([('"150 mm"', '"-150 mm"')], [("skirt.pitch", '"-150 mm"')]),
    "clearance of a lorry": ([('"250 mm"', '"2.5 m"')], [("hull.clearance", '"2.5 m"')]),
    "gap nought": ([('"10 mm"', '"0 mm"')], [("air.gap", '"0 mm"')]),
    "hotter than the desert": ([('"15 degC"', '"90 degC"')], [("air.temperature", '"90 degC"')]),
    "fan better than perfect": ([("0.55", "1.2")], [("air.fan_efficiency", "1.2")]),
    "fan not a number": ([("0.55", "nan")], [("air.fan_efficiency", "nan")]),
    "fan in quotes": ([("0.55", '"0.55"')], [("air.fan_efficiency", '"0.55"')]),
    "half a station": ([("corner = 7", "corner = 7.5")], [("skirt.stations_per_corner", "7.5")]),
    "two stations": ([("corner = 7", "corner = 2")], [("skirt.stations_per_corner", "2")]),
    "negative seam": ([('"24 mm"', '"-24 mm"')], [("making.seam", '"-24 mm"')]),
    "printer three times": ([("printer_x = 1.0", "printer_x = 3")], [("making.printer_x", "3")]),
    "paper A3": ([('"A4"', '"A3"')], [("making.paper", '"A3"')]),
    "warp across": ([('"along"', '"across"')], [("cloth.loop.warp", '"across"')]),
    "face side maybe": ([("face_side = true", 'face_side = "yes"')], [("cloth.loop.face_side", '"yes"')]),
    # --- segments: ranges of the angles; tip angle and inner fixing say the same thing (closed form of the web)
    "face at 75 deg": ([('"45 deg"', '"75 deg"')], [("skirt.face_angle", '"75 deg"')]),
    "face at 25 deg": ([('"45 deg"', '"25 deg"')], [("skirt.face_angle", '"25 deg"')]),
    "tip at 60 deg": ([('"90 deg"', '"60 deg"')], [("skirt.tip_angle", '"60 deg"')]),
    "tip at 115 deg": ([('"90 deg"', '"115 deg"')], [("skirt.tip_angle", '"115 deg"')]),
    "steep face and blunt tip": (
        [('"45 deg"', '"65 deg"'), ('"90 deg"', '"105 deg"')],
        [("skirt.tip_angle", '"105 deg"')],  # 180 - 65 - 105 = 10 deg of lower edge
    ),
    "inner fixing under ground": (
        [("[skirt.bow]\n", '[skirt.inner]\ndrop = "270 mm"\n[skirt.bow]\n')],
        [("skirt.inner.drop", '"270 mm"')],
    ),
    "inner fixing above the joint": (
        [("[skirt.bow]\n", '[skirt.inner]\ndrop = "-20 mm"\n[skirt.bow]\n')],
        [("skirt.inner.drop", '"-20 mm"')],
    ),
    "tip angle and inner fixing": (
        [("[skirt.bow]\n", '[skirt.inner]\ninboard = "560 mm"\n[skirt.bow]\n')],
        [("skirt", 'tip_angle "90 deg", inner.inboard "560 mm"')],
    ),
    "inner fixing under the tip": (
        [('tip_angle = "90 deg"\n', ""), ("[skirt.bow]\n", '[skirt.inner]\ninboard = "300 mm"\n[skirt.bow]\n')],
        [("skirt.inner.inboard", '"300 mm"')],
    ),
    "a bow's inner fixing too far in": (
        [("[skirt.bow]\n", '[skirt.bow]\ninner = { inboard = "1.6 m" }\n')],
        [("skirt.bow.inner.inboard", '"1.6 m"')],
    ),
    "a bow too steep": (
        [("[skirt.bow]\n", '[skirt.bow]\nface_angle = "80 deg"\n')],
        [("skirt.bow.face_angle", '"80 deg"')],
    ),
    "a stern with a pitch": (
        [("[skirt.stern]\n", '[skirt.stern]\npitch = "80 mm"\n')],
        [("skirt.stern.pitch", '"80 mm"')],
    ),
    "weight in kilograms": (
        [('tip_angle = "90 deg"\n', 'tip_angle = "90 deg"\nweight = "3 kg"\n')],
        [("skirt.weight", '"3 kg"')],
    ),
    "face in metres": ([('"45 deg"', '"45 m"')], [("skirt.face_angle", '"45 m"')]),
    # --- a hull that exists
    "fixing says nothing": ([("[skirt]", "[hull.fixing]\n[skirt]")], [("hull.fixing", "")]),
    "fixing without a height": (
        [("[skirt]", '[hull.fixing.side]\ninboard = "400 mm"\n[skirt]')],
        [("hull.fixing.side.height", "(nothing)")],
    ),
    "fixing by run and as a line": (
        [
            (
                "[skirt]",
                '[hull.fixing.side]\nheight = "30 mm"\ninboard = "400 mm"\n[[hull.fixing.line]]\nx = "4 m"\ny = "0 m"\n'
                'height = "30 mm"\n[[hull.fixing.line]]\nx = "1 m"\ny = "0 m"\nheight = "30 mm"\n[skirt]',
            )
        ],
        [("hull.fixing.line", "")],
    ),
    "fixing line of one point": (
        [("[skirt]", '[[hull.fixing.line]]\nx = "4 m"\ny = "0 m"\nheight = "30 mm"\n[skirt]')],
        [("hull.fixing.line", "1 point")],
    ),
    "fixing line with a label": (
        [
            (
                "[skirt]",
                '[[hull.fixing.line]]\nx = "4 m"\ny = "0 m"\nheight = "30 mm"\nrun = "bow"\n'
                '[[hull.fixing.line]]\nx = "1 m"\ny = "0 m"\nheight = "30 mm"\n[skirt]',
            )
        ],
        [("hull.fixing.line[0].run", '"bow"')],
    ),
    "fixing of another hull": (
        [("[skirt]", '[hull.fixing.keel]\nheight = "30 mm"\n[skirt]')],
        [("hull.fixing.keel", "")],
    ),
    "flat bottom says nothing": ([("[skirt]", "[hull.bottom]\n[skirt]")], [("hull.bottom", "")]),
    "flat bottom wider than its fixings": (
        [
            (
                "[skirt]",
                '[hull.fixing.side]\nheight = "30 mm"\ninboard = "400 mm"\n[hull.bottom]\nside = "390 mm"\n[skirt]',
            )
        ],
        [("hull.bottom.side", '"390 mm"')],
    ),
    # --- the hull edge
    "first point off the centre": ([('y = "0 m"\nheight', 'y = "7 mm"\nheight')], [("hull.edge[0].y", '"7 mm"')]),
    "last point off the centre": ([('"0.0 m"', '"0.5 m"')], [("hull.edge[3].y", '"0.5 m"')]),
    "a starboard point": ([('"1.1 m"', '"-1.1 m"')], [("hull.edge[1].y", '"-1.1 m"')]),
    "stern first": ([('"5.0 m"', '"-5.0 m"')], [("hull.edge[3].x", '"0 m"')]),
    "no labels": (
        [('run = "bow"\n', ""), ('run = "side"\n', ""), ('run = "stern"\n', "")],
        [("hull.edge[0].run", "(nothing)"), ("hull.edge[1].run", "(nothing)"), ("hull.edge[2].run", "(nothing)")],
    ),
    "unknown label": ([('run = "side"', 'run = "port"')], [("hull.edge[1].run", '"port"')]),
    "label on the last point": ([('"344 mm"\n', '"344 mm"\nrun = "stern"\n')], [("hull.edge[3].run", '"stern"')]),
    "radius on the last point": (
        [('"344 mm"\n', '"344 mm"\nradius = "1 m"\n')],
        [("hull.edge[3].radius", '"1 m"')],
    ),
    "radius nought": ([('"601 mm"', '"0 mm"')], [("hull.edge[1].radius", '"0 mm"')]),
    "height negative": ([('"342 mm"', '"-1 mm"')], [("hull.edge[1].height", '"-1 mm"')]),
    "one point twice": (
        [('x = "4.9 m"\ny = "1.1 m"', 'x = "0.1 m"\ny = "1.2 m"')],
        [("hull.edge[1]", "x 0.1 m, y 1.2 m")],
    ),
    "through its own end": (
        [('run = "side"\n', 'run = "side"\nthrough = ["0.1 m", "1.2 m"]\n')],
        [("hull.edge[1].through", '["0.1 m", "1.2 m"]')],
    ),
    "through a point on the line": (
        [('run = "side"\n', 'run = "side"\nthrough = ["2.5 m", "1.15 m"]\n')],
        [("hull.edge[1].through", '["2.5 m", "1.15 m"]')],
    ),
    "through one number": (
        [('run = "side"\n', 'run = "side"\nthrough = "2.5 m"\n')],
        [("hull.edge[1].through", '"2.5 m"')],
    ),
    "through bare numbers": (
        [('run = "side"\n', 'run = "side"\nthrough = [2.5, 1.3]\n')],
        [("hull.edge[1].through[0]", "2.5"), ("hull.edge[1].through[1]", "1.3")],
    ),
    "a single point": (
        [(GOOD[GOOD.index('[[hull.edge]]\nx = "4.9 m"') : GOOD.index("[skirt]")], "")],
        [("hull.edge", "1 point")],
    ),
    # --- insets and corners
    "both insets": (
        [('tip_inside = "50 mm"', 'tip_inside = "50 mm"\njoint_inside = "70 mm"')],
        [("skirt.side", 'tip_inside "50 mm", joint_inside "70 mm"')],
    ),
    "no inset": ([('tip_inside = "50 mm"\n', "")], [("skirt.side", "a table")]),
    "no inset table": ([('[skirt.side]\ntip_inside = "50 mm"\n', "")], [("skirt.side", "(nothing)")]),
    "inset of a run that is not there": (
        [('run = "bow"', 'run = "side"')],
        [("skirt.bow", "a table"), ("skirt.corner.bow", '"751 mm"')],
    ),
    "corner without radius": ([('stern = "752 mm"\n', "")], [("skirt.corner.stern", "(nothing)")]),
    "corner half": ([('"751 mm"', '"half"')], [("skirt.corner.bow", '"half"')]),
    "corner that is not there": (
        [('stern = "752 mm"', 'stern = "752 mm"\nside = "full"')],
        [("skirt.corner.side", '"full"')],
    ),
    "joint line and insets": (
        [("[air]\n", JOINT_LINE)],
        [
            ("skirt.bow.joint_inside", '"75 mm"'),
            ("skirt.side.tip_inside", '"50 mm"'),
            ("skirt.stern.tip_inside", '"51 mm"'),
            ("skirt.corner", "a table"),
        ],
    ),
    "joint line that does not close": (
        [(INSETS, ""), ("[air]\n", JOINT_LINE.replace('x = "-0.1 m"\ny = "0 m"', 'x = "-0.1 m"\ny = "0.2 m"'))],
        [("skirt.joint_line[3].y", '"0.2 m"')],
    ),
    # --- holes (bolt in the joint allowance; edge distance is common practice, no source)
    "hole too big for the joint": (
        [('"6 mm"', '"22 mm"')],
        [("making.joint", '"25 mm"'), ("making.hole_edge", '"15 mm"')],
    ),
    "joint too narrow": ([('"25 mm"', '"17 mm"')], [("making.joint", '"17 mm"')]),
    "hole at the edge": ([('"15 mm"', '"4 mm"')], [("making.hole_edge", '"4 mm"')]),
    "holes run together": ([('"60 mm"', '"11 mm"')], [("making.hole_pitch", '"11 mm"')]),
    # --- many at once
    "all over": (
        [
            ('"2026-01-01"', '"soon"'),
            ('"750 kg"', '"750"'),
            ('"solo"', '"full"'),
            ('"280 mm"', '"0,28 m"'),
            ('"50 deg"', '"50 deg"'),
            ('"45 deg"', '"75 deg"'),
            ('"A4"', '"a4"'),
            ('y = "0 m"\nheight', 'y = "7 mm"\nheight'),
            ("hole =", "holes ="),
        ],
        [
            ("project.date", '"soon"'),
            ("craft.load[0].mass", '"750"'),
            ("craft.load[1].name", '"full"'),
            ("skirt.depth", '"0,28 m"'),
            ("skirt.face_angle", '"75 deg"'),
            ("making.paper", '"a4"'),
            ("hull.edge[0].y", '"7 mm"'),
            ("making.holes", '"6 mm"'),
        ],
    ),
}


def edited(edits: list[Edit]) -> str:
    """Return the good text with each edit made once; an edit that finds nothing is a slip in the case."""
    text = GOOD
    for old, new in edits:
        assert old in text or old == '"50 deg"', f"{old!r} is not in the good file"
        text = text.replace(old, new, 1)
    return text


def test_the_good_file_is_good() -> None:
    """Without edits nothing is wrong, with insets and with the joint line outright."""
    assert parse_design(GOOD).skirt.corner.bow == 0.751
    design = parse_design(edited([(INSETS, ""), ("[air]\n", JOINT_LINE)]))
    assert design.skirt.joint_line is not None
    assert [point.run for point in design.skirt.joint_line] == ["bow", "side", "stern", None]


def test_there_are_at_least_forty_malformed_designs() -> None:
    """The number asked for."""
    assert len(CASES) >= 40


@pytest.mark.parametrize("case", CASES)
def test_every_problem_is_told_with_place_value_and_cure(case: str) -> None:
    """All problems and no other; what was given is shown; something that would do is offered."""
    edits, expected = CASES[case]
    with pytest.raises(DesignError) as refused:
        parse_design(edited(edits))
    problems = {problem.path: problem for problem in refused.value.problems}
    assert sorted(problem.path for problem in refused.value.problems) == sorted(path for path, _ in expected)
    for path, written in expected:
        assert written in problems[path].given
        assert problems[path].wrong.endswith(".")
        assert problems[path].would_do.endswith(".")
    assert str(refused.value).count("\n") == len(expected) - 1


@pytest.mark.parametrize(
    ("case", "hint"),
    [
        ("misspelt key", '"depth"'),
        ("key in another's table", '"air.gap"'),
        ("no labels", '"bow", "side", "stern" or "corner"'),
        ("face at 75 deg", "30 deg to 70 deg"),
        ("steep face and blunt tip", '"100 deg"'),
        ("inner fixing under the tip", '"411 mm" to "880 mm"'),  # .28 (1 - cot 115 deg) and .28 (1 - cot 155 deg)
        ("cloth in ounces alone", '"oz/yd2"'),
        ("decimal comma", '"0.28 m"'),
        ("joint too narrow", '"18 mm"'),
        ("date in words", '"2026-01-31"'),
        ("depth of five metres", "50 mm to 1 m"),
        ("corner half", '"full"'),
        ("no skirt", "[skirt] with depth, pitch"),
        ("no cloth, no load", "[[craft.load]] with name, mass, x, z"),
        ("other format", '"skirtloft-design/1"'),
    ],
)
def test_the_hint_says_what_would_do(case: str, hint: str) -> None:
    """The cure names the value or the key."""
    with pytest.raises(DesignError) as refused:
        parse_design(edited(CASES[case][0]))
    assert hint in refused.value.problems[0].would_do


@pytest.mark.parametrize(
    ("text", "line", "column", "written"),
    [
        ('format = "skirtloft-design/1"\n[project\nname = 1\n', 2, 9, "[project"),
        ('a = 1\nb = "x\nc = 2\n', 2, 7, 'b = "x'),
        ("a = 1\na = 2\n", 2, 6, "a = 2"),
        ("a = 12 mm\n", 1, 8, "a = 12 mm"),
        ("[[", 1, 3, "[["),
        ("=", 1, 1, "="),
    ],
)
def test_text_that_is_no_toml_is_placed(text: str, line: int, column: int, written: str) -> None:
    """Line and column as tomllib counts them (from 1)."""
    with pytest.raises(DesignError) as refused:
        parse_design(text)
    (problem,) = refused.value.problems
    assert problem.path == f"line {line}, column {column}"
    assert problem.given == written
    assert problem.would_do


def test_an_empty_file_misses_everything() -> None:
    """No table is there: one problem for each that has no default, and the format."""
    with pytest.raises(DesignError) as refused:
        parse_design("")
    assert {problem.path for problem in refused.value.problems} == {
        "format",
        "project",
        "craft",
        "hull",
        "skirt",
        "cloth",
    }


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    """Missing, a folder, not UTF-8; a byte-order mark is no problem."""
    for path in (tmp_path / "none.toml", tmp_path):
        with pytest.raises(DesignError) as refused:
            load_design(path)
        assert refused.value.problems[0].given == str(path)
        assert refused.value.problems[0].would_do
    latin = tmp_path / "latin.toml"
    latin.write_bytes(GOOD.replace("Good", "Gööd").encode("latin-1"))
    with pytest.raises(DesignError) as refused:
        load_design(latin)
    assert "UTF-8" in refused.value.problems[0].would_do
    marked = tmp_path / "marked.toml"
    marked.write_bytes(GOOD.replace("\n", "\r\n").encode("utf-8-sig"))
    assert load_design(marked) == parse_design(GOOD)


PLACES = [index for index, line in enumerate(GOOD.splitlines()) if " = " in line]
ODD = st.sampled_from(
    [
        "0",
        "-1",
        "1.5",
        "true",
        "nan",
        '""',
        '"x"',
        '"1 mm"',
        '"-1 m"',
        "[]",
        "{}",
        "[{}]",
        '["1 m", 2]',
        "[[1]]",
        "1979-05-27",
    ]
)


@given(st.dictionaries(st.sampled_from(PLACES), ODD, min_size=1, max_size=6), st.sets(st.integers(0, 80), max_size=6))
def test_any_odd_value_anywhere_is_told_or_read(values: dict[int, str], dropped: set[int]) -> None:
    """No other exception comes out, whatever kind of value stands where, whichever lines are lost."""
    lines = GOOD.splitlines()
    for index, value in values.items():
        lines[index] = lines[index].split(" = ")[0] + " = " + value
    text = "\n".join(line for index, line in enumerate(lines) if index not in dropped)
    try:
        parse_design(text)
    except DesignError as refused:
        problems = refused.problems
    else:
        return
    for problem in problems:
        assert all((problem.path, problem.given, problem.wrong, problem.would_do)), problem
