"""What is told of an inflated skirt: data, words, findings, form, pages, 3D."""

import struct
from dataclasses import replace
from json import loads

import numpy as np
import pytest

from skirtloft.answers.inflated_plain import (
    CLAIM,
    FORM_COLUMNS,
    form_rows,
    ground_stiffness,
    inflated_results,
    run_pulls,
)
from skirtloft.answers.inflated_words import inflated_lines
from skirtloft.checks.inflated_rules import inflated_findings
from skirtloft.drawing.inflated_sheets import inflated_sheets
from skirtloft.drawing.inflated_solid import inflated_meshes
from skirtloft.drawing.overlap import overlaps
from skirtloft.export import csv, glb, json
from skirtloft.maths.frozen import frozen_array
from tests.sewn_designs import CORNER, SIDE, trial_of

GROUND = (0.005, 0.010, 0.015)


def raised(trial, joint=0.0, tip=0.0):
    """The same trial with the first segment's joint and tip so much higher [m]."""
    segments = trial.measures.segments
    joints, tips = segments.joint.copy(), segments.tip.copy()
    joints[0] += joint
    tips[0] += tip
    own = replace(segments, joint=frozen_array(joints), tip=frozen_array(tips))
    return replace(trial, measures=replace(trial.measures, segments=own))


def verdicts(trial):
    return {finding.rule: finding.verdict for finding in inflated_findings(trial)}


def test_results_are_plain_and_say_what_they_are():
    trial = trial_of(SIDE, ground=GROUND)
    text = json.render(inflated_results(trial, "d" * 64))
    assert '"format": "skirtloft-inflated/1"' in text
    assert "not yet compared with a built skirt" in text
    data = inflated_results(trial, "d" * 64)
    assert data["segments"][0]["joint_rise_m"] == trial.measures.segments.joint[0]
    assert [step["up_m"] for step in data["ground"]] == list(GROUND)
    assert data["ground_stiffness"][0]["n_per_m2"] == pytest.approx(trial.ground[0].lift[0] / GROUND[0])
    assert len(data["stations"]) == len(trial.skirt.cut.plan.stations.ids)
    assert data["level"] is True
    assert data["stopped_early"] is False


def test_loop_pull_of_a_side_is_about_its_pressure_times_radius():
    trial = trial_of(SIDE)
    ((run, pull, drawn),) = run_pulls(trial, trial.measures)
    assert run == "side"
    # p R of the drawn arc; the inflated one is a little wider, and carries its own weight too
    assert pull == pytest.approx(drawn, rel=0.12)


def test_words_say_verdict_caution_and_what_to_do():
    lines = inflated_lines(trial_of(SIDE, ground=GROUND))
    assert lines[0].startswith("LEVEL")
    assert CLAIM in lines[1]
    text = "\n".join(lines)
    for words in ("Joint ", "Tips ", "Mesh ", "Pulls ", "Ground ", "P11 side", "leave it"):
        assert words in text
    stopped = replace(trial_of(SIDE), is_stopped=True)
    assert inflated_lines(stopped)[0].startswith("STOPPED")


def test_uneven_is_said():
    trial = trial_of(SIDE)
    worst = replace(trial.rounds[0], joint_worst=0.0101)
    assert inflated_lines(replace(trial, rounds=(worst,)))[0].startswith("UNEVEN")


def test_findings_turn_at_their_limits():
    trial = trial_of(CORNER)
    fine = verdicts(trial)
    assert fine["joint-level"] == fine["tips-level"] == fine["inflated-at-rest"] == fine["face-taut"] == "pass"
    assert fine["tips-at-height"] == "note"  # tips of this face stand 13 mm high
    low = trial.measures.segments.joint[0]
    assert verdicts(raised(trial, joint=0.0099 - low))["joint-level"] == "pass"
    assert verdicts(raised(trial, joint=0.0101 - low))["joint-level"] == "warn"
    assert verdicts(raised(trial, joint=-0.0101 - low))["joint-level"] == "warn"
    assert verdicts(raised(trial, tip=0.013))["tips-level"] == "warn"
    loose = np.full(len(trial.measures.segments.at), 0.26)
    segments = replace(trial.measures.segments, slack=frozen_array(loose))
    assert verdicts(replace(trial, measures=replace(trial.measures, segments=segments)))["face-taut"] == "warn"
    unsettled = replace(trial, shape=replace(trial.shape, is_settled=False))
    assert verdicts(unsettled)["inflated-at-rest"] == "warn"


def test_a_fixing_is_measured_against_the_cloth_with_the_shock():
    trial = trial_of(CORNER)
    finding = next(f for f in inflated_findings(trial) if f.rule == "fixing-holds")
    design = trial.skirt.cut.design
    pull = np.linalg.norm(trial.measures.lines.pull, axis=1).max() / 2.0  # two webs at a line
    assert finding.value == pytest.approx(pull * design.making.shock, rel=0.02)
    assert finding.high == design.cloth.segment.tear


def test_joint_finding_says_which_way():
    trial = trial_of(CORNER)
    rise = trial.advice.rise + 0.02
    high = replace(raised(trial, joint=0.02), advice=replace(trial.advice, rise=frozen_array(rise)))
    finding = next(f for f in inflated_findings(high) if f.rule == "joint-level")
    assert "longer" in finding.change
    assert finding.where.startswith("segment 1 ")


def test_form_has_a_row_for_both_sides_and_room_to_write():
    trial = trial_of(SIDE)
    text = csv.render(form_rows(trial), FORM_COLUMNS)
    assert text.splitlines()[0] == "place,what to measure,side,computed_mm,measured_mm,note"
    assert text.count(",port,") == text.count(",starboard,") == 2
    joint = next(row for row in form_rows(trial) if "joint" in str(row["what"]))
    assert joint["computed"] == pytest.approx(1e3 * (0.28 + trial.measures.segments.joint[0]), abs=0.06)


def test_stiffness_is_by_run():
    (row,) = ground_stiffness(trial_of(SIDE, ground=GROUND))
    assert row["run"] == "side"
    assert row["n_per_m2"] > 0.0
    assert ground_stiffness(trial_of(SIDE)) == []


def test_pages_have_nothing_overlapping():
    sheets = inflated_sheets(trial_of(CORNER))
    assert [sheet.name for sheet in sheets] == ["inflated-heights", "inflated-plan"]
    for sheet in sheets:
        words = list(overlaps(sheet))
        assert not words, words


def test_shapes_stand_side_by_side_in_colour():
    trial = trial_of(SIDE)
    meshes = inflated_meshes(trial)
    assert [mesh.name for mesh in meshes] == ["as drawn", "inflated, height", "inflated, tension"]
    assert (meshes[0].vertices[:, 1].max() < meshes[1].vertices[:, 1].min() + 1e-9).all()
    data = glb.render(meshes)
    words = struct.unpack_from("<I", data, 12)[0]
    document, floats = loads(data[20 : 20 + words]), data[28 + words :]
    for mesh, drawn in zip(meshes, document["meshes"], strict=True):
        (part,) = drawn["primitives"]
        accessor = document["accessors"][part["attributes"]["COLOR_0"]]
        view = document["bufferViews"][accessor["bufferView"]]
        colours = np.frombuffer(floats, "<f4", 3 * accessor["count"], view["byteOffset"]).reshape(-1, 3)
        assert colours == pytest.approx(mesh.shades, abs=1e-6)
        # glTF 2.0, 3.9.2: the material's colour multiplies that of the vertices
        assert document["materials"][part["material"]]["pbrMetallicRoughness"]["baseColorFactor"] == [1.0] * 4
    higher = meshes[1].shades[trial.skirt.marks.tips[0]]
    assert (higher[:, 0] > higher[:, 2]).all()  # the tips stand high: red


def test_colours_have_to_fit():
    from skirtloft.errors import ExportError

    mesh = inflated_meshes(trial_of(SIDE))[0]
    with pytest.raises(ExportError, match="colours"):
        glb.render([replace(mesh, shades=mesh.shades[:-1])])
