"""Exact loop patterns of whole crafts: seams, edges, sums round the craft, cut lines, holes; both methods."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
import shapely

from skirtloft.maths.frozen import Floats
from skirtloft.maths.polylines import polyline_length
from skirtloft.pieces.joint import hole_places, pitch_lines, sewn_runs
from skirtloft.pieces.seams import loop_allowance
from skirtloft.pieces.types import CutPiece, Edge
from skirtloft.pipeline import Skirt, build
from skirtloft.shape.types import FlatPanel
from tests.designs import as_cut, skirt_of

RAKED = tuple((f"hull.edge[{i}].height", height) for i, height in enumerate(("440 mm", "420 mm", "360 mm", "340 mm")))
UNLIKE = (("skirt.bow.depth", "300 mm"), ("skirt.bow.tip_angle", "95 deg"), ("skirt.stern.face_angle", "48 deg"))
MEAN = (("making.loop.corner_end", "mean"),)
AROUND = (("cloth.loop.warp", "around"),)
CASES: dict[str, tuple[str, tuple[tuple[str, str], ...]]] = {
    "one-seat, imperial": ("one-seat", ()),
    "four-seat": ("four-seat", ()),
    "ten-seat": ("ten-seat", ()),
    "hull edge that falls from the bow": ("four-seat", RAKED),
    "segments unlike at bow, side and stern": ("four-seat", UNLIKE),
    "straight panels eased": ("one-seat", MEAN),
    "warp around": ("one-seat", AROUND),
}


@pytest.fixture(params=CASES, scope="module")
def skirt(request: pytest.FixtureRequest) -> Skirt:
    name, changes = CASES[request.param]
    return as_cut(name, *changes)


def steps(line: Floats) -> Floats:
    return np.hypot(*np.diff(line, axis=0).T)


def loop_pieces(skirt: Skirt) -> list[CutPiece]:
    return [piece for piece in skirt.pieces if piece.kind == "loop_panel" and piece.hand != "S"]


def edge_of(piece: CutPiece, kind: str) -> Edge:
    return next(edge for edge in piece.edges if edge.kind == kind)


def hull_length(skirt: Skirt) -> float:
    """Of the port half, in space: straight rises along the plan length between the breaks of the hull edge."""
    plan = skirt.plan
    return float(np.hypot(np.diff(plan.hull_edge.breaks), np.diff(plan.hull_heights)).sum())


def joint_length(skirt: Skirt) -> float:
    """Of the port half, in space: the joint rises evenly between the nodes of the segments' depth."""
    field = skirt.plan.segments
    ends = float(skirt.plan.joint_line.breaks[-1])
    return ends + float(np.sum(np.hypot(np.diff(field.at), np.diff(field.depth)) - np.diff(field.at)))


def test_patterns_are_exact_and_say_so(skirt: Skirt) -> None:
    assert skirt.development.pattern == "exact"
    assert skirt_of("four-seat").development.pattern == "quick"


def test_both_sides_of_a_seam_agree_edge_by_edge(skirt: Skirt) -> None:
    for before, after in pairwise(skirt.development.panels):
        assert len(before.seam_end) == len(after.seam_start)
        assert np.abs(steps(before.seam_end) - steps(after.seam_start)).max() < 1e-9


def test_edges_are_true(skirt: Skirt) -> None:
    made = skirt.development
    assert np.abs(made.hull_edge_error).max() < 0.05e-3
    assert np.abs(made.joint_edge_error).max() < 0.05e-3
    for panel in made.panels:
        assert polyline_length(panel.hull_line) == pytest.approx(panel.hull_edge, abs=1e-15)
        assert polyline_length(panel.joint_line) == pytest.approx(panel.joint_edge, abs=1e-15)
        assert np.abs(panel.hull_line[[0, -1]] - [panel.seam_start[0], panel.seam_end[0]]).max() < 1e-15
        assert np.abs(panel.joint_line[[0, -1]] - [panel.seam_start[-1], panel.seam_end[-1]]).max() < 1e-15


def test_sums_round_the_craft_are_the_curves(skirt: Skirt) -> None:
    """Hull edges, joint edges, strips and pitches within 1 mm of hull edge and joint line."""
    hull = joint = 0.0
    for panel in skirt.development.panels:
        sides = 1 if panel.across else 2
        hull, joint = hull + sides * panel.hull_edge, joint + sides * panel.joint_edge
    assert hull == pytest.approx(2.0 * hull_length(skirt), abs=1e-3)
    assert joint == pytest.approx(2.0 * joint_length(skirt), abs=1e-3)
    strips = [piece for piece in skirt.pieces if piece.kind == "joint_strip"]
    assert sum(p.quantity * p.joint_length for p in strips) == pytest.approx(joint, abs=1e-9)
    runs = sewn_runs(skirt.plan, skirt.development.panels, skirt.design.making.hole_pitch)
    assert sum(run.sides * run.segments * run.pitch for run in runs) == pytest.approx(joint, abs=1e-9)
    faces = [piece for piece in skirt.pieces if piece.kind == "face"]
    assert sum(p.quantity * p.joint_length for p in faces) == pytest.approx(joint, abs=1e-9)


def test_every_cut_line_is_a_polygon_that_holds_its_sew_line(skirt: Skirt) -> None:
    for piece in skirt.pieces:
        cut, sewn = shapely.Polygon(piece.cut_line), shapely.Polygon(piece.sew_line)
        assert cut.is_valid, piece.id
        assert sewn.is_valid, piece.id
        assert cut.buffer(1e-7).contains(sewn), piece.id


def test_allowances_are_left_outside_curved_edges(skirt: Skirt) -> None:
    """The middle of every edge lies its own allowance from the cut line, hollow or not, to a tenth of a millimetre."""
    for piece in loop_pieces(skirt):
        cut = shapely.LinearRing(piece.cut_line)
        for edge in (edge for edge in piece.edges if edge.length > 0.06):  # else the sides of the piece are nearer
            middle = shapely.LineString(edge.points).interpolate(0.5, normalized=True)
            assert cut.distance(middle) == pytest.approx(edge.allowance, abs=1e-4), (piece.id, edge.name)


def test_holes_and_pitches_lie_on_the_joint_where_the_strip_has_them(skirt: Skirt) -> None:
    """Laid along the curved joint edge, within .1 mm; the row as far outside it as the allowance says."""
    making = skirt.design.making
    clear = loop_allowance(making) + making.hole / 2.0
    runs = sewn_runs(skirt.plan, skirt.development.panels, making.hole_pitch, clear)
    for piece in loop_pieces(skirt):
        run = next(run for run in runs if piece.base in run.panels)
        span = run.spans[run.panels.index(piece.base)]
        joint = shapely.LineString(edge_of(piece, "joint").points)  # from stern to bow
        along = [span[1] - joint.project(shapely.Point(hole)) for hole in piece.holes]
        wanted = hole_places(run)
        wanted = wanted[(wanted >= span[0]) & (wanted < span[1])]
        assert along == pytest.approx(wanted.tolist(), abs=1e-4)
        for hole in piece.holes:
            assert joint.distance(shapely.Point(hole)) == pytest.approx(making.joint - making.hole_edge, abs=1e-4)
        marks = [span[1] - joint.project(shapely.Point(m.points[0])) for m in piece.marks if m.kind == "pitch"]
        lines = pitch_lines(run)
        assert marks == pytest.approx(lines[(lines > span[0] + 1e-6) & (lines < span[1] - 1e-6)].tolist(), abs=1e-9)


def test_notches_match_across_every_seam(skirt: Skirt) -> None:
    found: dict[str, list[list[tuple[float, int]]]] = {}
    for piece in loop_pieces(skirt):
        for edge in piece.edges:
            if edge.kind == "seam":
                line = shapely.LineString(edge.points)
                from_hull = piece.edges.index(edge) == 3
                places = []
                for notch in piece.notches:
                    if notch.letter == edge.letter and line.distance(shapely.Point(notch.at)) < 1e-9:
                        at = line.project(shapely.Point(notch.at))
                        places.append((at if from_hull else line.length - at, notch.count))
                found.setdefault(edge.letter, []).append(sorted(places))
    for letter, sides in found.items():
        for side in sides:
            assert len(side) == 3, letter
            assert [count for _, count in side] == [count for _, count in sides[0]]
            assert [at for at, _ in side] == pytest.approx([at for at, _ in sides[0]], abs=1e-9), letter


def test_a_strip_of_one_section_stays_a_rectangle() -> None:
    exact, quick = as_cut("four-seat").development, skirt_of("four-seat").development
    straight = [(a, b) for a, b in zip(exact.panels, quick.panels, strict=True) if b.is_rectangle]
    assert len(straight) == 4
    for panel, before in straight:
        assert panel.is_rectangle
        assert (panel.hull_edge, panel.joint_edge, panel.area) == (before.hull_edge, before.joint_edge, before.area)
    cards = {piece.base for piece in as_cut("four-seat").pieces if piece.is_rectangle}
    assert {panel.id for panel, _ in straight} <= cards


def test_eased_straight_panels_are_no_rectangles_and_are_their_own_mirror_image() -> None:
    panels = as_cut("one-seat", *MEAN).development.panels
    assert not any(panel.is_rectangle for panel in panels if panel.across)
    for panel in (panel for panel in panels if panel.across):
        turned = panel.seam_end * [-1.0, 1.0] + [panel.seam_start[-1, 0], 0.0]
        assert np.abs(turned - panel.seam_start).max() < 1e-9


def test_methods_give_nearly_the_same_panel() -> None:
    """Corners of exact and quick panels of a usual corner lie within a centimetre; edges have the same lengths."""
    exact, quick = as_cut("four-seat").development, skirt_of("four-seat").development
    for one, other in zip(exact.panels, quick.panels, strict=True):
        assert one.joint_edge == pytest.approx(other.joint_edge, abs=0.1e-3)
        assert one.hull_edge == pytest.approx(other.hull_edge, abs=0.1e-3)
        assert np.abs(corners(one) - corners(other)).max() < 0.012
        assert one.area == pytest.approx(other.area, rel=0.05)


def corners(panel: FlatPanel) -> Floats:
    return np.array([panel.seam_start[0], panel.seam_start[-1], panel.seam_end[0], panel.seam_end[-1]])


def test_quick_where_the_file_says_so() -> None:
    asked = as_cut("four-seat", ("making.loop.pattern", "quick")).development
    assert asked.pattern == "quick"
    assert not asked.strain
    for one, other in zip(asked.panels, skirt_of("four-seat").development.panels, strict=True):
        np.testing.assert_array_equal(one.seam_start, other.seam_start)


def test_stiffer_in_shear_shears_less() -> None:
    """Patterns follow the cloth that the file describes: G/E up, largest shear down, threads strained more."""
    soft, stiff = (as_cut("one-seat", ("making.loop.shear", value)).development.strain for value in ("0.02", "0.38"))
    pairs = [(a, b) for a, b in zip(soft, stiff, strict=True) if a and b]
    assert all(b.shear.p95 < 0.8 * a.shear.p95 for a, b in pairs)
    assert max(b.thread.p95 for _, b in pairs) > 1.1 * max(a.thread.p95 for a, _ in pairs)


def test_it_tells_how_far_it_is_and_can_be_stopped() -> None:
    told: list[tuple[int, int]] = []
    design = skirt_of("four-seat").design
    build(design, preview=False, progress=lambda done, total, what: told.append((done, total)))
    assert told == [(0, 15), (7, 15), (9, 15), (15, 15)]  # bow corner, side corner, stern corner

    def stop(done: int, total: int, what: str) -> None:
        if done:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        build(design, preview=False, progress=stop)
