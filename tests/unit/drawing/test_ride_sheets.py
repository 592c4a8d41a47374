"""Sheets of how it sits and of water: nothing over anything, cautions on every page, curves where the figures are."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import numpy as np
import pytest

from skirtloft.drawing.overlap import overlaps
from skirtloft.drawing.page import Stamp
from skirtloft.drawing.sheet import Circle, Line, Sheet, Text
from skirtloft.drawing.sits_sheets import sits_sheets
from skirtloft.drawing.water_sheets import water_sheets
from skirtloft.pipeline import Skirt
from skirtloft.sits.on_water import on_water
from skirtloft.sits.sits import sits_of
from tests.designs import NAMES, skirt_of

THRUST = {"one-seat": ("220 N", "0.8 m"), "four-seat": ("620 N", "1.1 m"), "ten-seat": ("1500 N", "1.6 m")}


def drawn(skirt: Skirt) -> tuple[list[Sheet], list[Sheet]]:
    stamp, sits = Stamp(skirt.design.project), sits_of(skirt)
    return sits_sheets(skirt, sits, stamp), water_sheets(skirt, sits, on_water(skirt, sits), stamp)


def words(sheet: Sheet) -> list[str]:
    return [item.text for item in sheet.items if isinstance(item, Text)]


@pytest.mark.parametrize(("show", "paper"), [("metric", "A4"), ("imperial", "Letter"), ("both", "Letter")])
@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_over_anything(name: str, show: str, paper: str) -> None:
    thrust = (
        [] if show == "both" else list(zip(("under_way.static_thrust", "under_way.disc"), THRUST[name], strict=True))
    )
    skirt = skirt_of(name, ("project.show", show), ("making.paper", paper), *thrust)
    sits, water = drawn(skirt)
    assert len(sits) == 2 + len(skirt.design.craft.load)
    assert len(water) == 3
    for sheet in (*sits, *water):
        assert overlaps(sheet) == [], sheet.name
        text = " ".join(words(sheet))
        assert not re.search(r"\bnan\b|\binf\b", text)
        assert ("no prediction of stability" if sheet in sits else "calm, deep water") in text
    assert {"soft", "likely", "firm"} <= set(words(sits[0]))
    assert ("thrust" in words(water[0])) == (name == "four-seat" or bool(thrust))
    for load in skirt.design.craft.load:
        assert any(text.startswith(load.name) for text in words(water[1]))


def frame_of(sheet: Sheet) -> np.ndarray:
    box = next(item for item in sheet.items if isinstance(item, Line) and item.layer == "register" and item.closed)
    return np.array([box.points.min(axis=0), box.points.max(axis=0)])


def test_the_circle_is_where_the_hull_touches() -> None:
    """Likely, heel: 9.1 degrees and 160 mm, read back from the axes (0 to 10 degrees, -50 to 300 mm)."""
    skirt = skirt_of("four-seat")
    curve = sits_of(skirt).loads[0].curves["starboard"]["likely"]
    sheet = drawn(skirt)[0][0]
    low, high = frame_of(sheet)
    circles = [item for item in sheet.items if isinstance(item, Circle) and item.x < high[0] + 1.0]
    assert len(circles) == 3
    places = (np.array([[c.x, c.y] for c in circles]) - low) / (high - low) * [10.0, 350.0] - [0.0, 50.0]
    wanted = np.array([math.degrees(curve.limit_angle), 1000.0 * curve.most_held])
    assert np.abs(places - wanted).min(axis=0) == pytest.approx([0.0, 0.0], abs=0.3)


def test_the_hump_is_marked_where_it_is() -> None:
    """4.37 m/s and 275 N for the full load, axes 0 to 25 m/s and 0 to 1200 N."""
    skirt = skirt_of("four-seat", *zip(("under_way.static_thrust", "under_way.disc"), THRUST["four-seat"], strict=True))
    sheet = drawn(skirt)[1][0]
    low, high = frame_of(sheet)
    circle = next(item for item in sheet.items if isinstance(item, Circle))
    x, y = (np.array([circle.x, circle.y]) - low) / (high - low) * [25.0, 1200.0]
    assert x == pytest.approx(4.369, rel=0.005)
    assert y == pytest.approx(275.4, rel=0.01)


def test_gaps_are_drawn_to_their_scale() -> None:
    """The thick line of a load lies where its gap times the scale told is, off the tip line."""
    skirt = skirt_of("four-seat")
    sits = sits_of(skirt)
    sheet = sits_sheets(skirt, sits, Stamp(skirt.design.project))[3]
    text = " ".join(words(sheet))
    per_ten = re.search(r"10 mm on paper are ([\d.]+) mm", text)
    assert per_ten is not None
    gap = sits.loads[2].rests["likely"].leaning.gap
    tips = next(item for item in sheet.items if isinstance(item, Line) and item.layer == "segment" and item.closed)
    thick = next(item for item in sheet.items if isinstance(item, Line) and item.layer == "loop" and item.closed)
    off = ((thick.points - tips.points) * sits.loads[2].line.normal).sum(axis=1)
    np.testing.assert_allclose(off, 1000.0 * gap * 10.0 / float(per_ten[1]), atol=1e-6)


def test_a_rule_that_does_not_hold_stands_on_the_rules_page() -> None:
    skirt = skirt_of("four-seat", ("craft.load[0].y", "40 mm"))
    sheet = drawn(skirt)[0][-1]
    text = " ".join(words(sheet))
    assert "WATCH" in text
    assert "craft.load.y" in text


def test_a_taut_diaphragm_is_drawn_slack_too() -> None:
    """Heel curve: one line more, below the likely one where the diaphragm helps; the words say which it is."""
    skirt = skirt_of("four-seat")
    sits = sits_of(skirt, "full")
    bare = sits.loads[0]
    slack = replace(sits, loads=(replace(bare, slack=bare.curves["starboard"]),))
    plain, both = (sits_sheets(skirt, one, Stamp(skirt.design.project))[0] for one in (sits, slack))
    assert "slack" in words(both)
    assert "slack" not in words(plain)
    assert "with the diaphragm slack" in " ".join(words(both))
    assert overlaps(both) == []
