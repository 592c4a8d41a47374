"""The command line: reads, prints, and turns every refusal into a sentence and an exit code (see `shell`)."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from typing import Any

from typer.exceptions import Abort, TyperException

from skirtloft.cli import bounce, design, desk, hull, inflate, questions, ride, workshop
from skirtloft.cli.shell import CANCELLED, app, launcher, refused
from skirtloft.errors import SkirtloftError

COMMANDS = (
    design,
    desk,
    hull,
    questions,
    ride,
    bounce,
    inflate,
    workshop,
)  # importing them registers their commands


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line and return its exit code; never a traceback for a refusal."""
    _speak_utf8()
    words = list(sys.argv[1:] if arguments is None else arguments) or ["--help"]
    try:
        result: Any = app(args=words, standalone_mode=False, prog_name="skirtloft")
    except SkirtloftError as error:
        return refused(error)
    except (Abort, KeyboardInterrupt):
        result = CANCELLED
    except TyperException as error:
        print(f"{error}\nTry: {launcher()} --help", file=sys.stderr)
        return 2
    if result == CANCELLED:
        print("Cancelled; nothing half-written is left.", file=sys.stderr)
    return int(result) if isinstance(result, int) else 0


def _speak_utf8() -> None:
    """Print any character on any terminal: replace what it cannot show instead of failing."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")
