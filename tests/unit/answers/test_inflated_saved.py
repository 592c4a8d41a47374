"""A saved inflation taken up again: what it belongs to, and what findings, attitude, results and `why` make of it."""

import json as plain_json
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from skirtloft.answers.inflated_plain import inflated_results
from skirtloft.answers.sits import sits_answer
from skirtloft.checks.inflated_saved import inflated_rows
from skirtloft.design.read import load_design
from skirtloft.errors import DesignError, ExportError
from skirtloft.explain.ask import names, names_lines, why
from skirtloft.explain.rules_of_inflation import WORKINGS
from skirtloft.export import json
from skirtloft.inflate import saved as module
from skirtloft.inflate.saved import saved_inflation, shape_digest
from skirtloft.physics.attitude.bounds import contact_of
from skirtloft.pipeline import with_inflated
from skirtloft.results import results
from skirtloft.sits.tips import tips_of
from tests.designs import EXAMPLES, skirt_of
from tests.sewn_designs import SIDE, trial_of

GROUND = (0.005, 0.010, 0.015)


@cache
def text_of_side() -> str:
    """What is saved of one segment of the four-seat's side, given out for the whole skirt."""
    return changed_text(json.render(inflated_results(trial_of(SIDE, ground=GROUND), "d")), whole=True)


def changed_text(text: str, **keys: object) -> str:
    return plain_json.dumps(plain_json.loads(text) | keys)


def own_digest() -> str:
    return shape_digest(skirt_of("four-seat").design)


def test_it_holds_what_the_trial_has():
    trial, saved = trial_of(SIDE, ground=GROUND), saved_inflation(text_of_side(), own_digest())
    assert saved.is_current
    assert saved.is_level
    assert saved.stations[11].joint_rise == pytest.approx(trial.advice.rise[11])
    assert saved.segments.tip == pytest.approx(trial.measures.segments.tip)
    assert saved.ground["side"].stiffness == pytest.approx(trial.ground[0].lift[0] / GROUND[0])
    assert set(saved.lines) == {"hull", "drawn_joint", "joint", "loop", "tips"}
    assert saved.lines["joint"][0] == pytest.approx(trial.shape.points[trial.skirt.marks.joint, :2], abs=6e-5)
    assert inflated_rows(saved)[0].rule == "inflated-at-rest"


def test_a_part_a_levelled_an_unsettled_and_a_stale_one_are_not_used():
    text = text_of_side()
    rounds = plain_json.loads(text)["levelling"]
    solver = plain_json.loads(text)["solver"]
    assert saved_inflation(text, "other").refusal == module.STALE
    assert saved_inflation(changed_text(text, whole=False), own_digest()).refusal == module.PART
    assert saved_inflation(changed_text(text, levelling=rounds * 2), own_digest()).refusal == module.LEVELLED
    assert saved_inflation(changed_text(text, bare=True), own_digest()).refusal == module.BARE
    stopped = changed_text(text, solver=solver | {"settled": False})
    assert saved_inflation(stopped, own_digest()).refusal == module.UNSETTLED


@pytest.mark.parametrize("broken", ["", "{}", "[]", '{"format": "skirtloft-results/1"}', '{"format"', "null"])
def test_what_is_no_whole_file_is_refused(broken):
    with pytest.raises(ExportError, match="no saved inflation"):
        saved_inflation(broken, "own")


def test_a_key_missing_is_refused():
    data = plain_json.loads(text_of_side())
    for key in ("segments", "stations", "solver", "findings", "from_above", "panels", "shape_sha256", "whole"):
        with pytest.raises(ExportError, match=key):
            saved_inflation(
                plain_json.dumps({name: value for name, value in data.items() if name != key}), own_digest()
            )


@pytest.mark.parametrize(
    ("change", "matters"),
    [
        (("skirt.depth", "275 mm"), True),
        (("hull.clearance", "190 mm"), True),
        (("cloth.segment.mass", "310 g/m2"), True),
        (("craft.load[0].mass", "590 kg"), True),
        (("making.tip_trim", "30 mm"), True),
        (("skirt.stations_per_corner", "9"), True),
        (("air.gap", "11 mm"), False),
        (("making.paper", "Letter"), False),
        (("making.level", "6 mm"), False),
        (("craft.load[1].mass", "400 kg"), False),
        (("project.name", "Other"), False),
    ],
)
def test_the_digest_follows_what_shapes_the_skirt_alone(change, matters):
    other = load_design(EXAMPLES / "four-seat.toml", (change,))
    assert (shape_digest(other) != own_digest()) is matters


def inflated_skirt():
    return with_inflated(skirt_of("four-seat"), saved_inflation(text_of_side(), own_digest()))


def test_findings_come_behind_the_others_and_deviation_is_measured():
    bare, skirt = skirt_of("four-seat"), inflated_skirt()
    rules = [finding.rule for finding in skirt.findings]
    assert rules[: len(bare.findings)] == [finding.rule for finding in bare.findings]
    assert rules[len(bare.findings) :] == list(WORKINGS)
    measured = next(f for f in skirt.findings if f.rule == "panel-deviation")
    assert measured.value == pytest.approx(trial_of(SIDE, ground=GROUND).measures.panels.off.max())
    assert "in place of the rule of thumb" in measured.source
    assert with_inflated(skirt, None).findings == bare.findings


def test_a_stale_one_changes_nothing():
    bare = skirt_of("four-seat")
    stale = with_inflated(bare, saved_inflation(text_of_side(), "other"))
    assert stale.inflated is None
    assert stale.findings == bare.findings


def test_likely_is_what_the_inflated_skirt_showed_on_its_side_and_the_fit_elsewhere():
    bare, skirt = skirt_of("four-seat"), inflated_skirt()
    saved = skirt.inflated
    line, before = tips_of(skirt, 0), tips_of(bare, 0)
    own = ~np.isnan(line.pressed)
    assert own.any()
    assert not own.all()  # only the side was pressed here
    found, fit = contact_of(line, "likely"), contact_of(before, "likely")
    # a straight run: as much per metre of tip line as per metre of joint
    assert found.stiffness[own] == pytest.approx(saved.ground["side"].stiffness / saved.pressure)
    assert found.turning[own] == pytest.approx(saved.ground["side"].turned)
    assert found.stiffness[~own] == pytest.approx(fit.stiffness[~own])
    for bound in ("soft", "firm"):
        assert contact_of(line, bound).stiffness == pytest.approx(contact_of(before, bound).stiffness)
    assert np.isnan(tips_of(skirt, 0, diaphragm=False).pressed).all()


def test_sits_says_what_likely_stands_on():
    skirt = inflated_skirt()
    rows = {run.name: skirt.inflated.ground["side"] for run in skirt.plan.runs}
    whole = replace(skirt, inflated=replace(skirt.inflated, ground=rows))
    lines, _, _ = sits_answer(whole, skirt.design.craft.load[0].name)
    assert "pressed on the ground by the command inflate" in " ".join(lines)
    bare, _, _ = sits_answer(skirt_of("four-seat"), skirt.design.craft.load[0].name)
    assert "is a fit to own inflated shapes" in " ".join(bare)
    # a metre of joint that goes round a corner stands over less than a metre of tip line
    line = tips_of(whole, 0)
    assert line.pressed.max() > 1.05 * line.pressed.min()


def test_results_carry_it_only_where_it_holds():
    assert results(skirt_of("four-seat"), "d")["inflated"] is None
    told = results(inflated_skirt(), "d")["inflated"]
    assert told["level"] is True
    assert told["stations"][11]["id"] == "P11"
    assert told["ground_stiffness_n_per_m2"]["side"] > 0.0


@pytest.mark.parametrize("rule", list(WORKINGS))
def test_why_shows_its_rules(rule):
    saved = saved_inflation(text_of_side(), own_digest())
    design = skirt_of("four-seat").design
    assert rule in names()
    skirt = inflated_skirt()
    finding = next(f for f in skirt.findings if f.rule == rule)
    filled = WORKINGS[rule].filled(skirt, finding)
    if rule != "joint-level":
        return
    assert filled in " ".join(" ".join(why(design, rule, inflated=saved)).split())
    assert "inflate" in "\n".join(names_lines(design))
    with pytest.raises(DesignError, match="inflate"):
        why(design, rule)


def test_the_book_has_a_chapter_where_it_holds():
    from skirtloft.book.inflated import inflated
    from skirtloft.book.subject import Subject
    from skirtloft.book.types import Caution, Figure, Table
    from skirtloft.drawing.overlap import overlaps
    from skirtloft.drawing.page import Stamp
    from skirtloft.materials.list import bill_of_materials

    skirt = inflated_skirt()
    bill = bill_of_materials(skirt.design, skirt.pieces)
    subject = Subject(skirt, Stamp(skirt.design.project), (), bill, "A4")
    chapter = inflated(subject)
    table = next(block for block in chapter.blocks if isinstance(block, Table))
    assert [row[0] for row in table.rows] == list(skirt.plan.stations.ids)
    assert table.rows[11][2].startswith("-")  # the side's joint stands low
    assert "leave" in table.rows[11][4]
    assert any(isinstance(block, Caution) for block in chapter.blocks)
    for block in chapter.blocks:
        if isinstance(block, Figure):
            assert not list(overlaps(block.sheet))
            assert block.sheet.width <= 168.0
    without = inflated(Subject(skirt_of("four-seat"), subject.stamp, (), bill, "A4"))
    assert not any(isinstance(block, Table | Figure) for block in without.blocks)
