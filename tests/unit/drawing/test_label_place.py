"""Labels find a place inside a piece, clear of everything; and `overlaps` sees it when they do not."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from skirtloft.drawing.label import Label, Row, Shaft, blocks, wrapped
from skirtloft.drawing.label_place import CLEARANCE, place_labels
from skirtloft.drawing.lettering import text_width
from skirtloft.drawing.overlap import overlaps
from skirtloft.drawing.sheet import Area, Circle, Item, Line, Sheet, Text
from skirtloft.errors import ExportError
from skirtloft.maths.frozen import Floats, frozen_array

NEAR = CLEARANCE - 0.1  # the placer's cells round within this [mm]


def box(width: float, height: float) -> Floats:
    return frozen_array([[0.0, 0.0], [width, 0.0], [width, height], [0.0, height]])


def label(text: str, at: tuple[float, float] = (0.0, 0.0), **wishes: object) -> Label:
    return Label(text, ((Row(text),),), frozen_array(at), **wishes)  # type: ignore[arg-type]


def sheet_of(outline: Floats, items: list[Item]) -> Sheet:
    low = outline.min(axis=0)
    size = outline.max(axis=0) - low
    return Sheet(
        "x", "x", float(size[0] + low[0]), float(size[1] + low[1]), (Line("cut", outline, True), *items), "template"
    )


def test_overlaps_sees_text_on_text_on_line_and_outside() -> None:
    words = [Text("text", 10, 10, "first", 5), Text("text", 12, 11, "second", 5), Text("text", 88, 40, "third", 5)]
    found = overlaps(sheet_of(box(100, 50), [*words, Line("sew", frozen_array([[0, 12], [100, 12]]))]))
    assert [(one.text, one.meets, one.other) for one in found] == [
        ("first", "text", "second"),
        ("first", "line", "line on sew"),
        ("second", "line", "line on sew"),
        ("third", "line", "line on cut"),
        ("third", "outside", ""),
    ]


def test_overlaps_sees_holes_and_arrow_heads_and_keeps_the_clearance_asked() -> None:
    text = Text("text", 10, 10, "words", 5)
    right = 10 + text_width("words", 5)
    hole = Circle("holes", right + 4.0, 12.0, 3.0)  # edge 1 mm from the box
    head = Area("mark", frozen_array([[5, 12], [8, 11], [8, 13]]))  # 2 mm from the box
    sheet = sheet_of(box(100, 50), [text, hole, head])
    assert overlaps(sheet) == []
    assert [one.other for one in overlaps(sheet, 1.1)] == ["circle on holes"]
    assert [one.other for one in overlaps(sheet, 2.1)] == ["circle on holes", "area on mark"]


def test_a_label_goes_where_it_is_wanted() -> None:
    (text,) = place_labels(box(200, 100), [], [label("here", (50.0, 30.0))], "X")
    assert isinstance(text, Text)
    middle = text.x + text_width("here", text.height) / 2.0
    assert (middle, text.y + text.height / 2.0) == (pytest.approx(50.0, abs=2.0), pytest.approx(30.0, abs=2.0))
    assert text.height == 5.0  # the tallest wish, there is room


def test_a_label_shrinks_wraps_and_turns_rather_than_overlap() -> None:
    outline, fold = box(70, 24), Line("fold", frozen_array([[0, 12], [70, 12]]))
    hole = Circle("holes", 35, 18, 3)
    wishes = [label(f"label {k}", (30, 11), lines=2) for k in range(5)]
    items = place_labels(outline, [fold, hole], wishes, "X")
    assert len({item.text for item in items if isinstance(item, Text)}) == 5
    assert overlaps(sheet_of(outline, [fold, hole, *items]), NEAR) == []


def test_no_room_at_the_least_height_names_the_piece_and_the_label() -> None:
    with pytest.raises(ExportError, match=r"Piece J7: no room inside the piece for a long sentence .* 3\.5 mm"):
        place_labels(box(30, 8), [], [label("a long sentence for a short piece")], "J7")


def test_an_optional_label_is_left_out_and_a_shorter_form_taken() -> None:
    wish = Label("w", ((Row("much too long for it"),), (Row("short"),)), frozen_array([15, 6]))
    items = place_labels(box(30, 12), [], [wish, label("not needed at all", required=False)], "X")
    assert [item.text for item in items if isinstance(item, Text)] == ["short"]


def test_a_label_stays_within_reach_or_is_left_out() -> None:
    blocked = Area("mark", frozen_array([[0, 0], [60, 0], [60, 60], [0, 60]]))
    walls = [Line("mark", frozen_array([[x, 0], [x, 60]])) for x in np.arange(0.0, 60.0, 2.0)]
    wish = label("near", (20.0, 30.0), reach=25.0, required=False)
    assert place_labels(box(300, 60), [blocked, *walls], [wish], "X") == ()
    wish = label("near", (20.0, 30.0), required=False)
    assert len(place_labels(box(300, 60), [blocked, *walls], [wish], "X")) == 1


@pytest.mark.parametrize("angle", [0.0, 30.0, 90.0, 135.0])
def test_words_along_an_edge_take_its_direction_and_lie_beside_it(angle: float) -> None:
    way = np.array([np.cos(np.radians(angle)), np.sin(np.radians(angle))])
    left = np.array([-way[1], way[0]])
    edge = frozen_array([[200, 200] - 100 * way, [200, 200] + 100 * way])
    wish = label("seam A 200.0 mm", (0.0, 0.0), edge=edge, bands=(4.0,))
    (text,) = place_labels(box(400, 400), [Line("sew", edge)], [wish], "X")
    assert isinstance(text, Text)
    assert abs((text.angle - angle + 90.0) % 180.0 - 90.0) < 1e-6
    assert -75.0 < text.angle <= 105.0  # reads from below or from the right
    middle = np.array([text.x, text.y]) + way * np.cos(np.radians(text.angle - angle)) * (
        text_width(text.text, text.height) / 2.0
    )
    assert 4.0 < (middle - [200, 200]) @ left < 4.0 + 2 * text.height  # inside, to the left of the edge


def test_a_title_is_split_where_it_finds_no_room_as_a_block() -> None:
    parts = (label("one", (0, 0)), label("two", (0, 0)))
    title = Label("title", ((Row("one"), Row("two")),), frozen_array([0, 0]), otherwise=parts, angles=(0.0,))
    items = place_labels(box(80, 10), [], [title], "X")
    assert {item.y for item in items if isinstance(item, Text)} == {items[0].y}  # type: ignore[union-attr]
    assert overlaps(sheet_of(box(80, 10), list(items)), NEAR) == []


def test_wrapping_makes_the_longest_line_as_short_as_can_be() -> None:
    assert wrapped("aa bb cc dd", 2, False) == ("aa bb", "cc dd")
    assert wrapped("one", 2, False) is None
    whole = "cut the outer line and nothing else"
    split = wrapped(whole, 3, False)
    assert split is not None
    assert " ".join(split) == whole


def test_blocks_come_in_order_of_what_is_given_up_and_arrows_fit_inside() -> None:
    wish = label("WARP", shaft=Shaft((60.0, 20.0), 2))
    ways = blocks(wish)
    assert [way.cost for way in ways] == sorted(way.cost for way in ways)
    for way in ways:
        assert way.shaft is not None
        assert min(way.shaft[:2]) >= 0.0
        assert max(way.shaft[:2]) <= way.width + 1e-9


@settings(max_examples=40, deadline=None)
@given(
    width=st.floats(120.0, 900.0),
    height=st.floats(60.0, 600.0),
    lean=st.floats(-0.4, 0.4),
    dent=st.floats(0.0, 0.5),
    holes=st.integers(0, 8),
)
def test_nothing_overlaps_on_pieces_of_many_shapes(
    width: float, height: float, lean: float, dent: float, holes: int
) -> None:
    shift = lean * height
    outline = np.array([[0, 0], [width / 2, dent * height], [width, 0], [width + shift, height], [shift, height]])
    outline = frozen_array(outline - outline.min(axis=0))
    middle = outline.mean(axis=0)
    drawn: list[Item] = [Line("fold", frozen_array([outline[0], outline[3]]))]
    drawn += [Circle("holes", float(x), float(outline[3, 1] - 15.0), 3.0) for x in np.linspace(20, width - 20, holes)]
    wishes = [
        label(words, tuple(middle), required=False, lines=3) for words in ("L05", "cut 14 P + 14 S", "OUTSIDE UP")
    ]
    wishes.append(
        label("seam B 437.2 mm, joins L04", tuple(middle), required=False, edge=outline[2:4], bands=(3.0, 9.0))
    )
    wishes.append(label("WARP", tuple(middle), required=False, angles=(31.0,), shaft=Shaft((60.0, 20.0), 2)))
    items = place_labels(outline, drawn, wishes, "X")
    sheet = sheet_of(outline, [*drawn, *items])
    assert overlaps(sheet, NEAR) == []
    assert all(item.height >= 3.5 for item in items if isinstance(item, Text))
