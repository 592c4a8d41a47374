"""The commands on heave and bounce: rides, swing."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from skirtloft.cli.shell import (
    DesignArgument,
    SetOption,
    app,
    built,
    changed_lines,
    launcher,
    list_problems,
    refuse_to_overwrite,
    show_progress,
)
from skirtloft.errors import DesignError


@app.command()
def rides(
    design: DesignArgument,
    changes: SetOption = None,
    load: Annotated[str | None, typer.Option(metavar="NAME", help="In full for this load; else the first.")] = None,
    time: Annotated[str | None, typer.Option(help='A run in time, nothing linearised: "3 s".')] = None,
    drop: Annotated[str | None, typer.Option(help='How far too low she is let go in it: "20 mm".')] = None,
    chart: Annotated[bool, typer.Option("--map", help="Where she is steady, over gap and lift air.")] = False,
    json: Annotated[
        str | None, typer.Option("--json", metavar="FILE", help="Write the rides as JSON to FILE, or to - .")
    ] = None,
) -> int:
    """Say how she heaves and whether the skirt may bounce: a screening indicator, what feeds it, and what cures it."""
    from skirtloft.answers.rides import knock_asked, load_named, rides_lines
    from skirtloft.export.json import render
    from skirtloft.files import write_text
    from skirtloft.rides.findings import rides_findings
    from skirtloft.rides.maps import map_of
    from skirtloft.rides.plain import FORMAT, rides_results
    from skirtloft.rides.rides_of import knock_of, rides_of

    if json not in (None, "-"):
        refuse_to_overwrite(Path(str(json)), FORMAT)
    asked = knock_asked(time, drop)
    skirt, digest = built(design, changes, cut=False)
    found = rides_of(skirt, load_named(skirt.design, load))
    findings = rides_findings(found, skirt.design.project.show)
    whole = map_of(found) if chart else None
    knock = None if asked is None else knock_of(found, duration=asked[0], drop=asked[1], progress=_shown)
    out = sys.stderr if json == "-" else sys.stdout
    for line in (*changed_lines(changes), *rides_lines(skirt, found, findings, whole, knock)):
        print(line, file=out)
    if json is not None:
        text = render(rides_results(skirt, found, digest, findings, whole, knock))
        if json == "-":
            print(text, end="")
        else:
            write_text(Path(json), text)
            print(f"Details in {json}")
    return 0


def _shown(share: float) -> bool:
    show_progress(round(100 * share), 100, "run in time")
    return True


@app.command()
def swing(
    design: DesignArgument,
    swings: Annotated[Path, typer.Argument(metavar="SWINGS", help="The readings of a swing test (TOML).")],
    changes: SetOption = None,
    write: Annotated[
        bool, typer.Option("--write", help="Write the loss factor into the design, comments kept.")
    ] = False,
) -> int:
    """Work out the loss in the cloth from a swing test at home, and what it does to the margin against bounce."""
    from skirtloft.answers.swing import swing_lines
    from skirtloft.design.read import parse_design, read_text
    from skirtloft.design.swing_file import parse_swings
    from skirtloft.design.write import change_text, split_changes
    from skirtloft.files import write_text
    from skirtloft.pipeline import build
    from skirtloft.rides.rides_of import rides_of
    from skirtloft.rides.swing_test import cloth_loss

    text, pairs = read_text(design), split_changes(changes or [])
    asked = parse_design(text, pairs)
    try:
        read = parse_swings(read_text(swings))
        found = rides_of(build(asked, cut=False))
        loss = cloth_loss(read, found.hover)
    except DesignError as error:
        return list_problems(f"{swings.name}", error)
    for line in (*changed_lines(changes), *swing_lines(loss, found)):
        print(line)
    value = f"{loss.loss_factor:.3f}"
    if write:
        made, _ = change_text(text, {"bounce.loss_factor": value})
        parse_design(made)
        write_text(design, made)
        print(f"Wrote bounce.loss_factor = {value} into {design}.")
    else:
        print(f"To keep it  {launcher()} swing {design} {swings} --write")
    return 0
