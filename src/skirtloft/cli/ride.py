"""The commands on how it sits and what water does to it: sits, water."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from skirtloft.cli.shell import DesignArgument, SetOption, app, built, changed_lines
from skirtloft.errors import ExportError

if TYPE_CHECKING:
    from skirtloft.checks.finding import Finding
    from skirtloft.pipeline import Skirt

JsonOption = Annotated[
    str | None, typer.Option("--json", metavar="FILE", help="Write the figures as JSON to FILE, or to - .")
]
LoadOption = Annotated[str | None, typer.Option(metavar="NAME", help="Only this load of the file.")]


@app.command()
def sits(
    design: DesignArgument,
    changes: SetOption = None,
    load: LoadOption = None,
    move: Annotated[
        list[str] | None, typer.Option(metavar="MASS", help='Move this aboard: "80 kg"; with --by.')
    ] = None,
    by: Annotated[list[str] | None, typer.Option(metavar="WAY", help='How far, which way: "0.3 m to port".')] = None,
    json: JsonOption = None,
) -> int:
    """Say how it sits: heel, trim and gap of each load, what holds it, where the weight may be and ballast goes."""
    from skirtloft.answers.ride_results import SITS_FORMAT, sits_results
    from skirtloft.answers.sits import moves_of, sits_answer

    moves = moves_of(move or [], by or [])
    _refuse_to_overwrite(json, SITS_FORMAT)
    skirt, digest = _solved(design, changes)
    lines, found, findings = sits_answer(skirt, load, moves)
    _print([lines[0], *changed_lines(changes), *lines[1:]], json)
    _write(json, lambda: sits_results(skirt, digest, found, findings))
    return _code(findings)


@app.command()
def water(design: DesignArgument, changes: SetOption = None, load: LoadOption = None, json: JsonOption = None) -> int:
    """Say what water does to it: the hump, thrust to spare, speed, the hollow, and what holds the bow up."""
    from skirtloft.answers.ride_results import WATER_FORMAT, water_results
    from skirtloft.answers.under_way import water_answer

    _refuse_to_overwrite(json, WATER_FORMAT)
    skirt, digest = _solved(design, changes)
    lines, found, findings = water_answer(skirt, load)
    _print([lines[0], *changed_lines(changes), *lines[1:]], json)
    _write(json, lambda: water_results(skirt, digest, found, findings))
    return _code(findings)


def _solved(path: Path, changes: list[str] | None) -> tuple[Skirt, str]:
    """Return the skirt without its pieces, and the digest of the design's text."""
    return built(path, changes, cut=False)


def _print(lines: list[str], json: str | None) -> None:
    for line in lines:
        print(line, file=sys.stderr if json == "-" else sys.stdout)


def _write(json: str | None, make: Any) -> None:
    from skirtloft.export.json import render
    from skirtloft.files import write_text

    if json == "-":
        print(render(make()), end="")
    elif json is not None:
        write_text(Path(json), render(make()))
        print(f"Details in {json}")


def _refuse_to_overwrite(json: str | None, form: str) -> None:
    """Refuse to write over anything but figures of the same kind."""
    target = Path(json) if json not in (None, "-") else None
    if target is None or not target.is_file():
        return
    if f'"{form}"' not in target.read_text(encoding="utf-8", errors="replace")[:200]:
        raise ExportError(f"{target} is there already and holds no such figures; give another name.")


def _code(findings: tuple[Finding, ...]) -> int:
    return 1 if any(finding.verdict == "fail" for finding in findings) else 0
