"""`pack --since OLD`: read from a folder, a ZIP, results or a manifest; refused in words where it is none."""

from __future__ import annotations

import csv
import io
import json
import zipfile
from pathlib import Path
from typing import Any

import pypdf
import pytest

from skirtloft.cli import main
from skirtloft.export.json import render
from skirtloft.pack.place import FORMAT, MANIFEST
from skirtloft.pack.since import read_old, since_old
from skirtloft.pieces.record import fingerprint
from skirtloft.results import results
from tests.designs import EXAMPLES, skirt_of

ONE = str(EXAMPLES / "one-seat.toml")
QUICK = ["--set", 'making.loop.pattern="quick"']
SKIRT = skirt_of("one-seat")


@pytest.fixture(scope="module")
def plain() -> dict[str, Any]:
    read: dict[str, Any] = json.loads(render(results(SKIRT, "digest")))
    return read


def manifest() -> dict[str, Any]:
    pieces = {piece.id: fingerprint(piece) for piece in SKIRT.pieces}
    return {"format": FORMAT, "design": {"name": "One", "revision": "A"}, "pieces": pieces}


def test_the_same_from_folder_zip_results_and_manifest(tmp_path: Path, plain: dict[str, Any]) -> None:
    folder, zipped, alone = tmp_path / "old", tmp_path / "old.zip", tmp_path / "kept.json"
    folder.mkdir()
    (folder / "results.json").write_text(json.dumps(plain), encoding="utf-8")
    alone.write_text(json.dumps(manifest()), encoding="utf-8")
    with zipfile.ZipFile(zipped, "w") as packed:
        packed.write(folder / "results.json", "results.json")
    for place in (folder, zipped, folder / "results.json", alone):
        told = since_old(read_old(place), SKIRT.pieces)
        assert {change.verdict for change in told.changes} == {"same"}, place
        assert [change.id for change in told.changes] == [piece.id for piece in SKIRT.pieces]
        assert any("no results.json" in line for line in told.head()) == (place == alone)


def test_what_the_old_pack_does_not_say_is_said(tmp_path: Path, plain: dict[str, Any]) -> None:
    kept = tmp_path / "results.json"
    bare = [{k: v for k, v in piece.items() if k not in ("slits_m", "warp")} for piece in plain["pieces"]]
    kept.write_text(json.dumps({**plain, "pieces": bare}), encoding="utf-8")
    head = "\n".join(since_old(read_old(kept), SKIRT.pieces).head())
    assert "does not say where slits are" in head
    assert "does not say which way the warp lies" in head


DAMAGED = {
    "not there": None,
    "text": b"a letter",
    "another file": b"{}",
    "a list": b"[]",
    "other results": b'{"format": "other/1"}',
    "pack of before": json.dumps({"format": FORMAT, "design": {"name": "A", "revision": "A"}, "files": {}}).encode(),
    "cut off": b'{"format": "skirtloft-results/1", "design": {"name"',
    "no piece": b'{"format": "skirtloft-results/1", "design": {"name": "A", "revision": "A"}, "pieces": [1]}',
    "nested": b"[" * 100_000,
    "broken archive": b"PK\x05\x06" + bytes(18),
    "not unicode": b"\xff\xfe\x00",
}


@pytest.mark.parametrize("name", DAMAGED)
def test_a_damaged_or_foreign_one_is_refused(name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Exit code 2, one sentence with the place, nothing written."""
    old, out = tmp_path / "old", tmp_path / "new"
    data = DAMAGED[name]
    if data is not None:
        old.write_bytes(data)
    assert main(["pack", ONE, "-o", str(out), "--since", str(old)]) == 2
    err = capsys.readouterr().err
    assert f"--since {old}" in err
    assert "Traceback" not in err
    assert not out.exists()


def test_an_empty_folder_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    old = tmp_path / "old"
    old.mkdir()
    assert main(["pack", ONE, "-o", str(tmp_path / "new"), "--since", str(old)]) == 2
    assert "no pack of this program" in capsys.readouterr().err


def test_written_and_told(tmp_path: Path, plain: dict[str, Any], capsys: pytest.CaptureFixture[str]) -> None:
    """With another tip trim the table, the read-me and the terminal tell it alike; fingerprints of faces differ."""
    out, old = tmp_path / "pack", tmp_path / "results.json"
    old.write_text(json.dumps(plain), encoding="utf-8")
    write = ["pack", ONE, "-o", str(out), *QUICK, "--only", "results", "--since", str(old)]
    assert main([*write, "--set", 'making.tip_trim="10 mm"']) == 0
    terminal = capsys.readouterr().out
    rows = list(csv.DictReader(io.StringIO((out / "since.csv").read_text(encoding="utf-8"))))
    assert {row["code"] for row in rows} >= {piece.id for piece in SKIRT.pieces}
    faces = [row for row in rows if row["code"].startswith("F")]
    assert {row["verdict"] for row in faces} == {"trim"}
    page = "\n".join(page.extract_text() for page in pypdf.PdfReader(out / "00-read-me.pdf").pages)
    assert "What becomes of the pieces you have" in page
    for row in faces:
        words = f"{float(row['trim_mm']):.1f} mm at most, at {row['where']}"
        assert words in terminal
        assert words in page
    written = json.loads((out / MANIFEST).read_text(encoding="utf-8"))
    assert "since.csv" in written["files"]
    again = {piece["id"]: piece["fingerprint"] for piece in json.loads((out / "results.json").read_text())["pieces"]}
    assert written["pieces"] == again
    assert all(again[row["code"]] != manifest()["pieces"][row["code"]] for row in faces)
