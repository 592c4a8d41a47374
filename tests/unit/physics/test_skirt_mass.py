"""Mass of the skirt by part."""

from __future__ import annotations

import math

import pytest

from skirtloft.physics.skirt_mass import MASS_DEFAULTS, Extra, skirt_mass, usual_extras

# name, kind, cloth, quantity, area of one, mass of one: by hand
PIECES = [
    ("Bow panel", "loop_panel", "loop", 1, 0.80, 0.24),
    ("Side panel", "loop_panel", "loop", 2, 1.20, 0.36),
    ("Face", "face", "segment", 60, 0.10, 0.04),
    ("Web", "web", "segment", 120, 0.06, 0.024),
]


def test_table_by_part() -> None:
    table = skirt_mass(PIECES, craft_mass=500.0)
    assert [(line.part, line.cloth, line.amount) for line in table.lines] == [
        ("loop_panel", "loop", 3),
        ("face", "segment", 60),
        ("web", "segment", 120),
    ]
    assert [line.mass for line in table.lines] == pytest.approx([0.96, 2.4, 2.88])
    assert [line.area for line in table.lines] == pytest.approx([3.2, 6.0, 7.2])
    assert table.mass == table.cloth_mass == pytest.approx(6.24)
    assert table.cloth_area == pytest.approx(16.4)
    assert table.share_of_craft == pytest.approx(6.24 / 500)
    assert sum(line.share for line in table.lines) == pytest.approx(1.0)


def test_one_kind_in_two_cloths_is_two_lines() -> None:
    table = skirt_mass([*PIECES, ("Bow face", "face", "loop", 4, 0.10, 0.03)])
    assert [(line.part, line.cloth) for line in table.lines].count(("face", "loop")) == 1
    assert len(table.lines) == 4
    assert math.isnan(table.share_of_craft)


def test_usual_extras_add_up() -> None:
    """Thread: 100 m of seam x 2 rows x 3 m x 90 g/km = 54 g; strip 20 x 3 mm of 2700 kg/m3 = .162 kg/m (by hand)."""
    extras = usual_extras(seam_length=100.0, lap_area=2.0, bolts=400, strip_length=25.0, ties=120)
    table = skirt_mass(PIECES, extras)
    mass = {line.part: line.mass for line in table.lines}
    assert mass["thread"] == pytest.approx(0.054)
    assert mass["strips"] == pytest.approx(0.020 * 0.003 * 2700.0 * 25.0)
    assert mass["bolts"] == pytest.approx(2.6)
    assert mass["glue"] == pytest.approx(0.4)
    assert mass["ties"] == pytest.approx(0.36)
    assert table.extra_mass == pytest.approx(0.054 + 4.05 + 2.6 + 0.4 + 0.36)
    assert table.mass == pytest.approx(6.24 + table.extra_mass)


def test_an_own_extra() -> None:
    table = skirt_mass([], [Extra("rope", 12.0, "m", 0.05, "weighed")])
    assert table.lines[0].share == 1.0
    assert table.mass == pytest.approx(0.6)
    assert skirt_mass([]).mass == 0.0


@pytest.mark.parametrize("piece", [("a", "face", "loop", -1, 1.0, 1.0), ("a", "face", "loop", 1, 1.0, -0.1)])
def test_less_than_nothing_is_refused(piece: tuple[str, str, str, int, float, float]) -> None:
    with pytest.raises(ValueError, match="a: .*negative"):
        skirt_mass([piece])
    with pytest.raises(ValueError, match="rope"):
        skirt_mass([], [Extra("rope", -1.0, "m", 0.05, "")])


def test_every_default_states_its_source() -> None:
    assert all(stated.reason and stated.source for stated in MASS_DEFAULTS.values())
