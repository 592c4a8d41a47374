"""The build book read back: it says the same as cut list, list of materials and results, to the digit."""

from __future__ import annotations

import csv
import io
import json
import re
from pathlib import Path
from typing import Any

import pypdf
import pytest

from skirtloft.cli import main
from skirtloft.design.units import format_area, format_length, format_mass, format_pressure
from skirtloft.layout.kept import LEFT_ASIDE
from tests.designs import EXAMPLES

QUICK = '\n\n[making.loop]\npattern = "quick"\n'  # where a test does not look at the loop's panels
PARTS = "book,cut-list,materials,results,layout"


def words_of(pdf: bytes) -> list[str]:
    """Text of every page, white space as single blanks."""
    return [re.sub(r"\s+", " ", page.extract_text()) for page in pypdf.PdfReader(io.BytesIO(pdf)).pages]


@pytest.fixture(scope="module", params=["one-seat", "four-seat", "ten-seat"])
def pack(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    target = tmp_path_factory.mktemp("book") / request.param
    assert main(["pack", str(EXAMPLES / f"{request.param}.toml"), "-o", str(target), "--only", PARTS]) == 0
    pages = words_of((target / "build-book.pdf").read_bytes())
    return {
        "name": request.param,
        "show": {"one-seat": "imperial", "four-seat": "metric", "ten-seat": "both"}[request.param],
        "folder": target,
        "pages": pages,
        "book": " ".join(pages),
        "results": json.loads((target / "results.json").read_text(encoding="utf-8")),
        "cut": list(csv.DictReader(io.StringIO((target / "cut-list.csv").read_text(encoding="utf-8")))),
        "materials": list(csv.DictReader(io.StringIO((target / "materials.csv").read_text(encoding="utf-8")))),
    }


def test_pieces_are_those_of_the_cut_list(pack: dict[str, Any]) -> None:
    """Code, how many of each hand, how many spares, and size of the box of every template."""
    catalogue = pack["book"]
    by_base: dict[str, dict[str, dict[str, str]]] = {}
    for row in pack["cut"]:
        by_base.setdefault(row["template"], {})[row["hand"]] = row
    for base, hands in by_base.items():
        cut, spare = (
            " + ".join(f"{hands[h][key]} {h}".strip() for h in ("P", "S", "") if h in hands and hands[h][key] != "0")
            for key in ("quantity", "spares")
        )
        quantity = cut + (f", and {spare} spare" if spare else "")
        row = next(iter(hands.values()))
        size = f"{row['length_mm']} × {row['width_mm']}"
        found = re.search(rf"\b{base} {re.escape(quantity)} [^×]*(× [^×]*)?{re.escape(size)}", catalogue)
        assert found is not None, (base, quantity, size)
    assert f"{sum(int(row['quantity']) for row in pack['cut'])} pieces from {len(by_base)} templates" in catalogue


def test_materials_are_those_of_the_table(pack: dict[str, Any]) -> None:
    """In feet and inches, and in both, the table's own number still stands in the book."""
    for row in pack["materials"][:-1]:
        unit = "" if row["unit"] == "each" else f" {row['unit']}"
        assert re.search(rf"\b{re.escape(row['part'])} {re.escape(row['quantity'])}{unit}\b", pack["book"]), row
        if row["mass_kg"] and pack["show"] != "imperial":
            assert f"{row['mass_kg']} kg" in pack["book"], row


def test_cloth_on_the_cover_is_that_of_the_materials(pack: dict[str, Any]) -> None:
    for row in pack["materials"]:
        if row["part"].endswith("cloth, new roll"):
            metres = float(row["quantity"]) * (0.3048 if row["unit"] == "ft" else 1.0)
            words = format_length(metres, pack["show"])
            assert words in pack["pages"][0], (row["part"], words)


def test_figures_are_those_of_the_results(pack: dict[str, Any]) -> None:
    results, show, book = pack["results"], pack["show"], pack["book"]
    for load in results["loads"]:
        wanted = f"{load['name']} {format_mass(load['mass_kg'], show)}"
        assert wanted in book
        assert format_pressure(load["pressure_pa"], show) in book
    assert format_area(results["cushion"]["area_m2"], show) in book
    for section in results["sections"]:
        length = format_length(section["loop_length_m"], show)
        run = section["run"].replace("_", " ")
        assert f"{section['id']} {run} {length}" in book, section["id"]
    for size in results["size"].values():
        assert format_length(size, show) in book
    gaps = [load["at_set_speed"]["gap_m"] for load in results["air"]["loads"]]
    assert all(format_length(gap, show) in book for gap in gaps)


def test_every_seam_is_named_with_both_its_pieces(pack: dict[str, Any]) -> None:
    panels = [row for row in pack["cut"] if row["name"].startswith("loop panel")]
    named = re.findall(r"\b([A-Z]{1,2}) (L\d+(?:-[PS])?) with (L\d+(?:-[PS])?)", pack["book"])
    assert len(named) == len(panels) == len(set(named))  # a ring has as many seams as panels


def test_what_the_reader_must_be_able_to_say(pack: dict[str, Any]) -> None:
    book = pack["book"]
    for words in ("Before starting the engine", "Fans kill", "kill switch", "port-bow", "common practice, no source"):
        assert words in book, words
    assert all(f"page {number} of {len(pack['pages'])}" in page for number, page in enumerate(pack["pages"], start=1))


def test_same_design_and_layout_give_the_same_bytes(tmp_path: Path) -> None:
    design = tmp_path / "one.toml"
    design.write_text((EXAMPLES / "one-seat.toml").read_text(encoding="utf-8") + QUICK, encoding="utf-8")
    assert main(["layout", str(design), "--seconds", "1"]) == 0
    for name in ("first", "second"):
        assert main(["pack", str(design), "-o", str(tmp_path / name), "--only", "book,layout,materials"]) == 0
    kept = design.with_suffix(".layout.json").read_text(encoding="utf-8")
    assert (tmp_path / "first/layout.json").read_text(encoding="utf-8") == kept
    for name in ("build-book.pdf", "layout.json", "materials.csv", "drawings/roll.pdf", "manifest.json"):
        assert (tmp_path / "first" / name).read_bytes() == (tmp_path / "second" / name).read_bytes(), name
    assert main(["book", str(design), "-o", str(tmp_path / "alone.pdf")]) == 0
    assert (tmp_path / "alone.pdf").read_bytes() == (tmp_path / "first/build-book.pdf").read_bytes()


def test_a_saved_layout_of_other_pieces_is_left_aside_for_a_run_and_refused_for_the_file(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    design = tmp_path / "one.toml"
    design.write_text((EXAMPLES / "one-seat.toml").read_text(encoding="utf-8") + QUICK, encoding="utf-8")
    assert main(["layout", str(design), "--seconds", "0"]) == 0
    out = tmp_path / "book.pdf"
    assert main(["book", str(design), "-o", str(out), "--set", 'making.seam="30 mm"']) == 0
    assert LEFT_ASIDE in capsys.readouterr().out
    out.unlink()
    text = design.read_text(encoding="utf-8")
    assert 'seam = "1 in"' in text
    design.write_text(text.replace('seam = "1 in"', 'seam = "30 mm"', 1), encoding="utf-8")
    assert main(["book", str(design), "-o", str(out)]) == 2
    assert "made for other pieces" in capsys.readouterr().err
    assert not out.exists()


def test_a_design_that_fails_says_so_on_every_page_of_text(tmp_path: Path) -> None:
    out = tmp_path / "book.pdf"
    four = str(EXAMPLES / "four-seat.toml")
    change = ["--set", 'skirt.side.tip_inside="-20 mm"', "--set", "making.loop.pattern=quick", "--paper", "Letter"]
    assert main(["book", four, "-o", str(out), *change]) == 1
    reader = pypdf.PdfReader(out)
    assert {tuple(sorted(map(round, page.mediabox[2:]))) for page in reader.pages} == {(612, 792)}
    pages = words_of(out.read_bytes())
    assert all("FAILS: " in page and "Do not cut" in page for page in pages)
    assert main(["book", four, "-o", str(out), "--paper", "A3"]) == 2


def test_words_of_the_file_cannot_spoil_the_page(tmp_path: Path) -> None:
    out = tmp_path / "book.pdf"
    design = tmp_path / "reed.toml"
    name = 'Reed #let *x* $1 "q" <tag> @ref \\ [a] // _b_ =c'
    text = (EXAMPLES / "one-seat.toml").read_text(encoding="utf-8")
    design.write_text(text.replace('name = "Pilm"', f"name = '{name}'") + QUICK, encoding="utf-8")
    assert main(["book", str(design), "-o", str(out)]) == 0
    assert name in words_of(out.read_bytes())[0]
