"""The commands on heave and bounce: words first and labelled, data, and every refusal at once."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from skirtloft.answers.bounce_words import CAUTIONS
from skirtloft.cli import main
from skirtloft.physics.bounce.types import SCREENING
from tests.designs import EXAMPLES, NAMES
from tests.rides_cases import NARROW

FOUR = str(EXAMPLES / "four-seat.toml")
NARROWED = ["--set", f"{NARROW[0]}={NARROW[1]}"]
ROOT = Path(__file__).parents[3]


def said(capsys: pytest.CaptureFixture[str], *words: str, code: int = 0) -> str:
    assert main(list(words)) == code
    out = capsys.readouterr()
    return out.out if code == 0 else out.err


@pytest.mark.parametrize("name", NAMES)
def test_verdict_first_and_what_it_is_worth_last(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    text = said(capsys, "rides", str(EXAMPLES / f"{name}.toml"))
    assert text.startswith("QUIET")
    assert "screening indicator" in text.splitlines()[0]
    flat = " ".join(text.split())
    for words in (SCREENING, *CAUTIONS):
        assert flat.count(words) == 1
    assert not re.search(r"\b(nan|inf|safe to fly|guarantee)\b", text)
    assert max(map(len, text.splitlines())) <= 120


def test_imperial_speaks_feet_and_inches(capsys: pytest.CaptureFixture[str]) -> None:
    text = said(capsys, "rides", str(EXAMPLES / "one-seat.toml"))
    assert " mm" not in text
    assert "ft3/min" in text


def test_a_narrow_mouth_bounces_and_says_what_helps(capsys: pytest.CaptureFixture[str]) -> None:
    text = said(capsys, "rides", FOUR, *NARROWED)
    assert text.splitlines()[1].startswith("BOUNCES")  # after what was changed
    assert "WATCH bounce-margin" in text
    assert "open the way from loop to cushion" in " ".join(text.split())
    assert "FAIL" not in text


def test_a_load_by_name_a_run_in_time_and_the_map(capsys: pytest.CaptureFixture[str]) -> None:
    text = said(capsys, "rides", FOUR, "--load", "solo", "--time", "1 s", "--drop", "5 mm", "--map")
    assert "With 'solo' she hovers at 16.5 mm" in text
    assert "let go 5 mm too low" in text
    assert re.search(r"^ +16\.5 mm {2}", text, re.MULTILINE)
    assert re.search(r"^ +1\.7 mm +A", text, re.MULTILINE)  # small gaps heave by the cushion's own air


def test_json_has_the_same_numbers_and_documented_keys(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    target = tmp_path / "rides.json"
    text = said(capsys, "rides", FOUR, "--json", str(target), "--map", "--time", "0.5 s")
    data = json.loads(target.read_text(encoding="utf-8"))
    assert data["format"] == "skirtloft-rides/1"
    assert f"margin {data['craft']['bounce_margin']:.2f} or more" in text
    assert data["screening"] == SCREENING
    assert data["knock"]["outcome"] == "dies away" or data["knock"]["time_s"][-1] == pytest.approx(0.5)
    docs = (ROOT / "docs" / "rides.md").read_text(encoding="utf-8")
    told = {word.removesuffix("[]") for word in re.findall(r"`([^`]+)`", re.sub(r"(?s)```.*?```", "", docs))}

    def keys(value: object) -> set[str]:
        if isinstance(value, dict):
            return set(value) | {key for item in value.values() for key in keys(item)}
        return {key for item in value for key in keys(item)} if isinstance(value, list) else set()

    assert sorted(keys(data) - {word.rpartition(".")[2] for word in told}) == []
    said(capsys, "rides", FOUR, "--json", str(target))  # its own kind may be written over
    said(capsys, "solve", FOUR, "--json", str(target), code=2)


def test_json_to_the_terminal_is_nothing_but_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert json.loads(said(capsys, "rides", FOUR, "--json", "-"))["map"] is None


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--load", "nobody"], ["--load", '"full", "two aboard", "solo"']),
        (["--time", "3", "--drop", "2 km"], ["--time", "--drop"]),
        (["--time", "3 h", "--drop", "-5 mm"], ["--time", "60 s", "--drop", "200 mm"]),
        (["--set", "bounce.loss_factor=2"], ["bounce.loss_factor", "from 0 to 1"]),
        (["--set", "bounce.duct_length=1 m"], ["bounce.duct_area", "belong together"]),
        (["--set", "bounce.mouth_area=1 m2", "--set", "bounce.mouth_open=0.5"], ["bounce.mouth_open", "twice"]),
        (["--set", "bounce.cushion_volume=4"], ["bounce.cushion_volume", "4.2 m3"]),
    ],
)
def test_a_wrong_request_is_answered_with_every_problem(
    words: list[str], told: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    text = said(capsys, "rides", FOUR, *words, code=2)
    for word in told:
        assert word in text
