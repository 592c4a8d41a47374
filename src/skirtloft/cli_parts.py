"""What the commands share: the design and its changes, how far a job is, and the exit code."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from skirtloft.pipeline import Skirt

SetOption = Annotated[
    list[str] | None,
    typer.Option("--set", metavar='KEY="VALUE"', help='Change a value for this run: --set skirt.depth="270 mm".'),
]
DesignArgument = Annotated[Path, typer.Argument(metavar="DESIGN", help="The design file (TOML).")]


def build_skirt(path: Path, changes: Sequence[str] | None) -> tuple[Skirt, str]:
    """Return the skirt of a design file with changes, and the digest of its text."""
    from skirtloft.design.read import design_digest, parse_design, read_text
    from skirtloft.design.write import split_changes
    from skirtloft.pipeline import build

    text = read_text(path)
    pairs = split_changes(changes or [])
    return build(parse_design(text, pairs)), design_digest(text, pairs)


def changed_lines(changes: Sequence[str] | None) -> list[str]:
    """Return what was changed for this run, so that nobody takes it for the file."""
    return [f"Changed for this run, not in the file: {', '.join(changes)}"] if changes else []


def exit_code(skirt: Skirt) -> int:
    """Return 1 where a rule fails, else 0."""
    return 1 if any(finding.verdict == "fail" for finding in skirt.findings) else 0


def show_progress(done: int, total: int, what: str) -> None:
    """Show progress on a terminal; say nothing when the output is kept."""
    if sys.stderr.isatty():
        bar = "#" * round(24 * done / max(1, total))
        end = "\n" if done >= total else ""
        print(f"\r[{bar:24}] {done}/{total} {what[:40]:40}", end=end, file=sys.stderr, flush=True)
