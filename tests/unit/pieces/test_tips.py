"""Segments cut longer or shorter at the tip, and loops cut anew: geometry of the pieces."""

import numpy as np
import pytest

from skirtloft.design.read import load_design, parse_design
from skirtloft.design.recut_text import with_recut
from skirtloft.pieces.segment import face_shape
from skirtloft.pieces.tips import lengthened, with_longer_tip
from skirtloft.pipeline import build, surface_of
from tests.designs import EXAMPLES, skirt_of

LONGER = 0.012


def length(line):
    return float(np.hypot(*np.diff(line, axis=0).T).sum())


@pytest.mark.parametrize("change", [0.012, -0.008])
@pytest.mark.parametrize("corner", [False, True])
def test_a_face_grows_along_its_sides_and_keeps_its_top(change, corner):
    plain = face_shape(0.15, 0.28, np.pi / 4.0, *((0.75, 0.2) if corner else ()))
    made = lengthened(plain, change)
    assert np.array_equal(made.top, plain.top)
    assert length(made.side) - length(plain.side) == pytest.approx(change, abs=1e-12)
    assert length(made.stern_side) == pytest.approx(made.stern_length, abs=2e-6)
    assert made.tip[0] == pytest.approx(made.stern_side[-1], abs=1e-12)
    assert made.tip[-1] == pytest.approx(made.side[0], abs=1e-12)
    assert lengthened(plain, 0.0) is plain


def test_a_web_keeps_joint_and_inner_corner():
    corners = np.array([[0.0, 0.0], [-0.28, -0.28], [-0.56, 0.0]])
    made = with_longer_tip(corners, 0.01)
    assert made[[0, 2]] == pytest.approx(corners[[0, 2]])
    assert np.hypot(*(made[1] - corners[1])) == pytest.approx(0.01)
    # a right angle at the tip: farther from I by (sqrt(G I^2 + c^2) - G I), to the second order
    assert np.hypot(*(made[1] - made[2])) == pytest.approx(np.sqrt(0.28**2 * 2.0 + 1e-4))


def test_face_and_web_of_a_longer_tip_still_sew_together():
    skirt = skirt_of("four-seat", ("making.tip_change", "12 mm"))
    plain = {piece.id: piece for piece in skirt_of("four-seat").pieces}
    webs = {piece.id: piece for piece in skirt.pieces if piece.kind == "web"}
    for piece in skirt.pieces:
        if piece.kind == "face":
            for edge in (piece.edges[0], piece.edges[2]):
                assert edge.length == pytest.approx(webs[edge.joins].edges[1].length, abs=2e-6)
                assert edge.length - plain[piece.id].edges[0].length == pytest.approx(LONGER, abs=2e-5)
    assert skirt.sections.length == pytest.approx(skirt_of("four-seat").sections.length)


def test_a_recut_station_changes_the_loop_there_and_nothing_of_the_sections():
    plain = skirt_of("four-seat")
    at = plain.plan.stations.at
    text = (EXAMPLES / "four-seat.toml").read_text(encoding="utf-8")
    made = build(parse_design(with_recut(text, [(at[4], 0.006), (at[12], -0.004)], 0.0)))
    assert made.plan.stations.at == pytest.approx(at)
    assert made.sections.length == pytest.approx(plain.sections.length)
    seams = [(panel.start, length(panel.seam_start)) for panel in made.development.panels]
    before = {panel.start: length(panel.seam_start) for panel in plain.development.panels}
    wanted = np.interp(at, [at[4], at[12]], [0.006, -0.004])
    for start, new in seams:
        assert new - before[start] == pytest.approx(wanted[int(start[1:])], abs=3e-4)


def test_the_surface_of_exact_patterns_follows_too():
    plain = skirt_of("four-seat")
    text = (EXAMPLES / "four-seat.toml").read_text(encoding="utf-8")
    at = np.linspace(0.2, 3.0, 5)
    lengths = [
        surface_of(design, plain.plan, plain.sections.pressure)(at).length
        for design in (plain.design, parse_design(with_recut(text, [(1.0, 0.006), (2.0, 0.002)], 0.0)))
    ]
    assert lengths[1] - lengths[0] == pytest.approx(np.interp(at, [1.0, 2.0], [0.006, 0.002]), abs=1e-9)


def test_design_reads_both_keys():
    design = load_design(EXAMPLES / "four-seat.toml", (("making.tip_change", "-8 mm"),))
    assert design.making.tip_change == pytest.approx(-0.008)
