"""The commands that start, solve and write a skirt: new, solve, pack."""

from __future__ import annotations

import datetime
import shlex
import sys
from dataclasses import replace
from pathlib import Path
from typing import Annotated

import typer

from skirtloft.cli.shell import (
    DesignArgument,
    SetOption,
    app,
    built,
    changed_lines,
    exit_code,
    launcher,
    refuse_to_overwrite,
    saved_layout,
    show_progress,
)
from skirtloft.pack.parts import PARTS


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
    print(f"  {launcher()} solve {target}")
    print(f"  {launcher()} pack {target} -o {target.stem}-pack")
    return 0


@app.command()
def solve(
    design: DesignArgument,
    json: Annotated[
        str | None, typer.Option("--json", metavar="FILE", help="Write the results as JSON to FILE, or to - .")
    ] = None,
    changes: SetOption = None,
    exact: Annotated[
        bool, typer.Option("--exact", help="Make the loop patterns as `pack` will, not the quick preview.")
    ] = False,
) -> int:
    """Solve the skirt and say whether it holds: verdict, pressure, air, sizes, then what to change."""
    from skirtloft.export.json import render
    from skirtloft.files import write_text
    from skirtloft.report import finding_lines, plain_lines, verdict_line
    from skirtloft.results import results

    if json not in (None, "-"):
        refuse_to_overwrite(Path(str(json)))
    skirt, digest = built(design, changes, preview=not exact)
    out = sys.stderr if json == "-" else sys.stdout
    for line in (
        verdict_line(skirt),
        *changed_lines(changes),
        *plain_lines(skirt),
        *finding_lines(skirt.findings, skirt.design.project.show),
    ):
        print(line, file=out)
    if json == "-":
        print(render(results(skirt, digest)), end="")
    elif json is not None:
        write_text(Path(json), render(results(skirt, digest)))
        print(f"Details in {json}")
    else:
        again = "".join(f" --set {shlex.quote(change)}" for change in changes or [])
        print(f"Details   {launcher()} solve {design}{again} --json results.json")
        print(f"Templates {launcher()} pack {design}{again} -o {design.stem}-pack")
    return exit_code(skirt)


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
    zipped: Annotated[bool, typer.Option("--zip", help="One ZIP file in place of a folder: DIR.zip.")] = False,
    only: Annotated[
        list[str] | None,
        typer.Option(
            metavar="PARTS",
            help=f"Only these: {', '.join(PARTS)}; several with commas.",
        ),
    ] = None,
    paper: Annotated[
        list[str] | None,
        typer.Option(metavar="PAPERS", help="Tiles on these: A4, A3, Letter, Tabloid; A4 and Letter if none is named."),
    ] = None,
    since: Annotated[
        Path | None,
        typer.Option(metavar="OLD", help="Folder, ZIP or results of an earlier pack: which pieces of it will do."),
    ] = None,
    mock_up: Annotated[str, typer.Option(help="Scale of the mock-up in card: full, half or fifth.")] = "fifth",
    card: Annotated[
        str,
        typer.Option(metavar="THICKNESS", help="Thickness of the card for it, with its unit: as wide as its slots."),
    ] = "1.5 mm",
) -> int:
    """Write the build pack: the book, templates, tiles, cards, drawings, lists, 3D model, results."""
    from skirtloft.pack.mock_up import mock_up_size
    from skirtloft.pack.place import check_target, check_zip
    from skirtloft.pack.plan import plan_pack
    from skirtloft.pack.since import read_old, since_old
    from skirtloft.pack.write import write_pack, write_zip
    from skirtloft.report import finding_lines, verdict_line

    size = mock_up_size(mock_up, card)
    target = out if not zipped or out.suffix.lower() == ".zip" else out.with_name(f"{out.name}.zip")
    (check_zip if zipped else check_target)(target)
    old = read_old(since) if since else None  # before the work, and before it may be replaced
    skirt, digest = built(design, changes, preview=False)
    planned = plan_pack(
        skirt,
        digest,
        accept or [],
        tile_all,
        tuple(changes or ()),
        _named(only),
        saved_layout(design),
        papers=_named(paper),
        mock_up=size,
    )
    if old:
        planned = replace(planned, since=since_old(old, skirt.pieces))
    print(verdict_line(skirt))
    for line in (*changed_lines(changes), *finding_lines(skirt.findings, skirt.design.project.show), *planned.lines()):
        print(line)
    written = (write_zip if zipped else write_pack)(planned, target, show_progress)
    print(f"Wrote {len(written)} files to {target}. Start with {target / '00-read-me.pdf'}.")
    return exit_code(skirt)


def _named(words: list[str] | None) -> list[str]:
    """Return names given one by one or with commas."""
    return [name.strip() for word in words or [] for name in word.split(",") if name.strip()]
