"""Stations of the builder's own: added, pinned, left out, refused; straight runs in handy panels."""

from __future__ import annotations

import numpy as np
import pytest

from skirtloft.design.model import Design, StationWish
from skirtloft.errors import ShapeError
from skirtloft.maths.frozen import Floats
from skirtloft.shape.plan import lay_out
from skirtloft.shape.types import Plan
from tests.designs import skirt_of


def with_wishes(*wishes: tuple[float, str]) -> Plan:
    design = skirt_of("four-seat").design
    station = tuple(StationWish(at=at, what=what) for at, what in wishes)  # type: ignore[arg-type]
    return lay_out(design.model_copy(update={"skirt": design.skirt.model_copy(update={"station": station})}))


def with_longest(longest: float) -> Design:
    design = skirt_of("four-seat").design
    loop = design.making.loop.model_copy(update={"longest": longest})
    return design.model_copy(update={"making": design.making.model_copy(update={"loop": loop})})


def even() -> Floats:
    return skirt_of("four-seat").plan.stations.at


def test_added_station_moves_no_other() -> None:
    at = with_wishes((5.5, "add"), (3.0, "add")).stations.at
    assert len(at) == len(even()) + 2
    assert np.abs(at[:, None] - even()).min(axis=0).max() < 1e-12
    assert np.abs(at - 5.5).min() < 1e-12


def test_pinned_station_shares_its_corner_evenly() -> None:
    plan = with_wishes((5.9, "pin"))
    inside = plan.stations.at[(plan.stations.at >= 5.2042) & (plan.stations.at <= 6.3824)]
    k = int(np.abs(inside - 5.9).argmin())
    assert inside[k] == pytest.approx(5.9, abs=1e-12)
    for part in (inside[: k + 1], inside[k:]):  # the stern corner runs from 5.2042 to 6.3823 m
        assert np.ptp(np.diff(part)) < 1e-12
    assert len(inside) == 8  # 0.696 and 0.482 m in steps of at most 0.1963 m: four and three


def test_left_out_station_is_gone_and_the_others_stand() -> None:
    at = with_wishes((5.79, "leave out")).stations.at  # 3 mm from P15
    assert len(at) == len(even()) - 1
    assert np.abs(at - even()[15]).min() > 0.1
    assert np.abs(at[:, None] - even()[[14, 16]]).min(axis=0).max() < 1e-12


def test_runs_keep_their_ends_whatever_is_added() -> None:
    plan = with_wishes((0.1, "add"), (5.79, "leave out"), (1.5, "add"))
    assert [run.start for run in plan.runs] == [run.start for run in skirt_of("four-seat").plan.runs]
    by_name = {name: list(plan.stations.runs).count(name) for name in plan.stations.runs}
    assert by_name["side"] == 5  # two runs with two ends each, and the one added


@pytest.mark.parametrize(
    "wish, says",
    [
        ((5.59, "add"), "a station stands"),
        ((9.0, "add"), "runs from 0 to"),
        ((9.0, "pin"), "runs from 0 to"),
        ((3.0, "leave out"), "no station stands within"),
        ((1.1716, "leave out"), "must stay"),  # the end of the bow corner
        ((5.4006, "leave out"), "must stay"),  # the first of the stern corner: the loop goes over up to here
    ],
)
def test_what_cannot_be_is_refused_with_its_place(wish: tuple[float, str], says: str) -> None:
    with pytest.raises(ShapeError) as caught:
        with_wishes((2.9, "add"), wish)
    assert says in caught.value.why
    assert "skirt.station[1]" in caught.value.where


def test_straight_runs_in_handy_panels() -> None:
    """2.82 m of side in pieces of at most 1 m: three equal; 1.19 m across the stern: two would not do, three do."""
    at = lay_out(with_longest(1.0)).stations.at
    side = at[(at >= 2.3853) & (at <= 5.2043)]
    assert np.diff(side) == pytest.approx(np.full(3, 2.8189 / 3), abs=1e-4)
    stern = at[at >= 6.3823]
    assert np.diff(stern) == pytest.approx([1.1934 / 3, 1.1934 / 6], abs=1e-4)  # half of the middle one
    assert len(lay_out(with_longest(3.0)).stations.at) == len(even())


def test_warp_round_the_section_is_cut_to_the_roll() -> None:
    skirt = skirt_of("four-seat", ("cloth.loop.warp", "around"))
    assert next(finding for finding in skirt.findings if finding.rule == "fits-roll").verdict == "pass"
    straight = [panel.joint_edge for panel in skirt.development.panels if panel.is_rectangle]
    assert max(straight) <= 1.45 - 2 * 0.025 + 1e-9  # roll less two seam allowances
