"""The layouts to go by: those saved beside the design, else the quick ones, which are the same every time."""

from __future__ import annotations

from collections.abc import Sequence

from skirtloft.design.model import Design
from skirtloft.errors import ExportError, ShapeError
from skirtloft.layout.blanks import problems
from skirtloft.layout.saved import from_text
from skirtloft.layout.search import quick_layout
from skirtloft.layout.types import Layout
from skirtloft.pieces.types import CutPiece

LEFT_ASIDE = (
    "the layout beside the file is for other pieces or rolls than this run's; it stays there, and this run has its own"
)


def kept_layouts(design: Design, pieces: Sequence[CutPiece], saved: str | None = None) -> tuple[Layout, ...]:
    """Return one layout for each cloth, or none at all where a piece fits on no roll: a rule of its own tells that.

    Parameters
    ----------
    design : Design
    pieces : sequence of CutPiece
    saved : str or None
        Text of the file kept beside the design; None where there is none.

    Raises
    ------
    ExportError
        The saved text is no layout, or was made for other pieces or rolls.
    """
    wanted = problems(design, pieces)
    if saved is not None:
        return from_text(saved, wanted)
    try:
        return tuple(quick_layout(problem) for problem in wanted)
    except ShapeError:
        return ()


def layouts_of_run(
    design: Design, pieces: Sequence[CutPiece], saved: str | None, changes: Sequence[str]
) -> tuple[tuple[Layout, ...], str]:
    """Return the layouts of a run with what has to be said of them: `LEFT_ASIDE`, or nothing.

    A run with changes of its own may cut other pieces than the file does; then the saved layout does not fit, and that
    is no fault of the file. Without changes it is refused, as `kept_layouts` does.

    Raises
    ------
    ExportError
        As `kept_layouts`, where nothing was changed for the run.
    """
    try:
        return kept_layouts(design, pieces, saved), ""
    except ExportError:
        if not changes:
            raise
        return kept_layouts(design, pieces), LEFT_ASIDE
