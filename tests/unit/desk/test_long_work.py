"""Inflating at the desk: what is sewn up, and the slow inflation behind the first answer; on one segment."""

import queue
import threading
from dataclasses import replace

import numpy as np
import pytest

from skirtloft.design.read import parse_design
from skirtloft.desk import long_work
from skirtloft.desk.answer import Solved
from skirtloft.desk.long_work import WORK, Teller
from skirtloft.inflate.skirt.flat import Detail
from skirtloft.inflate.skirt.frames import SHARES
from skirtloft.inflate.skirt.model import Cut
from skirtloft.inflate.skirt.trial import Trial, try_skirt
from skirtloft.pipeline import Skirt, build
from tests.designs import TAUT, skirt_of
from tests.desk_cases import FOUR_TEXT
from tests.sewn_designs import SIDE


def inflated(monkeypatch: pytest.MonkeyPatch, stop: threading.Event, skirt: Skirt | None = None):
    """Return the studies that were shown, and what was sewn up for them."""
    cuts: list[Cut] = []

    def of_a_part(cut, asked, watch=None, stop=None) -> Trial:
        cuts.append(cut)
        making = replace(asked.making, only=SIDE, detail=Detail(4, 4, 4))
        return try_skirt(cut, replace(asked, making=making, mesh=False), watch, stop)

    monkeypatch.setattr(long_work, "try_skirt", of_a_part)
    told: queue.Queue = queue.Queue()
    WORK["inflate"](Teller(told, stop, Solved(1, FOUR_TEXT, "", skirt or skirt_of("four-seat"))), "")
    items = [told.get() for _ in range(told.qsize())]
    return [item[1] for item in items if item[0] == "best"], cuts[0]


def test_the_slow_inflation_follows_the_first_answer(monkeypatch):
    (first, second), _ = inflated(monkeypatch, threading.Event())
    assert first["model"]["frames"] == []
    assert first["model"]["points"] == second["model"]["points"]
    frames = second["model"]["frames"]
    assert [frame["share"] for frame in frames] == list(SHARES[:-1])
    last = np.array(second["model"]["points"]) / 1e4
    away = [np.abs(np.array(frame["points"]) / 1e3 - last).max() for frame in frames]
    assert away[0] > 0.02  # m: limp cloth hangs
    assert away[-1] < away[0] / 2  # and comes up to where it is at rest


def test_stopped_there_is_no_slow_inflation(monkeypatch):
    stop = threading.Event()
    stop.set()
    (only,), _ = inflated(monkeypatch, stop)
    assert only["model"]["frames"] == []
    assert "not at rest" in only["verdict"]


def test_it_sews_up_what_the_command_line_does(monkeypatch):
    stop = threading.Event()
    stop.set()
    taut = inflated(monkeypatch, stop, skirt_of("four-seat", *TAUT))[1]
    assert taut.diaphragm is not None
    assert inflated(monkeypatch, stop)[1].diaphragm is None
    table = '[[skirt.station]]\nat = "1500 mm"\nwhat = "recut"\nloop = "12 mm"\n'
    skirt = build(parse_design(f"{FOUR_TEXT}\n{table}"))
    cut = inflated(monkeypatch, stop, skirt)[1]
    assert cut.sections.length - skirt.sections.length == pytest.approx(
        np.full(len(cut.sections.length), 0.012), abs=1e-9
    )
