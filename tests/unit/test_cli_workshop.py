"""The commands of the workshop, from file to file."""

from __future__ import annotations

import json
from pathlib import Path

import pypdf
import pytest

from skirtloft.cli import main
from skirtloft.errors import ExportError
from skirtloft.layout.kept import LEFT_ASIDE, layouts_of_run
from skirtloft.pack.plan import plan_pack
from tests.designs import EXAMPLES, skirt_of


@pytest.fixture
def design(tmp_path: Path) -> Path:
    place = tmp_path / "one.toml"
    place.write_text((EXAMPLES / "one-seat.toml").read_text(encoding="utf-8"), encoding="utf-8")
    return place


def test_layout_is_kept_used_again_and_refused_when_pieces_change(
    design: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words = ["layout", str(design), "--seconds", "0"]
    assert main([*words, "-o", str(tmp_path / "roll.pdf"), "--true-size", str(tmp_path / "true.pdf")]) in (0, 1)
    kept = tmp_path / "one.layout.json"
    first = kept.read_bytes()
    assert {entry["cloth"] for entry in json.loads(first)["layouts"]} == {"loop", "segment"}
    assert len(pypdf.PdfReader(tmp_path / "roll.pdf").pages) > 4
    assert all(float(page.mediabox.width) <= 14400.0 for page in pypdf.PdfReader(tmp_path / "true.pdf").pages)
    assert main(words) in (0, 1)
    assert kept.read_bytes() == first
    capsys.readouterr()
    changed = ["--set", 'making.seam="30 mm"']
    assert main([*words, *changed]) in (0, 1)
    assert f"Not kept: {LEFT_ASIDE}" in capsys.readouterr().out
    assert main(["materials", str(design), *changed]) in (0, 1)
    assert LEFT_ASIDE in capsys.readouterr().out
    assert kept.read_bytes() == first
    skirt = skirt_of("one-seat", ("making.seam", "30 mm"))
    with pytest.raises(ExportError, match="made for other pieces"):
        layouts_of_run(skirt.design, skirt.pieces, first.decode(), ())
    planned = plan_pack(skirt, "", changes=("making.seam",), saved_layout=first.decode())
    assert f"Layout    {LEFT_ASIDE}" in planned.lines()
    assert planned.layouts
    assert main([*words, "--again", "--set", 'making.seam="30 mm"']) in (0, 1)
    assert kept.read_bytes() != first


def test_materials_say_what_is_not_priced(design: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    table = tmp_path / "materials.csv"
    assert main(["materials", str(design), "--set", "prices.bolt=0.2", "-o", str(table)]) in (0, 1)
    out = capsys.readouterr().out
    assert "Without a price: loop cloth, segment cloth" in out
    assert "lay them out first" in out
    assert table.read_text(encoding="utf-8").startswith("part,quantity,unit,")
    assert main(["materials", str(design), "--set", "prices.bolts=0.2"]) == 2
    assert 'Perhaps "prices.bolt" was meant' in capsys.readouterr().err


def test_trim_answers_and_lists_every_problem(design: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    gaps = tmp_path / "gaps.toml"
    places = ("bow", "port-bow", "port", "port-stern", "stern", "starboard-stern", "starboard", "starboard-bow")
    good = 'format = "skirtloft-gaps/1"\n' + "".join(f'[[gap]]\nat = "{at}"\ngap = "1/2 in"\n' for at in places)
    gaps.write_text(good, encoding="utf-8")
    assert main(["trim", str(design), str(gaps)]) == 0
    out = capsys.readouterr().out
    assert out.index("1 Level") < out.index("2 Trim")
    assert "Fans kill" in out
    gaps.write_text(good.replace('"bow"', '"bwo"').replace('"1/2 in"', '"1/2"', 1), encoding="utf-8")
    assert main(["trim", str(design), str(gaps)]) == 2
    err = capsys.readouterr().err
    assert err.startswith("The file of gaps has 2 problems")
    assert "Traceback" not in err
    assert main(["trim", str(design), str(tmp_path / "none.toml")]) == 2
