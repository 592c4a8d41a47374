"""The commands on the hull: fit, outline."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from skirtloft.cli.shell import DesignArgument, SetOption, app, exit_code, launcher, list_problems, show_progress
from skirtloft.errors import DesignError, ExportError, Problem, SkirtloftError


@app.command()
def fit(
    design: DesignArgument,
    changes: SetOption = None,
    write: Annotated[
        bool, typer.Option("--write", help="Write the values found (and those of --set) into the file, comments kept.")
    ] = False,
) -> int:
    """Fit a skirt to a hull that exists: depth, insets, corner radii, and the clearance nearest the one in the file."""
    from skirtloft.design.read import parse_design, read_text
    from skirtloft.design.write import change_text, split_changes
    from skirtloft.files import write_text
    from skirtloft.fit.search import fit as search
    from skirtloft.fit.variables import changes_of
    from skirtloft.fit.words import fit_lines, set_line
    from skirtloft.pipeline import build
    from skirtloft.report import finding_lines

    text, pairs = read_text(design), split_changes(changes or [])
    asked = parse_design(text, pairs)
    found = search(asked, show_progress)
    show_progress(1, 1, "done")
    print("\n".join(fit_lines(found)))
    if not found.trial.holds:
        return 3
    skirt = build(found.design)
    for line in finding_lines(tuple(finding for finding in skirt.findings if finding.verdict == "fail")):
        print(line)
    moved = changes_of(asked, found.variables, found.trial.values)
    wanted = {**dict(pairs), **moved}
    if write and wanted:
        made, _ = change_text(text, wanted)
        parse_design(made)
        write_text(design, made)
        print(f"Wrote {len(wanted)} values into {design}: {', '.join(wanted)}.")
    elif wanted:
        print(f"To try it   {set_line(launcher(), 'solve', str(design), wanted)}")
        print(f"To keep it  {set_line(launcher(), 'fit', str(design), dict(pairs))} --write")
    else:
        print("The file has these values already.")
    return exit_code(skirt)


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
        return list_problems("The drawing or the request", error)
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
