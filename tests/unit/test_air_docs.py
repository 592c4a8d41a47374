"""docs/air.md shows real commands and real numbers: each block is run and compared, line by line.

A line "..." in a block stands for any lines left out.
"""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from skirtloft.cli import main

ROOT = Path(__file__).parents[2]
TEXT = (ROOT / "docs" / "air.md").read_text(encoding="utf-8")
BLOCKS = [(m[1], m[2]) for m in re.finditer(r"```console\n\$ python3 run\.py (air .*)\n((?:.*\n)*?)```", TEXT)]


def chunks(shown: str) -> list[str]:
    return [part.strip("\n") for part in re.split(r"(?m)^\.\.\.$", shown) if part.strip("\n")]


@pytest.mark.parametrize(("command", "shown"), BLOCKS, ids=[command for command, _ in BLOCKS])
def test_the_numbers_are_what_the_command_prints(
    command: str, shown: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(ROOT)
    assert main(shlex.split(command)) == 0
    said = capsys.readouterr().out
    place = 0
    for chunk in chunks(shown):
        found = said.find(chunk, place)
        assert found >= 0, f"not printed by {command}:\n{chunk}"
        place = found + len(chunk)


def test_every_question_has_its_answer() -> None:
    """Twelve headings, each with at least one command or the place where it was shown."""
    numbers = [int(n) for n in re.findall(r"(?m)^## (\d+)\. ", TEXT)]
    assert numbers == list(range(1, 13))
    for part in re.split(r"(?m)^## ", TEXT)[1:13]:
        assert "run.py air" in part, part[:60]
    assert len(BLOCKS) >= 12


def test_the_comparison_can_fail(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    assert main(["air", "examples/four-seat.toml"]) == 0
    said = capsys.readouterr().out
    assert chunks("a\n...\nb\n") == ["a", "b"]
    assert "12.2 mm" in said
    assert "12.3 mm" not in said
