"""The joint divided: segment ends and seams on nodes, lengths as sewn, halves on the centre line."""

import numpy as np
import pytest

from skirtloft.errors import ShapeError
from skirtloft.inflate.skirt.chain import joint_chain, window
from skirtloft.pieces.joint import sewn_runs
from skirtloft.pieces.segment_set import segment_set
from tests.designs import NAMES
from tests.sewn_designs import cut_of


def chain_of(name, across=6):
    cut = cut_of(name)
    runs = sewn_runs(cut.plan, cut.panels, cut.design.making.hole_pitch)
    return cut, runs, joint_chain(cut.plan, runs, segment_set(runs), across)


@pytest.mark.parametrize("name", NAMES)
def test_half_the_sewn_joint_is_divided_and_the_plan_is_followed(name):
    cut, runs, chain = chain_of(name)
    half = sum(run.length / (2.0 if run.crosses else 1.0) for run in runs)
    assert chain.sewn[-1] == pytest.approx(half, rel=1e-12)
    assert chain.at[-1] == pytest.approx(cut.plan.joint_line.breaks[-1], rel=1e-12)
    assert (np.diff(chain.sewn) > 0.0).all()
    assert (np.diff(chain.at) > 0.0).all()


@pytest.mark.parametrize("name", NAMES)
def test_every_segment_has_its_pitch_and_every_panel_its_joint_edge(name):
    cut, runs, chain = chain_of(name)
    for span in chain.segments:
        width = chain.sewn[span.last] - chain.sewn[span.first]
        assert width == pytest.approx(runs[span.run].pitch * (span.high - span.low), rel=1e-9)
    flat = {panel.id: panel for panel in cut.panels}
    for span in chain.panels:
        width = chain.sewn[span.last] - chain.sewn[span.first]
        # a seam within 3 % of a step of a segment's end is taken to it: 0.75 mm of a step of 25 mm, at either end
        assert width == pytest.approx(flat[span.panel].joint_edge * (span.high - span.low), abs=0.0015)


def test_panels_and_segments_follow_one_another_without_gaps():
    _, _, chain = chain_of("four-seat")
    for spans in (chain.panels, chain.segments):
        assert [span.first for span in spans][1:] == [span.last for span in spans][:-1]
        assert (spans[0].first, spans[-1].last) == (0, len(chain.at) - 1)


def test_an_odd_run_across_the_centre_line_gives_half_a_segment():
    _, runs, chain = chain_of("one-seat")  # five segments across bow and stern
    assert [runs[0].segments % 2, runs[-1].segments % 2] == [1, 1]
    assert (chain.segments[0].low, chain.segments[0].high) == (0.5, 1.0)
    assert (chain.segments[-1].low, chain.segments[-1].high) == (0.0, 0.5)
    assert chain.segments[0].last == 3  # half of six steps


def test_no_step_is_far_from_the_others():
    _, runs, chain = chain_of("four-seat")
    steps = np.diff(chain.sewn)
    even = np.array([runs[i].pitch for i in chain.runs]) / 6
    assert (steps / even).min() > 0.02


def test_too_many_seams_for_the_steps():
    with pytest.raises(ShapeError, match="finer mesh"):
        chain_of("four-seat", across=1)


def test_a_window_cuts_panels_where_it_ends():
    _, _, chain = chain_of("four-seat")
    part = window(chain, 22, 23)
    own = chain.segments[22], chain.segments[23]
    assert part.sewn[[0, -1]] == pytest.approx(chain.sewn[[own[0].first, own[1].last]])
    (panel,) = part.panels
    whole = next(span for span in chain.panels if span.panel == panel.panel)
    share = (part.sewn[-1] - part.sewn[0]) / (chain.sewn[whole.last] - chain.sewn[whole.first])
    assert panel.high - panel.low == pytest.approx(share)
