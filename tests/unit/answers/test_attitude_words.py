"""Attitude in words: the sentence carries the numbers, and the caution goes with them."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest

from skirtloft.answers.attitude_words import (
    told_hold,
    told_limits,
    told_loll,
    told_place,
    told_range,
    told_rest,
    told_shift,
)
from skirtloft.answers.told import Told, degrees, told_lines
from skirtloft.physics.attitude.ballast import ballast_place
from skirtloft.physics.attitude.bounds import BOUNDS, CAUTION, Bound
from skirtloft.physics.attitude.rest import Rest, rest
from skirtloft.physics.attitude.restoring import restoring_curves
from tests.attitude_cases import box, load_of

LINE = box(4.0, 2.0, longest=0.2)
FLOOR = [[1.8, -0.9], [1.8, 0.9], [-1.8, 0.9], [-1.8, -0.9]]


def rests(offset: list[float], height: float = 0.0) -> dict[Bound, Rest]:
    return {bound: rest(LINE, load_of(LINE, height=height), offset, bound) for bound in BOUNDS}


def test_a_mass_moved() -> None:
    """4.5755 % of the beam is 2 degrees by `firm`, sunk 43.27 mm (closed form): 80 kg of 500 moved 572 mm."""
    found = rests([0.0, -0.045755 * 2.0])
    told = told_shift(80.0, 0.572, "starboard", found, "metric")
    heel = round(math.degrees(float(found["likely"].leaning.tilt[1])), 1)
    sink = -1000 * float(found["likely"].leaning.least_gap)
    assert told.sentence == (
        f"80 kg moved 572 mm to starboard heels it about {heel:g} degrees; the low tips sink {sink:.0f} mm."
    )
    assert "firm 2 degrees" in told.numbers
    assert CAUTION in told.caution
    assert "ft" in told_shift(80.0, 0.572, "starboard", found, "imperial").sentence


def test_a_mass_moved_forward_trims() -> None:
    told = told_shift(60.0, 0.4, "bow", rests([0.048, 0.0]), "metric")
    assert told.sentence.startswith("60 kg moved 400 mm forward trims it about")


def test_a_load_at_rest_says_which_way() -> None:
    told = told_rest("full", rests([-0.05, 0.03]), "metric")
    assert re.search(
        r"with 'full' it sits \S+ degrees? down to port and \S+ degrees? down by the stern", told.sentence, re.I
    )
    assert "Pa" in told.numbers
    middle = told_rest("solo", rests([0.0, 0.0]), "metric")
    assert "nothing holds any tilt" in middle.sentence
    assert "neutral" in middle.numbers
    over = told_rest("high", rests([0.0, 0.02], height=2.5), "metric")
    assert "nothing holds it" in over.sentence


def test_what_holds_it_per_degree() -> None:
    """Soft .951 % per degree around one degree past first contact (rectangle): 19 mm of 2 m."""
    curves = restoring_curves(LINE, load_of(LINE), "port")
    told = told_hold(curves, "metric")
    assert "soft 0.95, likely 2, firm 3.3 % of the beam per degree" in told.numbers
    assert f"{1000 * math.radians(curves['likely'].contact_slope) * 2.0:.0f} mm farther out" in told.sentence
    assert "0.6 degrees" in told.numbers
    assert "from memory" in told.numbers
    bow = told_hold(restoring_curves(LINE, load_of(LINE), "bow"), "metric")
    assert "by the bow" in bow.sentence
    assert "% of the length" in bow.numbers
    assert "from memory" not in bow.numbers
    high = told_hold(restoring_curves(LINE, load_of(LINE, height=4.0), "port"), "metric")
    assert "do not hold it" in high.sentence


def test_range_and_loll() -> None:
    hull = [[0.0, 1.0, 0.1], [0.0, -1.0, 0.1]]
    curves = restoring_curves(LINE, load_of(LINE, height=0.4), "starboard", hull=hull)
    told = told_range(curves, "metric")
    assert f"up to {1000 * curves['likely'].most_held:.0f} mm off to starboard" in told.sentence
    assert f"at {degrees(curves['likely'].limit_angle)}, the hull touches" in told.sentence
    assert "less sure" in told.numbers
    assert f"{math.degrees(curves['likely'].loll):.1f} degrees by itself to starboard" in told_loll(curves).sentence
    assert f"inside the gap, up to {degrees(curves['likely'].dead_band)}, an even cushion says nothing" in (
        told_loll(curves).sentence
    )
    assert "no wish" in told_loll(restoring_curves(LINE, load_of(LINE), "port")).sentence
    assert "too high" in told_loll(restoring_curves(LINE, load_of(LINE, height=3.0), "port")).sentence


def test_where_ballast_goes() -> None:
    enough = told_place(40.0, ballast_place(500.0, [0.05, 0.02], [0.0, 0.0], 40.0, FLOOR), "metric")
    assert enough.sentence == "40 kg of ballast at x -625 mm, y -250 mm makes it sit level."
    little = told_place(5.0, ballast_place(500.0, [0.05, 0.02], [0.0, 0.0], 5.0, FLOOR), "metric")
    assert "too little" in little.sentence
    assert "13.89 kg" in little.sentence  # 500 kg 53.85 mm over the 1.9387 m to the edge of the floor that way
    level = told_place(5.0, ballast_place(500.0, [0.0, 0.0], [0.0, 0.0], 5.0, FLOOR), "metric")
    assert "no ballast" in level.sentence


def test_ballast_under_a_high_load_levels_nothing_by_itself() -> None:
    place = ballast_place(500.0, [0.05, 0.02], [0.0, 0.0], 40.0, FLOOR)
    leans = told_place(40.0, place, "metric", loll=math.radians(3.5)).sentence
    assert "sit level" not in leans
    assert "leans 3.5 degrees to one side or the other" in leans
    assert "bring it down" in leans
    assert "it goes over by itself" in told_place(40.0, place, "metric", loll=math.nan).sentence


def test_a_mass_moved_under_a_load_that_lolls() -> None:
    """High, and moved along only: across it leans one way as soon as the other, which no sentence calls a heel."""
    high = {b: rest(LINE, load_of(LINE, height=1.6), LINE.centre + [0.048, 0.0], b) for b in BOUNDS}
    assert str(high["likely"].hold) == "lolls"
    told = told_shift(60.0, 0.4, "bow", high, "metric")
    assert "trims it" not in told.sentence
    assert "leans to one side or the other by itself" in told.sentence


@pytest.mark.parametrize("angle, word", [(7.0, "inside"), (9.0, "beyond")])
def test_published_limits(angle: float, word: str) -> None:
    told = told_limits(np.radians(angle))
    assert word in told.sentence
    assert "8 degrees" in told.numbers
    assert "does not bind" in told.caution


def test_lines_say_each_caution_once() -> None:
    lines = told_lines([Told("One.", "1.", "mind it"), Told("Two.", "2.", "mind it"), Told("Three.", "3.")])
    assert lines == ["One.", "1.", "Two.", "2.", "Three.", "3.", "Mind it."]


@pytest.mark.parametrize("angle, words", [(1.0, "1 degree"), (-1.44, "1.4 degrees"), (0.04, "0.04 degrees")])
def test_degrees(angle: float, words: str) -> None:
    assert degrees(math.radians(angle)) == words
