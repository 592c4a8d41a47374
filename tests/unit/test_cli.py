"""The command line: exit codes, words, and nothing written when something is wrong."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from skirtloft.cli import main
from tests.designs import EXAMPLES, NAMES
from tests.unit.design.test_malformed import CASES, GOOD

FOUR = str(EXAMPLES / "four-seat.toml")


def test_solve_prints_the_verdict_first(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["solve", FOUR]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0].startswith("HOLDS")
    text = "\n".join(lines)
    for word in ("Pressure", "Air", "Sizes", "Loop", "quarter rule", "through the gap only"):
        assert word in text


def test_solve_writes_json_to_a_file_and_to_the_terminal(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    target = tmp_path / "results.json"
    assert main(["solve", FOUR, "--json", str(target)]) == 0
    capsys.readouterr()
    assert main(["solve", FOUR, "--json", "-"]) == 0
    out = capsys.readouterr()
    assert json.loads(out.out) == json.loads(target.read_text(encoding="utf-8"))
    assert out.err.startswith("HOLDS")


def test_set_changes_a_value_for_this_run(capsys: pytest.CaptureFixture[str]) -> None:
    before = Path(FOUR).read_bytes()
    assert main(["solve", FOUR, "--json", "-", "--set", 'skirt.depth="270 mm"']) == 0
    data = json.loads(capsys.readouterr().out)
    assert data["sections"][0]["joint"][1] == pytest.approx(0.270)
    assert Path(FOUR).read_bytes() == before


def test_a_failed_check_is_exit_code_one_and_names_the_change(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["solve", FOUR, "--set", 'skirt.side.tip_inside="-10 mm"']) == 1
    out = capsys.readouterr().out
    assert out.startswith("FAILS")
    assert "FAIL  tip-line-inside" in out
    assert "Bring the joint line in" in out


def test_a_wrong_file_is_exit_code_two_with_every_problem(capsys: pytest.CaptureFixture[str]) -> None:
    code = main(["solve", FOUR, "--set", 'skirt.depth="12,5 cm"', "--set", 'skirt.pitch="150"'])
    err = capsys.readouterr().err
    assert code == 2
    assert "skirt.depth" in err
    assert "skirt.pitch" in err
    assert "12,5 cm" in err
    assert "Traceback" not in err


@pytest.mark.parametrize(
    ("path", "word"),
    [("no-such-file.toml", "no-such-file.toml"), (str(EXAMPLES), "examples")],
)
def test_a_file_that_cannot_be_read_is_exit_code_two(path: str, word: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["solve", path]) == 2
    assert word in capsys.readouterr().err


def test_a_shape_that_cannot_be_made_is_exit_code_three(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "pack"
    assert main(["pack", FOUR, "-o", str(out), "--set", 'skirt.corner.stern="200 mm"']) == 3
    err = capsys.readouterr().err
    assert "cannot be made" in err
    assert "stern corner" in err
    assert "280" in err
    assert not out.exists()
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("words", [["nonsense"], ["solve"], ["solve", FOUR, "--colour"], ["new"]])
def test_a_wrong_request_is_exit_code_two(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(words) == 2
    assert "Traceback" not in capsys.readouterr().err


def test_no_words_is_help(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([]) == 0
    assert "new" in capsys.readouterr().out


def test_solve_shows_a_preview_unless_asked_for_the_patterns_as_cut(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["solve", FOUR]) == 0
    assert "a quick preview here" in capsys.readouterr().out
    assert main(["solve", FOUR, "--exact"]) == 0
    assert "15 are by least strain (exact)" in capsys.readouterr().out
    assert main(["solve", FOUR, "--exact", "--set", "making.loop.pattern=quick"]) == 0
    assert "edges straight (quick)" in capsys.readouterr().out


def test_ctrl_c_is_exit_code_130(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    def cancel(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("skirtloft.pipeline.build", cancel)
    assert main(["solve", FOUR]) == 130
    assert "Cancelled" in capsys.readouterr().err


def test_new_writes_a_file_that_solves_and_never_overwrites(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    words = ["new", "otter", "--seats", "2", "--mass", "420 kg", "--length", "4.2 m", "--beam", "2 m"]
    assert main(words) == 0
    text = (tmp_path / "otter.toml").read_text(encoding="utf-8")
    assert main(["solve", "otter.toml"]) == 0
    assert main(words) == 2
    assert (tmp_path / "otter.toml").read_text(encoding="utf-8") == text


def test_new_refuses_what_makes_no_sense(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    target = tmp_path / "brick"
    assert main(["new", str(target), "--mass", "7", "--length", "3 m", "--beam", "3 furlongs"]) == 2
    assert not target.with_suffix(".toml").exists()
    err = capsys.readouterr().err
    assert "mass" in err
    assert "beam" in err
    assert main(["new", str(target), "--seats", "40"]) == 2
    assert "seats" in capsys.readouterr().err


@pytest.mark.parametrize("name", NAMES)
def test_examples_solve(name: str) -> None:
    assert main(["solve", str(EXAMPLES / f"{name}.toml")]) == 0


@pytest.mark.parametrize("case", CASES)
def test_every_malformed_file_is_exit_code_two_and_writes_nothing(
    case: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Each file of the malformed cases through the command line: every problem named, no traceback, no pack."""
    edits, expected = CASES[case]
    text = GOOD
    for old, new in edits:
        text = text.replace(old, new, 1)
    wrong = tmp_path / "wrong.toml"
    wrong.write_text(text, encoding="utf-8")
    assert main(["pack", str(wrong), "-o", str(tmp_path / "pack")]) == 2
    err = capsys.readouterr().err
    assert "Traceback" not in err
    for problem in expected:
        assert problem[0] in err, problem
    assert [path.name for path in tmp_path.iterdir()] == ["wrong.toml"]


IMPOSSIBLE = {
    "the inner fixings cross": (("skirt.corner.stern", "300 mm"), "308.7"),
    "the corner does not fit": (("skirt.corner.stern", "3 m"), "skirt.corner.stern"),
    "the hull edge is below the joint": (("skirt.depth", "600 mm"), ""),
    "the hull outline bends back": (("hull.edge[2].y", "0.62 m"), "hull.edge"),
    "the fillet does not fit": (("hull.edge[3].radius", "4 m"), "hull.edge"),
    "the joint lies beyond the corner": (("skirt.side.tip_inside", "-900 mm"), ""),
}


@pytest.mark.parametrize("case", IMPOSSIBLE)
def test_a_shape_that_cannot_be_made_says_where_and_what_would_do(
    case: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (key, value), word = IMPOSSIBLE[case]
    code = main(["pack", FOUR, "-o", str(tmp_path / "pack"), "--set", f'{key}="{value}"'])
    err = capsys.readouterr().err
    assert code in (2, 3), err
    assert word in err
    assert "Traceback" not in err
    assert any(digit in err for digit in "0123456789")
    assert list(tmp_path.iterdir()) == []


FIXINGS = """
[hull.fixing.side]
height = "36 mm"  # measured with a level
inboard = "425 mm"

[skirt]"""


def hull_file(folder: Path, fixings: str = FIXINGS) -> Path:
    target = folder / "hull.toml"
    text = Path(FOUR).read_text(encoding="utf-8")
    target.write_text(text.replace("\n[skirt]", fixings, 1), encoding="utf-8")
    return target


def test_fit_prints_the_values_and_leaves_the_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    target = hull_file(tmp_path)
    before = target.read_bytes()
    assert main(["fit", str(target)]) == 0
    out = capsys.readouterr().out
    assert out.startswith("FITS")
    for word in ("skirt.depth", "Fixings", "Clearance as asked", "Held", "Margins", '--set skirt.depth="286 mm"'):
        assert word in out, word
    assert target.read_bytes() == before
    assert [path.name for path in tmp_path.iterdir()] == ["hull.toml"]


def test_fit_writes_the_values_and_keeps_every_comment(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    target = hull_file(tmp_path)
    comments = [line.partition("#")[2] for line in target.read_text(encoding="utf-8").splitlines() if "#" in line]
    assert main(["fit", str(target), "--write", "--set", 'project.revision="B"']) == 0
    assert "Wrote" in capsys.readouterr().out
    text = target.read_text(encoding="utf-8")
    assert [line.partition("#")[2] for line in text.splitlines() if "#" in line] == comments
    assert 'depth = "286 mm"' in text
    assert 'revision = "B"' in text
    assert [path.name for path in tmp_path.iterdir()] == ["hull.toml"]
    assert main(["solve", str(target)]) == 0
    capsys.readouterr()
    assert main(["fit", str(target)]) == 0
    assert "has these values already" in capsys.readouterr().out


def test_fit_of_an_impossible_hull_is_exit_code_three(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("skirtloft.fit.search.FURTHEST", 0)  # the walk itself is tested with the search
    target = hull_file(tmp_path, FIXINGS.replace("36 mm", "200 mm").replace("425 mm", "100 mm"))
    before = target.read_bytes()
    assert main(["fit", str(target), "--write"]) == 3
    out = capsys.readouterr().out
    assert out.startswith("NO FIT")
    assert "inner-fixing-on-line" in out
    assert "Would do" in out
    assert target.read_bytes() == before


def test_fit_refuses_a_wrong_file_and_can_be_cancelled(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    wrong = hull_file(tmp_path, FIXINGS.replace('"36 mm"', '"36"'))
    assert main(["fit", str(wrong)]) == 2
    assert "hull.fixing.side.height" in capsys.readouterr().err

    def cancel(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("skirtloft.fit.search.try_values", cancel)
    target = hull_file(tmp_path)
    before = target.read_bytes()
    assert main(["fit", str(target), "--write"]) == 130
    assert target.read_bytes() == before


def test_why_explains_and_lists(capsys: pytest.CaptureFixture[str]) -> None:
    target = str(EXAMPLES / "four-seat.toml")
    assert main(["why", target, "depth-to-pitch", "--quick", "--set", "skirt.pitch=140 mm"]) == 0
    assert "280 mm / 140 mm = 2.00" in capsys.readouterr().out
    assert main(["why", target]) == 0
    assert "loop-length" in capsys.readouterr().out
    assert main(["why", target, "nonsense-word"]) == 2
    assert "The request has 1 problem" in capsys.readouterr().err
