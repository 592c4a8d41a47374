"""The outline command: what it prints and writes, exit codes, and nothing touched when something is wrong."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from skirtloft.cli import main
from skirtloft.design.read import load_design
from tests.designs import EXAMPLES
from tests.outline_cases import TAPERED, dxf_bytes, polyline


@pytest.fixture
def drawing(tmp_path: Path) -> str:
    path = tmp_path / "hull.dxf"
    path.write_bytes(dxf_bytes(polyline(TAPERED, layer="EDGE")))
    return str(path)


def test_tables_to_the_output_and_the_report_beside_it(drawing: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["outline", drawing, "--height", "340 mm"]) == 0
    out, err = capsys.readouterr()
    edge = tomllib.loads(out)["hull"]["edge"]
    assert [(entry["x"], entry["y"]) for entry in edge] == [
        ("4.4 m", "0 m"),
        ("4.4 m", "550 mm"),
        ("3 m", "1.05 m"),
        ("0 m", "1.05 m"),
        ("0 m", "0 m"),
    ]
    for words in (
        "layer EDGE",
        "1 LWPOLYLINE",
        "in mm (says the drawing)",
        "Centre line y = 0 mm",
        "bow towards +x (not told",
        "differ by at most",
        "Length 4.400 m, width 2.100 m",
        "read back: within 0.000001 mm",
        "straight 1.487 m, faces 70 deg",  # hypot(1400, 500); atan(1400/500) = 70.3 deg
    ):
        assert words in err


def test_a_file_of_its_own_is_never_written_over(
    drawing: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    target = tmp_path / "edge.toml"
    command = ["outline", drawing, "--height", "340 mm", "-o", str(target)]
    assert main(command) == 0
    text = target.read_bytes()
    assert len(tomllib.loads(text.decode())["hull"]["edge"]) == 5
    assert "Labels follow" in capsys.readouterr().out
    assert main([*command, "--height", "400 mm"]) == 2
    assert target.read_bytes() == text
    assert "is there already" in capsys.readouterr().err


def test_into_a_design_that_then_reads(drawing: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    design = tmp_path / "craft.toml"
    text = (EXAMPLES / "four-seat.toml").read_text(encoding="utf-8")
    design.write_text(text, encoding="utf-8", newline="\n")
    assert main(["outline", drawing, "--height", "340 mm", "--into", str(design)]) == 0
    out = capsys.readouterr().out
    assert f"Wrote 5 points into {design}" in out
    assert "mend this" not in out
    found = load_design(design)
    assert [point.x for point in found.hull.edge] == [4.4, 4.4, 3.0, 0.0, 0.0]
    assert design.read_text(encoding="utf-8").endswith(text[text.index("[skirt]") :])


def test_what_the_design_still_lacks_is_told(drawing: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    design = tmp_path / "craft.toml"
    text = (EXAMPLES / "four-seat.toml").read_text(encoding="utf-8").replace("stern = ", "stren = ")
    design.write_text(text, encoding="utf-8", newline="\n")
    assert main(["outline", drawing, "--height", "340 mm", "--into", str(design)]) == 0
    out = capsys.readouterr().out
    assert "Before it solves, mend this in it:" in out
    assert "skirt.corner.stren" in out


def test_wrong_drawings_and_requests_are_exit_code_two_and_touch_nothing(
    drawing: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    design = tmp_path / "craft.toml"
    design.write_bytes(b"[hull]\n")
    spoiled = tmp_path / "spoiled.dxf"
    spoiled.write_bytes(b"no drawing\n" * 9)
    for command, words in (
        (["outline", drawing, "--into", str(design)], "lies flat at z = 0"),
        (["outline", drawing, "--height", "340", "--into", str(design)], "A bare number has no unit."),
        (["outline", str(spoiled), "--height", "340 mm", "--into", str(design)], "DXF"),
        (["outline", str(tmp_path / "none.dxf")], "cannot be read"),
        (["outline", str(tmp_path)], "folder"),
        (["outline", drawing, "--height", "340 mm", "--into", str(tmp_path / "none.toml")], "no such file"),
        (["outline", drawing, "--into", str(design), "-o", str(tmp_path / "new.toml")], "not both"),
    ):
        assert main(command) == 2
        err = capsys.readouterr().err
        assert words in err
        assert "Traceback" not in err
    assert design.read_bytes() == b"[hull]\n"
    assert not (tmp_path / "new.toml").exists()


def test_every_option_reaches_the_request(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    drawn = [(-y / 25.4 + 10.0, x / 25.4) for x, y in TAPERED[:1] + [(3000.0, 1050.4)] + TAPERED[2:]]
    path = tmp_path / "inches.dxf"
    path.write_bytes(dxf_bytes(polyline(drawn, layer="EDGE"), 0))
    command = ["outline", str(path), "--layer", "edge", "--units", "in", "--height", "1 ft 1 in", "--bow", "90 deg"]
    command += ["--centre", "10 in", "--symmetry", "0.5 mm", "--snap", "0.2 mm", "--tolerance", "2 mm"]
    assert main(command) == 0
    out, err = capsys.readouterr()
    edge = tomllib.loads(out)["hull"]["edge"]
    assert edge[0]["height"] == "13 in"
    assert edge[1]["y"] == f"{550 / 25.4:.8f}".rstrip("0") + " in"
    assert "Centre line x = 254 mm; bow towards +y (told)" in err
    assert main([*command[:-5], "0.3 mm"]) == 2  # symmetry
