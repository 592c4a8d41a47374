"""A hull made from a design's own lines: `fit` finds a skirt for it, without a failed rule, on those lines."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from skirtloft.design.model import Design, Fixing, FixingPoint
from skirtloft.errors import SkirtloftError
from skirtloft.fit.search import fit
from skirtloft.fit.trial import try_values
from skirtloft.fit.variables import variables, with_values
from skirtloft.maths.curves import ArcPiece, parallel, piece_end, piece_start, points_at
from skirtloft.pipeline import build
from tests.designs import NAMES, skirt_of


def with_own_fixings(design: Design) -> Design:
    """The design with the inner-fixing line of its skirt as the hull's: lines, and arcs through a point."""
    skirt = build(design)
    depth = design.skirt.depth
    path = parallel(skirt.plan.joint_line, -2.0 * depth)
    height = depth - design.hull.clearance
    points = []
    for k, piece in enumerate(path.pieces):
        start = piece_start(piece)
        middle = points_at(path, [(path.breaks[k] + path.breaks[k + 1]) / 2.0])[0]
        through = (float(middle[0]), float(middle[1])) if isinstance(piece, ArcPiece) else None
        points.append(FixingPoint(x=start.real, y=max(0.0, start.imag), height=height, through=through))
    end = piece_end(path.pieces[-1])
    points.append(FixingPoint(x=end.real, y=0.0, height=height))
    points[0] = points[0].model_copy(update={"y": 0.0})
    return design.model_copy(update={"hull": design.hull.model_copy(update={"fixing": Fixing(line=tuple(points))})})


moves = st.tuples(
    st.sampled_from(NAMES), st.integers(-12, 15), st.integers(-15, 20), st.integers(-15, 20), st.integers(0, 8)
)


@settings(max_examples=4, deadline=None, suppress_health_check=[HealthCheck.too_slow], phases=[Phase.generate])
@given(moves)
def test_a_skirt_is_found_again_from_its_own_hull(drawn: tuple[str, int, int, int, int]) -> None:
    """Depth, insets and radii moved at random; the file then tells the old ones, the hull the new fixing line."""
    name, deeper, bow, side, rounder = drawn
    design = skirt_of(name).design
    names = variables(design)
    shift = {"skirt.depth": deeper, "skirt.bow.joint_inside": bow, "skirt.side.tip_inside": side}
    true = tuple(
        variable.asked + variable.step * (rounder if variable.kind == "radius" else shift.get(variable.path, 0))
        for variable in names
    )
    try:
        hull = with_own_fixings(with_values(design, names, true))
        sound = all(finding.verdict == "pass" for finding in build(hull).findings)
    except SkirtloftError:
        return  # no skirt to find again
    if not sound:
        return  # to be rid of a rule to watch, the fixings may lie a little further off, by intent
    asked = tuple(variable.asked for variable in names)
    found = fit(with_values(hull, names, asked))
    assert found.trial.holds
    assert found.nearer is None
    assert found.trial.cost <= try_values(hull, names, true).cost + 0.02  # never much worse than the skirt we know
    assert found.trial.miss is not None
    assert float(np.sqrt(np.mean(found.trial.miss.distance**2))) < 0.002
    tolerance = {"clearance": 1e-9, "depth": 0.002, "tip_inside": 0.005, "joint_inside": 0.005, "radius": 0.060}
    # a radius hardly tells where a corner turns by little: 60 mm move the line of a 23 deg corner by 1.2 mm
    for variable, value, wanted in zip(names, found.trial.values, true, strict=True):
        assert value == pytest.approx(wanted, abs=tolerance[variable.kind]), variable.path
    assert all(finding.verdict != "fail" for finding in build(found.design).findings)


@pytest.mark.parametrize("name", NAMES)
def test_own_fixing_line_is_met_everywhere(name: str) -> None:
    """Both forms of the same lines: 0 to a hundredth of a millimetre, corners in."""
    skirt = build(with_own_fixings(skirt_of(name).design))
    finding = next(f for f in skirt.findings if f.rule == "inner-fixing-on-line")
    assert finding.verdict == "pass"
    assert finding.value < 2e-5
    assert not math.isnan(finding.value)
