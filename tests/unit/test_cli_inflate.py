"""The inflate command: files, refusals, cancelling; on a part of the craft, so that it takes seconds."""

import json
import os
import signal
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from skirtloft.cli import main
from skirtloft.inflate import loop_check
from skirtloft.inflate.loop_check import LoopCheck
from skirtloft.inflate.skirt import trial
from skirtloft.maths.frozen import frozen_array
from tests.sewn_designs import SIDE

FOUR = str(Path(__file__).parents[2] / "examples" / "four-seat.toml")
WHOLE = trial.try_skirt


@pytest.fixture(autouse=True)
def only_a_part(monkeypatch):
    def of_a_part(cut, asked, watch=None, stop=None):
        small = replace(asked, making=replace(asked.making, only=SIDE), mesh=False)
        return WHOLE(cut, small, watch, stop)

    monkeypatch.setattr(trial, "try_skirt", of_a_part)


def test_it_says_so_and_saves_beside_the_design(tmp_path, capsys):
    design = tmp_path / "craft.toml"
    design.write_text(Path(FOUR).read_text(encoding="utf-8"), encoding="utf-8")
    form = tmp_path / "form.csv"
    assert main(["inflate", str(design), "--form", str(form)]) == 0
    said = capsys.readouterr().out
    assert said.startswith("LEVEL")
    assert "not yet compared with a built skirt" in said
    data = json.loads((tmp_path / "craft.inflated.json").read_text(encoding="utf-8"))
    assert data["format"] == "skirtloft-inflated/1"
    assert data["tolerance_m"] == 0.01
    assert form.read_text(encoding="utf-8").startswith("place,what to measure")
    assert main(["inflate", str(design)]) == 0  # over its own file


def test_the_tolerance_is_the_designs(tmp_path, capsys):
    target = tmp_path / "out.json"
    assert main(["inflate", FOUR, "--out", str(target), "--set", 'making.level="2 mm"']) == 1
    assert "UNEVEN" in capsys.readouterr().out
    assert json.loads(target.read_text(encoding="utf-8"))["tolerance_m"] == 0.002


def test_pages_and_model(tmp_path):
    for ending, head in ((".pdf", b"%PDF"), (".glb", b"glTF")):
        target = tmp_path / f"out{ending}"
        assert main(["inflate", FOUR, "--out", str(target)]) == 0
        assert target.read_bytes().startswith(head)


def test_refusals(tmp_path, capsys):
    other = tmp_path / "notes.json"
    other.write_text('{"mine": 1}', encoding="utf-8")
    assert main(["inflate", FOUR, "--out", str(other)]) == 2
    assert main(["inflate", FOUR, "--out", str(tmp_path / "out.txt")]) == 2
    assert other.read_text(encoding="utf-8") == '{"mine": 1}'
    assert "none of ours" in capsys.readouterr().err


def test_what_cannot_be_written_is_said_before_any_work(tmp_path, capsys, monkeypatch):
    monkeypatch.setattr(trial, "try_skirt", lambda *_: pytest.fail("it went to work"))
    none, same = tmp_path / "none" / "out.json", str(tmp_path / "one.glb")
    files = ["--out", str(none), "--frames", "film.mov", "--form", "form.doc"]
    assert main(["inflate", FOUR, *files]) == 2
    said = capsys.readouterr().err
    assert "does not exist" in said
    assert "film.mov" in said
    assert "form.doc" in said
    assert main(["inflate", FOUR, "--out", same, "--frames", same]) == 2
    assert "two things" in capsys.readouterr().err


def test_cancelling_keeps_the_best_so_far(tmp_path, capsys, monkeypatch):
    part = trial.try_skirt

    def cancelled(cut, asked, watch=None, stop=None):
        os.kill(os.getpid(), signal.SIGINT)
        return part(cut, asked, watch, stop)

    monkeypatch.setattr(trial, "try_skirt", cancelled)
    target = tmp_path / "out.json"
    assert main(["inflate", FOUR, "--out", str(target)]) == 130
    said = capsys.readouterr()
    assert said.out.startswith("STOPPED")
    assert "best so far" in said.err
    assert json.loads(target.read_text(encoding="utf-8"))["stopped_early"] is True


def at_once(plan, made, section_at, by, pressure, watch=None, stop=None):
    """Stands in for the inflation: 3 mm everywhere."""
    ids = tuple(panel.id for panel in made.panels)
    figures = (frozen_array(np.full(len(ids), 0.003)), 0.001, 0.01, 0.002, 0.05, pressure, by.columns, by.rows)
    return LoopCheck(ids, *figures, made.pattern, True)


def test_the_loop_alone_is_kept_and_taken_up(tmp_path, capsys, monkeypatch):
    monkeypatch.setattr(loop_check, "check_loop", at_once)
    design = tmp_path / "craft.toml"
    text = Path(FOUR).read_text(encoding="utf-8")
    design.write_text(f'{text.rstrip()}\n[making.loop]\npattern = "quick"\n', encoding="utf-8")
    assert main(["inflate", str(design), "--held"]) == 0
    assert capsys.readouterr().out.startswith("TRUE")
    kept = tmp_path / "craft.held-loop.json"
    main(["solve", str(design), "--exact"])
    assert "off the drawn shape by 3 mm at most, as inflated with the joint line held" in capsys.readouterr().out
    main(["solve", str(design), "--exact", "--set", 'craft.load[0].mass="600 kg"'])
    said = capsys.readouterr()
    assert "by a rule of thumb" in said.out
    assert "is of other loop panels" in said.err
    kept.write_text("{}", encoding="utf-8")
    assert main(["solve", str(design), "--exact"]) == 2
    assert f"{kept}: no saved check" in capsys.readouterr().err


def test_the_loop_alone_takes_no_other_option(tmp_path, capsys):
    assert main(["inflate", FOUR, "--held", "--fine"]) == 2
    assert main(["inflate", FOUR, "--held", "--write", str(tmp_path / "new.toml")]) == 2
    assert main(["inflate", FOUR, "--held", "--frames", str(tmp_path / "film.glb")]) == 2
    assert main(["inflate", FOUR, "--held", "--out", str(tmp_path / "out.pdf")]) == 2
    assert "leave out the other options" in capsys.readouterr().err


def test_what_is_saved_is_taken_up_and_a_stale_one_is_said_to_be_stale(tmp_path, capsys):
    design, saved = tmp_path / "craft.toml", tmp_path / "craft.inflated.json"
    design.write_text(Path(FOUR).read_text(encoding="utf-8"), encoding="utf-8")
    assert main(["inflate", str(design)]) == 0
    data = json.loads(saved.read_text(encoding="utf-8"))
    capsys.readouterr()
    saved.write_text(json.dumps(data | {"whole": True}), encoding="utf-8")  # only a part was inflated here
    assert main(["why", str(design), "joint-level", "--quick"]) == 0
    said = capsys.readouterr()
    assert "farthest" in said.out
    assert said.err == ""
    assert main(["why", str(design), "joint-level", "--quick", "--set", 'skirt.depth="275 mm"']) == 2
    assert "before the design changed: not used" in capsys.readouterr().err
    saved.write_text("{}", encoding="utf-8")
    assert main(["why", str(design), "pressure", "--quick"]) == 0
    assert "Not used" in capsys.readouterr().err


def test_the_loop_alone_cancelled_is_kept_and_not_taken_up(tmp_path, capsys, monkeypatch):
    def cancelled(*given, watch=None, stop=None):
        os.kill(os.getpid(), signal.SIGINT)
        return replace(at_once(*given), is_settled=not stop())

    monkeypatch.setattr(loop_check, "check_loop", cancelled)
    design = tmp_path / "craft.toml"
    text = Path(FOUR).read_text(encoding="utf-8")
    design.write_text(f'{text.rstrip()}\n[making.loop]\npattern = "quick"\n', encoding="utf-8")
    assert main(["inflate", str(design), "--held"]) == 130
    said = capsys.readouterr()
    assert said.out.startswith("STOPPED")
    assert "best so far" in said.err
    assert json.loads((tmp_path / "craft.held-loop.json").read_text(encoding="utf-8"))["settled"] is False
    main(["solve", str(design), "--exact"])
    assert "by a rule of thumb" in capsys.readouterr().out


def test_it_refuses_to_write_a_design_over_another_or_with_changes(tmp_path, capsys):
    there = tmp_path / "there.toml"
    there.write_text("mine = 1\n", encoding="utf-8")
    assert main(["inflate", FOUR, "--write", str(there), "--level", "--set", 'skirt.depth="275 mm"']) == 2
    said = capsys.readouterr().err
    assert "3 problems" in said
    assert there.read_text(encoding="utf-8") == "mine = 1\n"
    assert main(["inflate", FOUR, "--write", str(tmp_path / "none" / "new.txt")]) == 2
    assert "2 problems" in capsys.readouterr().err


def test_it_writes_a_design_that_stands_as_drawn_and_what_it_showed(tmp_path, capsys, monkeypatch):
    from skirtloft import pipeline
    from skirtloft.answers import corrected

    whole = pipeline.build
    monkeypatch.setattr(corrected, "build", lambda design, preview: whole(design))  # quick panels: seconds
    new, form = tmp_path / "new.toml", tmp_path / "form.pdf"
    assert main(["inflate", FOUR, "--write", str(new), "--form", str(form)]) == 0
    said = capsys.readouterr().out
    assert said.startswith("Corrected as designed")
    assert "round 1" in said
    data = json.loads((tmp_path / "new.inflated.json").read_text(encoding="utf-8"))
    assert abs(data["segments"][0]["tip_m"]) < 0.005
    assert "tip_change" in new.read_text(encoding="utf-8")
    assert form.read_bytes().startswith(b"%PDF")
