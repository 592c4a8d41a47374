"""`pack` killed at any moment: what is at its place is the old pack or the new one, whole, and nothing between."""

from __future__ import annotations

import hashlib
import io
import json
import os
import random
import shutil
import signal
import subprocess
import sys
import time
import zipfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from skirtloft.cli import main
from skirtloft.pack.parts import PARTS
from skirtloft.pack.place import MANIFEST
from tests.designs import EXAMPLES

ONE = str(EXAMPLES / "one-seat.toml")

# A pack of sixty small files that say whose they are, written by the pack's own writer: quick enough to kill
# often, and with as many steps as a real one.
SMALL = """
import os, sys
from pathlib import Path
from skirtloft.pack import place, write as pack

def make(word, out, zipped):
    pack.makers = lambda planned: [(f"part-{n % 7}/{n}", lambda: f"{word} ".encode() * 500) for n in range(60)]
    pack._manifest = lambda planned, hashes: pack.json.render(
        {"format": pack.FORMAT, "word": word, "files": dict(sorted(hashes.items()))}).encode()
    if zipped:
        place.check_zip(out)
        pack.write_zip(None, out)
    else:
        place.check_target(out)
        pack.write_pack(None, out)

for line in sys.stdin:  # one word, one pack, one process
    pid = os.fork()
    if pid == 0:
        make(line.strip(), Path(sys.argv[1]), sys.argv[2] == "zip")
        os._exit(0)
    print(pid, flush=True)
    print(os.waitpid(pid, 0)[1], flush=True)
"""


@contextmanager
def packer(out: Path, kind: str) -> Iterator[Callable[[str, float | None], int]]:
    """Give a function that writes a pack of a word and kills it after so many seconds; it returns how that ended."""
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    command = [sys.executable, "-c", SMALL, str(out), kind]
    with subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, env=environment
    ) as running:
        assert running.stdin is not None
        assert running.stdout is not None
        into, back = running.stdin, running.stdout

        def make(word: str, after: float | None) -> int:
            print(word, file=into, flush=True)
            pid = int(back.readline())
            if after is not None:
                time.sleep(after)
                try:
                    os.kill(pid, signal.SIGKILL)
                except ProcessLookupError:  # it was done already
                    pass
            return int(back.readline())

        yield make
        into.close()


def contents(out: Path, kind: str) -> dict[str, bytes]:
    if kind == "zip":
        with zipfile.ZipFile(io.BytesIO(out.read_bytes())) as there:
            return {name: there.read(name) for name in there.namelist()}
    return {p.relative_to(out).as_posix(): p.read_bytes() for p in out.rglob("*") if p.is_file()}


def whose(out: Path, kind: str) -> str:
    """Return the word of the pack at `out` after seeing that it is whole and all of one."""
    there = contents(out, kind)
    manifest = json.loads(there.pop(MANIFEST))
    assert {name: hashlib.sha256(data).hexdigest() for name, data in there.items()} == manifest["files"]
    assert len(there) == 60
    assert {data.split()[0].decode() for data in there.values()} == {manifest["word"]}
    return str(manifest["word"])


def kill_at_random(tmp_path: Path, kind: str, times: int, seed: int) -> dict[str, int]:
    """Kill a pack of a new word over the last one that stands, `times` times; count what was found afterwards."""
    out = tmp_path / ("pack.zip" if kind == "zip" else "pack")
    stands, found, chance = "w0", {"old": 0, "new": 0}, random.Random(seed)
    with packer(out, kind) as write:
        assert write("first", None) == 0
        began = time.monotonic()  # of a second one, so that the start of the interpreter is not in it
        assert write("w0", None) == 0
        usual = time.monotonic() - began
        for number in range(1, times + 1):
            write(f"w{number}", chance.uniform(0.0, 1.1 * usual))
            if sys.platform != "linux" and not out.exists():  # between two renames: the next run mends it
                assert (tmp_path / ".pack.replaced").is_dir()
                continue
            now = whose(out, kind)
            assert now in (stands, f"w{number}")
            found["new" if now == f"w{number}" else "old"] += 1
            stands = now
        assert write("last", None) == 0
        assert whose(out, kind) == "last"
    return found


@pytest.mark.skipif(not hasattr(os, "fork"), reason="forks and kills by signal")
@pytest.mark.parametrize("kind", ["folder", "zip"])
def test_killed_at_random_moments_leaves_the_old_or_the_new(tmp_path: Path, kind: str) -> None:
    found = kill_at_random(tmp_path, kind, 6, seed=1)
    assert sum(found.values()) == 6 or sys.platform != "linux"


@pytest.mark.skipif(sys.platform == "win32", reason="kills by signal")
def test_a_real_pack_killed_half_way_leaves_the_old_one(tmp_path: Path) -> None:
    out = tmp_path / "pack"
    only = ["--set", "making.loop.pattern=quick", "--only", "cut-list,cards"]
    assert main(["pack", ONE, "-o", str(out), *only]) in (0, 1)
    before = {p.name: p.read_bytes() for p in out.rglob("*") if p.is_file()}
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    command = [sys.executable, "-m", "skirtloft", "pack", ONE, "-o", str(out), "--only", "cut-list,drawings,templates"]
    command += only[:2]
    with subprocess.Popen(command, stdout=subprocess.DEVNULL, env=environment) as running:
        until = time.monotonic() + 120.0
        while not list(tmp_path.glob(".pack.staged-*/*")) and time.monotonic() < until:
            time.sleep(0.01)
        running.kill()
    assert {p.name: p.read_bytes() for p in out.rglob("*") if p.is_file()} == before
    for left in tmp_path.glob(".pack.staged-*"):  # swept by a run an hour later
        shutil.rmtree(left)
    assert main(["pack", ONE, "-o", str(out), *only]) in (0, 1)
    assert {p.name: p.read_bytes() for p in out.rglob("*") if p.is_file()} == before


# ---------------------------------------------------------------------------------------------------- zip and parts


def test_a_zip_holds_what_the_folder_does_and_is_the_same_every_time(tmp_path: Path) -> None:
    words = ["pack", ONE, "--set", "making.loop.pattern=quick", "--only", "cut-list,cards"]
    assert main([*words, "-o", str(tmp_path / "pack")]) in (0, 1)
    assert main([*words, "--zip", "-o", str(tmp_path / "one")]) in (0, 1)
    assert main([*words, "--zip", "-o", str(tmp_path / "two.zip")]) in (0, 1)
    assert sorted(p.name for p in tmp_path.iterdir()) == ["one.zip", "pack", "two.zip"]
    assert (tmp_path / "one.zip").read_bytes() == (tmp_path / "two.zip").read_bytes()
    assert contents(tmp_path / "one.zip", "zip") == contents(tmp_path / "pack", "folder")
    with zipfile.ZipFile(tmp_path / "one.zip") as there:
        assert there.namelist()[-1] == MANIFEST
        assert there.testzip() is None


def test_a_strange_file_is_not_replaced_by_a_zip(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    strange = tmp_path / "photos.zip"
    strange.write_bytes(b"mine")
    assert main(["pack", ONE, "--zip", "-o", str(strange)]) == 2
    assert strange.read_bytes() == b"mine"
    assert "no pack of this program" in capsys.readouterr().err


def test_only_some_parts(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "pack"
    assert main(["pack", ONE, "-o", str(out), "--only", "cards", "--only", "results, cut-list"]) in (0, 1)
    manifest = json.loads((out / MANIFEST).read_text(encoding="utf-8"))
    assert manifest["only"] == ["cards", "cut-list", "results"]
    tops = {name.split("/")[0] for name in manifest["files"]}
    assert tops == {"00-read-me.pdf", "cards", "cut-list.csv", "results.json"}
    assert "Only      cards, cut-list, results" in capsys.readouterr().out
    assert main(["pack", ONE, "-o", str(out), "--only", "photographs"]) == 2
    assert ", ".join(PARTS) in capsys.readouterr().err
