"""Hulls that are no box, through the whole flow: a pointed bow, gentle curves, arcs tangent to within rounding."""

from __future__ import annotations

import dataclasses
import math
import re
from collections.abc import Sequence

import numpy as np
import pytest

from skirtloft.design.read import parse_design
from skirtloft.maths.frozen import frozen_array
from skirtloft.pipeline import Skirt, build
from skirtloft.shape.loft import loft, take_arcs
from skirtloft.shape.rulings import axis_distances
from tests.corner_cases import corner_case
from tests.designs import EXAMPLES

TEXT = (EXAMPLES / "one-seat.toml").read_text()
SIDE, LENGTH = 0.8, 2.9


def point(x: float, y: float, run: str = "", through: tuple[float, float] | None = None) -> str:
    lines = ["[[hull.edge]]", f'x = "{x!r} m"', f'y = "{y!r} m"', 'height = "245 mm"']
    lines += [f'run = "{run}"'] if run else []
    lines += [f'through = ["{through[0]!r} m", "{through[1]!r} m"]'] if through else []
    return "\n".join(lines) + "\n\n"


def skirt_on(points: Sequence[str], *changes: tuple[str, str]) -> Skirt:
    """Return the one-seat's skirt on another hull edge."""
    blocks = list(re.finditer(r"\[\[hull\.edge\]\]\n(?:\w+ *=.*\n)+\n", TEXT))
    return build(parse_design(TEXT[: blocks[0].start()] + "".join(points) + TEXT[blocks[-1].end() :], changes))


def test_a_pointed_bow_has_the_segments_of_the_bow_at_its_centre() -> None:
    """The arc across the centre line is a bow corner: at its middle the segments are the bow's."""
    points = [point(LENGTH, 0.0, "bow"), point(2.3, SIDE, "side"), point(0.0, SIDE, "stern"), point(0.0, 0.0)]
    skirt = skirt_on(points, ("skirt.bow.depth", "250 mm"))
    assert skirt.plan.stations.runs[0] == "bow_corner"
    assert skirt.statics.shape.depth[0] == pytest.approx(0.250)
    assert skirt.pieces


@pytest.mark.parametrize("sag", [0.0001, 0.05, 0.15])
def test_a_gently_curved_side_belongs_to_its_own_side(sag: float) -> None:
    """Its radius (L^2/(8 sag): 7 m to 10 km) reaches across the craft, whose other side is 1.6 m away."""
    radius = (LENGTH**2 / 4.0 + sag**2) / (2.0 * sag)
    quarter = SIDE + sag - radius + math.sqrt(radius**2 - (LENGTH / 4.0) ** 2)
    first = point(LENGTH, SIDE, "side", (0.75 * LENGTH, quarter))
    middle = point(LENGTH / 2.0, SIDE + sag, "side", (LENGTH / 4.0, quarter))  # a vertex amidships gets a station
    skirt = skirt_on([point(LENGTH, 0.0, "bow"), first, middle, point(0.0, SIDE, "stern"), point(0.0, 0.0)])
    stations = skirt.plan.stations
    side = [run == "side" for run in stations.runs]
    assert np.all(stations.hull[side, 1] > 0.0)
    inside = stations.offset[side]
    assert inside.max() - inside.min() < 0.002


@pytest.mark.parametrize("off", [1e-10, -1e-10, 3e-10])
def test_an_arc_that_meets_a_straight_side_to_within_rounding_is_straight_there(off: float) -> None:
    """A point given in tenths of a nanometre turns the arc's tangent by some 1e-10: no axis billions of metres away."""
    x, radius, turn = 1.7, 2.0, math.radians(30.0)
    start = (x + radius * math.sin(turn), SIDE - radius * (1.0 - math.cos(turn)))
    half = (x + radius * math.sin(turn / 2.0), SIDE - radius * (1.0 - math.cos(turn / 2.0)) + off)
    points = [
        point(LENGTH, 0.0, "bow"),
        point(LENGTH, 0.3, "corner"),
        point(*start, "side", half),
        point(x, SIDE, "side"),
        point(0.0, SIDE, "stern"),
        point(0.0, 0.0),
    ]
    assert skirt_on(points).pieces


def test_sections_turned_by_a_rounding_error_have_no_axis() -> None:
    """At 1e-8 the axis of two sections a metre apart lies 100,000 km away."""
    plan, sections = corner_case("S")
    arcs = loft(plan, sections).arcs
    outward = arcs.outward[:1] + [[0.0, 1e-9]]
    turned = dataclasses.replace(take_arcs(arcs, slice(0, 1)), outward=frozen_array(outward))
    first, second = axis_distances(take_arcs(arcs, slice(0, 1)), turned)
    assert np.isinf([first, second]).all()
