"""What must hold on a whole craft with everything that may be sewn: nothing is lost from the drawing to the cloth."""

from __future__ import annotations

from collections import defaultdict
from itertools import pairwise

import numpy as np
import pytest
import shapely

from skirtloft.drawing.overlap import overlaps
from skirtloft.drawing.page import Stamp
from skirtloft.drawing.tape_sheet import tape_sheet
from skirtloft.drawing.template import distinct
from skirtloft.pieces.cut_list import cut_list_rows, merged_hands
from skirtloft.pieces.tapes import seam_tapes, tape_cuts
from skirtloft.shape.hull_lines import along_hull_edge
from tests.designs import TAUT, skirt_of

EVERYTHING = (
    ("making.wear.height", "80 mm"),
    ("making.back.form", "closed"),
    ("making.back.corners", "true"),
    ("making.hull_band.width", "40 mm"),
    ("making.spray_flap.runs", "all"),
    ("making.drains.count", "4"),
    ("making.loop_ties.spacing", "1.5 m"),
    ("making.covers.width", "45 mm"),
    ("making.join", "glued and sewn"),
)
CRAFT = {
    "plain": ("one-seat",),
    "full": ("four-seat", *TAUT, *EVERYTHING),
    "bound": (
        "ten-seat",
        ("making.seams.loop", "bound"),
        ("making.seams.hem", "bound"),
        ("making.seams.face", "bound"),
    ),
}


@pytest.fixture(scope="module", params=list(CRAFT))
def skirt(request):
    name, *changes = CRAFT[request.param]
    return skirt_of(name, *changes)


def of(skirt, kind):
    return [piece for piece in skirt.pieces if piece.kind == kind]


def lengths(pieces, kind):
    return sum(e.length * piece.quantity for piece in pieces for e in piece.edges if e.kind == kind)


def test_edges_add_up_to_their_curves(skirt):
    """Hull and joint edges of the loop, strips and pitches each against the curve of the plan, within 1 mm."""
    plan, loop = skirt.plan, of(skirt, "loop_panel")
    hull = 2.0 * float(along_hull_edge(plan, plan.stations.hull_at)[-1])
    assert lengths(loop, "hull") == pytest.approx(hull, abs=1e-3)
    joint = plan.joint_perimeter
    assert lengths(loop, "joint") == pytest.approx(joint, abs=1e-3)
    assert sum(strip.joint_length * strip.quantity for strip in of(skirt, "joint_strip")) == pytest.approx(
        joint, abs=1e-3
    )
    assert sum(face.joint_length * face.quantity for face in of(skirt, "face")) == pytest.approx(joint, abs=1e-3)


def test_seams_are_equal_step_by_step(skirt):
    """Loop seams against each other, and faces against webs: edge by edge, or as a whole where one is straight."""
    steps = defaultdict(list)
    for piece in of(skirt, "loop_panel"):
        for found in piece.edges:
            if found.kind == "seam":
                own = np.hypot(*np.diff(found.points, axis=0).T)
                steps[found.letter].append(own if found.points[0, 1] > found.points[-1, 1] else own[::-1])
    for sides in steps.values():
        for side in sides[1:]:
            assert side == pytest.approx(sides[0], abs=1e-9)
    webs = {p.base: next(e.length for e in p.edges if e.kind == "seam") for p in of(skirt, "web")}
    for face in of(skirt, "face"):
        for found in face.edges:
            if found.kind == "seam":
                assert found.length == pytest.approx(webs[found.joins.split("-")[0]], abs=1e-9)


def test_every_cut_line_is_a_valid_polygon_that_holds_its_sew_line(skirt):
    for piece in skirt.pieces:
        cut, sewn = shapely.Polygon(piece.cut_line), shapely.Polygon(piece.sew_line)
        assert cut.is_valid, piece.id
        assert sewn.is_valid, piece.id
        assert cut.buffer(1e-9).covers(sewn), piece.id
        for places, diameter in ((piece.holes, piece.hole_diameter), (piece.vents, piece.vent_diameter)):
            for at in places:
                assert cut.covers(shapely.Point(at).buffer(diameter / 2)), piece.id
        for mark in piece.marks:
            assert cut.buffer(1e-6).covers(shapely.LineString(mark.points)), (piece.id, mark.kind)
        assert piece.quantity > 0
        assert piece.spares >= 0


def test_holes_of_loop_strip_and_segment_coincide(skirt):
    """Laid along the joint of a run, port side: within 0.1 mm, and with an apron's too."""
    port = [p for p in of(skirt, "loop_panel") if p.hand != "S"]
    aprons = {p.joint_length: p for p in of(skirt, "spray_flap")}
    for strip in of(skirt, "joint_strip"):
        wanted = np.sort(strip.joint_length / 2.0 - strip.holes[strip.holes[:, 1] > 0.0, 0])
        face = next(f for f in of(skirt, "face") if strip.edges[0].joins.split(", ")[0].split(" to ")[0] == f.base)
        count = round(strip.joint_length / face.joint_length)
        if len(face.holes) * count == len(wanted):
            pitch = strip.joint_length / count
            tops = np.sort((np.arange(count)[:, None] * pitch + pitch / 2.0 - face.holes[:, 0]).ravel())
            assert tops == pytest.approx(wanted, abs=1e-4)
        codes = strip.edges[2].joins
        own = [p for p in port if p.run == strip.run and p.edges[0].joins.split(", ")[0] == strip.base]
        assert own, codes
        whole = sum(p.joint_length for p in own)
        crossing = abs(whole - strip.joint_length) > 1e-6 and strip.quantity == 1
        start = strip.joint_length - whole if crossing and strip.run == "bow" else 0.0
        found = []
        for piece in own:
            bow, stern = piece.edges[0].points[-1], piece.edges[0].points[0]
            way = (stern - bow) / np.hypot(*(stern - bow))
            found += list(start + (piece.holes - bow) @ way)
            start += piece.joint_length
        near = np.abs(np.sort(found)[:, None] - wanted).min(axis=1)
        assert near.max() < 1e-4
        if strip.joint_length in aprons:
            assert len(aprons[strip.joint_length].holes) == len(wanted)


def test_tapes_carry_the_marks_of_both_pieces(skirt):
    """Every notch at the same distance from the same end on both pieces and on the tape, single or double."""
    tapes = {tape.code: tape for tape in seam_tapes(skirt.pieces)}
    letters = {e.letter for p in skirt.pieces for e in p.edges if e.kind == "seam"}
    assert letters <= set(tapes)
    for piece in skirt.pieces:
        for found in piece.edges:
            if found.kind != "seam":
                continue
            tape = tapes[found.letter]
            assert tape.length == pytest.approx(found.length, abs=1e-9)
            from_top = found.points if found.points[0, 1] > found.points[-1, 1] else found.points[::-1]
            line = shapely.LineString(from_top)
            own = sorted(
                (line.project(shapely.Point(n.at)), n.count)
                for n in piece.notches
                if n.letter == found.letter and line.distance(shapely.Point(n.at)) < 1e-6
            )
            assert [count for _, count in own] == [mark.strokes for mark in tape.marks]
            assert [at for at, _ in own] == pytest.approx([mark.at for mark in tape.marks], abs=1e-6)
            turned = [tape.length - at for at, _ in own][::-1]
            assert abs(turned[0] - own[0][0]) > 1e-3 or own[0][1] != own[-1][1]  # upside down it does not match


def test_tapes_can_be_read_and_are_as_long_as_their_seams(skirt):
    tapes = seam_tapes(skirt.pieces)
    assert overlaps(tape_sheet(tapes, Stamp(skirt.design.project))) == []
    for tape in tapes:
        cuts = tape_cuts(tape, 0.5)
        assert cuts[0] == 0.0
        assert cuts[-1] == tape.length
        assert all(b > a for a, b in pairwise(cuts))
        for cut in cuts[1:-1]:
            assert min(abs(cut - mark.at) for mark in tape.marks) > 0.004


def test_in_a_corner_the_joint_allowance_of_the_loop_is_slit_short_of_the_joint(skirt):
    making = skirt.design.making
    for piece in of(skirt, "loop_panel"):
        slits = [mark for mark in piece.marks if mark.kind == "slit"]
        pitches = [mark for mark in piece.marks if mark.kind == "pitch"]
        assert len(slits) == (len(pitches) if piece.run.endswith("corner") else 0)
        joint = shapely.LineString(piece.edges[0].points)
        ring = shapely.LinearRing(piece.cut_line)
        for slit in slits:
            away = sorted(joint.distance(shapely.Point(p)) for p in slit.points)
            assert away == pytest.approx([0.2 * making.joint, making.joint], abs=1e-6)
            assert min(ring.distance(shapely.Point(p)) for p in slit.points) < 1e-6
            holes = shapely.distance(shapely.LineString(slit.points), shapely.points(piece.holes))
            assert holes.min(initial=1.0) > making.hole


def test_cloth_without_an_outside_needs_no_hands():
    changed = ("cloth.segment.face_side", "false")
    one, both = skirt_of("one-seat"), skirt_of("one-seat", changed)
    webs = [row for row in cut_list_rows(both.pieces) if str(row["code"]).startswith("W")]
    assert [(row["code"], row["hand"]) for row in webs] == [("W1", "")]
    apart = [row for row in cut_list_rows(one.pieces) if str(row["code"]).startswith("W")]
    assert webs[0]["quantity"] == sum(int(row["quantity"]) for row in apart)
    assert webs[0]["spares"] == sum(int(row["spares"]) for row in apart)
    assert sum(p.quantity for p in merged_hands(both.pieces)) == sum(p.quantity for p in one.pieces)
    counted = {piece.base: counts for piece, counts in distinct(both.pieces)}
    assert counted["W1"] == {"either": webs[0]["quantity"]}
    assert counted["L02"] == {"P": 1, "S": 1}
