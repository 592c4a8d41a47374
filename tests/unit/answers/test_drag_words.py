"""Water in words."""

from __future__ import annotations

import math

from skirtloft.answers.drag_words import (
    told_bow,
    told_drag,
    told_heaviest,
    told_hollow,
    told_hump,
    told_movers,
    told_planing,
    told_top_speed,
)
from skirtloft.design.units import format_force, format_length, format_mass
from skirtloft.physics.attitude.restoring import restoring_curve
from skirtloft.physics.sensitivity import movers, sensitivity
from skirtloft.physics.water.drag import CAUTION, UnderWay, drag, thrust_of_disc, thrust_through
from skirtloft.physics.water.over_hump import over_hump_levels
from skirtloft.physics.water.plough import bow_hold
from tests.attitude_cases import box, load_of

CRAFT = UnderWay(500.0, 4.0, 8.0, 12.0, 2.04, 1.8)


def test_over_the_hump() -> None:
    levels = over_hump_levels(CRAFT, thrust_of_disc(400.0, 0.9))
    told = told_hump(levels, "metric")
    assert told.sentence == (
        f"It gets over the hump at 3.93 m/s with {levels['best'].least_margin:.0f} N of thrust to spare."
    )
    assert "wave drag 184 N" in told.numbers  # worked example: 183.6 N
    assert told.caution == CAUTION
    assert f"{levels['best'].top_speed:.1f} m/s" in told_top_speed(levels, "metric").sentence
    assert f"Heavier than {levels['best'].most_mass:.1f} kg" in told_heaviest(levels, "metric").sentence
    assert "lbf" in told_hump(levels, "imperial").sentence


def test_not_over_it() -> None:
    levels = over_hump_levels(CRAFT, thrust_of_disc(150.0, 0.6))
    assert "does not get over" in told_hump(levels, "metric").sentence
    stuck = round(levels["best"].stuck_speed, 2)
    assert f"stays at {stuck:g} m/s." in told_hump(levels, "metric").sentence
    assert "no speed beyond" in told_top_speed(levels, "metric").sentence
    doubtful = over_hump_levels(CRAFT, thrust_of_disc(290.0, 0.9))
    assert "should get over" in told_hump(doubtful, "metric").sentence
    unknown = over_hump_levels(CRAFT, thrust_through([0.0, 2.0], [400.0, 390.0]))
    assert "more points" in told_hump(unknown, "metric").sentence
    assert "not known" in told_heaviest(unknown, "metric").numbers


def test_parts_of_the_drag() -> None:
    at = drag(CRAFT, [2.0, 15.0])
    fast, slow = told_drag(at, "metric", at=1), told_drag(at, "metric", at=0)
    assert "most of it for the wet skirt" in fast.sentence  # 162 N of .006 * 500 * 225 * 12 * .02
    assert "the wet skirt 162 N" in fast.numbers
    assert "waves break" in slow.numbers
    assert "waves break" not in fast.numbers
    assert "62.5 mm" in told_hollow(612.9, "metric").sentence  # p/(rho g) of the worked example


def test_the_bow() -> None:
    line = box(4.0, 2.0)
    curve = restoring_curve(line, load_of(line), "bow", "likely", hull=[[2.0, 0.0, 0.15]])
    hold = bow_hold(curve, 0.0, [0.05, 1.0, -0.1], math.radians(15))
    assert "the skirt holds it" in told_bow(hold, 8.0, "metric").sentence
    assert "50 mm ahead" in told_bow(hold, 8.0, "metric").numbers
    assert "may plough in" in told_bow(hold, 8.0, "metric", at=1, thrust="with the thrust cut").sentence
    assert "with the thrust cut" in told_bow(hold, 8.0, "metric", at=1, thrust="with the thrust cut").sentence
    assert "nothing presses" in told_bow(hold, 8.0, "metric", at=2).sentence
    flat = bow_hold(curve, 0.0, [0.05], math.radians(1))
    assert "digs in" in told_bow(flat, 8.0, "metric").numbers
    assert "outside what is known" in told_planing(math.nan, 8.0, "metric").sentence
    assert "2400 N" in told_planing(2400.0, 8.0, "metric").sentence


def test_what_moves_a_margin_most() -> None:
    steps = {"mass": 10.0, "length": 0.1}
    found = sensitivity(
        lambda x: {"spare": 500.0 - x["mass"] + 200 * x["length"]}, {"mass": 400.0, "length": 4.0}, steps
    )
    told = told_movers(
        "thrust to spare",
        movers(found, "spare"),
        {"mass": "mass", "length": "length"},
        {"mass": format_mass, "length": format_length},
        format_force,
        steps=steps,
    )
    assert told.sentence == "Most of all the length moves the thrust to spare: 100 mm more adds 20 N."
    assert told.numbers == "Length 100 mm more: +20 N; mass 10 kg more: -10 N."
    still = told_movers("room", [], {}, {}, format_force, steps={})
    assert still.sentence.startswith("None")
