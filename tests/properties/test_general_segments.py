"""Any segments, unlike ones at bow, side and stern: what meets is equally long, outlines are whole.

Expected: identities of the construction (derived); no number here is a measurement.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
import shapely
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from skirtloft.design.model import Design
from skirtloft.design.read import load_design
from skirtloft.design.segment_form import LEAST_LOWER_SLOPE, form_of
from skirtloft.pieces.types import CutPiece, Edge
from skirtloft.pipeline import Skirt, build
from skirtloft.shape.segment_field import line_points, tip_insets, web_insets
from tests.designs import EXAMPLES, skirt_of
from tests.properties.test_flow import scaled, with_corner_cloth

BLENDED = (
    ("skirt.bow.depth", "320 mm"),
    ("skirt.bow.face_angle", "50 deg"),
    ("skirt.bow.inner.drop", "25 mm"),
    ("skirt.stern.depth", "270 mm"),
    ("skirt.stern.tip_angle", "94 deg"),
)


def blended() -> Skirt:
    """The four-seat example with a bow deeper and steeper than its sides, and a shallower stern."""
    return skirt_of("four-seat", *BLENDED)


NO_SHRINKING = (Phase.explicit, Phase.generate)  # a failure is one design; shrinking it takes minutes
RUNS = st.fixed_dictionaries(
    {
        "depth": st.floats(0.262, 0.33),
        "face_angle": st.floats(38.0, 58.0),
        "tip_angle": st.floats(84.0, 100.0),
        "drop": st.floats(0.0, 0.01),
    }
)


def designed(runs: dict[str, dict[str, float]], weight: bool) -> Design:
    """The four-seat example with segments of their own on every run, and corners that leave them room."""
    design = load_design(EXAMPLES / "four-seat.toml")
    skirt = design.skirt.model_copy(update={"weight": weight})
    inboard = 0.0
    for name, values in runs.items():
        face = math.radians(values["face_angle"])
        tip = min(math.radians(values["tip_angle"]), math.pi - face - LEAST_LOWER_SLOPE)
        inset = getattr(skirt, name)
        own = inset.model_copy(
            update={
                "depth": values["depth"],
                "face_angle": face,
                "tip_angle": tip,
                "inner": inset.inner.model_copy(update={"drop": values["drop"]}),
            }
        )
        skirt = skirt.model_copy(update={name: own})
        inboard = max(inboard, form_of(skirt, name).inboard)
    radius = min(inboard + 0.12, 1.0)
    corner = skirt.corner.model_copy(update={"bow": radius, "stern": radius})
    return design.model_copy(update={"skirt": skirt.model_copy(update={"corner": corner})})


def edges_of(pieces: tuple[CutPiece, ...], kind: str, letter: str) -> list[tuple[CutPiece, Edge]]:
    return [(piece, edge) for piece in pieces if piece.kind == kind for edge in piece.edges if edge.letter == letter]


def check_all(skirt: Skirt) -> None:
    """Everything that meets is equally long, and every outline is whole."""
    pieces = skirt.pieces
    joint = {"loop_panel": 0.0, "face": 0.0, "joint_strip": 0.0}
    for piece in pieces:
        cut, sew = shapely.Polygon(piece.cut_line), shapely.Polygon(piece.sew_line)
        assert cut.is_valid, piece.id
        assert sew.is_valid, piece.id
        assert cut.buffer(1e-8).contains(sew), piece.id
        if piece.kind in joint:
            joint[piece.kind] += piece.quantity * piece.joint_length
    assert max(joint.values()) - min(joint.values()) < 1e-9
    true = np.hypot(np.diff(skirt.plan.stations.at), np.diff(skirt.plan.stations.depth)).sum()
    corners = 2 * sum(np.isfinite(run.radius) for run in skirt.plan.runs)
    assert joint["face"] == pytest.approx(2.0 * true, abs=0.5e-3 * corners)
    check_face_seams(pieces)
    check_loop_seams(pieces)
    for error in (skirt.development.hull_edge_error, skirt.development.joint_edge_error):
        assert np.abs(error).max() < 0.05e-3


def check_face_seams(pieces: tuple[CutPiece, ...]) -> None:
    """Each side of a face is as long as the web it is sewn to; as many webs of a kind as sides that take them."""
    by_id = {piece.id: piece for piece in pieces}
    wanted: dict[str, int] = {}
    for face in (piece for piece in pieces if piece.kind == "face"):
        for side in (edge for edge in face.edges if edge.kind == "seam"):
            web = by_id[side.joins]
            sewn = next(edge for edge in web.edges if edge.kind == "seam")
            assert sewn.letter == side.letter
            assert side.length == pytest.approx(sewn.length, abs=1e-9)
            assert face.base in sewn.joins
            wanted[web.id] = wanted.get(web.id, 0) + face.quantity
    assert wanted == {piece.id: piece.quantity for piece in pieces if piece.kind == "web"}


def check_loop_seams(pieces: tuple[CutPiece, ...]) -> None:
    sides: dict[str, list[np.ndarray]] = {}
    for piece in pieces:
        for edge in piece.edges if piece.kind == "loop_panel" else ():
            if edge.kind == "seam":
                steps = np.hypot(*np.diff(edge.points, axis=0).T)
                down = edge.points[0, 1] > edge.points[-1, 1]
                sides.setdefault(edge.letter, []).append(steps if down else steps[::-1])
    for mine in sides.values():
        for steps in mine[1:]:
            np.testing.assert_allclose(steps, mine[0], atol=1e-9)


@settings(
    max_examples=16, deadline=None, suppress_health_check=[HealthCheck.too_slow], phases=NO_SHRINKING, derandomize=True
)
@given(st.fixed_dictionaries({"bow": RUNS, "side": RUNS, "stern": RUNS}), st.booleans())
def test_any_segments_fit_together(runs: dict[str, dict[str, float]], weight: bool) -> None:
    skirt = build(designed(runs, weight))
    check_all(skirt)
    stations, sections = skirt.plan.stations, skirt.sections
    balance = (sections.inboard * sections.centre_inset + sections.drop * (sections.depth - sections.centre_z)) * 2.0
    shape = skirt.statics.shape
    pressed = skirt.sections.pressure * (shape.joint_mean_square - sections.tip_mean_square - balance) / 2.0
    np.testing.assert_allclose(pressed, -9.80665 * sections.weight_moment, atol=1e-9)  # moments about I (derived)
    assert (stations.inboard > 0).all()
    assert (sections.weight_moment == 0.0).all() != weight


def test_the_blended_example_fits_together() -> None:
    skirt = blended()
    check_all(skirt)
    codes = [piece.base for piece in skirt.pieces if piece.kind == "web" and piece.hand == "P"]
    corner = {run.name: run.segments for run in skirt.plan.runs if run.first != run.last}
    assert set(corner) == {"bow_corner", "stern_corner"}
    assert len(codes) == 3 + sum(count - 1 for count in corner.values())  # three runs, every web line between
    handed = [piece for piece in skirt.pieces if piece.kind == "face" and piece.hand]
    assert len(handed) == 2 * sum(corner.values())
    assert all(piece.quantity == 1 for piece in handed)
    assert {f.verdict for f in skirt.findings if f.rule == "face-angle"} == {"pass"}


def test_depth_goes_evenly_through_the_corner() -> None:
    """Linear in length along the joint line from the bow's depth to the side's, constant in the runs."""
    stations = blended().plan.stations
    mine = [i for i, name in enumerate(stations.runs) if name == "bow_corner"]
    first, last = mine[0] - 1, mine[-1] + 1
    share = (stations.at[mine] - stations.at[first]) / (stations.at[last] - stations.at[first])
    assert stations.depth[first] == 0.32
    assert stations.depth[last] == 0.28
    np.testing.assert_allclose(stations.depth[mine], 0.32 - 0.04 * share, atol=1e-12)
    side = [i for i, name in enumerate(stations.runs) if name == "side"]
    assert (stations.depth[side] == 0.28).all()


def test_area_and_perimeter_of_unlike_tips_against_a_polygon() -> None:
    """Second opinion: the tip line as 200,000 chords; their error falls with the square of the step."""
    plan = blended().plan
    at = np.unique(np.concatenate([np.linspace(0.0, plan.joint_line.breaks[-1], 200_001), plan.joint_line.breaks]))
    line = line_points(plan, tip_insets(plan.segments, plan.pitch, at), at)
    whole = shapely.Polygon(np.vstack([line, line[::-1] * [1.0, -1.0]]))
    assert plan.tip_area == pytest.approx(whole.area, rel=1e-9)
    assert plan.tip_perimeter == pytest.approx(whole.length, rel=1e-8)
    assert math.isnan(plan.tip_inset)


def test_each_run_keeps_its_own_inset() -> None:
    """X = delta of the run - tip_inside; bow by joint_inside (closed form of the plan)."""
    skirt = blended()
    stations, w = skirt.plan.stations, skirt.design.skirt.pitch
    side, stern = stations.runs.index("side"), len(stations.ids) - 1
    assert stations.offset[side] == pytest.approx(0.28 - math.pi / 8 * w * math.sqrt(2.0) - 0.05, abs=1e-9)
    assert stations.offset[stern] == pytest.approx(0.27 - math.pi / 8 * w * math.sqrt(2.0) - 0.05, abs=1e-9)
    assert stations.offset[0] == pytest.approx(-0.075, abs=1e-9)


def test_webs_meet_the_ground_at_the_web_line() -> None:
    """The lower corner of every web that is cut lies d cot t inboard of its joint and d below it."""
    skirt = blended()
    field = skirt.plan.segments
    for piece in (piece for piece in skirt.pieces if piece.kind == "web" and piece.hand == "P"):
        tip = next(edge for edge in piece.edges if edge.kind == "seam").points[0]
        depths = np.interp(np.linspace(field.at[0], field.at[-1], 20001), field.at, field.depth)
        assert depths.min() - 1e-12 <= -tip[1] <= depths.max() + 1e-12
    ends = web_insets(field, field.at)
    assert ends[0] == pytest.approx(0.32 / math.tan(math.radians(50.0)), rel=1e-12)


def test_unlike_segments_scale() -> None:
    """Twice as large in everything: the same angles, twice the lengths, four times the areas.

    The stern is left as it is: there the hull's break comes within the 20 mm that merge stations at one size only.
    """
    one = skirt_of("four-seat", *BLENDED[:3])
    big = build(scaled(with_corner_cloth(one), 2.0))
    np.testing.assert_allclose(big.sections.length, 2.0 * one.sections.length, rtol=1e-9)
    np.testing.assert_allclose(big.sections.angle, one.sections.angle, rtol=1e-9)
    np.testing.assert_allclose(np.nan_to_num(big.rests.turn), np.nan_to_num(one.rests.turn), atol=1e-9)
    for large, small in zip(big.pieces, one.pieces, strict=True):
        assert (large.id, large.quantity) == (small.id, small.quantity)
        assert large.area == pytest.approx(4.0 * small.area, rel=1e-7)


@pytest.mark.parametrize(
    "at_station", [lambda s: s.plan.stations.runs.index("side"), lambda s: len(s.plan.stations.ids) - 1]
)
def test_other_loads_keep_the_cloth(at_station: Callable[[Skirt], int]) -> None:
    """Under another load the loop is as long as cut: its arc from the hull edge to the joint that moved."""
    skirt = blended()
    i, rests = at_station(skirt), skirt.rests
    assert np.abs(rests.turn[0]).max() < 1e-9
    assert np.abs(rests.turn[1:]).max() > 1e-4
    for k in range(len(skirt.cushions)):
        length = rests.radius[k, i] * rests.angle[k, i]
        assert length == pytest.approx(skirt.sections.length[i], rel=1e-9)
        for end in (rests.joint[k, i], skirt.statics.hull_edge[i]):
            assert np.linalg.norm(end - rests.centre[k, i]) == pytest.approx(rests.radius[k, i], rel=1e-9)
