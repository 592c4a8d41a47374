"""What `stations` says: costs by the law of the rule of thumb, limits met, the file that it writes."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from skirtloft.answers.stations import station_answer
from skirtloft.cli import main
from skirtloft.design.model import StationWish
from skirtloft.design.read import load_design
from skirtloft.errors import SolveError
from skirtloft.pipeline import build
from tests.designs import EXAMPLES


def test_one_more_in_the_middle_quarters_the_deviation() -> None:
    """K w^2/12: half the width, a quarter of the estimate (closed form); a panel twice as wide, four times."""
    lines = station_answer(load_design(EXAMPLES / "four-seat.toml")).lines
    halved = [re.findall(r"(\d+\.\d) -> (\d+\.\d) mm", line)[0] for line in lines if "one more in L1" in line]
    assert len(halved) == 8
    for before, after in halved:
        assert float(after) == pytest.approx(float(before) / 4.0, abs=0.11)
    doubled = [re.findall(r"(\d+\.\d) -> (\d+\.\d) mm", line)[0] for line in lines if "without P15" in line]
    assert float(doubled[0][1]) == pytest.approx(4.0 * float(doubled[0][0]), rel=0.03)
    assert any("P13" in line and "must stay" in line for line in lines)
    assert not any("without P13" in line for line in lines)


def test_what_the_limits_ask_for_meets_them_and_is_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    target = tmp_path / "own.toml"
    text = (EXAMPLES / "one-seat.toml").read_text(encoding="utf-8")
    target.write_text(text.rstrip("\n") + '\n\n[making.loop]\ndeviation = "2 mm"\n', encoding="utf-8")
    before = build(load_design(target), preview=False)
    assert max(before.development.deviation) > 0.002  # type: ignore[type-var, arg-type]
    assert main(["stations", str(target), "--write"]) == 0
    said = capsys.readouterr().out
    after = build(load_design(target), preview=False)
    added = len(after.plan.stations.at) - len(before.plan.stations.at)
    assert f"Wrote {added} stations" in said
    assert max(after.development.deviation) <= 0.002 * 1.02  # type: ignore[type-var, arg-type, operator]
    kept = iter(target.read_text(encoding="utf-8").split("\n"))
    assert all(line in kept for line in text.rstrip("\n").split("\n"))
    assert main(["stations", str(target)]) == 0
    assert "ask for no more stations" in capsys.readouterr().out


def test_quick_designs_are_told_by_exact_panels() -> None:
    quick = station_answer(load_design(EXAMPLES / "one-seat.toml", [("making.loop.pattern", "quick")]))
    assert quick.lines == station_answer(load_design(EXAMPLES / "one-seat.toml")).lines


def test_a_corner_too_wide_to_be_flat_is_told_where_to_divide() -> None:
    """Three stations in a quarter turn, K w^2/12 above 20 %; with the places asked for it is within limits."""
    design = load_design(EXAMPLES / "one-seat.toml", [("skirt.stations_per_corner", "3")])
    with pytest.raises(SolveError):
        build(design, preview=False)
    found = station_answer(design)
    assert any("too wide to be laid flat" in line for line in found.lines)
    wishes = tuple(StationWish(at=at, what="add") for at in found.wanted)
    more = design.model_copy(update={"skirt": design.skirt.model_copy(update={"station": wishes})})
    made = build(more, preview=False).development
    assert max(report.thread.largest for report in made.strain if report) <= 0.02 * 1.02
    assert max(made.deviation) <= 0.005 * 1.02  # type: ignore[arg-type, type-var, operator]
