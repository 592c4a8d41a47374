"""What is dragged on the drawings: each handle says where its dimension is, and a move of two is one step back."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from skirtloft.design.read import parse_design
from skirtloft.desk.answer import Solved
from skirtloft.desk.document import Document
from skirtloft.desk.drawings import drawing_data
from skirtloft.desk.moves import drag, move
from skirtloft.desk.plan_handles import joint_places, plan_handles
from skirtloft.desk.walk import section_handles
from skirtloft.pipeline import Skirt, build
from tests.designs import TAUT, skirt_of
from tests.desk_cases import FOUR_TEXT, Clock

Json = dict[str, Any]
STATION = '\n[[skirt.station]]\nat = "2.5 m"\nwhat = "add"\n'


def uncut(text: str = FOUR_TEXT, *changes: tuple[str, str]) -> Skirt:
    """The skirt of a text without its pieces: a fifth of the time."""
    return build(parse_design(text, changes), cut=False)


def document(text: str = FOUR_TEXT) -> Document:
    return Document(text, None, clock=lambda: 0.0)


def move_of(
    key: str, metres: float, also: str | None, metres_also: float | None, gesture: int = 0
) -> dict[str, object]:
    return {"key": key, "metres": metres, "also": also, "metres_also": metres_also, "fine": False, "gesture": gesture,
            "relative": False}  # fmt: skip


def test_a_drag_is_one_step_back_however_long_it_takes() -> None:
    clock = Clock()
    desk = Document(FOUR_TEXT, None, clock)
    for metres, gesture in ((0.61, 5), (0.62, 5), (0.63, 6)):
        assert move(desk, move_of("skirt.corner.bow", metres, None, None, gesture)) is None
        clock.now += 60.0
    desk.undo()
    assert 'bow = "620 mm"' in desk.text
    desk.undo()
    assert desk.text == FOUR_TEXT


def test_a_point_moves_in_two_ways_and_undo_takes_both_back() -> None:
    desk = document()
    for x, y in ((3.61, 1.18), (3.58, 1.16), (3.552, 1.148)):  # a drag: what comes fast is one step
        assert move(desk, move_of("hull.edge[2].x", x, "hull.edge[2].y", y)) is None
    assert 'x = "3.55 m"' in desk.text
    assert 'y = "1.15 m"' in desk.text
    desk.undo()
    assert desk.text == FOUR_TEXT


def test_keys_add_to_what_the_field_says_by_then() -> None:
    desk = document()
    for _ in range(3):
        assert move(desk, {**move_of("hull.edge[2].y", -0.005, None, None), "fine": True, "relative": True}) is None
    assert 'y = "1.185 m"' in desk.text
    desk = document(FOUR_TEXT.replace('bow = "750 mm"', 'bow = "full"'))
    assert move(desk, {**move_of("skirt.corner.bow", 0.005, None, None), "relative": True}) is not None


def test_a_move_that_cannot_be_made_changes_nothing() -> None:
    desk = document()
    assert move(desk, move_of("hull.edge[2].x", 3.5, "hull.edge[77].y", 1.0)) is not None
    assert desk.text == FOUR_TEXT
    assert move(desk, move_of("skirt.pitch", math.nan, None, None)) is not None
    assert move(desk, move_of("project.name", 1.0, None, None)) is not None
    assert not desk.can_undo


def test_a_radius_that_was_full_gets_a_length_in_the_units_of_the_file() -> None:
    for show, written in (("metric", 'bow = "640 mm"'), ("imperial", 'bow = "25.25 in"')):
        desk = document(
            FOUR_TEXT.replace('bow = "750 mm"', 'bow = "full"').replace('show = "metric"', f'show = "{show}"')
        )
        assert drag(desk, {"key": "skirt.corner.bow", "metres": 0.6413, "fine": False}) is None
        assert written in desk.text


@pytest.mark.parametrize("corner", ["bow", "side", "stern"])
def test_the_corner_handle_follows_its_radius(corner: str) -> None:
    """r = tangent length / tan(turn / 2) (closed form): the handle is the end of the arc and moves with the drag."""
    key, more = f"skirt.corner.{corner}", 0.05

    def handle(*changes: tuple[str, str]) -> dict[str, object]:
        return next(one for one in plan_handles(uncut(FOUR_TEXT, *changes)) if one["key"] == key)

    before = handle()
    after = handle((key, f"{before['value'] + more} m"))  # type: ignore[operator]
    went = np.subtract(after["at"], before["at"])  # type: ignore[arg-type]
    assert float(went @ np.array(before["along"])) * float(before["gain"]) == pytest.approx(more, abs=1e-6)  # type: ignore[arg-type]
    assert float(np.hypot(*went)) == pytest.approx(more / float(before["gain"]), abs=1e-6)  # type: ignore[arg-type]


def test_hull_points_stand_where_the_file_says_and_the_ends_stay_on_the_centre_line() -> None:
    points = [one for one in plan_handles(uncut()) if one["group"] == "hull"]
    assert [one["at"] for one in points] == [[5.1, 0.0], [5.1, 0.6], [3.7, 1.2], [0.0, 1.2], [0.0, 0.0]]
    assert ["also" in one for one in points] == [False, True, True, True, False]


def test_a_station_slides_along_the_joint_line() -> None:
    skirt = uncut(FOUR_TEXT + STATION)
    handle = next(one for one in plan_handles(skirt) if one["group"] == "station")
    line = np.array(joint_places(skirt))
    assert handle["value"] == 2.5
    assert handle["on"] == "joint"
    place = [np.interp(2.5, line[:, 2], line[:, k]) for k in (0, 1)]
    assert handle["at"] == pytest.approx(place, abs=1e-3)
    assert line[-1, 2] == pytest.approx(float(skirt.plan.joint_line.breaks[-1]), abs=1e-4)


def test_a_station_is_added_beside_the_one_before() -> None:
    desk = document(FOUR_TEXT + STATION)
    assert desk.add("skirt.station") is None
    assert [wish.at for wish in parse_design(desk.text).skirt.station or ()] == [2.5, 2.8]
    desk = document()
    assert desk.add("skirt.station") is None
    assert len(parse_design(desk.text).skirt.station or ()) == 1


def test_the_diaphragm_is_held_where_its_handle_is() -> None:
    skirt = skirt_of("four-seat", *TAUT)
    held = skirt.service.diaphragm
    assert held is not None
    for i in (0, len(skirt.plan.stations.ids) - 1):
        handle = next(one for one in section_handles(skirt, i) if one.get("group") == "diaphragm")
        assert handle["at"] == pytest.approx(held.place.attachment.point[i], abs=1e-6)
        assert handle["key"] == f"skirt.diaphragm.{skirt.plan.stations.runs[i]}.inboard"
    assert not any(one.get("group") for one in section_handles(skirt_of("four-seat"), 0))


def test_the_section_shows_ground_at_the_gap_and_says_what_its_lines_are(tmp_path: Path) -> None:
    skirt = skirt_of("four-seat", *TAUT)
    solved = Solved(1, FOUR_TEXT, "0" * 64, skirt)
    plain = drawing_data(solved, "section-P10")
    words = [row[3] for row in plain["legend"]]
    assert "ground at a gap of 10 mm" in words
    assert "diaphragm" in words
    assert 'data-layer="ghost"' not in plain["svg"]
    taut = drawing_data(solved, "section-P10-taut")
    assert 'data-layer="ghost"' in taut["svg"]
    assert taut["frame"] == plain["frame"]  # the ghost moves nothing
    assert [row[3] for row in taut["legend"]][-1] == "taut limit, tip down"
    assert drawing_data(solved, "section-P10-forces")["frame"] is not None
