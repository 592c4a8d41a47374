"""Writing files and folders so that an interruption leaves the old or the new, never a mixture.

The only module whose calls differ between systems. Every refusal is an `ExportError` with the place and the reason.

Notes
-----
A folder is replaced in three steps, each of them one rename or one removal. For a target `pack` they are::

    1  pack            -> .pack.replaced     (only where `pack` holds something that may be replaced)
    2  .pack.staged-*  -> pack
    3  .pack.replaced is removed

and the next call that names the same target settles what a killed one left: with `.pack.replaced` but no `pack`, step 1
is undone; with both, step 3 is finished. Nothing is ever half new and half old. Staged folders that nobody finished are
removed by the first call an hour later, so that two packs made at once do not take each other's folder away.

Where the system can exchange two names in one step (Linux), steps 1 and 2 are that one step, and there is no moment at
which `pack` is not there; then `.pack.staged-*`, which now holds the old pack, becomes `.pack.replaced`.
"""

from __future__ import annotations

import ctypes
import errno
import glob
import os
import secrets
import shutil
import stat
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from skirtloft.errors import ExportError

ABANDONED = 3600.0  # seconds without a change after which a staged folder belongs to nobody
_TRIES, _PAUSE = 20, 0.05  # Windows: scanners and previews hold a file open for a moment


def write_bytes(path: Path, data: bytes) -> None:
    """Write a file under a temporary name beside it, then give it its name, replacing what was there.

    Parameters
    ----------
    path : Path
        A link is followed; a device or a pipe is written straight.
    data : bytes

    Raises
    ------
    ExportError
        The folder is missing, nothing can be written there, or another program holds the file.
    """
    with _refusing(path):
        place = _real(path)
        if place.is_dir():
            raise ExportError(f"{path} is a folder; give the name of a file.")
        if place.exists() and not place.is_file():
            place.write_bytes(data)
            return
        temporary = _written_beside(place, data)
        try:
            if place.exists():
                if not os.access(place, os.W_OK):  # a rename would succeed all the same, where the folder is writable
                    raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), str(place))
                shutil.copymode(place, temporary)
            _patiently(os.replace, temporary, place)
        except BaseException:
            temporary.unlink(missing_ok=True)
            raise
        _sync_folder(place.parent)


def write_text(path: Path, text: str) -> None:
    """Write a text file as UTF-8 with its line ends as they are; see `write_bytes`."""
    write_bytes(path, text.encode("utf-8"))


def write_new(path: Path, text: str) -> None:
    """Write a text file that is not there yet; whole or not at all, and never over another.

    Raises
    ------
    ExportError
        Something of that name is there already, or nothing can be written there.
    """
    with _refusing(path):
        temporary = _written_beside(path.absolute(), text.encode("utf-8"))
        try:
            _name_new(temporary, path)
        except FileExistsError as error:
            raise ExportError(f"{path} is there already and is left as it is; give another name.") from error
        finally:
            temporary.unlink(missing_ok=True)
        _sync_folder(path.absolute().parent)


def stage_folder(target: Path) -> Path:
    """Return a new empty folder beside `target`, to be filled and then handed to `swap_folder`.

    Folders above `target` are made. What an interrupted call left at `target` is settled first (see the module).

    Raises
    ------
    ExportError
        `target` is a file or the folder the user is in, or nothing can be written beside it.
    """
    with _refusing(target):
        place = _folder_place(target)
        place.parent.mkdir(parents=True, exist_ok=True)
        _settle(place)
        _sweep(place)
        staged = place.with_name(f".{place.name}.staged-{secrets.token_hex(4)}")
        staged.mkdir()
        return staged


def swap_folder(staged: Path, target: Path, owns: Callable[[Path], bool]) -> None:
    """Give a filled folder its name, in place of a folder of ours.

    Parameters
    ----------
    staged : Path
        From `stage_folder(target)`.
    target : Path
        Replaced when it does not exist, is empty, or `owns(target)` says that it may be.
    owns : callable
        Tells whether a folder was written by us.

    Raises
    ------
    ExportError
        `target` holds something else, or cannot be moved; it is then as it was, and `staged` is still there.
    """
    with _refusing(target):
        place = _folder_place(target)
        _settle(place)
        if not place.exists():
            _patiently(os.rename, staged, place)
        elif not any(place.iterdir()):
            place.rmdir()
            _patiently(os.rename, staged, place)
        elif owns(place):
            _swap(staged, place)
        else:
            raise ExportError(f"{target} holds something else and is left as it is; name a new or an empty folder.")
        _sync_folder(place.parent)


def settle_folder(target: Path) -> None:
    """Undo or finish what a killed `swap_folder` left at `target` (see the module); nothing happens where it was whole.

    Raises
    ------
    ExportError
        It cannot be moved.
    """
    with _refusing(target):
        _settle(_real(target))


def discard_folder(staged: Path) -> None:
    """Remove a staged folder that will not be used; nothing happens where it is gone."""
    _remove_tree(staged)


# ---------------------------------------------------------------------------------------------------------- folders


def _swap(staged: Path, place: Path) -> None:
    """Replace a folder that holds something; on any refusal put it back."""
    replaced = _replaced(place)
    if _exchange(staged, place):
        try:
            staged.rename(replaced)
        except OSError:  # the new one is there; the old one is swept by a later call
            return
    else:
        _patiently(os.rename, place, replaced)
        try:
            _patiently(os.rename, staged, place)
        except BaseException:
            replaced.rename(place)
            raise
    try:
        _remove_tree(replaced)
    except OSError:  # a file in it is open somewhere: the next call finishes this
        pass


def _settle(place: Path) -> None:
    """Undo or finish what a killed `_swap` left (see the module)."""
    replaced = _replaced(place)
    if not replaced.is_dir():
        return
    if place.exists():
        _remove_tree(replaced)
    else:
        _patiently(os.rename, replaced, place)


def _sweep(place: Path) -> None:
    """Remove staged folders of this target that nobody has written to for an hour."""
    now = time.time()
    for folder in place.parent.glob(f".{glob.escape(place.name)}.staged-*"):
        try:
            newest = max(path.stat().st_mtime for path in (folder, *folder.rglob("*")))
            if now - newest > ABANDONED:
                _remove_tree(folder)
        except OSError:  # it went away, or is held open: a later call will see
            continue


def _replaced(place: Path) -> Path:
    return place.with_name(f".{place.name}.replaced")


def _folder_place(target: Path) -> Path:
    """Return where the folder really is; refuse what can never be replaced."""
    place = _real(target)
    if place.exists() and not place.is_dir():
        raise ExportError(f"{target} is a file; name a new folder.")
    here = _real(Path.cwd())
    if place == here or place in here.parents:
        raise ExportError(f"{target} is the folder you are in, or holds it; name a new folder in it.")
    return place


def _remove_tree(folder: Path) -> None:
    """Remove a folder with everything in it, also files that were made read-only."""
    try:
        shutil.rmtree(folder)
    except FileNotFoundError:
        pass
    except PermissionError:
        for path in (folder, *folder.rglob("*")):
            if not path.is_symlink():
                path.chmod(path.stat().st_mode | stat.S_IRWXU)
        shutil.rmtree(folder)


# ------------------------------------------------------------------------------------------------------------ files


def _written_beside(place: Path, data: bytes) -> Path:
    """Return a new file beside `place` that holds the data, safely on the disk."""
    temporary = place.with_name(f".{place.name}.{secrets.token_hex(4)}.part")
    try:
        with temporary.open("xb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
    except BaseException:
        temporary.unlink(missing_ok=True)
        raise
    return temporary


def _name_new(temporary: Path, path: Path) -> None:
    """Give a written file a second name that must be free.

    Raises
    ------
    FileExistsError
    """
    try:
        os.link(temporary, path)
    except FileExistsError:
        raise
    except (
        OSError,
        NotImplementedError,
    ):  # a file system without hard links (a memory stick): not atomic, but never over
        with path.open("xb") as file:
            file.write(temporary.read_bytes())
            file.flush()
            os.fsync(file.fileno())


# ----------------------------------------------------------------------------------------- what differs by system


def _patiently(move: Callable[[Path, Path], object], source: Path, target: Path) -> None:
    """Move, trying again for a second where Windows says that another program holds the file."""
    for left in range(_TRIES if os.name == "nt" else 1, 0, -1):
        try:
            move(source, target)
            return
        except PermissionError:
            if left == 1:
                raise
            time.sleep(_PAUSE)


def _exchange(one: Path, other: Path) -> bool:
    """Let two folders change names in one step; False where the system cannot, and nothing is changed then."""
    if sys.platform != "linux":
        return False
    try:
        call = ctypes.CDLL(None, use_errno=True).renameat2
    except (OSError, AttributeError):  # a C library without it
        return False
    here, exchange = -100, 2  # AT_FDCWD and RENAME_EXCHANGE of Linux
    return int(call(here, os.fsencode(one), here, os.fsencode(other), exchange)) == 0


def _sync_folder(folder: Path) -> None:
    """Make new names in a folder last through a power cut, where the system can (Windows does by itself)."""
    if os.name == "nt":
        return
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:
        return
    try:
        os.fsync(handle)
    except OSError:
        pass
    finally:
        os.close(handle)


def _real(path: Path) -> Path:
    """Return the absolute path with every link followed, also where the last parts do not exist."""
    return Path(os.path.realpath(path))


@contextmanager
def _refusing(path: Path) -> Iterator[None]:
    """Turn the system's refusals into one sentence about `path`."""
    try:
        yield
    except FileNotFoundError as error:
        why = "something beside it went away" if path.parent.is_dir() else f"the folder {path.parent} does not exist"
        raise ExportError(f"{path} cannot be written: {why}.") from error
    except PermissionError as error:
        raise ExportError(
            f"{path} cannot be written: no permission, or another program has it open. Close it or write elsewhere."
        ) from error
    except OSError as error:
        raise ExportError(f"{path} cannot be written: {error.strerror or error}.") from error
