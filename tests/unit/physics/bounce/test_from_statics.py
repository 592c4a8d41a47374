"""From solved sections of any segment to margins, map and a run in time: the whole way as a design takes it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from skirtloft.answers.bounce_words import margin_sentences
from skirtloft.physics.bounce.at_rest import runs_at_rest
from skirtloft.physics.bounce.cure import diaphragm_cure
from skirtloft.physics.bounce.free import free_matrix, section_frequency
from skirtloft.physics.bounce.heave_system import heave_system, knocked, rates, rest_state
from skirtloft.physics.bounce.hover import heave_craft, hover_flow, over_pressure_of
from skirtloft.physics.bounce.inertia import section_inertia, segment_inertia
from skirtloft.physics.bounce.section_motion import from_statics
from skirtloft.physics.bounce.sensitivities import bounce_sensitivities
from skirtloft.physics.bounce.stability_map import stability_map
from skirtloft.physics.bounce.threshold import bounce_margins
from skirtloft.physics.bounce.time_run import run_in_time
from skirtloft.physics.segment_cloth import segment_cloth
from skirtloft.physics.segment_shape import segment_shape
from skirtloft.physics.statics import solve_statics
from skirtloft.physics.statics_types import LoopCloth
from tests.statics_cases import ALLOWANCES

MASS, AREA, AROUND, RHO, GAP, CC = 500.0, 8.0, 12.0, 1.225, 0.010, 0.537286
PRESSURE = MASS * 9.80665 / AREA


def four_runs():
    """Two sides, stern and bow of an invented craft: half-round faces, weight in."""
    shape = segment_shape(np.full(4, 0.22), np.pi / 4, 0.12, inboard=0.44, drop=0.0)
    segment = segment_cloth(shape, areal_mass=0.3, **ALLOWANCES)
    loop = LoopCloth(np.full(4, 0.3), np.full(4, 0.025))
    sections = solve_statics(
        shape, [0.18, 0.18, 0.15, -0.05], [0.22, 0.22, 0.24, 0.30], PRESSURE, segment=segment, loop=loop
    )
    inertia, cloth = section_inertia(sections, segment_inertia(shape, areal_mass=0.3, **ALLOWANCES), RHO)
    craft = heave_craft(
        mass=MASS, area=AREA, density=RHO, volume=2.6, steepness=1.5, inertance=1.225 * 1.0 / 0.4, leak_area=0.005
    )
    lengths = AROUND * np.array([1 / 3, 1 / 3, 1 / 6, 1 / 6])
    common = {"length": lengths, "gap": GAP, "contraction": CC, "inertia": inertia, "loss_factor": 0.08}
    turning = from_statics(sections)
    bare, _ = runs_at_rest(craft, turning, **common)
    eps = over_pressure_of(craft, hover_flow(craft, bare), 0.6)
    runs, turn = runs_at_rest(craft, turning, over_pressure=eps, **common)
    return sections, craft, turning, runs, turn, cloth


def test_inertia_has_cloth_and_air() -> None:
    sections, _, _, runs, _, cloth = four_runs()
    share = 1.0 - cloth / runs.inertia
    assert ((share > 0.08) & (share < 0.3)).all()  # narrow segments with hems: more cloth than the prototype's
    hertz = section_frequency(runs) / (2.0 * np.pi)
    assert ((hertz > 4.0) & (hertz < 40.0)).all()
    assert hertz[3] > hertz[0]  # a bow is stiffer
    assert sections.stiffness[3] > sections.stiffness[0]


def test_margins_and_words_of_every_run() -> None:
    _, craft, _, runs, _, _ = four_runs()
    margins = bounce_margins(craft, runs)
    assert margins.needed.shape == (4,)
    assert margins.needed[0] == pytest.approx(float(margins.needed[1]), rel=1e-12)
    assert margins.needed.argmin() == 3
    assert 0.0 < margins.craft_needed < margins.needed.max() * 1.001
    lines = margin_sentences(margins, ["port side", "starboard side", "stern", "bow"], runs.loss_factor.tolist())
    assert lines[1].startswith(("port side", "starboard side", "stern"))


def test_linear_and_time_model_are_one() -> None:
    """Twelve states, four runs that differ: Jacobian of the time model against the matrix."""
    _, craft, turning, runs, turn, _ = four_runs()
    system = heave_system(craft, runs, turning, turn)
    rest = rest_state(system)
    steps = np.concatenate([[1e-6, 1e-5], np.full(8, 1e-6), [0.1, 1e-4]])
    columns = [
        (rates(system, rest + move) - rates(system, rest - move)) / (2 * step)
        for move, step in zip(np.diag(steps), steps, strict=True)
    ]
    found, known = np.stack(columns, -1), free_matrix(craft, runs)
    scale = np.abs(known).max(axis=-1, keepdims=True)
    np.testing.assert_allclose(found / scale, known / scale, atol=1e-6)
    assert np.abs(rates(system, rest)[:10]).max() < 1e-6


def test_the_rest_of_the_way() -> None:
    _, craft, turning, runs, turn, cloth = four_runs()
    chart = stability_map(craft, runs, gap=[0.005, 0.010], flow=[1.5, 2.5, 4.0], mouth_area=0.6)
    assert chart.growth.shape == (2, 3)
    cure = diaphragm_cure(craft, runs, turning, attachment=turning.joint + [-0.2, -0.1])
    assert cure.tension.shape == (6, 4)
    assert (cure.tension[3] > 0.0).all()
    found = bounce_sensitivities(craft, runs, cloth_inertia=cloth, mouth_area=0.6)
    assert {one.name for one in found} >= {"mouth area", "gap", "cloth mass", "fixed openings"}
    system = heave_system(craft, runs, turning, turn)
    motion = run_in_time(system, knocked(system, 0.002), 0.2, samples=60)
    assert motion.turn.shape == (60, 4)
    assert np.isfinite(motion.gap).all()


def test_more_loss_everywhere_is_the_margin_of_the_craft() -> None:
    _, craft, _, runs, _, _ = four_runs()
    margins = bounce_margins(craft, runs)
    doubled = bounce_margins(craft, replace(runs, loss_factor=2.0 * runs.loss_factor))
    assert doubled.craft_margin == pytest.approx(2.0 * float(margins.craft_margin), rel=1e-9)
