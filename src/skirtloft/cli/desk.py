"""The command that opens the drawing desk."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from skirtloft.cli.shell import app


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
