"""Files and folders: the old or the new, never a mixture. Expected values are what the test itself wrote."""

from __future__ import annotations

import os
import stat
import subprocess
import sys
import time
from pathlib import Path

import pytest

from skirtloft import files
from skirtloft.errors import ExportError

ON_WINDOWS = os.name == "nt"


def ours(folder: Path) -> bool:
    return (folder / "manifest").is_file()


def fill(folder: Path, word: str) -> None:
    """Write a small pack: two files that must stay together."""
    files.write_text(folder / "piece", word)
    files.write_text(folder / "manifest", word)


def words_in(folder: Path) -> set[str]:
    return {path.read_text(encoding="utf-8") for path in folder.iterdir()}


def swap_in(target: Path, word: str) -> None:
    staged = files.stage_folder(target)
    fill(staged, word)
    files.swap_folder(staged, target, ours)


# ------------------------------------------------------------------------------------------------------------ files


def test_text_is_utf8_with_its_own_line_ends(tmp_path: Path) -> None:
    files.write_text(tmp_path / "a.txt", "ä\nb\n")
    assert (tmp_path / "a.txt").read_bytes() == b"\xc3\xa4\nb\n"


def test_a_file_is_replaced_and_nothing_else_is_left(tmp_path: Path) -> None:
    files.write_bytes(tmp_path / "a", b"old, and longer than the new one")
    files.write_bytes(tmp_path / "a", b"new")
    assert (tmp_path / "a").read_bytes() == b"new"
    assert [path.name for path in tmp_path.iterdir()] == ["a"]


def test_a_failed_replace_keeps_the_old_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    files.write_bytes(tmp_path / "a", b"old")

    def held(source: Path, target: Path) -> None:
        raise PermissionError("held by another program")

    monkeypatch.setattr(os, "replace", held)
    with pytest.raises(ExportError, match="another program has it open"):
        files.write_bytes(tmp_path / "a", b"new")
    assert (tmp_path / "a").read_bytes() == b"old"
    assert [path.name for path in tmp_path.iterdir()] == ["a"]


def test_a_missing_folder_is_named(tmp_path: Path) -> None:
    with pytest.raises(ExportError, match="the folder .*missing does not exist"):
        files.write_text(tmp_path / "missing" / "a", "text")
    with pytest.raises(ExportError, match="the folder .*missing does not exist"):
        files.write_new(tmp_path / "missing" / "a", "text")


def test_a_folder_is_not_a_file(tmp_path: Path) -> None:
    with pytest.raises(ExportError, match="is a folder"):
        files.write_text(tmp_path, "text")


@pytest.mark.skipif(ON_WINDOWS, reason="links and modes of POSIX systems")
def test_a_link_is_followed_and_the_mode_kept(tmp_path: Path) -> None:
    (tmp_path / "real").write_text("old", encoding="utf-8")
    (tmp_path / "real").chmod(0o640)
    (tmp_path / "link").symlink_to("real")
    files.write_text(tmp_path / "link", "new")
    assert (tmp_path / "link").is_symlink()
    assert (tmp_path / "real").read_text(encoding="utf-8") == "new"
    assert stat.S_IMODE((tmp_path / "real").stat().st_mode) == 0o640


@pytest.mark.skipif(ON_WINDOWS, reason="a device of POSIX systems")
def test_a_device_is_written_straight() -> None:
    files.write_text(Path("/dev/null"), "text")
    assert stat.S_ISCHR(Path("/dev/null").stat().st_mode)


def test_a_file_marked_read_only_is_left(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "a").write_text("old", encoding="utf-8")
    monkeypatch.setattr(os, "access", lambda path, mode: False)  # root may write anything, so the answer is given here
    with pytest.raises(ExportError, match="no permission"):
        files.write_text(tmp_path / "a", "new")
    assert (tmp_path / "a").read_text(encoding="utf-8") == "old"


@pytest.mark.parametrize("links", [True, False], ids=["hard links", "no hard links"])
def test_a_new_file_never_goes_over_another(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, links: bool) -> None:
    if not links:

        def refuse(source: Path, target: Path) -> None:
            raise OSError("this file system has no hard links")

        monkeypatch.setattr(os, "link", refuse)
    files.write_new(tmp_path / "a.toml", "mine\n")
    with pytest.raises(ExportError, match="is there already"):
        files.write_new(tmp_path / "a.toml", "theirs\n")
    assert (tmp_path / "a.toml").read_bytes() == b"mine\n"
    assert [path.name for path in tmp_path.iterdir()] == ["a.toml"]


# ---------------------------------------------------------------------------------------------------------- folders


def test_a_new_folder_and_those_above_it_are_made(tmp_path: Path) -> None:
    swap_in(tmp_path / "out" / "pack", "first")
    assert words_in(tmp_path / "out" / "pack") == {"first"}
    assert [path.name for path in (tmp_path / "out").iterdir()] == ["pack"]


def test_our_folder_is_replaced_whole(tmp_path: Path) -> None:
    swap_in(tmp_path / "pack", "first")
    files.write_text(tmp_path / "pack" / "only in the first", "first")
    swap_in(tmp_path / "pack", "second")
    assert words_in(tmp_path / "pack") == {"second"}
    assert [path.name for path in tmp_path.iterdir()] == ["pack"]


def test_an_empty_folder_is_taken(tmp_path: Path) -> None:
    (tmp_path / "pack").mkdir()
    swap_in(tmp_path / "pack", "first")
    assert words_in(tmp_path / "pack") == {"first"}


def test_a_folder_with_something_else_is_left(tmp_path: Path) -> None:
    (tmp_path / "photos").mkdir()
    (tmp_path / "photos" / "a").write_text("precious", encoding="utf-8")
    staged = files.stage_folder(tmp_path / "photos")
    fill(staged, "new")
    with pytest.raises(ExportError, match="holds something else and is left as it is"):
        files.swap_folder(staged, tmp_path / "photos", ours)
    assert words_in(tmp_path / "photos") == {"precious"}
    files.discard_folder(staged)
    files.discard_folder(staged)  # a second time is no error
    assert [path.name for path in tmp_path.iterdir()] == ["photos"]


def test_a_file_and_the_current_folder_are_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "file").touch()
    (tmp_path / "here" / "deeper").mkdir(parents=True)
    monkeypatch.chdir(tmp_path / "here" / "deeper")
    with pytest.raises(ExportError, match="is a file"):
        files.stage_folder(tmp_path / "file")
    for target in (Path(), Path(".."), tmp_path / "here"):
        with pytest.raises(ExportError, match="is the folder you are in, or holds it"):
            files.stage_folder(target)


def test_a_refused_move_puts_the_old_folder_back(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    swap_in(tmp_path / "pack", "old")
    staged = files.stage_folder(tmp_path / "pack")
    fill(staged, "new")
    monkeypatch.setattr(files, "_exchange", lambda one, other: False)
    real = os.rename

    def held(source: Path, target: Path) -> None:
        if Path(source) == staged:
            raise PermissionError("held by another program")
        real(source, target)

    monkeypatch.setattr(os, "rename", held)
    with pytest.raises(ExportError, match="another program has it open"):
        files.swap_folder(staged, tmp_path / "pack", ours)
    assert words_in(tmp_path / "pack") == {"old"}
    assert words_in(staged) == {"new"}


KILLED = 9
KILLED_SWAP = """
import os, shutil, sys
from pathlib import Path
from skirtloft import files

staged, target, fatal = Path(sys.argv[1]), Path(sys.argv[2]), int(sys.argv[3])
calls = 0

def deadly(real):
    def step(*args, **kwargs):
        global calls
        if calls == fatal:
            os._exit(9)  # as a power cut: no handler and no clean-up runs
        calls += 1
        return real(*args, **kwargs)
    return step

if len(sys.argv) > 4:
    files._exchange = lambda one, other: False  # as on a system that cannot
os.rename, os.unlink = deadly(os.rename), deadly(os.unlink)
files.swap_folder(staged, target, lambda folder: (folder / "manifest").is_file())
sys.exit(calls)
"""


def kill_swap(staged: Path, target: Path, fatal: int, *more: str) -> int:
    command = [sys.executable, "-c", KILLED_SWAP, str(staged), str(target), str(fatal), *more]
    return subprocess.run(command, check=False, env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}).returncode


# The old pack has two files, so a whole swap is two renames and two removals: killed before each of the four, what
# the next call finds is old, old, new (finished), new (finished).
@pytest.mark.parametrize(("fatal", "found"), [(0, "old"), (1, "old"), (2, "new"), (3, "new")])
def test_a_killed_swap_is_undone_or_finished_by_the_next_call(tmp_path: Path, fatal: int, found: str) -> None:
    target = tmp_path / "pack"
    swap_in(target, "old")
    staged = files.stage_folder(target)
    fill(staged, "new")
    assert kill_swap(staged, target, fatal, "no exchange") == KILLED
    assert target.exists() is (fatal != 1)  # between the two renames nothing has the name: that is what must be mended

    again = files.stage_folder(target)
    assert words_in(target) == {found}
    assert len(list(target.iterdir())) == 2
    assert not (tmp_path / ".pack.replaced").exists()
    fill(again, "third")
    files.swap_folder(again, target, ours)
    assert words_in(target) == {"third"}


def test_the_killed_swap_has_four_steps(tmp_path: Path) -> None:
    """Guards the test above: were there more steps than it kills at, some would go untested."""
    swap_in(tmp_path / "pack", "old")
    staged = files.stage_folder(tmp_path / "pack")
    fill(staged, "new")
    assert kill_swap(staged, tmp_path / "pack", 99, "no exchange") == 4
    assert words_in(tmp_path / "pack") == {"new"}


# With an exchange of names the swap is that, one rename and two removals; killed before each of the three the new pack
# is there already, and no moment has none.
@pytest.mark.skipif(sys.platform != "linux", reason="only Linux exchanges two names in one step")
@pytest.mark.parametrize("fatal", [0, 1, 2])
def test_an_exchange_leaves_no_moment_without_a_pack(tmp_path: Path, fatal: int) -> None:
    target = tmp_path / "pack"
    swap_in(target, "old")
    staged = files.stage_folder(target)
    fill(staged, "new")
    assert kill_swap(staged, target, fatal) == KILLED
    assert words_in(target) == {"new"}
    assert len(list(target.iterdir())) == 2
    files.settle_folder(target)
    assert words_in(target) == {"new"}
    assert not (tmp_path / ".pack.replaced").exists()


def test_the_exchanged_swap_has_three_steps(tmp_path: Path) -> None:
    swap_in(tmp_path / "pack", "old")
    staged = files.stage_folder(tmp_path / "pack")
    fill(staged, "new")
    assert kill_swap(staged, tmp_path / "pack", 99) == (3 if sys.platform == "linux" else 4)


def test_settling_undoes_a_half_swap_before_any_work(tmp_path: Path) -> None:
    swap_in(tmp_path / "pack", "old")
    (tmp_path / "pack").rename(tmp_path / ".pack.replaced")
    files.settle_folder(tmp_path / "pack")
    assert words_in(tmp_path / "pack") == {"old"}
    files.settle_folder(tmp_path / "pack")
    files.settle_folder(tmp_path / "none")
    assert [path.name for path in tmp_path.iterdir()] == ["pack"]


def test_only_abandoned_staged_folders_are_swept(tmp_path: Path) -> None:
    target = tmp_path / "pack [1]"  # a name that a glob pattern would misread
    fresh, abandoned = files.stage_folder(target), files.stage_folder(target)
    fill(abandoned, "half")
    before = time.time() - files.ABANDONED - 60.0
    for path in (*abandoned.iterdir(), abandoned):
        os.utime(path, (before, before))
    third = files.stage_folder(target)
    assert set(tmp_path.iterdir()) == {fresh, third}


@pytest.mark.skipif(
    ON_WINDOWS or not hasattr(os, "geteuid") or os.geteuid() == 0,
    reason="only where the mode of a folder keeps its owner out",
)
def test_a_read_only_folder_of_ours_is_replaced(tmp_path: Path) -> None:
    swap_in(tmp_path / "pack", "old")
    (tmp_path / "pack").chmod(0o555)
    swap_in(tmp_path / "pack", "new")
    assert words_in(tmp_path / "pack") == {"new"}
    assert not (tmp_path / ".pack.replaced").exists()
