"""What tests of the desk share: the example's text, a document with a clock that a test winds."""

from __future__ import annotations

from pathlib import Path

from skirtloft.desk.document import Document
from tests.designs import EXAMPLES

FOUR_TEXT = (EXAMPLES / "four-seat.toml").read_text(encoding="utf-8")


class Clock:
    """Seconds that pass only when told."""

    def __init__(self) -> None:
        self.now = 100.0

    def __call__(self) -> float:
        return self.now


def on_disk(folder: Path, text: str = FOUR_TEXT) -> tuple[Document, Clock]:
    """Return a document with a file in `folder`, and its clock."""
    path = folder / "craft.toml"
    path.write_text(text, encoding="utf-8")
    clock = Clock()
    return Document(text, path, clock), clock
