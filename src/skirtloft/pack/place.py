"""Where a pack may be written: a new place, an empty folder, or over a pack of ours to which nobody added anything."""

from __future__ import annotations

import io
import json
import zipfile
from pathlib import Path

from skirtloft.errors import ExportError
from skirtloft.files import settle_folder

FORMAT = "skirtloft-pack/1"
MANIFEST = "manifest.json"


def check_target(out: Path) -> None:
    """Refuse a place for a pack before any work is done.

    Raises
    ------
    ExportError
        `out` is a file, a folder with other things in it, or a pack to which somebody added files.
    """
    settle_folder(out)
    if out.exists() and not out.is_dir():
        raise ExportError(f"{out} is a file; give the name of a folder.")
    if not out.is_dir() or not any(out.iterdir()):
        return
    if _listed(out) is None:
        raise ExportError(f"{out} holds other things and no pack of this program; give the name of a new folder.")
    if added := strangers(out):
        names = ", ".join(added[:5]) + (" ..." if len(added) > 5 else "")
        raise ExportError(f"{out} is a pack, and somebody put files into it: {names}. Move them, or give another name.")


def check_zip(out: Path) -> None:
    """Refuse a place for a ZIP of a pack before any work is done.

    Raises
    ------
    ExportError
        `out` is a folder, or a file that is no ZIP of a pack.
    """
    if out.is_dir():
        raise ExportError(f"{out} is a folder; give the name of a file.")
    if not out.exists():
        return
    try:
        with zipfile.ZipFile(io.BytesIO(out.read_bytes())) as there:
            is_ours = json.loads(there.read(MANIFEST))["format"] == FORMAT
    except (OSError, zipfile.BadZipFile, ValueError, KeyError, TypeError):
        is_ours = False
    if not is_ours:
        raise ExportError(f"{out} is there already and is no pack of this program; give another name.")


def is_pack(folder: Path) -> bool:
    """Tell whether `folder` holds a pack that this program wrote and nothing else."""
    return _listed(folder) is not None and not strangers(folder)


def _listed(folder: Path) -> set[str] | None:
    """Return the names in a pack's manifest, or None where there is none of ours."""
    try:
        manifest = json.loads((folder / MANIFEST).read_text(encoding="utf-8"))
        return set(manifest["files"]) if manifest["format"] == FORMAT else None
    except (OSError, ValueError, KeyError, TypeError):
        return None


def strangers(folder: Path) -> list[str]:
    """Return the files in a pack that its manifest does not list: somebody put them there."""
    listed = (_listed(folder) or set()) | {MANIFEST}
    there = (path for path in sorted(folder.rglob("*")) if not path.is_dir())
    return [name for path in there if (name := path.relative_to(folder).as_posix()) not in listed]
