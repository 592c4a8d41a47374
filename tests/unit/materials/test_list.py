"""The bill of materials: counted by hand for small cases, and never a zero for what has no price."""

from __future__ import annotations

import csv
import io

import numpy as np
import pytest

from skirtloft.design.read import parse_design
from skirtloft.errors import DesignError
from skirtloft.export.csv import render
from skirtloft.layout.blanks import problems
from skirtloft.layout.search import quick_layout
from skirtloft.materials.list import bill_of_materials, spare_segments
from skirtloft.materials.table import COLUMNS, NOT_PRICED, bill_lines, rows
from tests.designs import EXAMPLES, skirt_of

PRICES = (
    ("prices.currency", "EUR"),
    ("prices.per", "3 ft"),
    ("prices.segment_cloth", 27.432),
    ("prices.bolt", 0.12),
)


def bill(*changes: tuple[str, object]):
    skirt = skirt_of("one-seat", *changes)
    return bill_of_materials(skirt.design, skirt.pieces)


def part(found, name: str):
    (line,) = [line for line in found.lines if line.part == name]
    return line


def test_counts_of_the_one_seat_by_hand() -> None:
    """78 segments of 2 holes; 156 webs; hull edge over the 60 mm pitch; 10 % of each kind, rounded up, is 9 spares."""
    skirt = skirt_of("one-seat")
    faces = sum(p.quantity for p in skirt.pieces if p.kind == "face")
    webs = sum(p.quantity for p in skirt.pieces if p.kind == "web")
    hull = sum(e.length * p.quantity for p in skirt.pieces for e in p.edges if e.kind == "hull")
    assert (faces, webs) == (78, 156)
    found = bill()
    joint = sum(len(p.holes) * p.quantity for p in skirt.pieces if p.kind == "face")
    pitch = skirt.design.making.hole_pitch
    assert part(found, "bolts").quantity == joint + np.ceil(hull / pitch)
    assert part(found, "washers").quantity == 2 * part(found, "bolts").quantity
    assert spare_segments(skirt.pieces) == 9
    assert part(found, "eyelets").quantity == 156 + 18
    assert part(found, "ties").quantity == 156 + 30
    assert part(found, "edge strip on the hull").quantity == pytest.approx(hull)


def test_the_joint_has_as_many_holes_in_the_strip_as_in_the_segments() -> None:
    """A bolt passes both, so both ways of counting agree but for holes under laps, punched through both strips."""
    pieces = skirt_of("one-seat").pieces
    count = {kind: sum(len(p.holes) * p.quantity for p in pieces if p.kind == kind) for kind in ("face", "joint_strip")}
    assert count["joint_strip"] >= 2 * count["face"]  # the strip is folded: both its layers have the hole


def test_thread_and_glue_by_length_of_seam() -> None:
    """Seams count once, hems once; 2 rows, 2.5 times, 25 % more; glue 300 g/m2 of lap (defaults of the file)."""
    pieces = skirt_of("one-seat").pieces
    making = skirt_of("one-seat").design.making
    seam = sum(e.length * p.quantity for p in pieces for e in p.edges if e.kind == "seam") / 2
    web_hem = sum(e.length * p.quantity for p in pieces for e in p.edges if e.kind == "hem")
    hull = sum(e.length * p.quantity for p in pieces for e in p.edges if e.kind == "hull")
    found = bill()
    assert part(found, "thread").quantity == pytest.approx((2 * seam + web_hem + hull) * 2.5 * 1.25)
    edge = sum(e.length * e.allowance * p.quantity for p in pieces for e in p.edges if e.kind == "hull")
    loop = sum(e.length * p.quantity for p in pieces if p.kind == "loop_panel" for e in p.edges if e.kind == "seam") / 2
    patches = sum(
        e.length * (making.seam - e.allowance) * p.quantity / 2
        for p in pieces
        if p.kind != "loop_panel"
        for e in p.edges
        if e.kind == "seam"
    )
    lap = seam * making.seam - patches + web_hem * making.hem + edge
    assert 0.0 < loop < seam  # lapped and superimposed seams alike are one `seam` wide
    assert part(found, "glue").quantity == pytest.approx(0.3 * lap)
    assert "thread" not in [line.part for line in bill(("making.join", "glued")).lines]
    assert "glue" not in [line.part for line in bill(("making.join", "sewn")).lines]
    once = bill(("making.stitch", "401"), ("making.rows", 1))
    assert part(once, "thread").quantity == pytest.approx((seam + web_hem + hull) * 5.5 * 1.25)


def test_masses_of_the_fixings_add_up_to_those_of_the_whole_skirt() -> None:
    """Two counts of the same fixings, made apart: the list for buying, and the mass of the skirt in service."""
    skirt = skirt_of("one-seat")
    one, found = skirt.design.making.fittings, bill()
    bolts, webs = part(found, "bolts"), sum(p.quantity for p in skirt.pieces if p.kind == "web")
    assert bolts.mass == pytest.approx(0.0065 * bolts.quantity)  # M5 of 6.5 g with nut and washers, default
    assert part(found, "ties").mass == pytest.approx(0.003 * webs)  # those that are carried fly in no mass
    assert found.not_weighed == ("eyelets",)
    joint = sum(p.joint_length * p.quantity for p in skirt.pieces if p.kind == "loop_panel")
    whole = skirt.service.weight.table.mass
    assert found.mass + one.strip * joint == pytest.approx(whole, rel=0.02)
    assert f"{joint / 0.3048:.0f} ft more" in part(found, "edge strip on the hull").how


def test_spare_segments_have_cloth_for_their_patches() -> None:
    """Average segment times spares, over the use of the roll: here 1, for there is no layout."""
    pieces = skirt_of("one-seat").pieces
    area = sum(p.area * p.quantity for p in pieces if p.kind in ("face", "web", "patch"))
    assert any(p.kind == "patch" for p in pieces)
    assert part(bill(), "segment cloth for spares").area == pytest.approx(area / 78 * 9)


def test_cloth_mass_is_that_of_the_pieces_and_the_layout_says_how_much_to_buy() -> None:
    skirt = skirt_of("one-seat")
    layouts = [quick_layout(one) for one in problems(skirt.design, skirt.pieces)]
    laid = bill_of_materials(skirt.design, skirt.pieces, layouts)
    for cloth in ("loop", "segment"):
        mass = sum(p.mass * p.quantity for p in skirt.pieces if p.cloth == cloth)
        line = part(laid, f"{cloth} cloth, new roll")
        assert line.mass == pytest.approx(mass)
        area = sum(p.area * p.quantity for p in skirt.pieces if p.cloth == cloth)
        assert line.area == pytest.approx(area + line.offcut)
        assert line.area == pytest.approx(line.quantity * getattr(skirt.design.cloth, cloth).roll_width)
        assert line.quantity > part(bill(), f"{cloth} cloth").quantity
    assert laid.laid_out
    assert not bill().laid_out
    assert "lay them out first" in bill_lines(bill())[-1]


def test_wear_cloth_is_that_of_the_wear_panels() -> None:
    own = (("making.wear.height", "60 mm"), ("making.wear.mass", "500 g/m2"))
    skirt = skirt_of("one-seat", *own)
    panels = [p for p in skirt.pieces if p.kind == "wear_panel"]
    line = part(bill_of_materials(skirt.design, skirt.pieces), "wear cloth")
    assert line.area == pytest.approx(sum(p.area * p.quantity for p in panels))
    assert line.mass == pytest.approx(0.5 * line.area)
    assert "wear cloth" not in [line.part for line in bill().lines]
    of_segment_cloth = skirt_of("one-seat", own[0])
    bought = bill_of_materials(of_segment_cloth.design, of_segment_cloth.pieces)
    assert "wear cloth" not in [line.part for line in bought.lines]
    assert part(bought, "segment cloth").area > part(bill(), "segment cloth").area


@pytest.mark.parametrize(
    ("old", "now"),
    [
        ("materials.join", "making.join"),
        ("materials.stitch", "making.stitch"),
        ("materials.stitch_rows", "making.rows"),
        ("making.glued", "making.join"),
        ("materials.wear_height", "making.wear.height"),
        ("materials.wear_mass", "making.wear.mass"),
    ],
)
def test_keys_that_said_a_thing_twice_name_where_it_is_said(old: str, now: str) -> None:
    table, _, key = old.rpartition(".")
    text = (EXAMPLES / "one-seat.toml").read_text(encoding="utf-8")
    head = f"[{table}]\n"
    with_it = text.replace(head, f"{head}{key} = 1\n") if head in text else f"{text}\n{head}{key} = 1\n"
    for read in (lambda: parse_design(with_it), lambda: parse_design(text, [(old, "1")])):
        with pytest.raises(DesignError) as caught:
            read()
        assert [problem.path for problem in caught.value.problems] == [old]
        assert now in caught.value.problems[0].would_do


def test_a_missing_price_is_never_zero() -> None:
    nothing = bill()
    assert nothing.not_priced == tuple(line.part for line in nothing.lines)
    assert all(line.cost is None for line in nothing.lines)
    assert all(row["cost"] == NOT_PRICED for row in rows(nothing))
    assert "0.00" not in " ".join(line[40:58] for line in bill_lines(nothing))


def test_prices_by_the_length_they_are_for() -> None:
    """27.432 for 3 ft is 30 a metre (3 ft = 0.9144 m by definition); feet and metres cost the same in the end."""
    found = bill(*PRICES)
    line = part(found, "segment cloth")
    assert line.price == pytest.approx(30.0)
    assert line.cost == pytest.approx(30.0 * line.quantity)
    assert part(found, "bolts").cost == pytest.approx(0.12 * part(found, "bolts").quantity)
    assert "loop cloth" in found.not_priced
    spare = part(found, "segment cloth for spares")
    assert found.cost == pytest.approx(line.cost + spare.cost + part(found, "bolts").cost)
    in_feet = {row["part"]: row for row in rows(found, "imperial")}["segment cloth"]
    assert in_feet["unit"] == "ft"
    assert in_feet["price"] == pytest.approx(30.0 * 0.3048)
    assert in_feet["quantity"] == pytest.approx(line.quantity / 0.3048, abs=0.006)
    assert in_feet["cost"] == pytest.approx(line.cost, abs=0.006)


def test_the_table_reads_back() -> None:
    found = bill(*PRICES)
    read = list(csv.DictReader(io.StringIO(render(rows(found), COLUMNS))))
    assert [row["part"] for row in read[:-1]] == [line.part for line in found.lines]
    assert read[0]["cost"] == NOT_PRICED
    assert float(read[-1]["cost"]) == pytest.approx(found.cost, abs=0.006)
    assert float(read[-1]["mass_kg"]) == pytest.approx(found.mass, abs=6e-4)
    assert all(set(row) == set(COLUMNS) for row in read)
