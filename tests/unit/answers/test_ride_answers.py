"""What `sits` and `water` say: every kind of file, cautions with the figures, moves, wrong requests, JSON."""

from __future__ import annotations

import json
import math
import re
from pathlib import Path

import pytest

from skirtloft.answers.sits import gap_places, moves_of, sits_answer
from skirtloft.answers.under_way import FRONTAL, water_answer
from skirtloft.cli import main
from skirtloft.errors import DesignError
from skirtloft.physics.attitude.bounds import CAUTION
from skirtloft.physics.water.drag import CAUTION as DRAG_CAUTION
from skirtloft.physics.water.plough import CAUTION as BOW_CAUTION
from skirtloft.pipeline import build
from tests.designs import EXAMPLES, skirt_of
from tests.unit.answers.test_ask import DESIGNS

FOUR = str(EXAMPLES / "four-seat.toml")
THRUST = (("under_way.static_thrust", "620 N"), ("under_way.disc", "1.1 m"))
SET = [word for key, value in THRUST for word in ("--set", f'{key}="{value}"')]


def flat(lines: list[str]) -> str:
    return " ".join("\n".join(lines).split()).lower()


@pytest.mark.parametrize("name", ["four-seat", "bare", "no fan", "both units", "imperial", "too weak", "weak for one",
                                  "leaky", "rough", "splitter"])  # fmt: skip
def test_every_kind_of_file_has_its_answer(name: str) -> None:
    skirt = build(DESIGNS[name], cut=False)
    said, sits, _ = sits_answer(skirt)
    wet, water, _ = water_answer(skirt)
    assert CAUTION.lower() in flat(said)
    assert DRAG_CAUTION.lower() in flat(wet)
    assert BOW_CAUTION.lower() in flat(wet)
    for text in (flat(said), flat(wet)):
        assert not re.search(r"\bnan\b|\binf\b|\bnone\b", text)
    assert len(sits.loads) == len(water.loads) == len(skirt.design.craft.load)
    assert ("the fan of the file does not carry it" in flat(said)) == (name in ("too weak", "weak for one", "leaky"))
    assert ("runs hang at different gaps" in flat(said)) == (name == "rough")
    if name == "imperial":
        assert not re.search(r"\d (mm|kg|pa|n)\b", flat(said) + flat(wet).replace("0.6 m of people", ""))


def test_the_sentence_comes_before_the_number() -> None:
    lines, _, _ = sits_answer(skirt_of("four-seat"), "solo", moves_of(["80 kg"], ["0.3 m to port"]))
    text = "\n".join(lines)
    assert re.search(
        r"80 kg moved 300 mm to port heels it about [\d.]+ degrees; the low tips sink \d+ mm\.\nHeel soft", text
    )
    assert "With 'solo, moved' it sits" in text
    assert "'full'" not in text


def test_a_move_is_what_it_says() -> None:
    (move,) = moves_of(["30 kg"], ["500 mm aft"])
    assert move.mass == 30.0
    assert move.way.tolist() == [-0.5, 0.0, 0.0]
    up, down = moves_of(["1 kg", "2 lb"], ["1 ft up", "3 in down"])
    assert up.way[2] == pytest.approx(0.3048)
    assert down.way[2] == pytest.approx(-0.0762)


def test_a_mass_raised_makes_it_lean_more() -> None:
    skirt = skirt_of("four-seat", ("craft.load[0].y", "25 mm"))
    texts = [
        "\n".join(sits_answer(skirt, "full", moves_of(["200 kg"], [way]))[0]) for way in ("0.6 m up", "0.6 m down")
    ]
    up, down = (float(match[1]) for text in texts if (match := re.search(r"moved' it sits ([\d.]+) degrees", text)))
    assert up > down + 0.5


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--load", "empty"], "'two aboard'"),
        (["--move", "80 kg"], "--by"),
        (["--by", "0.3 m to port"], "--move"),
        (["--move", "80", "--by", "0.3 m to port"], "unit"),
        (["--move", "80 kg", "--by", "to port"], "number and unit"),
        (["--move", "80 kg", "--by", "0.3 m left"], "which way"),
        (["--move", "80 kg", "--by", "0.3 to port"], "unit"),
        (["--move", "0 kg", "--by", "0.3 m aft"], "no mass"),
        (["--move", "80 kg", "--by", "-1 m to port"], "outside the range"),
        (["--move", "900 kg", "--by", "0.1 m to port"], "more than all of"),
    ],
)
def test_wrong_requests_are_told(words: list[str], told: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["sits", FOUR, *words]) == 2
    err = capsys.readouterr().err
    assert told in err
    assert "Traceback" not in err


def test_every_problem_of_the_moves_at_once() -> None:
    with pytest.raises(DesignError) as refused:
        moves_of(["80", "90 kg"], ["1 m aft", "sideways"])
    assert {problem.path for problem in refused.value.problems} == {"--move", "--by"}


def test_exit_code_and_first_line_say_the_same(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["sits", FOUR]) == 0
    assert capsys.readouterr().out.startswith("HOLDS  Wadewright, revision A: 10 rules pass")
    assert main(["sits", FOUR, "--set", 'craft.load[0].y="170 mm"']) == 1
    assert capsys.readouterr().out.startswith("FAILS")
    assert main(["water", FOUR, *SET]) == 0
    assert "over-hump" not in capsys.readouterr().out
    assert main(["water", FOUR, "--set", 'under_way.static_thrust="250 N"', *SET[2:]]) == 1
    assert "It does not get over the hump" in capsys.readouterr().out


def test_figures_as_json(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    target = tmp_path / "sits.json"
    assert main(["sits", FOUR, "--json", str(target)]) == 0
    assert main(["sits", FOUR, "--json", str(target)]) == 0  # its own kind may be written over
    capsys.readouterr()
    data = json.loads(target.read_text(encoding="utf-8"))
    assert data["format"] == "skirtloft-sits/1"
    load = data["loads"][0]
    assert load["height_above_tips_m"] == pytest.approx(0.87)
    assert set(load["rests"]) == {"soft", "likely", "firm"}
    assert len(load["rests"]["likely"]["gap_m"]) == len(load["tip_line_m"])
    curve = load["curves"]["starboard"]["likely"]
    assert len(curve["angle_deg"]) == len(curve["held_m"])
    assert curve["held_percent_per_deg"] == pytest.approx(1.002, abs=0.01)
    assert main(["water", FOUR, "--json", "-"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert data["format"] == "skirtloft-water/1"
    assert data["thrust_told"] is True
    assert all(0.0 < value <= 620.0 for value in data["loads"][0]["thrust_n"])  # less than standing still
    assert math.isclose(data["loads"][0]["hollow_m"], 0.0683, rel_tol=0.01)
    assert main(["water", str(EXAMPLES / "one-seat.toml"), "--json", "-"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert data["thrust_told"] is False
    assert data["loads"][0]["hump"]["best"]["thrust_needed_n"] > data["loads"][0]["hump"]["best"]["drag_n"] - 1e-9
    assert all(value is None for value in data["loads"][0]["thrust_n"])


def test_nothing_else_is_written_over(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    target = tmp_path / "mine.json"
    target.write_text("{}", encoding="utf-8")
    assert main(["water", FOUR, "--json", str(target)]) == 2
    assert "another name" in capsys.readouterr().err
    assert target.read_text(encoding="utf-8") == "{}"


def test_gap_places_lie_round_the_plan() -> None:
    _, sits, _ = sits_answer(skirt_of("four-seat"), "full")
    entry = sits.loads[0]
    at = {name: entry.line.middle[k] for name, k in gap_places(entry).items()}
    assert at["bow"][0] > 2.0
    assert abs(at["bow"][1]) < 0.4
    assert at["port"][1] > 1.0
    assert at["starboard"][1] < -1.0
    assert abs(at["port"][0]) < 0.5
    assert at["port stern"][0] < -1.9
    assert at["port stern"][1] > 0.8
    assert at["stbd bow"][1] < -0.3


def test_an_assumed_frontal_area_is_called_so() -> None:
    assert FRONTAL in " ".join(water_answer(skirt_of("four-seat"))[0])
    told = skirt_of("four-seat", ("under_way.frontal_area", "2 m2"))
    assert FRONTAL not in " ".join(water_answer(told)[0])


def test_a_high_load_is_not_said_to_lean_inside_the_gap(capsys: pytest.CaptureFixture[str]) -> None:
    main(["sits", FOUR, "--load", "full"])
    said = " ".join(capsys.readouterr().out.split())
    assert "With 'full' the first tip touches at 0.3 degrees: up to there an even cushion says nothing" in said
    assert "With 'full' it sits" not in said
