"""What lies beside the design file: the layout that is kept and the inflation that was saved."""

from __future__ import annotations

from pathlib import Path

from skirtloft.errors import ExportError
from skirtloft.files import write_text
from skirtloft.inflate.saved import inflation_place, saved_inflation, shape_digest
from skirtloft.pipeline import Skirt, with_inflated

KINDS = ("layout", "inflate")


class Beside:
    """Texts beside a design, or held here while the design has no file; by the name of the work that makes them."""

    def __init__(self) -> None:
        self._held = dict.fromkeys(KINDS, "")
        self._seen: tuple[int, int] | None = None

    def text(self, kind: str, design: Path | None) -> str:
        """Return the text of that kind; "" where there is none."""
        try:
            return self._held[kind] if design is None else _place(kind, design).read_text(encoding="utf-8")
        except (OSError, UnicodeDecodeError):
            return self._held[kind]

    def keep(self, kind: str, text: str, design: Path | None) -> None:
        """Keep a text, in its file where the design has one.

        Raises
        ------
        SkirtloftError
            The file cannot be written; the text is held.
        """
        self._held[kind] = text
        if design is not None:
            write_text(_place(kind, design), text)

    def is_inflated_anew(self, design: Path | None) -> bool:
        """Whether the saved inflation was written or removed since this was asked last."""
        try:
            found = _place("inflate", design).stat() if design is not None else None
            now = None if found is None else (found.st_mtime_ns, found.st_size)
        except OSError:
            now = None
        before, self._seen = self._seen, now
        return now != before


def _place(kind: str, design: Path) -> Path:
    return inflation_place(design) if kind == "inflate" else design.with_suffix(".layout.json")


def taken_up(skirt: Skirt, inflation: str) -> tuple[Skirt, str]:
    """Return a skirt with what the text of a saved inflation shows of it, and why it is not used.

    The second is "" where it is used or there is none.
    """
    if not inflation:
        return skirt, ""
    try:
        saved = saved_inflation(inflation, shape_digest(skirt.design))
    except ExportError as error:
        return skirt, str(error)
    return with_inflated(skirt, saved), f"What is saved {saved.refusal}" if saved.refusal else ""
