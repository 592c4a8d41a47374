"""What may be sewn besides loop, segments and strips: each piece fits what it is sewn or bolted to."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from skirtloft.design.extras_model import Back, Covers, Drains, HullBand, Spares, SprayFlap, Wear
from skirtloft.design.model import Making
from skirtloft.design.segment_form import SegmentForm
from skirtloft.errors import ShapeError
from skirtloft.pieces.backs import back_corners
from skirtloft.pieces.cut_pieces import cut_pieces
from skirtloft.pieces.joint import hole_places, sewn_runs
from skirtloft.pieces.patches import patch_outline
from skirtloft.pieces.segment import face_shape
from skirtloft.pieces.spares import spare_segments
from skirtloft.pieces.strip import hole_line
from skirtloft.pieces.wear import wear_outline
from tests.designs import TAUT, skirt_of
from tests.loop_cases import TRADE, JointCase, design, panels, plan

CRAFT = JointCase()
T = np.pi / 4.0


def made(**keys):
    return cut_pieces(design(making=Making(**keys)), plan(CRAFT), panels(CRAFT))


def runs_of():
    making = Making()
    return sewn_runs(plan(CRAFT), panels(CRAFT), making.hole_pitch, making.seam / 2 + making.hole / 2)


def of(pieces, kind):
    return [piece for piece in pieces if piece.kind == kind]


def edge(piece, name):
    return next(edge for edge in piece.edges if edge.name == name)


def test_by_default_there_are_patches_and_nothing_else():
    kinds = {piece.kind for piece in made()}
    assert kinds == {"loop_panel", "face", "web", "joint_strip", "patch"}
    assert not of(made(patch=0.0), "patch")


@pytest.mark.parametrize("radius, wedge", [(np.inf, 0.0), (0.75, np.radians(11.25)), (0.6, np.radians(15.0))])
@pytest.mark.parametrize("height, inset", [(0.1, 0.006), (0.06, 0.0), (0.15, 0.02)])
def test_a_wear_panel_lies_on_its_face(radius, wedge, height, inset):
    pitch = 0.15 if wedge == 0.0 else radius * wedge
    face = face_shape(pitch, 0.28, T, radius, wedge)
    bow, top, stern, tip = wear_outline(face, height, inset)
    whole = shapely.Polygon(np.vstack([face.side[:-1], face.top[:-1], face.stern_side[:-1], face.tip[:-1]]))
    panel = shapely.Polygon(np.vstack([bow[:-1], top[:-1], stern[:-1], tip[:-1]]))
    assert panel.is_valid
    assert shapely.LinearRing(panel.exterior).is_ccw
    assert whole.buffer(1e-6).covers(panel)
    assert (
        shapely.LineString(tip).hausdorff_distance(shapely.LineString(face.tip).intersection(panel.buffer(1e-7))) < 1e-5
    )
    sides = shapely.union_all([shapely.LineString(face.side), shapely.LineString(face.stern_side)])
    middle = shapely.Point(bow[len(bow) // 2])
    assert sides.distance(middle) == pytest.approx(inset, abs=2e-5)
    assert shapely.LineString(bow).length == pytest.approx(height, abs=1e-9)
    assert bow * [-1.0, 1.0] == pytest.approx(stern[::-1], abs=1e-9)  # between equal webs
    crown_of_top, crown = top[np.argmin(np.abs(top[:, 0]))], tip[np.argmin(np.abs(tip[:, 0]))]
    assert crown_of_top[1] - crown[1] == pytest.approx(
        height, rel=1.5e-2
    )  # sides lean up to 8 degrees: cos  # as high at the crown as at the sides


def test_wear_panels_are_marked_on_their_faces_and_counted_with_them():
    pieces = made(wear=Wear(mass=0.6))
    faces, panels_of_wear = of(pieces, "face"), of(pieces, "wear_panel")
    assert [panel.quantity for panel in panels_of_wear] == [face.quantity for face in faces]
    for face, panel in zip(faces, panels_of_wear, strict=True):
        place = next(mark for mark in face.marks if mark.kind == "place")
        assert shapely.Polygon(face.sew_line).buffer(1e-6).covers(shapely.LineString(place.points))
        assert panel.mass == pytest.approx(0.6 * panel.area)
        assert panel.cloth == "wear"
        assert panel.base.removeprefix("X") == face.base.removeprefix("F")
        # both are left on by the same trim allowance below the same tip
        low = shapely.Polygon(panel.cut_line).difference(shapely.Polygon(face.cut_line))
        assert low.area < 1e-6
    with pytest.raises(ShapeError, match="reaches the joint"):
        made(wear=Wear(height=0.4))


def test_a_patch_covers_the_tab_and_goes_on():
    half, reach = 0.0225, 0.03
    outline = shapely.Polygon(patch_outline(half, reach))
    assert outline.is_valid
    assert outline.covers(shapely.box(-half, -half, half, half))
    assert outline.bounds == pytest.approx((-half - reach, -half, half + reach, half + reach))
    pieces = made()
    patch = of(pieces, "patch")[0]
    assert patch.quantity == sum(web.quantity for web in of(pieces, "web"))
    assert patch.holes == pytest.approx(np.zeros((1, 2)))
    for web in of(pieces, "web"):
        cloth = shapely.Polygon(web.cut_line)
        rims = [shapely.LineString(mark.points) for mark in web.marks if mark.kind == "place"]
        assert rims
        assert all(cloth.covers(rim) for rim in rims)
        # where the rim lies on the web its straight end is half + reach from the hole
        assert min(rim.distance(shapely.Point(web.holes[0])) for rim in rims) == pytest.approx(half + reach, abs=1e-9)


def test_the_back_of_a_straight_segment_is_the_rectangle_between_the_lower_edges():
    run = runs_of()[4]
    corners = back_corners(run, TRADE, TRADE, (0.1, 0.1))
    assert corners == pytest.approx(
        np.array([[run.pitch / 2, 0.0], [run.pitch / 2, 0.1], [-run.pitch / 2, 0.1], [-run.pitch / 2, 0.0]])
    )


def test_the_back_of_a_corner_segment_narrows_by_the_tables_chords():
    """Derived: chords 2 (r - d) s at the tip and 2 (r - 2 d) s at the inner fixing; r .75, Q 11.25, d .28:
    92.14 and 37.25 mm, over the joint's 147.03 times the cut pitch; the edge G-I is sqrt2 d long."""
    run = runs_of()[1]
    assert np.degrees(run.wedge) == pytest.approx(11.25)
    long = 0.28 * np.sqrt(2.0)
    corners = back_corners(run, TRADE, TRADE, (long, long))
    scale = run.pitch / 0.14703
    assert corners[0, 0] - corners[3, 0] == pytest.approx(0.09214 * scale, rel=1e-3)
    assert corners[1, 0] - corners[2, 0] == pytest.approx(0.03725 * scale, rel=1e-3)
    for low, high in ((0, 1), (3, 2)):
        assert np.hypot(*(corners[low] - corners[high])) == pytest.approx(long, rel=1e-3)


def test_backs_fit_the_stern_and_leave_their_opening():
    flaps = of(made(back=Back(height=0.09)), "back")
    assert [(piece.run, piece.quantity) for piece in flaps] == [("stern", 6)]
    assert edge(flaps[0], "bow side").length == pytest.approx(0.09)
    closed = of(made(back=Back(form="closed", opening=0.08, corners=True)), "back")
    assert {piece.run: piece.quantity for piece in closed} == {"stern_corner": 16, "stern": 6}
    for piece in closed:
        assert edge(piece, "bow side").length == pytest.approx(0.28 * np.sqrt(2.0) - 0.08, abs=1e-4)
    with pytest.raises(ShapeError, match="leaves nothing"):
        made(back=Back(form="closed", opening=0.39))


def test_the_back_between_unlike_webs_is_longer_on_the_deeper_side():
    run = runs_of()[1]
    other = SegmentForm(0.30, T, np.pi / 2.0)
    long = [form.depth * np.sqrt(2.0) for form in (other, TRADE)]
    corners = back_corners(run, other, TRADE, (long[0], long[1]))
    assert np.hypot(*(corners[1] - corners[0])) == pytest.approx(long[0], rel=2e-3)
    assert np.hypot(*(corners[2] - corners[3])) == pytest.approx(long[1], rel=2e-3)


def test_hull_bands_are_as_long_as_the_hull_edges_of_their_runs():
    pieces = made(hull_band=HullBand(width=0.05))
    whole = sum(
        e.length * piece.quantity for piece in of(pieces, "loop_panel") for e in piece.edges if e.kind == "hull"
    )
    bands = of(pieces, "hull_band")
    assert sum(edge(band, "edge above").length * band.quantity for band in bands) == pytest.approx(whole, abs=1e-9)
    for band in bands:
        assert np.ptp(band.cut_line[:, 1]) == pytest.approx(0.1)


def test_aprons_hang_from_the_joint_by_its_own_holes():
    """A cone of slope t round radius r unrolls to the sector of radius r/cos t (closed form)."""
    pieces = made(spray_flap=SprayFlap(drop=0.09, runs="all"))
    aprons, making = of(pieces, "spray_flap"), Making()
    runs = runs_of()
    assert len(aprons) == 5
    for run, apron in zip(runs, aprons, strict=True):
        top = edge(apron, "joint")
        assert top.length == pytest.approx(run.length, rel=2e-5)
        assert apron.quantity == run.sides
        assert len(apron.holes) == run.segments * run.holes
        line = shapely.LineString(top.points)
        off = shapely.distance(line, shapely.points(apron.holes))
        assert off == pytest.approx(np.full(len(off), hole_line(making)), abs=1e-4)
        along = np.sort([line.project(shapely.Point(hole)) for hole in apron.holes])
        assert along == pytest.approx(hole_places(run), abs=1e-4)
        if run.wedge:
            radius = run.radius / np.cos(T)
            centre = np.array([0.0, -radius])
            assert np.hypot(*(top.points - centre).T) == pytest.approx(np.full(len(top.points), radius))
            low = edge(apron, "lower edge").points
            assert np.hypot(*(low - centre).T) == pytest.approx(np.full(len(low), radius - 0.09))
    assert {piece.run for piece in of(made(spray_flap=SprayFlap()), "spray_flap")} == {"bow", "bow_corner"}


def test_drain_slots_lie_low_in_the_stern_clear_of_seams():
    pieces = made(drains=Drains(count=4, length=0.04, above=0.03))
    slots = [(piece, mark) for piece in pieces for mark in piece.marks if mark.kind == "slot"]
    assert sum(piece.quantity for piece, _ in slots) == 4
    from_centre = np.sort([float(mark.points[:, 0].mean()) for _, mark in slots]) - 0.446696  # half the stern run
    assert from_centre == pytest.approx(-from_centre[::-1], abs=1e-9)
    for piece, mark in slots:
        assert piece.run == "stern"
        assert mark.points[:, 1] == pytest.approx([0.03, 0.03])
        assert np.ptp(mark.points[:, 0]) == pytest.approx(0.04)
        for found in piece.edges:
            if found.kind == "seam":
                assert shapely.LineString(found.points).distance(shapely.LineString(mark.points)) > 0.0125
    assert of(pieces, "drain_flap")[0].quantity == 4


def test_cover_tapes_are_as_long_as_their_seams():
    pieces = made(covers=Covers(width=0.05))
    tapes = of(pieces, "cover_tape")
    assert sum(tape.quantity for tape in tapes) == 15 * 2
    lengths = {e.letter: e.length for piece in of(pieces, "loop_panel") for e in piece.edges if e.kind == "seam"}
    for tape in tapes:
        named = [lengths[word.removeprefix("seam ")] for word in tape.name.removeprefix("cover tape, ").split(", ")]
        assert edge(tape, "side below").length == pytest.approx(max(named))
        assert max(named) - min(named) < 1e-3


@pytest.mark.parametrize(
    "counts, corner, spare",
    [
        ([60], [False], [6]),  # a tenth, and that is six
        ([100], [False], [10]),
        ([20, 10], [False, False], [4, 2]),  # a tenth makes 3: three more, the most numerous to a spare first
        ([40, 8, 8], [False, True, True], [4, 2, 2]),  # two of every corner
        ([3], [True], [3]),  # never more than there are
    ],
)
def test_spares_by_rule(counts, corner, spare):
    assert spare_segments(Spares(), counts, corner) == spare


def test_spare_faces_have_their_webs_and_wear_panels():
    pieces = made(wear=Wear())
    faces = sum(piece.spares for piece in of(pieces, "face"))
    assert faces >= 7
    assert [web.spares for web in of(pieces, "web")] == [faces, faces]
    assert sum(piece.spares for piece in of(pieces, "wear_panel")) == faces
    assert not any(piece.spares for piece in of(pieces, "loop_panel"))


@pytest.fixture(scope="module")
def taut():
    return skirt_of("four-seat", *TAUT)


def test_diaphragm_strips_are_the_finished_sizes_of_the_results(taut):
    """Results by run: pitch at the joint, span low to high, number of strips and vents."""
    strips = of(taut.pieces, "diaphragm")
    spans = taut.service.diaphragm.place.span
    for run in taut.service.diaphragm.runs:
        own = [piece for piece in strips if piece.run == run.run]
        assert sum(piece.quantity for piece in own) == run.strips, run.run
        assert sum(piece.quantity * len(piece.vents) for piece in own) == run.vents
        for piece in own:
            assert piece.joint_length == pytest.approx(run.pitch, rel=2e-2)  # results: mean of the runs of a name
            for side in ("bow side", "stern side"):
                low, high = (run.span_low, run.span_high) if "corner" not in run.run else (spans.min(), spans.max())
                assert low - 2e-3 < edge(piece, side).length < high + 2e-3  # a corner's end lines are the runs' beside
            assert piece.vent_diameter == float(run.holes.diameter)
            sewn = shapely.Polygon(piece.sew_line)
            for vent in piece.vents:
                disc = shapely.Point(vent).buffer(piece.vent_diameter / 2, 32)
                assert sewn.covers(disc)
    cloth = sum(piece.quantity * piece.area for piece in strips)
    finished = sum(run.area for run in taut.service.diaphragm.runs)
    assert 1.1 * finished < cloth < 1.6 * finished  # allowances of 25, 40 and twice 15 mm on 150 x 470 mm: by hand 1.37


def test_diaphragm_holes_are_those_of_the_faces(taut):
    faces = {piece.base: piece for piece in of(taut.pieces, "face")}
    for piece in of(taut.pieces, "diaphragm"):
        face = faces[edge(piece, "joint").joins]
        at_joint = piece.holes[piece.holes[:, 1] < 0.0]
        assert np.sort(at_joint[:, 0]) == pytest.approx(np.sort(face.holes[:, 0]), abs=1e-9)
        assert -at_joint[:, 1] == pytest.approx(np.full(len(at_joint), hole_line(taut.design.making)))


def test_the_hull_edges_of_the_strips_follow_the_line_of_their_fixings(taut):
    """Sum over the craft against the polyline through the places on the hull; strips do not cross webs."""
    place, stations = taut.service.diaphragm.place, taut.plan.stations
    strips = of(taut.pieces, "diaphragm")
    reach = place.points.joint[:, 0] - place.attachment.point[:, 0]
    line = stations.joint - reach[:, None] * stations.outward
    straight = 2.0 * float(np.hypot(*np.diff(line, axis=0).T).sum())
    whole = sum(piece.quantity * edge(piece, "hull edge").length for piece in strips)
    assert whole == pytest.approx(straight, rel=6e-3)
    joint = sum(piece.quantity * piece.joint_length for piece in strips)
    assert joint == pytest.approx(sum(p.quantity * p.joint_length for p in of(taut.pieces, "loop_panel")), abs=1e-9)


def test_the_diaphragm_is_weighed_by_its_pieces(taut):
    table = {part.part: part.mass for part in taut.service.weight.parts}
    assert table["diaphragm"] == pytest.approx(sum(p.mass * p.quantity for p in of(taut.pieces, "diaphragm")))
