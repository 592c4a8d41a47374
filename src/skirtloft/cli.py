"""The command line: reads, prints, and turns every refusal into a sentence and an exit code.

Exit codes: 0 solved; 1 solved with a failed check; 2 the file or the request is wrong; 3 no answer, or a shape that
cannot be made; 130 cancelled.
"""

from __future__ import annotations

import datetime
import os
import shlex
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer
from typer.exceptions import Abort, TyperException

from skirtloft.errors import DesignError, ExportError, Problem, ShapeError, SkirtloftError

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

    if json not in (None, "-"):
        _refuse_to_overwrite(Path(str(json)))
    skirt, digest = _build(design, changes)
    out = sys.stderr if json == "-" else sys.stdout
    for line in (verdict_line(skirt), *_changed(changes), *plain_lines(skirt), *finding_lines(skirt.findings)):
        print(line, file=out)
    if json == "-":
        print(render(results(skirt, digest)), end="")
    elif json is not None:
        write_text(Path(json), render(results(skirt, digest)))
        print(f"Details in {json}")
    else:
        again = "".join(f" --set {shlex.quote(change)}" for change in changes or [])
        print(f"Details   {_launcher()} solve {design}{again} --json results.json")
        print(f"Templates {_launcher()} pack {design}{again} -o {design.stem}-pack")
    return _code(skirt)


@app.command()
def pack(
    design: DesignArgument,
    out: Annotated[Path, typer.Option("-o", "--out", metavar="DIR", help="Folder to write the build pack to.")],
    changes: SetOption = None,
    accept: Annotated[
        list[str] | None, typer.Option(metavar="RULE", help="Accept this failed rule; every sheet records it.")
    ] = None,
    tile_all: Annotated[
        bool, typer.Option("--tile-all", help="Tile rectangles too; they have a card in any case.")
    ] = False,
) -> int:
    """Write the build pack: templates, tiles, cards, drawings, cut list, 3D model, results."""
    from skirtloft.pack import check_target, plan_pack, write_pack
    from skirtloft.report import finding_lines, verdict_line

    check_target(out)
    skirt, digest = _build(design, changes)
    planned = plan_pack(skirt, digest, accept or [], tile_all, tuple(changes or ()))
    print(verdict_line(skirt))
    for line in (*_changed(changes), *finding_lines(skirt.findings), *planned.lines()):
        print(line)
    written = write_pack(planned, out, _progress)
    print(f"Wrote {len(written)} files to {out}. Start with {out / '00-read-me.pdf'}.")
    return _code(skirt)


@app.command()
def air(
    design: DesignArgument,
    changes: SetOption = None,
    gap: Annotated[str | None, typer.Option(help='Wanted gap in place of the file\'s: "15 mm".')] = None,
    speed: Annotated[str | None, typer.Option(help='Speed of the fan in place of the file\'s: "2400 rpm".')] = None,
    load: Annotated[str | None, typer.Option(metavar="NAME", help="Only this load of the file.")] = None,
    mass: Annotated[str | None, typer.Option(help='This mass in place of the loads: "480 kg".')] = None,
    feed: Annotated[bool, typer.Option("--feed", help="How big the feed holes are to be.")] = False,
    surfaces: Annotated[bool, typer.Option("--surfaces", help="Gap, speed, power by surface and day.")] = False,
    compare: Annotated[bool, typer.Option("--compare", help="Skirt kinds side by side.")] = False,
    limits: Annotated[bool, typer.Option("--limits", help="What gives first; segments that may be lost.")] = False,
    water: Annotated[bool, typer.Option("--water", help="Does it get up from rest on water?")] = False,
    battery: Annotated[bool, typer.Option("--battery", help="Electric lift: power, current, minutes.")] = False,
    smallest: Annotated[bool, typer.Option("--smallest", help="How small it may be with this fan.")] = False,
    free_flow: Annotated[str | None, typer.Option(help='A free-air flow, with --power: "3 m3/s".')] = None,
    power: Annotated[str | None, typer.Option(help='The power it is taken from: "1 hp".')] = None,
) -> int:
    """Say whether the fan carries the craft: gap, speed and power for each load, losses, and what gives first."""
    from skirtloft.answers.ask import ANSWERS, Asked, answer
    from skirtloft.design.read import parse_design, read_text
    from skirtloft.design.write import split_changes

    typed = {"feed": feed, "surfaces": surfaces, "compare": compare, "water": water, "battery": battery}
    asked = Asked(
        questions=tuple(name for name in ANSWERS if {**typed, "smallest": smallest}[name]),
        limits=limits,
        load=load,
        mass=mass,
        free_flow=free_flow,
        power=power,
    )
    named = {"air.gap": gap, "air.fan.speed": speed}
    pairs = [*split_changes(changes or []), *((key, value) for key, value in named.items() if value is not None)]
    lines, fails = answer(parse_design(read_text(design), pairs), asked)
    for line in lines:
        print(line)
    return 1 if fails else 0


@app.command("open")
def open_(
    design: Annotated[
        Path | None, typer.Argument(metavar="[DESIGN]", help="The design file; without one, five questions.")
    ] = None,
    port: Annotated[int | None, typer.Option(help="Port of this machine; else the first free one from 8740.")] = None,
    network: Annotated[bool, typer.Option("--network", help="Let other devices in, by a one-time token.")] = False,
    read_only: Annotated[bool, typer.Option("--read-only", help="Other devices may look and not change.")] = False,
    quiet: Annotated[bool, typer.Option("--quiet", help="Do not open the page in the browser.")] = False,
) -> int:
    """Open the drawing desk: a page on this machine; change a number, see the skirt."""
    from skirtloft.desk.open_desk import open_desk

    return open_desk(design, port=port, network=network, read_only=read_only, show=not quiet)


@app.command()
def outline(
    drawing: Annotated[Path, typer.Argument(metavar="DXF", help="A drawing that holds the hull edge in plan.")],
    layer: Annotated[list[str] | None, typer.Option(metavar="NAME", help="Layer it is on; may be repeated.")] = None,
    units: Annotated[str | None, typer.Option(help="Unit of a drawing that does not say: mm cm m in ft.")] = None,
    height: Annotated[str | None, typer.Option(help='Above the hull bottom: "340 mm"; else the drawing\'s z.')] = None,
    bow: Annotated[str | None, typer.Option(help='Where the bow points: "0 deg" along x, "90 deg" along y.')] = None,
    centre: Annotated[str | None, typer.Option(help="y or x of the centre line; else found by symmetry.")] = None,
    half: Annotated[bool, typer.Option("--half", help="A half outline, closed along the centre line.")] = False,
    tolerance: Annotated[str, typer.Option(help="How near arcs come to splines and ellipses.")] = "1 mm",
    symmetry: Annotated[str, typer.Option(help="How far port and starboard may differ.")] = "1 mm",
    snap: Annotated[str, typer.Option(help="Ends nearer than this are joined.")] = "0.1 mm",
    out: Annotated[Path | None, typer.Option("-o", "--out", metavar="FILE", help="Write the points there.")] = None,
    into: Annotated[
        Path | None, typer.Option(metavar="DESIGN", help="Put the points into this design for its hull edge.")
    ] = None,
) -> int:
    """Read the hull edge from a DXF drawing: arcs kept, curves as arcs, labels by the way pieces face."""
    from skirtloft.design.edge_text import edge_tables, with_edge
    from skirtloft.design.read import read_text
    from skirtloft.files import write_new, write_text
    from skirtloft.shape.drawn.outline import outline_of_dxf
    from skirtloft.shape.drawn.report import comments, report_lines
    from skirtloft.shape.drawn.request import request_of

    if out is not None and into is not None:
        raise ExportError("Give -o FILE or --into DESIGN, not both.")
    typed = {"height": height, "bow": bow, "centre": centre, "tolerance": tolerance, "symmetry": symmetry, "snap": snap}
    try:
        found = outline_of_dxf(_drawing_bytes(drawing), request_of(typed, layer or (), units, half))
    except DesignError as error:
        return _list_problems("The drawing or the request", error)
    text = edge_tables(found.points, comments(found), found.unit.is_imperial)
    for line in report_lines(found, drawing.name):
        print(line, file=sys.stdout if out or into else sys.stderr)
    if out is not None:
        write_new(out, text)
        print(f"Wrote {len(found.points)} points to {out}, to stand in a design in place of its [[hull.edge]] tables.")
    elif into is not None:
        made = with_edge(read_text(into), text)
        write_text(into, made)
        print(f"Wrote {len(found.points)} points into {into}. Loads are measured from the stern as well: see to them.")
        _still_to_mend(made)
    else:
        print(text, end="")
    return 0


def _drawing_bytes(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as error:
        wrong = "This is a folder." if path.is_dir() else f"It cannot be read ({error.strerror})."
        raise DesignError([Problem("file", str(path), wrong, "Name a DXF file.")]) from None


def _still_to_mend(text: str) -> None:
    """Print what keeps a design with a new hull edge from being laid out."""
    from skirtloft.design.read import parse_design
    from skirtloft.shape.plan import lay_out

    try:
        lay_out(parse_design(text))
    except SkirtloftError as error:
        print("Before it solves, mend this in it:")
        print("\n".join(f"  {line}" for line in str(error).splitlines()))


def _build(path: Path, changes: Sequence[str] | None) -> tuple[Skirt, str]:
    from skirtloft.design.read import design_digest, parse_design, read_text
    from skirtloft.design.write import split_changes
    from skirtloft.pipeline import build

    text = read_text(path)
    pairs = split_changes(changes or [])
    return build(parse_design(text, pairs)), design_digest(text, pairs)


def _changed(changes: Sequence[str] | None) -> list[str]:
    """Return what was changed for this run, so that nobody takes it for the file."""
    return [f"Changed for this run, not in the file: {', '.join(changes)}"] if changes else []


def _refuse_to_overwrite(target: Path) -> None:
    """Refuse to write results over anything but results."""
    from skirtloft.results import FORMAT

    if not target.exists() or not target.is_file():
        return
    if f'"{FORMAT}"' not in target.read_text(encoding="utf-8", errors="replace")[:200]:
        raise ExportError(f"{target} is there already and holds no results; give another name.")


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
        return _list_problems("The design file", error)
    if isinstance(error, ShapeError):
        print(f"This shape cannot be made. {error.where}: {error.why}\n  {error.would_do}", file=sys.stderr)
        return 3
    print(error, file=sys.stderr)
    return 2 if isinstance(error, ExportError) else 3


def _list_problems(what: str, error: DesignError) -> int:
    """Print every problem of a file and return the exit code."""
    count = len(error.problems)
    print(f"{what} has {count} problem{'s' if count != 1 else ''}:", file=sys.stderr)
    for problem in error.problems:
        print(f"  {problem.path}: given {problem.given}", file=sys.stderr)
        print(f"    {problem.wrong} {problem.would_do}", file=sys.stderr)
    return 2


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
