"""A design corrected by its own inflation: one segment of the four-seat's side stands as drawn after one round."""

from dataclasses import replace
from functools import cache, partial

import numpy as np
import pytest

from skirtloft.answers import corrected as module
from skirtloft.answers.corrected import Corrected, corrected, round_lines
from skirtloft.design.read import parse_design
from skirtloft.drawing.measure_form import MOST, chosen, form_sheet
from skirtloft.drawing.overlap import overlaps
from skirtloft.inflate.skirt.correct import correction_of, is_drawn
from skirtloft.inflate.skirt.model import Cut, Making
from skirtloft.inflate.skirt.trial import Asked, try_skirt
from skirtloft.pipeline import build
from skirtloft.shape.recut import as_cut
from tests.designs import EXAMPLES, skirt_of
from tests.sewn_designs import SIDE, trial_of

TOLERANCE = 0.005  # m: finer than the examples' own, so that the loop is cut anew too


def inflated(skirt):
    sections = as_cut(skirt.design, skirt.plan, skirt.sections)
    cut = Cut(skirt.design, skirt.plan, sections, skirt.development.panels, skirt.pieces)
    return try_skirt(cut, Asked(making=Making(only=SIDE), mesh=False, tolerance=TOLERANCE))


@cache
def side() -> Corrected:
    first = trial_of(SIDE)
    first = replace(first, asked=replace(first.asked, tolerance=TOLERANCE))
    text = (EXAMPLES / "four-seat.toml").read_text(encoding="utf-8")
    quick = pytest.MonkeyPatch()
    quick.setattr(module, "build", partial(lambda design, preview: build(design)))
    try:
        return corrected(text, skirt_of("four-seat"), first, inflated, 1)
    finally:
        quick.undo()


def test_joint_and_tip_come_to_where_they_are_drawn():
    found = side()
    first, last = found.trials
    assert not is_drawn(replace(first, asked=replace(first.asked, tolerance=TOLERANCE)))
    assert is_drawn(last)
    before, after = first.measures.segments, last.measures.segments
    assert abs(after.tip[0]) < 0.3 * abs(before.tip[0])
    assert abs(after.joint[0]) < 0.65 * abs(before.joint[0])
    assert "round 1" in round_lines(found)[1]


def test_the_text_cuts_it_so():
    found = side()
    design = parse_design(found.text)
    wanted = correction_of(found.trials[0], skirt_of("four-seat").sections.length)
    assert design.making.tip_change == pytest.approx(wanted.tips, abs=6e-5)
    loops = [wish.loop for wish in design.skirt.station]
    assert loops == pytest.approx(wanted.loop, abs=6e-5)
    assert found.skirt.design == design


def test_a_straight_run_is_cut_evenly_so_that_its_panels_stay_rectangles():
    found = side()
    plan = found.skirt.plan
    wanted = correction_of(found.trials[0], skirt_of("four-seat").sections.length)
    for run in plan.runs:
        own = (plan.stations.at > run.start - 1e-6) & (plan.stations.at < run.end + 1e-6)
        if np.isinf(run.radius):
            assert np.ptp(wanted.loop[own]) < 1e-12
    before = [panel.is_rectangle for panel in skirt_of("four-seat").development.panels]
    assert [panel.is_rectangle for panel in found.skirt.development.panels] == before


def test_a_corner_is_cut_anew_as_a_whole_and_not_in_waves():
    trial = trial_of(SIDE)
    plan, drawn = trial.skirt.cut.plan, skirt_of("four-seat").sections.length
    corner = next(run for run in plan.runs if not np.isinf(run.radius))
    own = (plan.stations.at > corner.start + 1e-6) & (plan.stations.at < corner.end - 1e-6)
    rise = np.zeros(len(own))
    rise[own] = np.where(np.arange(own.sum()) % 2, -1.02, -0.98) * trial.asked.tolerance / 3.0
    waves = replace(trial.advice, rise=rise, slope=np.full(len(own), -0.5))
    loop = correction_of(replace(trial, advice=waves), drawn).loop
    assert loop[own] == pytest.approx(rise[own] / 0.5, abs=1e-9)


def test_what_stands_as_drawn_is_left_alone():
    found = side()
    again = corrected(found.text, found.skirt, found.trials[-1], inflated, 3)
    assert again.text == found.text
    assert len(again.trials) == 1


def test_the_form_has_room_for_every_run_and_nothing_overlaps():
    sheet = form_sheet(trial_of(SIDE))
    assert not list(overlaps(sheet))
    assert chosen(trial_of(SIDE)) == [0]
    assert MOST * 8.2 < 130.0  # mm: fits between the words on A4 and Letter
