"""The first page of the read-me: whatever is said of the craft, nothing runs into the title block."""

from __future__ import annotations

import pytest

from skirtloft.drawing.page import page_room
from skirtloft.drawing.read_me import _contents
from skirtloft.drawing.sheet import Text

FACTS = [
    f"{'Air' if i % 3 == 0 else '':10}a line of some ninety letters on what the fan has to do and what it can"
    for i in range(30)
]
FILES = [(f"file-{i}.pdf", "what it is") for i in range(11)]


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("lines", [5, 12, 16, 20, 24])
def test_no_line_lies_below_the_room(lines: int, paper: str) -> None:
    pages = _contents([], FILES, ["A craft, revision A", *FACTS[:lines]], paper)
    bottom = page_room(paper, landscape=False).bottom
    texts = [[item for item in page if isinstance(item, Text)] for page in pages]
    assert all(text.y >= bottom - 0.5 for page in texts for text in page)
    said = [text.text for page in texts for text in page]
    assert all(name in said for name, _ in FILES)
    assert "Files" in said
    assert len(pages) == (1 if lines < 20 else 2)
