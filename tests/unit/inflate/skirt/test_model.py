"""The whole skirt sewn: what hangs in it, what holds it, what is refused."""

import numpy as np
import pytest

from skirtloft.inflate.forces import node_masses
from skirtloft.inflate.skirt.flat import Detail
from skirtloft.inflate.skirt.model import Making, sew_skirt
from skirtloft.maths.curves import points_at
from tests.designs import NAMES
from tests.sewn_designs import SIDE, cut_of

SMALL = Detail(4, 4, 4)


@pytest.mark.parametrize("name", NAMES)
def test_the_half_craft_weighs_half_its_pieces(name):
    cut = cut_of(name)
    mass = node_masses(sew_skirt(cut, Making(detail=SMALL, fittings=False)).problem).sum()
    making, cloth = cut.design.making, cut.design.cloth
    sewn = [piece for piece in cut.pieces if piece.kind != "patch"]  # patches lie at the inner fixings, which are held
    pieces = sum(piece.mass * piece.quantity for piece in sewn)
    for piece in sewn:  # what is clamped to the hull or trimmed off the tips does not hang in the skirt
        off = sum(edge.length * edge.allowance for edge in piece.edges if edge.kind in ("hull", "tip"))
        pieces -= off * getattr(cloth, piece.cloth).mass * piece.quantity
    # corners of the allowances, laps of the strip's ends: 3 %
    assert 2.0 * mass == pytest.approx(pieces, rel=0.03)
    assert making.joint > 0.0


def test_fittings_add_strip_and_bolts_along_the_joint():
    cut = cut_of("four-seat")
    bare, full = (sew_skirt(cut, Making(detail=SMALL, fittings=f)) for f in (False, True))
    making = cut.design.making
    strip = making.fittings.strip * full.chain.sewn[-1]
    bolts = sum(
        making.fittings.bolt * full.runs[span.run].holes * (span.high - span.low) for span in full.chain.segments
    )
    added = node_masses(full.problem).sum() - node_masses(bare.problem).sum()
    assert added == pytest.approx(strip + bolts, rel=1e-9)


def test_no_weight_where_the_design_has_none():
    skirt = sew_skirt(cut_of("four-seat", ("skirt.weight", "false")), Making(detail=SMALL))
    assert node_masses(skirt.problem).sum() == 0.0


def test_it_is_held_by_the_hull_edge_and_the_inner_fixings():
    skirt = sew_skirt(cut_of("four-seat"), Making(detail=SMALL))
    plan, points = skirt.cut.plan, skirt.problem.mesh.points
    edge = points_at(plan.hull_edge, np.linspace(0.0, plan.hull_edge.breaks[-1], 20_000))
    for node in skirt.marks.hull_edge[::7]:
        assert np.hypot(*(edge - points[node, :2]).T).min() < 0.001  # points 0.3 mm apart
        assert points[node, 2] == pytest.approx(plan.hull_heights[0])
    at = skirt.chain.at[skirt.web_lines]
    inboard = np.interp(at, plan.stations.at, plan.stations.inboard)
    away = skirt.drawn.points[skirt.web_lines] - points[skirt.marks.inner_fixings]
    assert np.hypot(*away[:, :2].T) == pytest.approx(inboard, abs=1e-9)
    assert set(skirt.marks.inner_fixings) <= set(skirt.problem.supports.pinned)


def test_the_hull_edge_of_a_half_panel_starts_on_the_centre_line():
    for name in NAMES:
        skirt = sew_skirt(cut_of(name), Making(detail=SMALL))
        ends = skirt.problem.mesh.points[skirt.marks.hull_edge[[0, -1]]]
        assert ends[:, 1] == pytest.approx([0.0, 0.0], abs=1e-9)
        joint = skirt.problem.mesh.points[skirt.marks.joint[[0, -1]]]
        assert joint[:, 1] == pytest.approx([0.0, 0.0], abs=1e-9)


def test_every_piece_is_there_once():
    skirt = sew_skirt(cut_of("four-seat"), Making(detail=SMALL))
    area = float(skirt.problem.mesh.area.sum())
    from skirtloft.inflate.skirt.flat import enclosed

    whole = sum(enclosed(p.sew_line) * p.quantity for p in skirt.cut.pieces if p.kind in ("loop_panel", "face", "web"))
    assert 2.0 * area == pytest.approx(whole, rel=0.02)  # four steps along a curved edge cut its corners


def test_a_part_ends_in_planes_of_symmetry():
    skirt = sew_skirt(cut_of("four-seat"), Making(only=SIDE, detail=SMALL))
    assert len(skirt.chain.segments) == 1
    ways = skirt.problem.supports.ways
    along = skirt.drawn.along[0]
    assert np.abs(ways @ along).max() < 1e-12  # nothing moves along the run there
    assert len(skirt.problem.supports.sliding) == 2 * SMALL.loop  # less the pinned hull edge: five rows, one pinned
