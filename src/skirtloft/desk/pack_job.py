"""The build pack made in a process of its own, so that the desk stays quick; imported by that process."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

from skirtloft.errors import ExportError, SkirtloftError
from skirtloft.export import zip as archive
from skirtloft.files import write_bytes


class _CancelledError(Exception):
    """The builder changed his mind."""


def make_pack(text: str, folder: str, accept: tuple[str, ...], beside: tuple[str, str], told: Any, stop: Any) -> None:
    """Write the pack of a design's text into `folder`, then the zip beside it.

    Parameters
    ----------
    text : str
    folder : str
        Absolute; made here.
    accept : rules that fail and are accepted by name
    beside : tuple of str
        Text of the layout that is kept, "" for the quick one, which is also taken where it is of other pieces; text
        of the inflation that is saved, "" for none.
    told : queue that gets ("progress", done, total, what), then ("done", zip) or ("failed", why) or ("cancelled",)
    stop : event that is set to cancel
    """
    from skirtloft.design.read import design_digest, parse_design
    from skirtloft.desk.beside import taken_up
    from skirtloft.pack.plan import plan_pack
    from skirtloft.pack.write import write_pack
    from skirtloft.pipeline import build

    if hasattr(os, "nice"):
        os.nice(10)

    def progress(done: int, total: int, what: str) -> None:
        if stop.is_set():
            raise _CancelledError
        told.put(("progress", done, total + 1, what))

    try:
        layout, inflation = beside
        skirt, _ = taken_up(build(parse_design(text), preview=False, progress=progress), inflation)
        digest = design_digest(text)
        try:
            planned = plan_pack(skirt, digest, accept, saved_layout=layout or None)
        except ExportError:  # kept of other pieces, or a fault that comes again
            planned = plan_pack(skirt, digest, accept)
        names = write_pack(planned, Path(folder), progress)
        told.put(("done", str(_zipped(Path(folder), names))))
    except _CancelledError:
        told.put(("cancelled",))
    except SkirtloftError as error:
        told.put(("failed", str(error)))
    except Exception as error:  # the desk says it; the traceback would be lost with this process
        told.put(("failed", f"A fault of the program: {type(error).__name__}: {error}"))


def _zipped(folder: Path, names: list[str]) -> Path:
    """Zip the files of a pack in a folder of its name."""
    target = folder.with_suffix(".zip")
    write_bytes(target, archive.render({f"{folder.name}/{name}": (folder / name).read_bytes() for name in names}))
    return target
