"""Tiles on the papers that are asked for: a face of the one-seat measured in its PDF, and what the pack says of it."""

from __future__ import annotations

import io
from functools import cache
from pathlib import Path

import numpy as np
import pdfplumber
import pytest

from skirtloft.cli import main
from skirtloft.errors import ExportError
from skirtloft.maths.frozen import Floats
from skirtloft.pack.makers import makers
from skirtloft.pack.plan import plan_pack
from skirtloft.pack.types import PAPERS, PlannedPack
from tests.designs import EXAMPLES, skirt_of

MM = 25.4 / 72.0  # one PDF unit
TRUE = 0.1  # mm, what a template must be true to (requirement)
SIZES = {"A3": (297.0, 420.0), "Tabloid": (279.4, 431.8)}  # ISO 216; ANSI Y14.1 size B


@cache
def planned_on(*papers: str) -> PlannedPack:
    return plan_pack(skirt_of("one-seat"), "", only=["tiles", "strips", "tapes"], papers=papers)


@pytest.mark.parametrize("paper", SIZES)
def test_a_face_read_back_from_its_tiles_is_true(paper: str) -> None:
    """On every tile the whole cut line lies where the piece has it, but for where the tile itself lies."""
    planned = planned_on("Tabloid", "a3", "A3")
    template = next(t for t in planned.templates if t.piece.kind == "face")
    made = dict(makers(planned))
    pages = pdfplumber.open(io.BytesIO(made[f"tiles-{paper}/{template.piece.base}.pdf"]())).pages
    plan = template.tiles[paper]
    assert len(pages) == plan.page_count
    for page in pages:
        sides = sorted((float(page.width) * MM, float(page.height) * MM))
        assert sides == pytest.approx(SIZES[paper], abs=0.05)
    flip = np.array([-1.0 if template.piece.drawn_x_left else 1.0, 1.0]) * 1000.0
    wanted = template.piece.cut_line * flip
    outlines = [found for page in pages for found in [outline(page, len(wanted))] if found is not None]
    assert outlines
    for found in outlines:
        shift = (found - wanted).mean(axis=0)
        assert np.abs(found - wanted - shift).max() < TRUE


def outline(page: object, count: int) -> Floats | None:
    """The path of a page with so many corners, mm from its lower left corner."""
    for curve in page.curves:  # type: ignore[attr-defined]
        points = np.array(curve["pts"]) * MM
        if len(np.unique(points.round(6), axis=0)) == count:
            upright: Floats = np.column_stack([points[:count, 0], page.height * MM - points[:count, 1]])  # type: ignore[attr-defined]
            return upright
    return None


def test_only_what_is_asked_for_and_a4_and_letter_otherwise() -> None:
    for asked, there in (((), PAPERS), (("Tabloid", "a3", "A3"), ("Tabloid", "A3"))):
        planned = planned_on(*asked)
        assert planned.papers == there
        names = [name for name, _ in makers(planned)]
        assert {name.split("/")[0] for name in names if name.startswith("tiles-")} == {f"tiles-{p}" for p in there}
        for stem in ("strips/hull-strips", "tapes/seam-tapes"):
            assert {f"{stem}-{paper}.pdf" for paper in there} <= set(names)
            assert sum(name.startswith(f"{stem}-") for name in names) == len(there)
        assert all(f"of {paper}" in "\n".join(planned.lines()) for paper in there)


def test_a_paper_that_is_none_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "pack"
    quick = ["--set", 'making.loop.pattern="quick"', "--only", "tiles"]
    assert main(["pack", str(EXAMPLES / "one-seat.toml"), "-o", str(out), "--paper", "A2,Legal", *quick]) == 2
    err = capsys.readouterr().err
    assert "--paper A2, Legal: no such paper; tiles are made on A4, A3, Letter, Tabloid" in err
    assert not out.exists()
    with pytest.raises(ExportError, match="no such paper"):
        plan_pack(skirt_of("one-seat"), "", papers=["", "A4"])
