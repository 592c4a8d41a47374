"""Every rule and number can be explained, with its own value in the equation, and what moves it is what moves it."""

from __future__ import annotations

import math
import re

import pytest

from skirtloft.design.model import Design
from skirtloft.errors import DesignError, SolveError
from skirtloft.explain.ask import WORKINGS, names, names_lines, why
from skirtloft.explain.knobs import knobs, turned
from skirtloft.explain.moves import moves
from skirtloft.explain.topics import TOPICS
from skirtloft.pipeline import build
from tests.designs import NAMES, skirt_of
from tests.unit.checks.test_rules import CASES


def test_no_name_is_taken_twice() -> None:
    assert len(set(names())) == len(names())


@pytest.mark.parametrize("example", NAMES)
def test_every_rule_of_an_example_is_explained(example: str) -> None:
    skirt = skirt_of(example)
    for finding in skirt.findings:
        assert WORKINGS[finding.rule].filled(skirt, finding).strip()


def test_every_rule_is_explained_on_both_sides_of_its_limit() -> None:
    for rule, changes, verdict in CASES:
        skirt = skirt_of("four-seat", *changes)
        finding = next(finding for finding in skirt.findings if finding.rule == rule)
        assert finding.verdict == verdict
        assert WORKINGS[rule].filled(skirt, finding).strip(), rule


# The last figure of the equation in figures is the value of the rule itself, to the digits printed.
FIGURES = ("clearance-to-width", "depth-to-pitch", "hull-edge-height", "first-load-is-design-case", "feed-choked")


@pytest.mark.parametrize("rule", FIGURES)
def test_equation_in_figures_ends_in_the_value(rule: str) -> None:
    skirt = skirt_of("four-seat")
    finding = next(finding for finding in skirt.findings if finding.rule == rule)
    figures = [float(text) for text in re.findall(r"\d+\.?\d*", WORKINGS[rule].filled(skirt, finding))]
    assert figures[-1] == pytest.approx(finding.value, rel=5e-3)


def test_clearance_in_figures() -> None:
    """250 mm over the 2.4 m beam of the example: 0.104 (closed form)."""
    lines = why(skirt_of("four-seat").design, "clearance-to-width", quick=True)
    assert any("250 mm / 2.400 m = 0.104" in line for line in lines)


@pytest.mark.parametrize("topic", TOPICS, ids=lambda topic: topic.name)
@pytest.mark.parametrize("example", NAMES)
def test_every_number_is_explained(example: str, topic) -> None:  # type: ignore[no-untyped-def]
    skirt = skirt_of(example)
    for i in range(len(skirt.plan.stations.ids)) if topic.by_station else (0,):
        assert math.isfinite(topic.value(skirt, i))
        assert topic.filled(skirt, i).strip()


def test_loop_length_at_a_station_is_that_of_the_results() -> None:
    skirt = skirt_of("four-seat")
    lines = why(skirt.design, "loop-length@p02", quick=True)
    assert lines[0].endswith(f"at P02 (bow): {1000.0 * skirt.sections.length[2]:.4g} mm")


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("loop-lenght", "loop-length"),
        ("loop-length@P99", "from P00"),
        ("pressure@P03", "one number for the whole craft"),
        ("battery-lasts", "nothing to look at"),
    ],
)
def test_a_wrong_name_is_answered_with_what_would_do(name: str, says: str) -> None:
    with pytest.raises(DesignError) as caught:
        why(skirt_of("four-seat").design, name, quick=True)
    assert says in str(caught.value.problems[0].wrong) + str(caught.value.problems[0].would_do)


def test_names_are_listed_with_their_verdicts() -> None:
    text = "\n".join(names_lines(skirt_of("four-seat").design))
    assert "loop-length " in text
    assert all(finding.rule in text for finding in skirt_of("four-seat").findings)


def test_every_number_of_the_file_is_a_knob_and_turns() -> None:
    design = skirt_of("four-seat").design
    by_path = {knob.path: knob for knob in knobs(design)}
    assert by_path["skirt.depth"].values == (0.280,)
    assert len(by_path["hull.edge[].x"].values) == len(design.hull.edge)
    deeper = turned(design, by_path["skirt.depth"], 1.05)
    assert deeper.skirt.depth == pytest.approx(0.294)
    longer = turned(design, by_path["hull.edge[].x"], 0.95)
    assert [point.x for point in longer.hull.edge] == pytest.approx([0.95 * point.x for point in design.hull.edge])
    assert turned(design, by_path["skirt.stations_per_corner"], 1.05).skirt.stations_per_corner == 8
    warm = turned(design, by_path["air.temperature"], 1.05)
    assert design.air.temperature is not None
    assert warm.air.temperature == pytest.approx(design.air.temperature + 5.0)
    steep = turned(design, by_path["skirt.tip_angle"], 9.0)
    assert steep.skirt.tip_angle == pytest.approx(math.radians(110.0))  # the end of its range


def test_moves_are_the_strongest_first_and_true() -> None:
    """Pressure is m g / S: masses move it by 5 % (closed form), nothing moves it more than hull and tip line do."""
    design = skirt_of("four-seat").design

    def pressure(changed: Design) -> float:
        return build(changed, cut=False).cushions[0].pressure

    now = pressure(design)
    found = moves(design, pressure, most=8)
    mass = next(move for move in found if move.knob.path == "craft.load[].mass")
    assert mass.more / now == pytest.approx(1.05)
    assert mass.less / now == pytest.approx(0.95)
    effects = [abs(move.more - now) for move in found]
    assert effects == sorted(effects, reverse=True)
    assert not any(move.knob.path.startswith("making.") for move in found)


def test_a_knob_that_breaks_the_design_comes_last() -> None:
    design = skirt_of("four-seat").design

    def fussy(changed: Design) -> float:
        if changed.skirt.depth > design.skirt.depth:
            raise SolveError("section", math.nan, "Too deep.")
        return changed.skirt.pitch

    found = moves(design, fussy)
    assert [move.knob.path for move in found] == ["skirt.pitch", "skirt.depth"]
    assert math.isnan(found[1].more)
    assert found[1].less == design.skirt.pitch


def test_progress_can_stop_it() -> None:
    def stop(done: int, total: int, what: str) -> None:
        if done == 3:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        moves(skirt_of("four-seat").design, lambda design: design.skirt.depth, progress=stop)


def test_weight_over_area_comes_out_in_pounds_too() -> None:
    """A pound weighs a pound-force, so 440 lb over 44.7 ft2 is 9.84 lb/ft2 with no factor between."""
    skirt = skirt_of("one-seat")
    finding = next(finding for finding in skirt.findings if finding.rule == "pressure-range")
    topic = next(topic for topic in TOPICS if topic.name == "pressure")
    for words in (WORKINGS["pressure-range"].filled(skirt, finding), topic.filled(skirt, 0)):
        told = re.search(r"([\d.]+) lb / ([\d.]+) ft2 = ([\d.]+) lb/ft2", words)
        assert told is not None, words
        mass, area, found = (float(value) for value in told.groups())
        assert found == pytest.approx(mass / area, rel=2e-3)
