"""The pack of the four-seat example, read back file by file."""

from __future__ import annotations

import csv
import hashlib
import io
import json
from pathlib import Path

import ezdxf
import numpy as np
import pypdf
import pytest
import shapely

from skirtloft.cli import main
from skirtloft.pack.parts import PARTS
from skirtloft.pack.place import MANIFEST
from skirtloft.pack.types import PAPERS
from tests.designs import EXAMPLES, as_cut, skirt_of

FOUR = str(EXAMPLES / "four-seat.toml")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    target = tmp_path_factory.mktemp("pack") / "four-seat"
    assert main(["pack", FOUR, "-o", str(target)]) == 0
    return target


def test_manifest_lists_every_file_with_its_hash(folder: Path) -> None:
    manifest = json.loads((folder / MANIFEST).read_text(encoding="utf-8"))
    there = {p.relative_to(folder).as_posix() for p in folder.rglob("*") if p.is_file()} - {MANIFEST}
    assert set(manifest["files"]) == there
    for name, digest in manifest["files"].items():
        assert hashlib.sha256((folder / name).read_bytes()).hexdigest() == digest


def test_every_piece_has_its_files(folder: Path) -> None:
    for piece in as_cut("four-seat").pieces:
        assert (folder / f"templates/{piece.id}.dxf").exists()
        assert (folder / f"templates/{piece.id}.svg").exists()
        assert (folder / f"templates/{piece.base}.pdf").exists()
        if piece.is_rectangle:
            assert (folder / f"cards/{piece.base}.pdf").exists()
            assert not (folder / f"tiles-A4/{piece.base}.pdf").exists()
        else:
            assert all((folder / f"tiles-{paper}/{piece.base}.pdf").exists() for paper in PAPERS)


def test_areas_agree_in_dxf_csv_and_results(folder: Path) -> None:
    """Area inside the cut line: closed polyline of the DXF, row of the cut list, results; 1 mm2."""
    results = {p["id"]: p for p in json.loads((folder / "results.json").read_text(encoding="utf-8"))["pieces"]}
    rows = {row["code"]: row for row in csv.DictReader(io.StringIO((folder / "cut-list.csv").read_text("utf-8")))}
    assert set(rows) == set(results)
    for code, piece in results.items():
        drawing = ezdxf.readfile(folder / f"templates/{code}.dxf")
        assert not drawing.audit().errors
        outlines = [e for e in drawing.modelspace().query('LWPOLYLINE[layer=="cut"]') if e.closed]
        assert len(outlines) == 1
        area = shapely.Polygon(outlines[0].get_points("xy")).area * 1e-6
        assert area == pytest.approx(piece["area_m2"], abs=1e-6)
        assert float(rows[code]["area_m2"]) == pytest.approx(piece["area_m2"], abs=5.1e-5)
        assert int(rows[code]["quantity"]) == piece["quantity"]
        assert len(drawing.modelspace().query('CIRCLE[layer=="holes"]')) == len(piece["holes_m"])


def test_the_two_hands_are_mirror_images(folder: Path) -> None:
    def outline(code: str) -> np.ndarray:
        space = ezdxf.readfile(folder / f"templates/{code}.dxf").modelspace()
        points = np.array(space.query('LWPOLYLINE[layer=="cut"]')[0].get_points("xy"))
        return points - points.mean(axis=0)

    port, starboard = outline("L04-P"), outline("L04-S")
    key = lambda p: sorted(map(tuple, np.round(p, 2)))  # noqa: E731
    assert key(port * [-1, 1]) == key(starboard)
    assert key(port) != key(starboard)


def test_read_me_counts_the_pages_that_are_there(folder: Path) -> None:
    text = "\n".join(page.extract_text() for page in pypdf.PdfReader(folder / "00-read-me.pdf").pages)
    for paper in PAPERS:
        tiled = [p for p in (folder / f"tiles-{paper}").glob("*.pdf") if not p.name.startswith("00")]
        pages = sum(len(pypdf.PdfReader(p).pages) for p in tiled)
        assert f"{pages}" in text.replace("\n", " "), paper
    assert "Fans kill" in text


def test_every_drawing_has_its_pages(folder: Path) -> None:
    sections = pypdf.PdfReader(folder / "drawings/sections.pdf")
    text = [page.extract_text() for page in sections.pages]
    for run in dict.fromkeys(skirt_of("four-seat").plan.stations.runs):
        assert any(run.replace("_", " ") in page for page in text), run
    assert len(pypdf.PdfReader(folder / "drawings/plan.pdf").pages) == 2
    air = pypdf.PdfReader(folder / "drawings/air.pdf")
    assert len(air.pages) == 3
    assert all("Fans kill" in page.extract_text() for page in air.pages)


def test_strain_sheet_shows_every_exact_panel(folder: Path) -> None:
    """Every panel with its largest thread strain as in the results; the panels of the pack are the exact ones."""
    results = json.loads((folder / "results.json").read_text(encoding="utf-8"))
    assert results["patterns"] == {"method": "exact", "as_cut": True}
    text = " ".join(page.extract_text() for page in pypdf.PdfReader(folder / "drawings/strain.pdf").pages)
    curved = [panel for panel in results["panels"] if panel["method"] == "exact"]
    assert len(curved) == 15
    for panel in curved:
        assert f"{panel['id']}: {panel['strain']['thread']['max']:.1%}" in text
        assert abs(panel["deviation_m"] - 1.3e-3 * 100.0 * panel["strain"]["estimate"]) < 1e-12  # 1.3 mm per %
    assert {panel["method"] for panel in results["panels"] if panel not in curved} == {"rectangle"}


def test_hull_offsets_are_those_of_the_results(folder: Path) -> None:
    """Each station's inner fixing and length along the hull edge, to the tenth of a millimetre that is printed."""
    stations = json.loads((folder / "results.json").read_text(encoding="utf-8"))["hull"]["stations"]
    rows = list(csv.DictReader(io.StringIO((folder / "hull-offsets.csv").read_text("utf-8"))))
    assert [row["station"] for row in rows] == [station["id"] for station in stations]
    for row, station in zip(rows, stations, strict=True):
        for k, axis in enumerate("xyz"):
            assert float(row[f"inner_fixing_{axis}_mm"]) == pytest.approx(1000.0 * station["inner_m"][k], abs=0.0501)
        assert float(row["tip_above_bottom_mm"]) == pytest.approx(-250.0)  # a number, not text
        assert float(row["along_hull_edge_mm"]) == pytest.approx(1000.0 * station["along_hull_edge_m"], abs=0.0501)


def test_hull_sheets_and_strips_are_there(folder: Path) -> None:
    text = [page.extract_text() for page in pypdf.PdfReader(folder / "drawings/hull.pdf").pages]
    assert any("body plan" in page for page in text)
    assert any("offsets" in page for page in text)
    plot = pypdf.PdfReader(folder / "strips/hull-strips.pdf").pages
    assert len(plot) == 1
    assert float(plot[0].mediabox.width) / 72.0 * 25.4 > 1500.0  # true size: 11.9 m of line in seven rows
    for paper in PAPERS:
        assert 5 < len(pypdf.PdfReader(folder / f"strips/hull-strips-{paper}.pdf").pages) < 16
    card = "\n".join(page.extract_text() for page in pypdf.PdfReader(folder / "strips/hull-card.pdf").pages)
    assert "7/8" in card


def test_same_file_same_bytes(folder: Path, tmp_path: Path) -> None:
    """All but tiles, which are the same sheets cut up, and the book, which has a test of its own."""
    again = tmp_path / "again"
    parts = ",".join(part for part in PARTS if part not in ("tiles", "book"))
    assert main(["pack", FOUR, "-o", str(again), "--only", parts]) == 0
    first, second = (json.loads((place / MANIFEST).read_text(encoding="utf-8"))["files"] for place in (folder, again))
    assert len(second) > 100
    differ = {name for name, digest in second.items() if first[name] != digest}
    assert differ <= {"00-read-me.pdf"}  # it lists the parts


def test_a_failing_design_says_so_on_every_sheet(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    change = ["--set", 'skirt.side.tip_inside="-10 mm"', "--set", "making.loop.pattern=quick"]
    out = tmp_path / "pack"
    assert main(["pack", FOUR, "-o", str(out), *change, "--only", "templates,tiles,cards,drawings"]) == 1
    for name in ("templates/F1.pdf", "templates/L04.pdf", "drawings/plan.pdf", "cards/L01.pdf", "00-read-me.pdf"):
        for page in pypdf.PdfReader(out / name).pages:
            assert "Do not cut" in page.extract_text().replace("\n", " "), name
    for page in pypdf.PdfReader(out / "tiles-A4/F1.pdf").pages:
        assert "tip-line-inside" in page.extract_text()
    accept = ["--accept", "tip-line-inside"]
    assert main(["pack", FOUR, "-o", str(out), *change, *accept, "--only", "templates"]) == 1
    text = pypdf.PdfReader(out / "templates/F1.pdf").pages[0].extract_text()
    assert "Do not cut" not in text
    assert "ccepted" in text
    assert "tip-line-inside" in text.replace("\n", " ")
    assert main(["pack", FOUR, "-o", str(out), *accept]) == 2
    assert "only a rule that fails" in capsys.readouterr().err


def test_a_strange_folder_is_left_alone(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    strange = tmp_path / "photos"
    strange.mkdir()
    (strange / "boat.txt").write_text("mine", encoding="utf-8")
    assert main(["pack", FOUR, "-o", str(strange)]) == 2
    assert [p.name for p in tmp_path.iterdir()] == ["photos"]
    assert (strange / "boat.txt").read_text(encoding="utf-8") == "mine"


def test_cancelled_pack_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def cancel(*_: object) -> bytes:
        raise KeyboardInterrupt

    monkeypatch.setattr("skirtloft.pack.makers.glb.render", cancel)
    assert main(["pack", FOUR, "-o", str(tmp_path / "pack"), "--only", "model"]) == 130
    assert list(tmp_path.iterdir()) == []
