"""The command line: reads, prints, and turns every refusal into a sentence and an exit code.

Exit codes: 0 solved; 1 solved with a failed check; 2 the file or the request is wrong; 3 no answer, or a shape that
cannot be made; 130 cancelled.
"""

from __future__ import annotations

import datetime
import os
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer
from typer.exceptions import Abort, TyperException

from skirtloft.errors import DesignError, ExportError, ShapeError, SkirtloftError

if TYPE_CHECKING:
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


@app.command()
def new(
    name: Annotated[str, typer.Argument(metavar="NAME", help="Name of the craft; writes NAME.toml.")],
    seats: Annotated[int, typer.Option(help="Seats, 1 to 12.")] = 4,
    mass: Annotated[str | None, typer.Option(help='Mass with crew and fuel: "750 kg" or "1650 lb".')] = None,
    length: Annotated[str | None, typer.Option(help='Hull length: "5 m" or "16 ft 5 in".')] = None,
    beam: Annotated[str | None, typer.Option(help='Hull width: "2.3 m" or "7 ft 6 in".')] = None,
) -> int:
    """Write a commented design file that solves, to start from."""
    from skirtloft.design.start import new_design
    from skirtloft.files import write_new

    today = datetime.datetime.now().astimezone().date().isoformat()
    text, warnings = new_design(Path(name).stem, seats=seats, mass=mass, length=length, beam=beam, date=today)
    target = Path(name).with_suffix(".toml")
    write_new(target, text)
    for warning in warnings:
        print(warning)
    print(f"Wrote {target}. Read it, change what is yours, then:")
    print(f"  {_launcher()} solve {target}")
    print(f"  {_launcher()} pack {target} -o {target.stem}-pack")
    return 0


@app.command()
def solve(
    design: DesignArgument,
    json: Annotated[
        str | None, typer.Option("--json", metavar="FILE", help="Write the results as JSON to FILE, or to - .")
    ] = None,
    changes: SetOption = None,
) -> int:
    """Solve the skirt and say whether it holds: verdict, pressure, air, sizes, then what to change."""
    from skirtloft.export.json import render
    from skirtloft.files import write_text
    from skirtloft.report import finding_lines, plain_lines, verdict_line
    from skirtloft.results import results

    skirt, digest = _build(design, changes)
    out = sys.stderr if json == "-" else sys.stdout
    for line in (verdict_line(skirt), *plain_lines(skirt), *finding_lines(skirt.findings)):
        print(line, file=out)
    if json == "-":
        print(render(results(skirt, digest)), end="")
    elif json is not None:
        write_text(Path(json), render(results(skirt, digest)))
        print(f"Details in {json}")
    else:
        print(f"Details   {_launcher()} solve {design} --json results.json")
        print(f"Templates {_launcher()} pack {design} -o {design.stem}-pack")
    return _code(skirt)


@app.command()
def pack(
    design: DesignArgument,
    out: Annotated[Path, typer.Option("-o", "--out", metavar="DIR", help="Folder to write the build pack to.")],
    changes: SetOption = None,
    accept: Annotated[
        list[str] | None, typer.Option(metavar="RULE", help="Accept this failed rule; every sheet records it.")
    ] = None,
    tile_rectangles: Annotated[
        bool, typer.Option(help="Also tile rectangles, which otherwise get a measure-and-mark card.")
    ] = False,
) -> int:
    """Write the build pack: templates, tiles, cards, drawings, cut list, 3D model, results."""
    from skirtloft.pack import plan_pack, write_pack
    from skirtloft.report import finding_lines, verdict_line

    skirt, digest = _build(design, changes)
    planned = plan_pack(skirt, digest, accept or [], tile_rectangles)
    print(verdict_line(skirt))
    for line in (*finding_lines(skirt.findings), *planned.lines()):
        print(line)
    written = write_pack(planned, out, _progress)
    print(f"Wrote {len(written)} files to {out}. Start with {out / '00-read-me.pdf'}.")
    return _code(skirt)


def _build(path: Path, changes: Sequence[str] | None) -> tuple[Skirt, str]:
    from skirtloft.design.read import design_digest, parse_design, read_text
    from skirtloft.design.write import split_changes
    from skirtloft.pipeline import build

    text = read_text(path)
    pairs = split_changes(changes or [])
    return build(parse_design(text, pairs)), design_digest(text, pairs)


def _code(skirt: Skirt) -> int:
    return 1 if any(finding.verdict == "fail" for finding in skirt.findings) else 0


def _progress(done: int, total: int, what: str) -> None:
    """Show progress on a terminal; say nothing when the output is kept."""
    if sys.stderr.isatty():
        bar = "#" * round(24 * done / max(1, total))
        end = "\n" if done >= total else ""
        print(f"\r[{bar:24}] {done}/{total} {what[:40]:40}", end=end, file=sys.stderr, flush=True)


def _say(error: SkirtloftError) -> int:
    """Print a refusal and return its exit code."""
    if isinstance(error, DesignError):
        count = len(error.problems)
        print(f"The design file has {count} problem{'s' if count != 1 else ''}:", file=sys.stderr)
        for problem in error.problems:
            print(f"  {problem.path}: given {problem.given}", file=sys.stderr)
            print(f"    {problem.wrong} {problem.would_do}", file=sys.stderr)
        return 2
    if isinstance(error, ShapeError):
        print(f"This shape cannot be made. {error.where}: {error.why}\n  {error.would_do}", file=sys.stderr)
        return 3
    print(error, file=sys.stderr)
    return 2 if isinstance(error, ExportError) else 3


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line and return its exit code; never a traceback for a refusal."""
    _speak_utf8()
    words = list(sys.argv[1:] if arguments is None else arguments) or ["--help"]
    try:
        result: Any = app(args=words, standalone_mode=False, prog_name="skirtloft")
    except SkirtloftError as error:
        return _say(error)
    except (Abort, KeyboardInterrupt):
        result = CANCELLED
    except TyperException as error:
        print(f"{error}\nTry: {_launcher()} --help", file=sys.stderr)
        return 2
    if result == CANCELLED:
        print("Cancelled; nothing half-written is left.", file=sys.stderr)
    return int(result) if isinstance(result, int) else 0


def _launcher() -> str:
    """Return what the user types to start the program, as `run.py` tells it."""
    return os.environ.get("SKIRTLOFT_LAUNCHER", "skirtloft")


def _speak_utf8() -> None:
    """Print any character on any terminal: replace what it cannot show instead of failing."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")
