"""The commands that answer a question on a design: air, why."""

from __future__ import annotations

from typing import Annotated

import typer

from skirtloft.cli.shell import DesignArgument, SetOption, app, saved_inflation_beside, show_progress


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


@app.command()
def why(
    design: DesignArgument,
    name: Annotated[
        str | None, typer.Argument(metavar="[NAME]", help="A number or a rule; loop-length@P05 for one station.")
    ] = None,
    changes: SetOption = None,
    quick: Annotated[bool, typer.Option("--quick", help="Leave out what moves it.")] = False,
) -> int:
    """Explain a number or a rule: meaning, equation with its values in, source, and what moves it most."""
    from skirtloft.design.read import parse_design, read_text
    from skirtloft.design.write import split_changes
    from skirtloft.explain.ask import names_lines
    from skirtloft.explain.ask import why as explain

    asked = parse_design(read_text(design), split_changes(changes or []))
    inflated = saved_inflation_beside(design, asked)
    if name is None:
        print("\n".join(names_lines(asked, inflated)))
        return 0
    lines = explain(asked, name, quick=quick, progress=show_progress, inflated=inflated)
    if not quick:
        show_progress(1, 1, "done")
    print("\n".join(lines))
    return 0


@app.command()
def stations(
    design: DesignArgument,
    changes: SetOption = None,
    write: Annotated[
        bool, typer.Option("--write", help="Put the stations that the limits ask for into the file, comments kept.")
    ] = False,
) -> int:
    """List the stations: what one more or one less changes in millimetres, and which ones the limits ask for."""
    from skirtloft.answers.stations import station_answer
    from skirtloft.design.read import parse_design, read_text
    from skirtloft.design.station_text import station_tables, with_stations
    from skirtloft.design.write import split_changes
    from skirtloft.files import write_text

    text = read_text(design)
    asked = parse_design(text, split_changes(changes or []))
    found = station_answer(asked, show_progress)
    print("\n".join(found.lines))
    imperial = asked.project.show == "imperial"
    if found.wanted and write:
        made = with_stations(text, found.wanted, imperial)
        parse_design(made)
        write_text(design, made)
        print(f"Wrote {len(found.wanted)} stations into {design}.")
    elif found.wanted:
        print(f"To keep them: --write, or put these after [skirt]:\n\n{station_tables(found.wanted, imperial)}", end="")
    return 0
