"""Drawing -> hull edge -> plan: the check numbers of the plan, reached from a drawing in place of vertices."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from skirtloft.cli import main
from skirtloft.design.read import load_design
from skirtloft.maths.curves import ArcPiece, piece_end, piece_start
from skirtloft.maths.curves import Path as Outline
from skirtloft.pipeline import build
from skirtloft.shape.plan import lay_out
from tests.designs import EXAMPLES
from tests.outline_cases import dxf_bytes, polyline, read, rounded
from tests.plan_cases import design_of


def test_the_square_bow_of_the_check_numbers() -> None:
    """Hull front x 4.405, side y 1.05, stern x 0; depth .28, pitch .15, radii .75 (plan, check numbers (a))."""
    found = read(polyline(rounded()), bow=0.0, height=0.26)
    plan = lay_out(design_of(found.points))
    assert plan.joint_area == pytest.approx(10.231634, abs=1e-6)
    assert plan.joint_perimeter == pytest.approx(12.452565, abs=1e-6)
    assert plan.tip_area == pytest.approx(7.903811, abs=1e-6)
    assert plan.tip_perimeter == pytest.approx(11.216688, abs=1e-6)
    assert len(plan.hull_edge.pieces) == 5


def drawn_as(path: Outline) -> Callable[[Any], object]:
    """Return what draws a port half and its mirror image as one closed polyline, mm."""
    places = [piece_start(path.pieces[0]), *(piece_end(piece) for piece in path.pieces)]
    bulges = [math.tan(piece.sweep / 4.0) if isinstance(piece, ArcPiece) else 0.0 for piece in path.pieces]
    port = [(1000.0 * place.real, 1000.0 * place.imag) for place in places]
    starboard = [(port[k][0], -port[k][1], bulges[k - 1]) for k in range(len(port) - 1, 0, -1)]
    return polyline([*((*place, bulge) for place, bulge in zip(port[:-1], bulges, strict=True)), *starboard])


def test_a_drawing_becomes_a_skirt(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The four-seat example drawn with its fillets as arcs makes the same skirt as from its vertices."""
    example = EXAMPLES / "four-seat.toml"
    from_vertices = build(load_design(example))
    drawing, design = tmp_path / "hull.dxf", tmp_path / "craft.toml"
    drawing.write_bytes(dxf_bytes(drawn_as(from_vertices.plan.hull_edge)))
    design.write_bytes(example.read_bytes())
    assert main(["outline", str(drawing), "--height", "340 mm", "--into", str(design)]) == 0
    assert "mend this" not in capsys.readouterr().out
    from_drawing = build(load_design(design))
    assert from_drawing.plan.tip_area == pytest.approx(from_vertices.plan.tip_area, rel=1e-8)
    assert from_drawing.cushions[0].pressure == pytest.approx(from_vertices.cushions[0].pressure, rel=1e-8)
    assert len(from_drawing.pieces) == len(from_vertices.pieces)
