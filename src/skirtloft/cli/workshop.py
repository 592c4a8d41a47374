"""The commands of the workshop: layout on the roll, what to buy, trim by measured gaps."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from skirtloft.cli.shell import (
    DesignArgument,
    SetOption,
    app,
    built,
    changed_lines,
    exit_code,
    saved_layout,
    show_progress,
)
from skirtloft.errors import DesignError, ExportError, Problem

if TYPE_CHECKING:
    from skirtloft.design.model import Paper
    from skirtloft.layout.types import Layout
    from skirtloft.layout.types import Problem as LayoutProblem
    from skirtloft.pipeline import Skirt


@app.command()
def layout(
    design: DesignArgument,
    changes: SetOption = None,
    seconds: Annotated[
        float, typer.Option(help="How long to look for a better layout, for each cloth; 0 for the quick one.")
    ] = 20.0,
    again: Annotated[bool, typer.Option("--again", help="Lay out anew where the saved layout no longer fits.")] = False,
    out: Annotated[
        Path | None, typer.Option("-o", "--out", metavar="PDF", help="Write the sheets for marking out there.")
    ] = None,
    true_size: Annotated[
        Path | None, typer.Option(metavar="PDF", help="Write every roll at true size there, in pages below 5.08 m.")
    ] = None,
) -> int:
    """Lay the pieces out on the roll; kept beside the design as NAME.layout.json, so the same layout comes back."""
    from skirtloft.drawing.page import Stamp
    from skirtloft.drawing.roll_sheets import roll_sheets, true_size_sheets
    from skirtloft.export.pdf import render
    from skirtloft.files import write_bytes, write_text
    from skirtloft.layout.better import improve
    from skirtloft.layout.blanks import problems
    from skirtloft.layout.report import layout_lines
    from skirtloft.layout.saved import to_text

    skirt, _ = built(design, changes, preview=False)
    wanted, place = problems(skirt.design, skirt.pieces), design.with_suffix(".layout.json")
    saved, aside = _start(place, wanted, again, bool(changes))
    starts = {kept.problem.cloth: kept for kept in saved}
    found, stopped = [], False
    for problem in wanted:
        start = starts.get(problem.cloth)
        if stopped or (seconds <= 0.0 and start is not None):
            improved = None
        else:
            improved = improve(problem, seconds, _layout_progress(problem.cloth, seconds), start=start)
            stopped = improved.cancelled
        best = improved.layout if improved else start or improve(problem, 0.0).layout
        found.append(best)
        for line in layout_lines(best, skirt.design.project.show, improved.troubles if improved else ()):
            print(line)
    if aside:
        print(f"Not kept: {aside}. To keep this one all the same: --again.")
    else:
        write_text(place, to_text(found, skirt.design.project.name))
        print(f"{'Stopped; the best so far is kept' if stopped else 'Kept'} in {place}.")
    stamp = Stamp(skirt.design.project, failed=_failed(skirt), changes=tuple(changes or ()))
    if out is not None:
        write_bytes(out, render(roll_sheets(found, stamp, skirt.design.making.paper)))
        print(f"Wrote {out}.")
    if true_size is not None:
        write_bytes(true_size, render([sheet for laid in found for sheet in true_size_sheets(laid)]))
        print(f"Wrote {true_size}.")
    return exit_code(skirt)


@app.command()
def materials(
    design: DesignArgument,
    changes: SetOption = None,
    out: Annotated[Path | None, typer.Option("-o", "--out", metavar="CSV", help="Write the table there.")] = None,
) -> int:
    """Say what to buy: cloth by the saved layout, thread, glue, bolts, spares; mass and cost by the file's prices."""
    from skirtloft.export.csv import render
    from skirtloft.files import write_text
    from skirtloft.layout.kept import layouts_of_run
    from skirtloft.materials.list import bill_of_materials
    from skirtloft.materials.table import COLUMNS, bill_lines, rows

    skirt, _ = built(design, changes, preview=False)
    text = saved_layout(design)
    saved, note = ((), "") if text is None else layouts_of_run(skirt.design, skirt.pieces, text, changes or ())
    bill, show = bill_of_materials(skirt.design, skirt.pieces, saved), skirt.design.project.show
    for line in (*changed_lines(changes), *_layout_note(note), *bill_lines(bill, show)):
        print(line)
    if out is not None:
        write_text(out, render(rows(bill, show), COLUMNS))
        print(f"Wrote {out}.")
    return exit_code(skirt)


@app.command()
def book(
    design: DesignArgument,
    out: Annotated[Path, typer.Option("-o", "--out", metavar="PDF", help="Where to write the book.")],
    changes: SetOption = None,
    accept: Annotated[
        list[str] | None, typer.Option(metavar="RULE", help="Accept this failed rule; every page records it.")
    ] = None,
    paper: Annotated[str | None, typer.Option(help="A4 or Letter; else as the file has it.")] = None,
) -> int:
    """Write the build book: why, sizes, air, sections, pieces, cut plan, materials, order of work, fitting, care."""
    from skirtloft.book.compose import build_book
    from skirtloft.drawing.stamp import stamp_of
    from skirtloft.export.book import render
    from skirtloft.files import write_bytes
    from skirtloft.layout.kept import layouts_of_run
    from skirtloft.report import verdict_line

    papers: dict[str, Paper] = {"a4": "A4", "letter": "Letter"}
    named = None if paper is None else papers.get(paper.lower())
    if paper is not None and named is None:
        raise ExportError(f"--paper {paper}: the book is made on A4 or Letter.")
    skirt, digest = built(design, changes, preview=False)
    stamp = stamp_of(skirt, accept or [], tuple(changes or ()))
    layouts, note = layouts_of_run(skirt.design, skirt.pieces, saved_layout(design), changes or ())
    write_bytes(out, render(build_book(skirt, layouts, stamp, named, digest)))
    print(verdict_line(skirt))
    for line in (*changed_lines(changes), *_layout_note(note)):
        print(line)
    if stamp.banner:
        print(f"Every page says: {stamp.banner}")
    print(f"Wrote {out}.")
    return exit_code(skirt)


@app.command()
def trim(
    design: DesignArgument,
    gaps: Annotated[Path, typer.Argument(metavar="GAPS", help="Gaps measured round the craft (TOML).")],
    changes: SetOption = None,
) -> int:
    """Say how the craft stands by measured gaps: level it by mass first, then trim the tips that hang low."""
    from skirtloft.design.read import read_text
    from skirtloft.sits.tips import hover_load, tips_of
    from skirtloft.trim.gaps import read_gaps
    from skirtloft.trim.places import face_slopes, places
    from skirtloft.trim.plane import stand, trims
    from skirtloft.trim.report import trim_lines
    from skirtloft.trim.righting import level_by_mass, stand_on_air

    skirt, _ = built(design, changes, cut=False)
    made, plan = skirt.design, skirt.plan
    try:
        measured = read_gaps(read_text(gaps), places(plan), [load.name for load in made.craft.load])
    except DesignError as error:
        raise DesignError(
            [Problem(f"{gaps}: {p.path}", p.given, p.wrong, p.would_do) for p in error.problems], "The file of gaps"
        ) from None
    aboard = [load.name for load in made.craft.load].index(measured.load)
    line, hover = tips_of(skirt, aboard), hover_load(skirt, aboard)
    found = stand_on_air(measured, stand(measured), line, hover)
    cuts = trims(measured, found, face_slopes(plan, measured.points))
    move = level_by_mass(found, line, hover, measured.pressure)
    told = trim_lines(measured, found, move, cuts, made.project.show, made.balance.movable)
    for words in (*changed_lines(changes), *told):
        print(words)
    return 0


def _start(place: Path, wanted: Sequence[LayoutProblem], again: bool, changed: bool) -> tuple[Sequence[Layout], str]:
    """Return the layout kept beside the design to start from, and what has to be said where it is left aside."""
    from skirtloft.layout.kept import LEFT_ASIDE
    from skirtloft.layout.saved import from_text

    if again or not place.is_file():
        return (), ""
    try:
        return from_text(place.read_text(encoding="utf-8"), wanted), ""
    except ExportError:
        if not changed:
            raise
        return (), LEFT_ASIDE


def _layout_note(note: str) -> list[str]:
    """Return what has to be said of the layout, in a line."""
    return [f"Layout    {note}"] if note else []


def _layout_progress(cloth: str, seconds: float) -> Callable[[float, Layout], None]:
    """Return what shows how a layout gets on."""
    from skirtloft.layout.verify import length_used

    def show(spent: float, best: Layout) -> None:
        what = f"{cloth} cloth, {length_used(best)[1]:.2f} m of roll"
        show_progress(min(int(10 * spent), int(10 * seconds)), int(10 * seconds), what)

    return show


def _failed(skirt: Skirt) -> tuple[str, ...]:
    return tuple(finding.rule for finding in skirt.findings if finding.verdict == "fail")
