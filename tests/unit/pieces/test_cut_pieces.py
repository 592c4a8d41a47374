"""Every piece of a craft, and that they fit one another."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import numpy as np
import pytest
import shapely

from skirtloft.design.model import Making
from skirtloft.errors import ShapeError
from skirtloft.pieces.allowance import enclosed_area
from skirtloft.pieces.cut_pieces import cut_pieces
from skirtloft.pieces.joint import hole_places, sewn_runs
from skirtloft.shape.develop import develop
from skirtloft.shape.plan import lay_out
from tests.corner_cases import sections_with_inset
from tests.loop_cases import JointCase, design, panels, plan

CRAFT = JointCase()
DESIGN = design()
MAKING = DESIGN.making


@pytest.fixture(scope="module")
def pieces():
    return cut_pieces(DESIGN, plan(CRAFT), panels(CRAFT))


@pytest.fixture(scope="module")
def runs():
    return sewn_runs(plan(CRAFT), panels(CRAFT), MAKING.hole_pitch)


def of(pieces, kind):
    return [piece for piece in pieces if piece.kind == kind]


def edge(piece, name):
    return next(edge for edge in piece.edges if edge.name == name)


def test_quantities_are_for_the_whole_craft(pieces, runs):
    total = 7 + 2 * (8 + 20 + 8) + 6
    assert sum(piece.quantity for piece in of(pieces, "face")) == total
    assert [(piece.id, piece.quantity) for piece in of(pieces, "web")] == [("W1-P", total), ("W1-S", total)]
    assert [(piece.run, piece.quantity) for piece in of(pieces, "joint_strip")] == [
        ("bow", 1), ("bow_corner", 2), ("side", 2), ("stern_corner", 2), ("stern", 1),
    ]  # fmt: skip
    hands = Counter(piece.hand for piece in of(pieces, "loop_panel"))
    assert hands == {"P": 14, "S": 14, "": 2}
    assert all(piece.quantity == 1 for piece in of(pieces, "loop_panel"))
    assert len({piece.id for piece in pieces}) == len(pieces)
    assert all(isinstance(piece.quantity, int) for piece in pieces)


def test_equal_corners_share_one_face(pieces):
    faces = of(pieces, "face")
    assert [piece.id for piece in faces] == ["F1", "F2", "F3", "F4"]
    assert faces[1].name == "segment face, bow corner, stern corner"
    assert faces[1].quantity == 32
    other = cut_pieces(DESIGN, plan(JointCase(stern_radius=0.7)), panels(JointCase(stern_radius=0.7)))
    assert len(of(other, "face")) == 5


def test_segment_strip_and_loop_share_one_joint(pieces, runs):
    """Sum over the craft's port half: loop edges, strip length and segment tops, each to 1e-9 m."""
    for run, strip in zip(runs, of(pieces, "joint_strip"), strict=True):
        loop = sum(
            piece.joint_length * (2 if run.crosses and piece.hand else 1)
            for piece in of(pieces, "loop_panel")
            if piece.run == run.name and piece.hand != "S"
        )
        face = next(piece for piece in of(pieces, "face") if run.name in piece.run.split(", "))
        assert strip.joint_length == pytest.approx(loop, abs=1e-9)
        assert face.joint_length * run.segments == pytest.approx(loop, abs=1e-9)
        assert edge(face, "joint").length == pytest.approx(run.pitch, abs=1e-12)
        for half in ("edge on the loop", "edge on the segments"):
            assert edge(strip, half).length == pytest.approx(loop, abs=1e-9)


def loop_holes_along(pieces, run):
    """Distances of all loop holes of a run from its bow end, laid along the joint; port side, then across."""
    found = []
    start = 0.0 if run.crosses != "bow" else run.length - sum(float(b - a) for a, b in run.spans)
    for piece in of(pieces, "loop_panel"):
        if piece.run != run.name or piece.hand == "S":
            continue
        joint = edge(piece, "joint").points
        way = (joint[0] - joint[1]) / piece.joint_length  # from the bow corner to the stern corner
        found += list(start + (piece.holes - joint[1]) @ way)
        start += piece.joint_length
    return np.sort(found)


def test_holes_of_loop_strip_and_segments_coincide(pieces, runs):
    for run, strip in zip(runs, of(pieces, "joint_strip"), strict=True):
        face = next(piece for piece in of(pieces, "face") if run.name in piece.run.split(", "))
        in_segment = np.sort(run.pitch / 2 - face.holes[:, 0])
        segments = np.concatenate([i * run.pitch + in_segment for i in range(run.segments)])
        strip_half = {sign: np.sort(run.length / 2 - strip.holes[strip.holes[:, 1] * sign > 0, 0]) for sign in (1, -1)}
        loop = loop_holes_along(pieces, run)
        assert len(segments) == run.segments * max(2, round(run.pitch / MAKING.hole_pitch))
        assert strip_half[1] == pytest.approx(segments, abs=1e-12)
        assert strip_half[-1] == pytest.approx(segments, abs=1e-12)
        assert loop == pytest.approx(segments, abs=1e-12)


def test_holes_lie_in_the_joint_allowance_at_the_edge_distance(pieces):
    for piece in pieces:
        if piece.kind in ("web", "patch"):
            continue
        ring = shapely.LinearRing(piece.cut_line)
        away = shapely.distance(ring, shapely.points(piece.holes))
        assert away == pytest.approx(np.full(len(piece.holes), MAKING.hole_edge), abs=1e-9)
        if piece.kind == "joint_strip":
            assert np.abs(piece.holes[:, 1]) == pytest.approx(MAKING.joint - MAKING.hole_edge)
        else:
            joint = shapely.LineString(edge(piece, "joint").points)
            off = shapely.distance(joint, shapely.points(piece.holes))
            assert off == pytest.approx(np.full(len(piece.holes), MAKING.joint - MAKING.hole_edge), abs=1e-12)
            assert not shapely.contains(shapely.Polygon(piece.sew_line), shapely.points(piece.holes)).any()


def test_neighbouring_panels_have_equal_seams_step_by_step(pieces):
    seams: dict[str, list] = {}
    for piece in of(pieces, "loop_panel"):
        for found in piece.edges:
            if found.kind == "seam":
                outward_first = found.points if found.points[0, 1] > found.points[-1, 1] else found.points[::-1]
                steps = np.hypot(*np.diff(outward_first, axis=0).T)
                seams.setdefault(found.letter, []).append((piece.id, steps))
    assert len(seams) == 15
    for letter, sides in seams.items():
        assert len(sides) == 4, letter  # port and starboard, two pieces each
        for _, steps in sides[1:]:
            assert steps == pytest.approx(sides[0][1], abs=1e-9)


def test_labels_name_the_neighbour_on_the_same_side(pieces):
    by_id = {piece.id: piece for piece in pieces}
    for piece in of(pieces, "loop_panel"):
        for found in piece.edges:
            if found.kind != "seam":
                continue
            other = by_id[found.joins]
            assert any(back.letter == found.letter and back.joins == piece.id for back in other.edges), piece.id
    assert by_id["L03-P"].stations == "P02 to P03"
    assert by_id["L03-S"].stations == "S02 to S03"
    assert by_id["L01"].stations == "S01 to P01"
    assert edge(by_id["L03-P"], "joint").joins == "J2, F2"


def test_a_seam_on_the_centre_line_joins_the_mirror_image():
    craft = JointCase(bow_across=False)
    by_id = {piece.id: piece for piece in cut_pieces(DESIGN, plan(craft), panels(craft))}
    assert edge(by_id["L01-P"], "seam A").joins == "L01-S"
    assert edge(by_id["L01-S"], "seam A").joins == "L01-P"
    assert by_id["L01-P"].stations == "P00 to P01"


def test_faces_fit_their_webs(pieces):
    port = next(piece for piece in pieces if piece.id == "W1-P")
    straight = edge(port, "face edge")

    def shares(piece, name):
        """Distances of the notches of one edge from the tip, and their strokes."""
        points = edge(piece, name).points
        line = shapely.LineString(points if points[0, 1] < points[-1, 1] else points[::-1])
        at = [(shapely.Point(notch.at), notch.count) for notch in piece.notches]
        return sorted((round(line.project(p), 9), count) for p, count in at if line.distance(p) < 1e-9)

    for face in of(pieces, "face"):
        for side in ("left side", "right side"):
            assert edge(face, side).length == pytest.approx(straight.length, abs=1e-9)
            assert edge(face, side).letter == straight.letter
        assert shares(face, "left side") == shares(face, "right side") == shares(port, "face edge")
        assert len(shares(port, "face edge")) == 3


def test_web_is_the_right_isosceles_triangle_with_its_tie_hole_at_the_corner(pieces):
    port, starboard = of(pieces, "web")
    d = DESIGN.skirt.depth
    lengths = {found.name: found.length for found in port.edges}
    assert lengths == pytest.approx({"lower edge": d * 2**0.5, "face edge": d * 2**0.5, "upper edge": 2 * d})
    assert port.holes == pytest.approx(np.array([[-2 * d, 0.0]]))  # x outboard, J at the origin
    ring = shapely.LinearRing(port.cut_line)
    hole_rim = ring.distance(shapely.Point(port.holes[0])) - MAKING.hole / 2
    assert hole_rim >= MAKING.hole_edge - 1e-9
    assert starboard.area == port.area
    assert not port.drawn_x_left
    assert starboard.drawn_x_left


def test_web_is_left_long_at_the_tip_as_far_as_the_face(pieces):
    """Both go on along the seam to the level tip_trim below the tip plane: tip_trim / sin 45 deg along the edge."""
    port = of(pieces, "web")[0]
    tip = edge(port, "face edge").points[0]
    down = np.array([-1.0, -1.0]) / np.sqrt(2.0)
    reach = MAKING.tip_trim * np.sqrt(2.0)
    web = shapely.Polygon(port.cut_line)
    assert web.covers(shapely.Point(tip + (reach - 1e-6) * down))
    assert not web.covers(shapely.Point(tip + (reach + 1e-6) * down))
    face = next(piece for piece in pieces if piece.id == "F3")
    corner = edge(face, "left side").points[0]
    cloth = shapely.Polygon(face.cut_line)
    assert cloth.covers(shapely.Point(corner + [0.0, -(reach - 1e-4)]))
    assert not cloth.covers(shapely.Point(corner + [0.0, -(reach + 1e-4)]))


def test_cut_lines_hold_the_sew_lines_and_are_valid(pieces):
    for piece in pieces:
        cut, sewn = shapely.Polygon(piece.cut_line), shapely.Polygon(piece.sew_line)
        assert cut.is_valid, piece.id
        assert sewn.is_valid, piece.id
        if piece.kind in ("joint_strip", "patch"):  # their edges are cut, not sewn
            assert cut.buffer(1e-9).contains(sewn)
        else:
            assert cut.contains_properly(sewn), piece.id
        assert enclosed_area(piece.cut_line) == pytest.approx(cut.area)
        assert piece.area == pytest.approx(cut.area, rel=1e-12)
        cloth = DESIGN.cloth.loop if piece.cloth == "loop" else DESIGN.cloth.segment
        assert piece.mass == pytest.approx(piece.area * cloth.mass)
        joined = np.concatenate([found.points[:-1] for found in piece.edges])
        assert joined == pytest.approx(piece.sew_line)
        for found, after in zip(piece.edges, (*piece.edges[1:], piece.edges[0]), strict=True):
            assert found.points[-1] == pytest.approx(after.points[0], abs=1e-15)
        assert enclosed_area(piece.sew_line) > 0.0


def test_every_edge_has_its_allowance(pieces):
    """Half way along each edge the cut line is exactly the allowance away."""
    wanted = {"seam": MAKING.seam, "hull": MAKING.hull_edge, "tip": MAKING.tip_trim, "hem": MAKING.hem}
    for piece in pieces:
        if piece.kind in ("joint_strip", "patch"):
            continue
        ring = shapely.LinearRing(piece.cut_line)
        for found in piece.edges:
            lapped = piece.kind == "loop_panel" and found.kind == "seam"  # half the lap on each panel
            assert found.allowance == (MAKING.seam / 2 if lapped else wanted.get(found.kind, MAKING.joint))
            middle = found.points[[len(found.points) // 2 - 1, len(found.points) // 2]].mean(axis=0)
            assert ring.distance(shapely.Point(middle)) == pytest.approx(found.allowance, abs=1e-6), piece.id


def test_rectangles_are_known_as_such(pieces):
    rectangles = {piece.base for piece in pieces if piece.is_rectangle}
    assert rectangles == {"L01", "L08", "L09", "L16", "J1", "J2", "J3", "J4", "J5"}
    bow = next(piece for piece in pieces if piece.id == "L01")
    assert bow.area == pytest.approx((1.06 + 0.025) * (0.43 + 0.04 + 0.025))  # half a lap of 25 mm at either end


def test_both_hands_have_the_same_numbers(pieces):
    by_id = {piece.id: piece for piece in pieces}
    for piece in pieces:
        if piece.hand == "P":
            other = by_id[f"{piece.base}-S"]
            assert other.cut_line == pytest.approx(piece.cut_line)
            assert other.holes == pytest.approx(piece.holes)
            assert other.area == piece.area
            assert other.drawn_x_left != piece.drawn_x_left


def test_marks_at_the_joint_name_the_segments(pieces, runs):
    side = [piece for piece in pieces if piece.run == "side" and piece.kind == "loop_panel" and piece.hand == "P"]
    texts = [mark.text for piece in side for mark in piece.marks if mark.kind == "pitch"]
    assert texts == [f"{i}/{i + 1}" for i in range(13, 32) if i != 22]  # the line at the seam marks itself
    for piece in side:
        lines = [mark for mark in piece.marks if mark.kind == "pitch"]
        notches = [notch for notch in piece.notches if not notch.letter and notch.outward[1] < 0]
        assert len(lines) == len(notches)
        for mark, notch in zip(lines, notches, strict=True):
            assert mark.points[0] == pytest.approx(notch.at)
            assert np.hypot(*(mark.points[1] - mark.points[0])) == pytest.approx(MAKING.joint)
    bow = next(piece for piece in pieces if piece.id == "L01")
    places = [mark.points[0][0] for mark in bow.marks if mark.kind == "pitch"]
    assert np.sort(places) == pytest.approx(np.arange(1, 7) * runs[0].pitch, abs=1e-12)
    assert [mark.kind for mark in bow.marks].count("centre") == 1


def test_seam_notches_and_the_one_on_the_hull(pieces):
    piece = next(piece for piece in pieces if piece.id == "L03-P")
    counts = Counter((notch.letter, notch.count) for notch in piece.notches)
    assert counts == {("B", 1): 2, ("B", 2): 1, ("C", 1): 2, ("C", 2): 1, ("", 1): 1 + 1}  # one web line, one hull
    hull = edge(piece, "hull edge").points
    assert any(notch.at == pytest.approx(hull.mean(axis=0)) for notch in piece.notches)
    double = [notch for notch in piece.notches if notch.count == 2]
    assert all(notch.at[1] < 0.25 * 0.44 for notch in double)  # at 3/4 from the hull


def test_strip_is_folded_slit_at_corners_and_overlaps_at_the_ends(pieces, runs):
    strips = of(pieces, "joint_strip")
    for run, strip in zip(runs, strips, strict=True):
        size = strip.cut_line.max(axis=0) - strip.cut_line.min(axis=0)
        assert size == pytest.approx([run.length + 2 * MAKING.seam, 2 * MAKING.joint])
        kinds = Counter(mark.kind for mark in strip.marks)
        assert kinds["fold"] == 1
        assert kinds["pitch"] == run.segments + 1
        assert kinds["slit"] == (2 * (run.segments - 1) if run.wedge else 0)
        half = len(strip.holes) // 2
        assert strip.holes[:half] * [1, -1] == pytest.approx(strip.holes[half:])  # coincide when folded
        for mark in strip.marks:
            if mark.kind == "slit":
                away = np.abs(mark.points[:, 1])
                assert away.max() == pytest.approx(MAKING.joint)
                assert away.min() > 0.0  # ends short of the fold
                assert np.ptp(np.sign(mark.points[:, 1])) == 0.0  # in one half
                rows = shapely.points(strip.holes)
                assert shapely.distance(shapely.LineString(mark.points), rows).min() > MAKING.hole


@pytest.mark.parametrize("way, expected", [("along", [1.0, 0.0]), ("around", [0.0, 1.0])])
def test_warp_of_the_loop(way, expected):
    made = cut_pieces(design(warp=way), plan(CRAFT), panels(CRAFT))
    for piece in of(made, "loop_panel"):
        assert piece.warp == pytest.approx(expected, abs=1e-12)


def test_holes_keep_clear_of_the_loops_seams(pieces):
    """By hand: even, corner holes lie at 36.8, 110.4, 184.1 mm, 12.3 mm from the seam at 196.35 mm.

    Wanted is half a lap of 25 mm and half a hole of 6 mm, 15.5 mm: two holes in a pitch of 147.26 mm move out by 3.2 mm
    or more each, to a spread of 1 + 2 x 3.2/73.63 = 1.09 at least.
    """
    clear = MAKING.seam / 2 + MAKING.hole / 2
    runs = sewn_runs(plan(CRAFT), panels(CRAFT), MAKING.hole_pitch, clear)
    assert 196.35 - 184.07 == pytest.approx(12.3, abs=0.05)
    for run in runs:
        seams = np.concatenate(
            [run.spans.ravel(), run.length - run.spans.ravel()] if run.crosses else [run.spans[:, 0]]
        )
        assert np.abs(hole_places(run)[:, None] - seams).min() >= clear - 1e-12, run.name
        gaps = np.diff(hole_places(run))
        assert gaps.max() <= 1.25 * run.pitch / run.holes + 1e-9
    assert runs[1].spread in (pytest.approx(0.875, abs=0.04), pytest.approx(1.09, abs=0.01))
    assert not any(piece.notes for piece in of(pieces, "loop_panel"))
    assert [run.spread for run in sewn_runs(plan(CRAFT), panels(CRAFT), MAKING.hole_pitch)] == [1.0] * 5


def test_a_hole_over_a_lap_is_noted_and_drawn_on_both_panels():
    """With laps of 80 mm no spread of the holes can keep clear: two layers, one hole."""
    wide = design(making=Making(seam=0.08))
    made = {piece.id: piece for piece in cut_pieces(wide, plan(CRAFT), panels(CRAFT))}
    noted = made["L02-P"]
    assert f"1 hole within the allowance of seam B ({_from(noted):.0f} mm from it): punch both layers." in noted.notes
    beyond = made["L03-P"].lap_holes
    assert len(beyond) >= 1
    corner = edge(made["L03-P"], "seam B").points
    corner = corner[np.argmin(corner[:, 1])]
    its_corner = edge(noted, "joint").points[0]
    assert np.hypot(*(beyond - corner).T).min() == pytest.approx(
        np.hypot(*(noted.holes - its_corner).T).min(), abs=1e-12
    )
    for piece in made.values():
        cloth = shapely.Polygon(piece.cut_line)
        for hole in piece.lap_holes:
            assert cloth.covers(shapely.Point(hole).buffer(piece.hole_diameter / 2))


def _from(piece):
    """Distance of the last hole from the panel's stern end along the joint, mm."""
    return 1e3 * float(np.abs(piece.holes[:, 0] - edge(piece, "joint").points[0, 0]).min())


def test_holes_that_would_cut_the_joint_line_are_refused():
    with pytest.raises(ShapeError, match=r"more than 18\.0 mm"):
        cut_pieces(design(making=Making(joint=0.016, hole_edge=0.015, hole=0.006)), plan(CRAFT), panels(CRAFT))


def test_a_panel_unrolled_inside_out_is_refused():
    flat = list(panels(CRAFT))
    flip = np.array([-1.0, 1.0])
    flat[3] = replace(flat[3], seam_start=flat[3].seam_start * flip, seam_end=flat[3].seam_end * flip)
    with pytest.raises(ShapeError, match="L04"):
        cut_pieces(DESIGN, plan(CRAFT), flat)


def test_without_allowances_the_cut_line_is_the_sew_line():
    bare = Making(seam=0.0, hull_edge=0.0, tip_trim=0.0, hem=0.0)
    for piece in cut_pieces(design(making=bare), plan(CRAFT), panels(CRAFT)):
        if piece.kind == "loop_panel":
            ring = shapely.LinearRing(piece.sew_line)
            beyond = piece.cut_line[piece.cut_line[:, 1] > -1e-9]
            assert shapely.distance(ring, shapely.points(beyond)) == pytest.approx(np.zeros(len(beyond)), abs=1e-9)
            assert piece.cut_line[:, 1].min() == pytest.approx(-bare.joint)
            assert shapely.Polygon(piece.cut_line).buffer(1e-9).covers(shapely.Polygon(ring))


def test_pieces_of_a_laid_out_and_unrolled_loop_fit():
    """The real plan and the real panels: the joint adds up, seams are equal step by step, cut lines are valid."""
    laid = lay_out(DESIGN)
    stations = laid.stations
    sections = sections_with_inset(np.array(stations.offset), np.array(stations.hull_z) - DESIGN.skirt.depth, 0.0917)
    made = cut_pieces(DESIGN, laid, develop(laid, sections, 48).panels)
    strips, loops = of(made, "joint_strip"), of(made, "loop_panel")
    lengths = [0.446696 * 2, 0.75 * np.pi / 2, 2.976696, 0.75 * np.pi / 2, 0.446696 * 2]  # closed form, this hull
    assert [strip.joint_length for strip in strips] == pytest.approx(lengths, abs=5e-4)
    assert [strip.joint_length for strip in strips if strip.run in ("bow", "side", "stern")] == pytest.approx(
        [lengths[0], lengths[2], lengths[4]], abs=1e-6
    )
    whole = sum(piece.joint_length for piece in loops)
    assert sum(face.joint_length * face.quantity for face in of(made, "face")) == pytest.approx(whole, abs=1e-9)
    holes = sum(len(piece.holes) for piece in loops)
    assert sum(len(face.holes) * face.quantity for face in of(made, "face")) == holes
    sides: dict[str, list] = {}
    for piece in made:
        cut = shapely.Polygon(piece.cut_line)
        assert cut.is_valid
        assert cut.buffer(1e-9).contains(shapely.Polygon(piece.sew_line))
        for found in piece.edges if piece.kind == "loop_panel" else ():
            if found.kind == "seam":
                steps = np.hypot(*np.diff(found.points, axis=0).T)
                sides.setdefault(found.letter, []).append(
                    steps if found.points[0, 1] > found.points[-1, 1] else steps[::-1]
                )
    assert {len(side) for side in sides.values()} == {4}
    for side in sides.values():
        for steps in side[1:]:
            assert steps == pytest.approx(side[0], abs=1e-9)
