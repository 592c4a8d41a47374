"""What every command shares: options, the design it is given, progress, refusals in words and exit codes.

Exit codes: 0 solved; 1 solved with a failed check; 2 the file or the request is wrong; 3 no answer, or a shape that
cannot be made; 130 cancelled.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from skirtloft.errors import DesignError, ExportError, ShapeError, SkirtloftError

if TYPE_CHECKING:
    from skirtloft.design.model import Design
    from skirtloft.inflate.saved import SavedInflation
    from skirtloft.pipeline import Skirt

CANCELLED = 130

app = typer.Typer(
    add_completion=False,
    pretty_exceptions_enable=False,
    help="Design, flatten and cut the flexible skirt of a light hovercraft from one design file.",
)

SetOption = Annotated[
    list[str] | None,
    typer.Option("--set", metavar='KEY="VALUE"', help='Change a value for this run: --set skirt.depth="270 mm".'),
]
DesignArgument = Annotated[Path, typer.Argument(metavar="DESIGN", help="The design file (TOML).")]


def built(
    path: Path, changes: Sequence[str] | None, cut: bool = True, preview: bool = True, *, inflated: bool = True
) -> tuple[Skirt, str]:
    """Return the skirt of a design file with changes, and the digest of its text; with exact patterns it takes a while.

    `preview`: the loop panels are unrolled quickly, whatever the file says. `inflated`: what a saved inflation beside
    the design shows, of the whole skirt or of the loop alone, is taken up where it still holds.
    """
    from skirtloft.design.read import design_digest, parse_design, read_text
    from skirtloft.design.write import split_changes
    from skirtloft.pipeline import build, with_inflated

    text = read_text(path)
    pairs = split_changes(changes or [])
    skirt = build(parse_design(text, pairs), cut, preview=preview, progress=show_progress)
    if inflated:
        skirt = with_inflated(skirt, saved_inflation_beside(path, skirt.design))
        skirt = skirt if preview else _with_held_loop(skirt, path)
    return skirt, design_digest(text, pairs)


def _with_held_loop(skirt: Skirt, design: Path) -> Skirt:
    """Return the skirt with what `inflate --held` found of these panels, where that is kept beside the design."""
    from skirtloft.answers.held_loop import saved_deviation
    from skirtloft.inflate.loop_check import panels_fingerprint
    from skirtloft.pipeline import as_inflated_alone

    place = held_loop_place(design)
    if not place.is_file():
        return skirt
    try:
        fingerprint = panels_fingerprint(skirt.development, skirt.cushions[0].pressure)
        away = saved_deviation(place.read_text(encoding="utf-8", errors="replace"), fingerprint)
    except ExportError as error:
        raise ExportError(f"{place}: {error} Delete it, or make it anew with `inflate --held`.") from error
    if away is None:
        print(
            f"{place} is of other loop panels, or was stopped: not used. `inflate --held` makes it anew.",
            file=sys.stderr,
        )
        return skirt
    return as_inflated_alone(skirt, away)


def held_loop_place(design: Path) -> Path:
    """Return where `inflate --held` keeps its answer."""
    return design.with_name(f"{design.stem}.held-loop.json")


def saved_inflation_beside(path: Path, design: Design) -> SavedInflation | None:
    """Return what `inflate` saved beside a design where it still holds; where it does not, say so and return None."""
    from skirtloft.inflate.saved import inflation_place, saved_inflation, shape_digest

    place = inflation_place(path)
    if not place.is_file():
        return None
    try:
        saved = saved_inflation(place.read_text(encoding="utf-8", errors="replace"), shape_digest(design))
    except ExportError as error:
        print(f"{place.name}: {error} Not used.", file=sys.stderr)
        return None
    if saved.refusal:
        print(f"{place.name} {saved.refusal}", file=sys.stderr)
        return None
    return saved


def saved_layout(design: Path) -> str | None:
    """Return the text of the layout kept beside a design; None where there is none."""
    place = design.with_suffix(".layout.json")
    return place.read_text(encoding="utf-8") if place.is_file() else None


def changed_lines(changes: Sequence[str] | None) -> list[str]:
    """Return what was changed for this run, so that nobody takes it for the file."""
    return [f"Changed for this run, not in the file: {', '.join(changes)}"] if changes else []


def refuse_to_overwrite(target: Path, kind: str | None = None) -> None:
    """Refuse to write results over anything but results of the same kind (a format; those of `solve` if not given)."""
    from skirtloft.results import FORMAT

    if not target.exists() or not target.is_file():
        return
    if f'"{kind or FORMAT}"' not in target.read_text(encoding="utf-8", errors="replace")[:200]:
        raise ExportError(f"{target} is there already and holds no results; give another name.")


def exit_code(skirt: Skirt) -> int:
    """Return 1 where a check fails, else 0."""
    return 1 if any(finding.verdict == "fail" for finding in skirt.findings) else 0


def show_progress(done: int, total: int, what: str) -> None:
    """Show progress on a terminal; say nothing when the output is kept."""
    if sys.stderr.isatty():
        bar = "#" * round(24 * done / max(1, total))
        end = "\n" if done >= total else ""
        print(f"\r[{bar:24}] {done}/{total} {what[:40]:40}", end=end, file=sys.stderr, flush=True)


def refused(error: SkirtloftError) -> int:
    """Print a refusal and return its exit code."""
    if isinstance(error, DesignError):
        asked = all(problem.path.isupper() for problem in error.problems)
        return list_problems("The request" if asked else error.what, error)
    if isinstance(error, ShapeError):
        print(f"This shape cannot be made. {error.where}: {error.why}\n  {error.would_do}", file=sys.stderr)
        return 3
    print(error, file=sys.stderr)
    return 2 if isinstance(error, ExportError) else 3


def list_problems(what: str, error: DesignError) -> int:
    """Print every problem of a file and return the exit code."""
    count = len(error.problems)
    print(f"{what} has {count} problem{'s' if count != 1 else ''}:", file=sys.stderr)
    for problem in error.problems:
        print(f"  {problem.path}: given {problem.given}", file=sys.stderr)
        print(f"    {problem.wrong} {problem.would_do}", file=sys.stderr)
    return 2


def launcher() -> str:
    """Return what the user types to start the program, as `run.py` tells it."""
    return os.environ.get("SKIRTLOFT_LAUNCHER", "skirtloft")
