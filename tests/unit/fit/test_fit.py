"""Fitting a skirt to a hull that exists: order of what is wanted, what holds it, the nearest miss, cancelling."""

from __future__ import annotations

import math
from functools import cache

import pytest

from skirtloft.design.read import load_design
from skirtloft.errors import DesignError
from skirtloft.fit.search import MOST_TRIES, Fit, fit
from skirtloft.fit.trial import excess, margin, try_values, usual_values
from skirtloft.fit.variables import changes_of, on_step, usual_depth, variables, with_values
from skirtloft.fit.words import fit_lines
from skirtloft.pipeline import build
from tests.designs import EXAMPLES, TAUT, skirt_of

Changes = tuple[tuple[str, str], ...]


def fixing(run: str, height: str, inboard: str) -> Changes:
    return ((f"hull.fixing.{run}.height", height), (f"hull.fixing.{run}.inboard", inboard))


@cache
def fitted(name: str, *changes: tuple[str, str]) -> Fit:
    return fit(load_design(EXAMPLES / f"{name}.toml", changes))


def values(found: Fit) -> dict[str, float]:
    return {variable.path: value for variable, value in zip(found.variables, found.trial.values, strict=True)}


HULL = (*fixing("side", "45 mm", "430 mm"), *fixing("stern", "45 mm", "430 mm"), *fixing("bow", "45 mm", "660 mm"))


def test_depth_and_insets_follow_the_fixings_by_closed_form() -> None:
    """Fixings level with the joint, 2 d inboard: depth = clearance + height, X = 2 d - inboard."""
    found = values(fitted("four-seat", *HULL))
    depth = 0.250 + 0.045
    delta = depth - math.pi / 8.0 * 0.150 * math.sqrt(2.0)
    assert found["hull.clearance"] == pytest.approx(0.250)
    assert found["skirt.depth"] == pytest.approx(depth, abs=1.1e-3)
    assert found["skirt.bow.joint_inside"] == pytest.approx(0.660 - 2.0 * depth, abs=3e-3)
    assert found["skirt.side.tip_inside"] == pytest.approx(delta - (2.0 * depth - 0.430), abs=3e-3)


def test_nothing_moves_where_all_is_usual() -> None:
    """The four-seat has the usual depth, insets and the file's radii: 280 = 250 + 30, 50 and 75 mm."""
    found = fitted("four-seat")
    assert found.trial.cost == pytest.approx(0.0, abs=1e-12)
    assert changes_of(load_design(EXAMPLES / "four-seat.toml"), found.variables, found.trial.values) == {}
    assert found.nearer is None
    assert found.holds == ()


def test_the_clearance_comes_as_near_as_a_rule_lets_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """Clearance over width fails above one sixth of 2.4 m, 400 mm; asked are 412 mm."""
    monkeypatch.setattr("skirtloft.fit.search.STRIDES", (16,))  # no other value mends it; one stride sees it sooner
    monkeypatch.setattr("skirtloft.fit.search._pairs", lambda names: [])
    found = fitted("four-seat", ("hull.clearance", "412 mm"), ("skirt.depth", "460 mm"), ("skirt.pitch", "200 mm"))
    assert found.trial.holds
    assert values(found)["hull.clearance"] == pytest.approx(0.400, abs=1.1e-3)
    assert found.nearer is not None
    assert [f.rule for f in found.nearer.findings if f.verdict == "fail"] == ["clearance-to-width"]
    text = "\n".join(fit_lines(found))
    assert "held by clearance-to-width" in text


def test_what_is_held_names_the_rule_that_the_usual_value_would_break() -> None:
    found = fitted("four-seat", *HULL)
    holds = {hold.variable.path: hold for hold in found.holds}
    assert holds["skirt.depth"].usual == pytest.approx(0.280)
    rule = holds["skirt.depth"].finding
    assert rule is not None
    assert rule.rule == "inner-fixing-on-line"
    usual = with_values(
        found.design,
        found.variables,
        tuple(
            0.280 if v.kind == "depth" else value for v, value in zip(found.variables, found.trial.values, strict=True)
        ),
    )
    assert next(f for f in build(usual).findings if f.rule == rule.rule).value == pytest.approx(rule.value, abs=1e-12)


def test_every_margin_is_told() -> None:
    found = fitted("four-seat", *HULL)
    text = "\n".join(fit_lines(found))
    for finding in found.trial.findings:
        assert finding.rule in text
        assert margin(finding) >= 0.0 or finding.verdict != "pass"


def test_a_hull_that_no_skirt_fits_gives_the_nearest_miss_and_what_would_do(monkeypatch: pytest.MonkeyPatch) -> None:
    """Fixings 200 mm above the bottom and 100 mm inboard: the depth would be 450 mm and lie 800 mm outboard."""
    monkeypatch.setattr("skirtloft.fit.search.FURTHEST", 1)  # of the walk out, one step each way
    found = fitted("four-seat", *fixing("side", "200 mm", "100 mm"))
    assert not found.trial.holds
    assert found.tries <= MOST_TRIES
    text = "\n".join(fit_lines(found))
    assert text.startswith("NO FIT")
    assert "inner-fixing-on-line" in text
    assert "Would do  side fixings" in text
    usual = try_values(
        load_design(EXAMPLES / "four-seat.toml", fixing("side", "200 mm", "100 mm")),
        found.variables,
        tuple(variable.asked for variable in found.variables),
    )
    assert found.trial.violation < usual.violation


def test_the_same_hull_gives_the_same_skirt() -> None:
    again = fit(load_design(EXAMPLES / "four-seat.toml", HULL))
    assert again.trial.values == fitted("four-seat", *HULL).trial.values
    assert again.tries == fitted("four-seat", *HULL).tries


def test_progress_is_told_and_can_stop_the_search() -> None:
    seen: list[tuple[int, int]] = []

    def stop(done: int, total: int, what: str) -> None:
        seen.append((done, total))
        assert "clearance" in what
        if done == 12:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        fit(load_design(EXAMPLES / "four-seat.toml", HULL), stop)
    assert seen == [(k, MOST_TRIES) for k in range(13)]


def test_values_are_whole_steps_in_the_units_of_the_design() -> None:
    """Millimetres, or sixteenths of an inch; radii 5 mm or quarters of an inch; the clearance from the one asked."""
    for name, step, radius_step in (("four-seat", 1e-3, 5e-3), ("one-seat", 0.0254 / 16, 0.0254 / 4)):
        for variable in variables(skirt_of(name).design):
            stepped = on_step(variable, 0.1234567)
            whole = radius_step if variable.kind == "radius" else step
            origin = variable.asked if variable.kind == "clearance" else 0.0
            assert (stepped - origin) / whole == pytest.approx(round((stepped - origin) / whole), abs=1e-5)
            assert abs(stepped - 0.1234567) <= whole / 2.0 + 1e-9


def test_usual_depths() -> None:
    """12 % and at least 20 mm over the clearance, to 5 mm or 1/4 in: what a first design has."""
    assert usual_depth(0.250) == pytest.approx(0.280)
    assert usual_depth(0.100) == pytest.approx(0.120)
    assert usual_depth(7 * 0.0254, imperial=True) == pytest.approx(7.75 * 0.0254)
    names = variables(skirt_of("four-seat").design)
    assert usual_values(names, tuple(name.asked for name in names))[1] == pytest.approx(0.280)


def test_excess_and_margin_of_a_finding() -> None:
    """A side tip 20 mm inside where 30 to 80 mm are wanted: 10 mm outside, one scale of a length."""
    finding = next(
        f for f in skirt_of("four-seat", ("skirt.side.tip_inside", "20 mm")).findings if f.rule == "side-tip-inset"
    )
    assert margin(finding) == pytest.approx(-0.010)
    assert excess(finding) == pytest.approx(1.0)


def test_a_joint_line_given_outright_has_nothing_to_move() -> None:
    design = skirt_of("four-seat").design
    point = {"x": 5.0, "y": 0.0, "run": "bow"}
    skirt = design.skirt.model_copy(update={"joint_line": (point,)})
    with pytest.raises(DesignError, match="no insets"):
        fit(design.model_copy(update={"skirt": skirt}))


def test_a_side_corner_that_follows_the_bow_is_written_when_the_bow_moves() -> None:
    design = skirt_of("four-seat").design
    names = variables(design)
    moved = tuple(0.800 if name.path == "skirt.corner.bow" else name.asked for name in names)
    assert changes_of(design, names, moved) == {"skirt.corner.bow": "800 mm", "skirt.corner.side": "1.5 m"}


def test_a_try_weighs_the_rules_of_the_diaphragm_as_the_whole_flow_does() -> None:
    design = load_design(EXAMPLES / "four-seat.toml", TAUT)
    names = variables(design)
    found = try_values(design, names, tuple(name.asked for name in names))
    whole = {finding.rule: finding for finding in skirt_of("four-seat", *TAUT).findings}
    assert "diaphragm-taut" in {finding.rule for finding in found.findings}
    for finding in found.findings:
        assert (finding.verdict, finding.value) == (
            whole[finding.rule].verdict,
            pytest.approx(whole[finding.rule].value),
        )
