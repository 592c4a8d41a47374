"""What lies beside a design: a saved inflation is taken up by all that the desk says, a stale one put aside."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from starlette.testclient import TestClient

from skirtloft.answers.inflated_plain import inflated_results
from skirtloft.design.read import parse_design
from skirtloft.design.write import change_text
from skirtloft.desk import long_work
from skirtloft.desk.answer import Solved, answer_data, cut, solve
from skirtloft.desk.beside import Beside, taken_up
from skirtloft.desk.guard import Guard
from skirtloft.desk.server import desk_app
from skirtloft.desk.studies import Asked, Worker
from skirtloft.export import json as as_json
from skirtloft.inflate.saved import STALE, shape_digest
from skirtloft.pipeline import build
from skirtloft.shape.recut import as_cut
from tests.designs import TAUT, skirt_of
from tests.desk_cases import FOUR_TEXT, on_disk
from tests.sewn_designs import SIDE, trial_of
from tests.unit.desk.test_server import HOME, PORT, Page


@cache
def saved_text() -> str:
    """What is saved of one segment of the four-seat, given out for the whole skirt, the ground's push made up."""
    told = json.loads(as_json.render(inflated_results(trial_of(SIDE), "d")))
    ground = [{"run": "side", "n_per_m2": 9000.0, "turned_share": 0.5}]
    return json.dumps(
        told | {"whole": True, "ground_stiffness": ground, "shape_sha256": shape_digest(parse_design(FOUR_TEXT))}
    )


def rules(found: Any) -> set[str]:
    assert isinstance(found, Solved)
    return {finding["rule"] for finding in answer_data(found)["findings"]}


def test_an_inflation_is_taken_up_with_and_without_pieces_and_by_the_studies() -> None:
    bare, found = solve(1, FOUR_TEXT), solve(1, FOUR_TEXT, saved_text())
    assert isinstance(found, Solved)
    assert answer_data(found)["inflation"] == {"used": True, "why": ""}
    assert {"inflated-at-rest"} <= rules(found) - rules(bare)
    whole = cut(found, lambda: None)
    assert "inflated-at-rest" in rules(whole)
    worker = Worker()
    plain = worker.data(Asked("sits", 1, FOUR_TEXT))["lines"]
    assert worker.data(Asked("sits", 1, FOUR_TEXT, "", saved_text()))["lines"] != plain


def test_one_of_another_shape_or_no_inflation_at_all_is_put_aside_and_said() -> None:
    other = solve(2, FOUR_TEXT.replace('depth = "280 mm"', 'depth = "285 mm"'), saved_text())
    assert isinstance(other, Solved)
    assert answer_data(other)["inflation"] == {"used": False, "why": f"What is saved {STALE}"}
    skirt = skirt_of("four-seat")
    same, why = taken_up(skirt, '{"format": "something"}')
    assert same is skirt
    assert "no saved inflation" in why
    assert taken_up(skirt, "") == (skirt, "")


def test_what_is_kept_is_beside_the_file_or_held_without_one(tmp_path: Path) -> None:
    beside, design = Beside(), tmp_path / "craft.toml"
    beside.keep("layout", "held", None)
    assert beside.text("layout", None) == "held"
    assert not beside.is_inflated_anew(design)
    beside.keep("inflate", "found", design)
    assert (tmp_path / "craft.inflated.json").read_text(encoding="utf-8") == "found"
    assert beside.is_inflated_anew(design)
    assert not beside.is_inflated_anew(design)
    assert beside.text("inflate", design) == "found"


def test_an_inflation_made_by_the_command_line_is_taken_up_while_the_desk_is_open(tmp_path: Path) -> None:
    document, _ = on_disk(tmp_path)
    with (
        TestClient(desk_app(document, tmp_path, Guard(PORT)), base_url=HOME, client=("127.0.0.1", 5)) as client,
        client.websocket_connect(f"ws://127.0.0.1:{PORT}/talk?page=a", headers={"origin": HOME}) as socket,
    ):
        page = Page(socket)
        page.until("answer", inflation={"used": False, "why": ""})
        (tmp_path / "craft.inflated.json").write_text(saved_text(), encoding="utf-8")
        assert page.until("answer", inflation={"used": True, "why": ""})["revision"] == 1


def test_the_desk_sews_up_what_the_command_line_sews(monkeypatch: pytest.MonkeyPatch) -> None:
    """With its diaphragm's strips and the sections that the loop is cut for; stopped, nothing is kept."""
    text, _ = change_text(FOUR_TEXT, TAUT)
    skirt = build(parse_design(text + '\n[[skirt.station]]\nat = "2.5 m"\nloop = "8 mm"\n'))
    heard: list[Any] = []

    def tried(made: Any, *_: Any) -> Any:
        heard.append(made)
        raise InterruptedError

    monkeypatch.setattr(long_work, "try_skirt", tried)
    with pytest.raises(InterruptedError):
        long_work.WORK["inflate"](SimpleNamespace(solved=SimpleNamespace(skirt=skirt), is_stopped=False), "")  # type: ignore[arg-type]
    (made,) = heard
    assert made.diaphragm is not None
    assert made.pieces == skirt.pieces
    own = as_cut(skirt.design, skirt.plan, skirt.sections)
    assert np.array_equal(made.sections.length, own.length)
    assert not np.array_equal(own.length, skirt.sections.length)  # or this shows nothing
