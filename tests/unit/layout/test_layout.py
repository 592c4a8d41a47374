"""Laying out: known answers, what may never happen, and what comes back from a file."""

from __future__ import annotations

import json
from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from skirtloft.errors import ExportError, ShapeError
from skirtloft.layout.blanks import along_the_warp, blanks, lies_at, problems
from skirtloft.layout.closer import closer
from skirtloft.layout.rows import grown, rows
from skirtloft.layout.saved import from_text, to_text
from skirtloft.layout.search import quick_layout, search
from skirtloft.layout.types import Layout, Lie, Roll
from skirtloft.layout.verify import faults, least_length, length_used, roll_uses
from tests.designs import skirt_of
from tests.layout_cases import piece, problem, rectangle, triangle


def test_squares_fill_the_roll() -> None:
    """Eight squares of 0.5 m on a roll 1 m wide need 2 m (closed form), all of it used."""
    layout = quick_layout(problem(piece("A", rectangle(0.5, 0.5), 8)))
    assert faults(layout) == []
    (use,) = roll_uses(layout)
    assert use.length == pytest.approx(2.0, abs=1e-6)
    assert use.use == pytest.approx(1.0, abs=1e-6)
    assert least_length(layout) == pytest.approx(2.0, abs=1e-9)


def test_gap_and_margin_are_kept_and_no_more() -> None:
    """Two across 1 m with 10 mm margins, 6 mm gap: 2 x 486 + 26 = 998 mm fits. 4 rows: 20 + 4 x 486 + 3 x 6 mm."""
    layout = quick_layout(problem(piece("A", rectangle(0.486, 0.486), 8), gap=0.006, margin=0.010))
    assert faults(layout) == []
    assert length_used(layout)[1] == pytest.approx(1.982, abs=2e-4)


def test_webs_go_together_in_pairs_of_one_turned() -> None:
    """Right-angled triangles fill squares two by two: 12 of them on two squares across need 3 x 0.5 m (closed form)."""
    layout = quick_layout(problem(piece("W", triangle(0.5), 12)))
    assert faults(layout) == []
    assert length_used(layout)[1] <= 1.5 * 1.02
    assert {lie.turned for lie in layout.lies} == {True, False}


def test_one_way_cloth_is_not_turned() -> None:
    layout = quick_layout(problem(piece("W", triangle(0.5), 6), one_way=True))
    assert faults(layout) == []
    assert not any(lie.turned for lie in layout.lies)


def test_hands_are_kept_apart_on_cloth_with_a_face_and_merge_without() -> None:
    shape = np.array([[0.0, 0.0], [0.6, 0.0], [0.4, 0.3], [0.1, 0.2]])
    two = piece("L01-P", shape), piece("L01-S", shape)
    apart, together = problem(*two), problem(*two, face_side=False)
    assert [blank.code for blank in apart.blanks] == ["L01-P", "L01-S"]
    assert not any(flipped for blank in apart.blanks for _, flipped in blank.lies)
    (blank,) = together.blanks
    assert (blank.code, blank.quantity) == ("L01", 2)
    assert set(blank.lies) == {(False, False), (True, False), (False, True), (True, True)}
    # mirror images, outside up: a port piece is drawn with x to the left, so its warp, turned to +x, upends it
    port, starboard = (shapely.Polygon(blank.outline) for blank in apart.blanks)
    upended = shapely.affinity.scale(port, 1.0, -1.0)
    moved = shapely.affinity.translate(upended, *(np.array(starboard.bounds) - upended.bounds)[:2])
    assert moved.symmetric_difference(starboard).area < 1e-12
    assert shapely.symmetric_difference(port, starboard).area > 0.01
    assert quick_layout(together).problem.count == 2


def test_a_rectangle_has_one_way_to_lie() -> None:
    (blank,) = problem(piece("J", rectangle(0.6, 0.05)), face_side=False).blanks
    assert blank.lies == ((False, False),)


@pytest.mark.parametrize("hand", ["P", "S"])
def test_the_warp_lies_along_the_roll(hand: str) -> None:
    """A leg of 0.3 m at 45 deg to the piece's x is turned on to x; the other leg, 0.2 m, comes across."""
    warp = np.array([1.0, 1.0]) / np.sqrt(2.0)
    across = np.array([-1.0, 1.0]) / np.sqrt(2.0)
    outline = np.array([np.zeros(2), 0.3 * warp, 0.3 * warp + 0.2 * across, 0.2 * across])
    turned = along_the_warp(piece(f"F-{hand}", outline, warp=warp))
    assert np.ptp(turned, axis=0) == pytest.approx([0.3, 0.2], abs=1e-12)


def test_leftovers_are_used_first_and_a_long_piece_waits_for_the_new_roll() -> None:
    old = Roll("leftover", 1.0, 0.8)
    layout = quick_layout(problem(piece("L", rectangle(1.5, 0.4)), piece("A", rectangle(0.4, 0.5), 4), rolls=(old,)))
    assert faults(layout) == []
    uses = roll_uses(layout)
    assert [(use.roll.name, use.pieces) for use in uses] == [("leftover", 4), ("new roll", 1)]
    assert uses[0].length == pytest.approx(0.8, abs=1e-6)
    assert uses[1].length == pytest.approx(1.5, abs=1e-6)


def test_a_piece_too_wide_is_refused_with_its_size() -> None:
    with pytest.raises(ShapeError, match="piece B.*1200 mm across the warp; the roll has 980 mm"):
        quick_layout(problem(piece("A", rectangle(0.2, 0.2)), piece("B", rectangle(0.3, 1.2)), margin=0.01))


def test_the_quick_layout_is_the_same_every_time() -> None:
    one, two = (problems(skirt_of("one-seat").design, skirt_of("one-seat").pieces)[0] for _ in range(2))
    assert quick_layout(one).lies == quick_layout(two).lies


@pytest.mark.parametrize("name", ["one-seat", "four-seat", "ten-seat"])
def test_the_examples_are_laid_out_soundly(name: str) -> None:
    """Every piece there, inside, apart. Use above 0.70: spyrrow alone comes to 0.75 to 0.86 in 20 s (measured)."""
    skirt = skirt_of(name)
    found = [quick_layout(wanted) for wanted in problems(skirt.design, skirt.pieces)]
    assert sum(layout.problem.count for layout in found) == sum(p.quantity for p in skirt.pieces)
    for layout in found:
        assert faults(layout) == []
        assert 0.70 < roll_uses(layout)[-1].use < 1.0


def test_the_search_only_gets_better() -> None:
    wanted = problems(skirt_of("one-seat").design, skirt_of("one-seat").pieces)[0]
    found: list[Layout] = []
    tries = iter(range(60))
    search(wanted, found.append, lambda: next(tries, None) is not None, seed=3)
    lengths = [length_used(layout) for layout in found]
    assert lengths
    assert lengths == sorted(lengths, reverse=True)
    assert lengths[0] < length_used(quick_layout(wanted))
    assert faults(found[-1]) == []


# ------------------------------------------------------------------------------------------------- what is unsound


def _sound() -> Layout:
    return quick_layout(problem(piece("A", rectangle(0.3, 0.3), 2), gap=0.006, margin=0.01))


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"x": 0.009}, "over the margin"),
        ({"y": 0.80}, "over the margin"),
        ({"x": 0.2}, "overlap"),
        ({"x": 0.010, "y": 0.315}, "5.0 mm apart"),
        ({"turned": True, "x": 0.31, "y": 0.31}, "as this cloth does not allow"),
    ],
)
def test_what_is_unsound_is_told(change: dict[str, float], told: str) -> None:
    layout = _sound()
    lies = (Lie(0, 0, False, False, 0.010, 0.010), replace(Lie(0, 0, False, False, 0.010, 0.400), **change))  # type: ignore[arg-type]
    if told == "overlap":
        lies = (lies[0], replace(lies[1], y=0.1))
    assert any(told in line for line in faults(Layout(layout.problem, lies, "")))


def test_a_missing_piece_is_told() -> None:
    layout = _sound()
    assert faults(replace(layout, lies=layout.lies[:1])) == ["A: 1 pieces are laid, 2 are to be cut."]


# ------------------------------------------------------------------------------------------------------- properties

corner = st.tuples(st.floats(0.02, 0.4), st.floats(0.02, 0.4))


@given(
    st.lists(st.lists(corner, min_size=3, max_size=7), min_size=1, max_size=5), st.floats(0.0, 0.02), st.integers(1, 4)
)
@settings(max_examples=25, deadline=None)
def test_any_shapes_are_laid_soundly(shapes: list[list[tuple[float, float]]], gap: float, count: int) -> None:
    hulls = [shapely.MultiPoint(points).convex_hull for points in shapes]
    outlines = [
        np.array(hull.exterior.coords)[:-1] for hull in hulls if hull.geom_type == "Polygon" and hull.area > 1e-4
    ]
    if not outlines:
        return
    wanted = problem(*(piece(f"A{k}", o, count) for k, o in enumerate(outlines)), width=0.7, gap=gap, margin=0.01)
    layout = quick_layout(wanted)
    assert faults(layout) == []
    apart = Layout(wanted, tuple(replace(lie, x=2.0 * lie.x + 0.3) for lie in layout.lies), "")
    pushed = closer(apart)
    assert faults(pushed) == []
    assert length_used(pushed) < length_used(apart)


@given(st.floats(0.0, 0.02), st.floats(0.001, 0.01))
@settings(max_examples=20, deadline=None)
def test_rows_never_come_short_of_the_outline(gap: float, height: float) -> None:
    outline = np.array([[0.0, 0.0], [0.3, 0.05], [0.25, 0.2], [0.1, 0.12], [0.02, 0.21]])
    made = rows(outline, gap, height)
    edge = shapely.Polygon(grown(outline, gap / 2.0)).exterior
    points = shapely.get_coordinates(edge.segmentize(0.001)) - made.corner
    inside = points[np.abs(points[:, 1] / height - np.round(points[:, 1] / height)) > 1e-6]  # not between two rows
    row = (inside[:, 1] / height).astype(int)
    assert np.all(inside[:, 0] >= made.left[row] - 1e-9)
    assert np.all(inside[:, 0] <= made.right[row] + 1e-9)


@pytest.mark.parametrize("by", [0.003, 0.05])
def test_a_grown_corner_comes_short_by_a_hundredth_of_a_millimetre_at_most(by: float) -> None:
    """Area of a square with a true round: s2 + 4 s by + pi by2 (closed form); every point is `by` away within 4 um."""
    points = grown(rectangle(0.2, 0.2), by)
    away = shapely.distance(shapely.points(points), shapely.Polygon(rectangle(0.2, 0.2)))
    assert away == pytest.approx(np.full(len(points), by), abs=1e-12)
    middles = 0.5 * (points[:-1] + points[1:])
    assert shapely.distance(shapely.points(middles), shapely.Polygon(rectangle(0.2, 0.2))).min() > by - 4.1e-6
    assert shapely.Polygon(points).area == pytest.approx(0.04 + 0.8 * by + np.pi * by**2, rel=1e-3)


# ------------------------------------------------------------------------------------------------------------ saved


def test_the_same_layout_comes_back() -> None:
    skirt = skirt_of("one-seat")
    wanted = problems(skirt.design, skirt.pieces)
    made = [quick_layout(one) for one in wanted]
    back = from_text(to_text(made, "Pilm"), wanted)
    for one, other in zip(made, back, strict=True):
        for first, second in zip(one.lies, other.lies, strict=True):
            where = [lies_at(one.problem.blanks[lie.blank], lie) for lie in (first, second)]
            assert where[0] == pytest.approx(where[1], abs=1e-6)


def test_changed_pieces_are_refused_in_words() -> None:
    skirt, deeper = skirt_of("one-seat"), skirt_of("one-seat", ("making.seam", "30 mm"))
    text = to_text([quick_layout(one) for one in problems(skirt.design, skirt.pieces)], "Pilm")
    with pytest.raises(ExportError, match=r"L01 was 609.* mm long and is .* mm.*Lay out again"):
        from_text(text, problems(deeper.design, deeper.pieces))
    wider = skirt_of("one-seat", ("layout.gap", "8 mm"))
    with pytest.raises(ExportError, match="gap between pieces was 6 mm and is 8 mm"):
        from_text(text, problems(wider.design, wider.pieces))


def test_a_tampered_or_broken_file_is_refused() -> None:
    wanted = [problem(piece("A", rectangle(0.3, 0.3), 2), gap=0.006, margin=0.01)]
    text = to_text([quick_layout(wanted[0])], "x")
    data = json.loads(text)
    data["layouts"][0]["lies"][1] = data["layouts"][0]["lies"][0]
    with pytest.raises(ExportError, match="A and A overlap"):
        from_text(json.dumps(data), wanted)
    for broken in ("", "[]", "{}", text[:-40], text.replace("skirtloft-layout/1", "skirtloft-layout/0")):
        with pytest.raises(ExportError, match="no layout that was saved"):
            from_text(broken, wanted)


def test_rolls_of_the_file_come_first() -> None:
    pieces = skirt_of("one-seat").pieces
    design = skirt_of("one-seat").design
    kept = blanks([p for p in pieces if p.cloth == "loop"], design.cloth.loop)
    assert sum(blank.quantity for blank in kept) == sum(p.quantity for p in pieces if p.cloth == "loop")
