"""docs/rides.md shows real commands and real numbers: each block is run and compared, line by line."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from skirtloft.cli import main
from tests.unit.test_air_docs import chunks

ROOT = Path(__file__).parents[2]
TEXT = (ROOT / "docs" / "rides.md").read_text(encoding="utf-8")
BLOCKS = [
    (m[1], m[2]) for m in re.finditer(r"```console\n\$ python3 run\.py ((?:rides|swing) .*)\n((?:.*\n)*?)```", TEXT)
]


@pytest.mark.parametrize(("command", "shown"), BLOCKS, ids=[str(k) for k in range(len(BLOCKS))])
def test_the_numbers_are_what_the_command_prints(
    command: str, shown: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(ROOT)
    monkeypatch.delenv("SKIRTLOFT_LAUNCHER", raising=False)
    assert main(shlex.split(command)) == 0
    said = capsys.readouterr().out
    place = 0
    for chunk in chunks(shown):
        found = said.find(chunk, place)
        assert found >= 0, f"not printed by {command}:\n{chunk}"
        place = found + len(chunk)


def test_every_chapter_has_its_command_and_the_cautions_come_first() -> None:
    assert [int(n) for n in re.findall(r"(?m)^## (\d+)\. ", TEXT)] == list(range(1, 9))
    assert len(BLOCKS) >= 8
    head = TEXT[: TEXT.index("## 1.")]
    for words in ("screening indicator, unvalidated", "shake a craft to pieces", "tethered"):
        assert words in head
    test = TEXT[TEXT.index("## 7.") :]
    assert test.index("Take care") < test.index("1. Set her on blocks")


def test_the_comparison_can_fail(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["rides", str(ROOT / "examples" / "four-seat.toml")]) == 0
    said = capsys.readouterr().out
    assert "3.61" in said
    assert "3.62" not in said
