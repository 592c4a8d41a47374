"""docs/sits.md shows real commands and real numbers: each block is run and compared, line by line."""

from __future__ import annotations

import re
import shlex

import pytest

from skirtloft.cli import main
from tests.unit.test_air_docs import ROOT, chunks

TEXT = (ROOT / "docs" / "sits.md").read_text(encoding="utf-8")
BLOCK = r"```console\n\$ python3 run\.py ((?:sits|water) .*)\n((?:.*\n)*?)```"
BLOCKS = [(match[1], match[2]) for match in re.finditer(BLOCK, TEXT)]


@pytest.mark.parametrize(("command", "shown"), BLOCKS, ids=[str(k) for k in range(len(BLOCKS))])
def test_the_numbers_are_what_the_command_prints(
    command: str, shown: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(ROOT)
    assert main(shlex.split(command)) == 0
    said = capsys.readouterr().out
    place = 0
    assert chunks(shown)
    for chunk in chunks(shown):
        found = said.find(chunk, place)
        assert found >= 0, f"not printed by {command}:\n{chunk}"
        place = found + len(chunk)


def test_every_question_has_its_command_and_the_cautions_stand_first() -> None:
    numbers = [int(n) for n in re.findall(r"(?m)^## (\d+)\. ", TEXT)]
    assert numbers == list(range(1, 8))
    assert len(BLOCKS) == 7
    head = TEXT[: TEXT.index("## 1.")]
    for words in ("screening figures", "prediction of stability", "lifejackets", "good to 25 %"):
        assert words in head
