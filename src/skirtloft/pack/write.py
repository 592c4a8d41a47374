"""Write a pack: beside its place, then swapped in, the manifest last; or as one ZIP file."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator
from pathlib import Path

from skirtloft import __version__
from skirtloft.export import json
from skirtloft.export import zip as archive
from skirtloft.files import discard_folder, stage_folder, swap_folder, write_bytes
from skirtloft.pack.makers import makers
from skirtloft.pack.place import FORMAT, MANIFEST, is_pack
from skirtloft.pack.types import PlannedPack
from skirtloft.pieces.record import fingerprint

Progress = Callable[[int, int, str], None]


def write_pack(planned: PlannedPack, out: Path, progress: Progress = lambda done, total, what: None) -> list[str]:
    """Write the pack beside `out`, then swap it in; return the names of its files.

    Raises
    ------
    ExportError
        `out` holds something that is not a pack of ours, or cannot be written.
    """
    staged = stage_folder(out)
    names = []
    try:
        for name, data in _files(planned, progress):
            target = staged / name
            target.parent.mkdir(parents=True, exist_ok=True)
            write_bytes(target, data)
            names.append(name)
        swap_folder(staged, out, is_pack)
    except BaseException:
        discard_folder(staged)
        raise
    return names


def write_zip(planned: PlannedPack, out: Path, progress: Progress = lambda done, total, what: None) -> list[str]:
    """Write the pack as one ZIP file, named in one step when it is whole; return the names of the files in it.

    Raises
    ------
    ExportError
        `out` cannot be written.
    """
    made = dict(_files(planned, progress))
    write_bytes(out, archive.render(made))
    return list(made)


def _files(planned: PlannedPack, progress: Progress) -> Iterator[tuple[str, bytes]]:
    """Yield every file of the pack by name as it is made, the manifest last."""
    made, hashes = makers(planned), dict[str, str]()
    for done, (name, make) in enumerate(made):
        progress(done, len(made), name)
        data = make()
        hashes[name] = hashlib.sha256(data).hexdigest()
        yield name, data
    yield MANIFEST, _manifest(planned, hashes)
    progress(len(made), len(made), "done")


def _manifest(planned: PlannedPack, hashes: dict[str, str]) -> bytes:
    project = planned.skirt.design.project
    data = {
        "format": FORMAT,
        "program": f"skirtloft {__version__}",
        "design": {"name": project.name, "revision": project.revision, "sha256": planned.digest},
        "failed": list(planned.stamp.failed),
        "accepted": list(planned.stamp.accepted),
        **({"only": list(planned.only)} if planned.only else {}),
        "pieces": {piece.id: fingerprint(piece) for piece in planned.skirt.pieces},
        "files": dict(sorted(hashes.items())),
    }
    return json.render(data).encode()
