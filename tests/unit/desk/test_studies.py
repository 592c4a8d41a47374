"""What takes longer: the same answers as the command line, only when looked at, the newest text last."""

from __future__ import annotations

import queue
from collections.abc import Iterator
from typing import Any

import pytest

from skirtloft.answers.sits import sits_answer
from skirtloft.answers.under_way import water_answer
from skirtloft.desk.answer import Solved, solve
from skirtloft.desk.backroom import Backroom
from skirtloft.desk.studies import STUDIES, Asked, Worker, study_sheet
from tests.desk_cases import FOUR_TEXT


@pytest.fixture(scope="module")
def solved() -> Solved:
    found = solve(1, FOUR_TEXT)
    assert isinstance(found, Solved)
    return found


@pytest.fixture(scope="module")
def worker() -> Worker:
    return Worker()


def test_sits_and_water_say_what_the_command_line_says(worker: Worker, solved: Solved) -> None:
    for name, answer in (("sits", sits_answer), ("water", water_answer)):
        data = worker.data(Asked(name, 7, FOUR_TEXT))
        assert data["revision"] == 7
        assert data["lines"] == "\n".join(answer(solved.skirt)[0])
        assert data["sentences"]
        assert all(sentence in " ".join(data["lines"].split()) for sentence in _plain(data["sentences"]))
        assert data["cautions"]


def _plain(sentences: tuple[str, ...]) -> list[str]:
    return [one.removeprefix("With 'full': ") for one in sentences]


def test_rides_has_its_three_sheets_and_cautions(worker: Worker) -> None:
    data = worker.data(Asked("rides", 1, FOUR_TEXT))
    assert [sheet["name"] for sheet in data["sheets"]] == ["rides-map", "rides-margins", "rides-knock"]
    assert any("tethered" in caution for caution in data["cautions"])
    assert data["findings"]


def test_a_layout_that_does_not_fit_is_told_and_laid_anew(worker: Worker) -> None:
    data = worker.data(Asked("layout", 1, FOUR_TEXT, '{"format": "something"}'))
    assert "is not of these pieces" in data["verdict"]
    assert len(data["sheets"]) > 2
    assert all(sheet["svg"].startswith("<g") for sheet in data["sheets"])


def test_a_text_that_makes_no_skirt_is_a_reason_not_a_fault(worker: Worker) -> None:
    data = worker.data(Asked("sits", 3, FOUR_TEXT.replace('depth = "280 mm"', 'depth = "-280 mm"')))
    assert "skirt.depth" in data["why"]


def test_a_sheet_of_a_study_can_be_taken_away(solved: Solved) -> None:
    sheet = study_sheet(solved, "sits-curves")
    assert sheet is not None
    assert sheet.name == "sits-curves"
    assert study_sheet(solved, "plan") is None
    with pytest.raises(KeyError):
        study_sheet(solved, "sits-nothing")


@pytest.fixture
def backroom() -> Iterator[tuple[Backroom, queue.Queue[Any]]]:
    heard: queue.Queue[Any] = queue.Queue()
    made = Backroom(heard.put)
    yield made, heard
    made.close()


def test_nothing_is_worked_out_until_it_is_looked_at_and_then_the_newest(
    backroom: tuple[Backroom, queue.Queue[Any]],
) -> None:
    room, heard = backroom
    for revision in (1, 2, 3):
        room.ask(revision, FOUR_TEXT, "")
    with pytest.raises(queue.Empty):
        heard.get(timeout=1.0)
    room.want(["sits"])
    data = heard.get(timeout=60.0)
    assert (data["name"], data["revision"]) == ("sits", 3)
    with pytest.raises(queue.Empty):
        heard.get(timeout=1.0)  # once is enough
    room.ask(4, FOUR_TEXT, "")
    assert heard.get(timeout=60.0)["revision"] == 4
    assert set(STUDIES) == {"sits", "water", "rides", "layout", "strain"}
