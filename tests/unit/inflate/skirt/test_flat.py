"""Cut pieces as meshes: areas as cut, edges that meet, halves and trims."""

import numpy as np
import pytest

from skirtloft.inflate.skirt.chain import PanelSpan, SegmentSpan
from skirtloft.inflate.skirt.flat import by_base, cut_short, enclosed, face_mesh, panel_mesh, part_of, web_mesh
from tests.sewn_designs import cut_of

EVEN = np.linspace(0.0, 1.0, 7)
SEGMENT = SegmentSpan(0, 0, 0, 6, 0, 0, 0)


def area(mesh):
    one, two, three = (mesh.flat[mesh.triangles[:, i]] for i in range(3))
    u, v = two - one, three - one
    return float((u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]).sum() / 2.0)


def pieces():
    return by_base(cut_of("four-seat").pieces)


@pytest.mark.parametrize("base", ["L01", "L05", "L12", "L15"])
def test_panels_keep_their_area_and_their_edges(base):
    piece = pieces()[base]
    mesh = panel_mesh(piece, PanelSpan(base, 0, 6), EVEN, 64)
    # seams of 128 steps drawn with 64: within 1e-3 of the area
    assert area(mesh) == pytest.approx(enclosed(piece.sew_line), rel=1e-3)
    top = mesh.flat[mesh.edges["top"]]
    assert np.hypot(*(top[-1] - top[0])) == pytest.approx(piece.edges[2].length, rel=1e-9)
    assert top[-1, 0] > top[0, 0]  # bow to the left


def test_halves_of_a_panel_across_the_centre_line_are_its_half():
    piece = pieces()["L01"]
    whole = area(panel_mesh(piece, PanelSpan("L01", 0, 6), EVEN, 8))
    for low, high in ((0.0, 0.5), (0.5, 1.0), (0.25, 0.75)):
        part = panel_mesh(piece, PanelSpan("L01", 0, 6, low, high), EVEN, 8)
        assert area(part) == pytest.approx(whole / 2.0, rel=1e-9)


@pytest.mark.parametrize("base", ["F1", "F2", "F5"])
def test_faces_keep_their_area_and_sides(base):
    piece = pieces()[base]
    mesh = face_mesh(piece, SEGMENT, np.linspace(0.0, 1.0, 49), 50)
    assert area(mesh) == pytest.approx(enclosed(piece.sew_line), rel=1e-3)
    side = mesh.flat[mesh.edges["left"]]
    length = np.hypot(*np.diff(side, axis=0).T).sum()
    assert length == pytest.approx(piece.edges[0].length, rel=1e-4)


def test_a_trim_takes_its_length_off_face_and_web_alike():
    face, web = pieces()["F5"], pieces()["W1"]
    for trim in (0.012, -0.015):
        short, whole = (face_mesh(face, SEGMENT, EVEN, 40, t) for t in (trim, 0.0))
        lengths = [np.hypot(*np.diff(m.flat[m.edges["left"]], axis=0).T).sum() for m in (short, whole)]
        assert lengths[1] - lengths[0] == pytest.approx(trim, abs=2e-5)
        corner = [web_mesh(web, 4, t) for t in (trim, 0.0)]
        moved = corner[0].flat[corner[0].edges["second"][-1]] - corner[1].flat[corner[1].edges["second"][-1]]
        assert np.hypot(*moved) == pytest.approx(abs(trim))
        assert np.sign(moved[1]) == np.sign(trim)  # trimmed: the corner lies higher
        left, right = short.flat[short.edges["bottom"][[0, -1]]]
        assert left[0] == pytest.approx(-right[0], abs=1e-9)  # still its own mirror image


def test_a_web_is_the_section_with_its_area():
    piece = pieces()["W1"]
    assert area(web_mesh(piece, 10)) == pytest.approx(enclosed(piece.sew_line), rel=1e-12)


def test_lines_cut_short_and_in_part():
    line = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 2.0]])
    assert cut_short(line, 0.5)[-1] == pytest.approx([1.0, 1.5])
    assert cut_short(line, 2.5) == pytest.approx(np.array([[0.0, 0.0], [0.5, 0.0]]))
    assert cut_short(line, -0.5)[-1] == pytest.approx([1.0, 2.5])
    middle = part_of(line, PanelSpan("x", 0, 1, 1.0 / 6.0, 0.5))
    assert middle == pytest.approx(np.array([[0.5, 0.0], [1.0, 0.0], [1.0, 0.5]]))
