"""The mock-up: board and formers go together, stand, and everything is the craft's at its scale."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
import shapely

from skirtloft.drawing.mock_up import SCALES, MockUp, MockUpSize, mock_up
from skirtloft.drawing.mock_up_sheets import mock_up_sheets
from skirtloft.drawing.page import Stamp
from skirtloft.drawing.sheet import Line, Text
from skirtloft.errors import ExportError
from skirtloft.maths.polylines import polyline_length
from skirtloft.pack.mock_up import mock_up_size
from tests.designs import NAMES, TAUT, skirt_of

CASES = [*((name, scale) for name in NAMES for scale in ("fifth", "half")), ("four-seat", "full")]


def made(name: str, scale: str = "fifth", card: float = 0.0015) -> MockUp:
    return mock_up(skirt_of(name), MockUpSize(scale, card))


@pytest.mark.parametrize(("name", "scale"), CASES)
def test_slots_match_in_place_width_and_length(name: str, scale: str) -> None:
    """Measured on the outlines that are cut: where board and former overlap, one half is slot in each."""
    skirt, set_ = skirt_of(name), made(name, scale)
    factor = 1000.0 / SCALES[scale]
    board = shapely.Polygon(set_.board)
    for former, slot in zip(set_.formers, set_.slots, strict=True):
        i = former.index
        joint, outward = skirt.plan.stations.joint[i] * factor, skirt.plan.stations.outward[i]
        # along the station's line, counted inboard from the joint: where there is card in the board at the slot
        ray = shapely.LineString([joint + 30.0 * outward, joint - (former.joint[0] - former.inner_end) * outward])
        card_in_board = board.intersection(ray)
        from_joint = [float((joint - point) @ outward) for point in np.asarray(card_in_board.coords)]
        board_slot_ends = min(from_joint)
        solid = shapely.Polygon(former.outline)
        level = shapely.LineString([[former.inner_end - 1.0, set_.level], [former.joint[0] + 0.0, set_.level]])
        at = [float(former.joint[0] - point[0]) for point in np.asarray(solid.intersection(level).coords)]
        former_slot_ends = max(at)
        assert board_slot_ends == pytest.approx(former_slot_ends, abs=0.1)
        assert former_slot_ends - min(at) == pytest.approx(slot.length, abs=0.1)
        assert former.slot[2] == pytest.approx(former.slot[0] - former.inner_end, abs=1e-9)
        assert former.slot[2] == pytest.approx(slot.length, abs=0.1)  # half in the one, half in the other
        # as wide as the card: a line across each slot meets that much of nothing
        for shape, middle, way in (
            (board, slot.closed + 0.5 * slot.length * slot.outward, np.array([-outward[1], outward[0]])),
            (solid, np.array([former.slot[0] - 0.5 * former.slot[2], former.slot[1]]), np.array([0.0, 1.0])),
        ):
            across = shapely.LineString([middle - 3.0 * way, middle + 3.0 * way])
            assert 6.0 - shape.intersection(across).length == pytest.approx(1.5, abs=0.1)


@pytest.mark.parametrize(("name", "scale"), CASES)
def test_formers_do_not_meet_and_stand_on_a_foot(name: str, scale: str) -> None:
    skirt, set_ = skirt_of(name), made(name, scale)
    assert set_.left_out == ()
    factor = 1000.0 / SCALES[scale]
    lines = []
    for former in set_.formers:
        joint, outward = skirt.plan.stations.joint[former.index] * factor, skirt.plan.stations.outward[former.index]
        lines.append(shapely.LineString([joint, joint - (former.joint[0] - former.inner_end) * outward]))
        foot = former.outline[np.abs(former.outline[:, 1]) < 1e-9]
        assert np.ptp(foot[:, 0]) > 0.1 * former.joint[1]
        assert former.outline[:, 1].min() == pytest.approx(0.0, abs=1e-9)
        assert shapely.Polygon(former.outline).is_valid
    assert min(a.distance(b) for a, b in combinations(lines, 2)) > 1.5 + 0.5


@pytest.mark.parametrize("name", NAMES)
def test_a_tight_corner_shortens_or_leaves_out_formers_but_never_crosses_them(name: str) -> None:
    """Thick card on a small scale: ends keep clear, and who has no foot is named."""
    set_, skirt = made(name, "fifth", 0.006), skirt_of(name)
    whole = {former.id for former in set_.formers} | set(set_.left_out)
    assert whole == set(skirt.plan.stations.ids)
    ordinary = {former.id: former for former in made(name).formers}
    for former in set_.formers:
        assert former.inner_end >= ordinary[former.id].inner_end - 1e-9


@pytest.mark.parametrize("name", NAMES)
def test_former_and_board_are_the_section_and_the_plan_at_scale(name: str) -> None:
    skirt, set_ = skirt_of(name), made(name)
    sections = skirt.sections
    for former in set_.formers:
        i = former.index
        assert former.edge[1] * 5.0 == pytest.approx(1000.0 * float(sections.depth[i] + sections.rise[i]), abs=1e-6)
        assert former.joint * 5.0 == pytest.approx([1e3 * sections.offset[i], 1e3 * sections.depth[i]], abs=1e-6)
    length = polyline_length(set_.joint) * 5.0 / 1000.0
    assert length == pytest.approx(skirt.plan.joint_perimeter / 2.0, abs=1e-3)
    rim = shapely.Polygon(set_.board)
    if np.ptp(skirt.plan.stations.depth) == 0.0:
        off = max(rim.exterior.distance(shapely.Point(point)) for point in set_.joint)
        assert off <= 0.76  # a point at the mouth of a slot is half its width away


@pytest.mark.parametrize("name", NAMES)
def test_panel_edges_scale_exactly(name: str) -> None:
    skirt, set_ = skirt_of(name), made(name)
    sheets = mock_up_sheets(skirt, set_, Stamp(skirt.design.project), skirt.design.making.paper)
    drawn = [item.points for item in sheets.whole["panels"].items if isinstance(item, Line) and item.layer == "cut"]
    wanted = {piece.base: piece for piece in skirt.pieces if piece.kind == "loop_panel"}
    assert len(drawn) == len(wanted)
    around = sorted(polyline_length(np.vstack([ring, ring[:1]])) * 5.0 / 1000.0 for ring in drawn)
    sewn = sorted(sum(edge.length for edge in piece.edges) for piece in wanted.values())
    assert around == pytest.approx(sewn, abs=1e-9)
    areas = sorted(shapely.Polygon(ring).area * 25.0 / 1e6 for ring in drawn)
    assert areas == pytest.approx(sorted(shapely.Polygon(p.sew_line).area for p in wanted.values()), abs=1e-9)


@pytest.mark.parametrize("name", NAMES)
def test_every_sheet_has_its_scale_and_a_bar_and_nothing_falls_off(name: str) -> None:
    skirt, set_ = skirt_of(name), made(name)
    sheets = mock_up_sheets(skirt, set_, Stamp(skirt.design.project), skirt.design.making.paper)
    bar = 101.6 if skirt.design.project.show == "imperial" else 100.0
    pages = [page for kind in sheets.pages.values() for page in kind]
    for sheet in (sheets.board, *pages, *sheets.large.values(), *sheets.whole.values()):
        words = " ".join(item.text for item in sheet.items if isinstance(item, Text))
        assert "1 : 5" in words
        assert "1 : 5" in sheet.title  # on every tile
        assert "of the craft" in words
        ticks = [item.points for item in sheet.items if isinstance(item, Line) and item.layer == "mark"]
        assert max(float(np.ptp(points[:, 0])) for points in ticks) == pytest.approx(bar)
        for item in sheet.items:
            if isinstance(item, Line):
                assert item.points.min() >= 0.0
                assert item.points[:, 0].max() <= sheet.width
                assert item.points[:, 1].max() <= sheet.height
    formers = sum(
        int(item.text.split()[1].rstrip(","))
        for item in sheets.whole["formers"].items
        if isinstance(item, Text) and item.text.startswith("cut ")
    )
    assert formers == len(set_.formers)


def test_a_diaphragm_changes_nothing_in_how_it_stands() -> None:
    skirt = skirt_of("four-seat", *TAUT)
    assert len(mock_up(skirt, MockUpSize()).formers) == len(skirt.plan.stations.ids)


def test_wrong_sizes_are_refused_together() -> None:
    assert mock_up_size("half", "2 mm") == MockUpSize("half", 0.002)
    with pytest.raises(ExportError, match="full, half, fifth.*unit"):
        mock_up_size("third", "1")
    with pytest.raises(ExportError, match=r"0\.2 to 20 mm"):
        mock_up_size("full", "1 m")
