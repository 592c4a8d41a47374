"""One door to the typst compiler: our fonts, a fixed time stamp and no tags, so the same input gives the same bytes."""

from __future__ import annotations

import datetime
from functools import lru_cache
from pathlib import Path
from typing import Any

from skirtloft.drawing.lettering import FONT_FOLDER
from skirtloft.errors import ExportError

TIMESTAMP = datetime.datetime(2000, 1, 1, tzinfo=datetime.UTC)  # packs reproduce: no clock is read


@lru_cache(maxsize=1)
def _fonts() -> Any:
    import typst

    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(FONT_FOLDER)])


def compile_pdf(source: str, root: Path | None = None) -> bytes:
    """Return the PDF of typst markup; files it names are looked up under `root`.

    Raises
    ------
    ExportError
        typst refuses the source.
    """
    return bytes(_compile(source, root, format="pdf", pdf_tags=False)[0])


def compile_png(source: str, ppi: float) -> bytes:
    """Return the first page as PNG at `ppi` dots per inch."""
    return bytes(_compile(source, None, format="png", ppi=ppi)[0])


def _compile(source: str, root: Path | None, **options: Any) -> list[bytes]:
    import typst

    folder = None if root is None else str(root)
    try:
        answer = typst.compile(
            source.encode("utf-8"),
            root=folder,
            font_paths=_fonts(),
            ignore_system_fonts=True,
            timestamp=TIMESTAMP,
            **options,
        )
    except typst.TypstError as error:
        raise ExportError(f"The page could not be set: {error}") from error
    return answer if isinstance(answer, list) else [answer]


def quote(text: str) -> str:
    """Return `text` as a typst string."""
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


def svg_image(svg: str, width: float, height: float) -> str:
    """Return typst code for an SVG image of `width` by `height` [mm]."""
    return f'image(bytes({quote(svg)}), format: "svg", width: {width:.6f}mm, height: {height:.6f}mm, fit: "stretch")'
