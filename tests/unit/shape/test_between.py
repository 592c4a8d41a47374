"""Sections between the stations: what a station put there would have."""

from __future__ import annotations

import numpy as np
import pytest

from skirtloft.design.read import load_design
from skirtloft.pipeline import build, surface_of
from skirtloft.shape.between import places_along
from skirtloft.shape.own_pitch import pitches_along
from tests.designs import EXAMPLES, NAMES, skirt_of

UNLIKE = (("skirt.bow.depth", "300 mm"), ("skirt.stern.face_angle", "48 deg"))


@pytest.mark.parametrize("name", NAMES)
def test_at_a_station_it_is_the_station(name: str) -> None:
    skirt = skirt_of(name)
    section_at = surface_of(skirt.design, skirt.plan, skirt.sections.pressure)
    found, arcs = section_at(skirt.plan.stations.at), skirt.development.surface.arcs
    for one, other in ((found.length, arcs.length), (found.joint, arcs.joint), (found.centre_z, arcs.centre_z)):
        np.testing.assert_allclose(one, other, rtol=0.0, atol=1e-14)


@pytest.mark.parametrize("changes", [(), UNLIKE])
@pytest.mark.parametrize("at", [0.37, 0.81, 1.4, 2.2, 5.3, 6.05])
def test_between_stations_it_is_what_a_station_added_there_has(at: float, changes: tuple[tuple[str, str], ...]) -> None:
    """By the other way round: the plan laid out again with one station more, its section solved."""
    skirt = skirt_of("four-seat", *changes)
    found = surface_of(skirt.design, skirt.plan, skirt.sections.pressure)(np.array([at]))
    more = build(_with_station(skirt.design, at), cut=False)
    k = int(np.abs(more.plan.stations.at - at).argmin())
    assert len(more.plan.stations.at) == len(skirt.plan.stations.at) + 1
    assert more.plan.stations.at[k] == pytest.approx(at, abs=1e-12)
    assert found.length[0] == pytest.approx(more.sections.length[k], abs=1e-12)
    np.testing.assert_allclose(found.joint[0], more.plan.stations.joint[k], atol=1e-12)


def _with_station(design, at):  # type: ignore[no-untyped-def]
    wish = type(design.skirt).model_fields["station"]
    assert wish.default is None
    from skirtloft.design.model import StationWish

    skirt = design.skirt.model_copy(update={"station": (StationWish(at=at, what="add"),)})
    return design.model_copy(update={"skirt": skirt})


def test_beyond_the_centre_line_stands_the_mirror_image() -> None:
    skirt = skirt_of("four-seat")
    end = float(skirt.plan.joint_line.breaks[-1])
    here, there = (places_along(skirt.plan, np.array(at)) for at in ([0.35, end - 0.7], [-0.35, end + 0.7]))
    np.testing.assert_allclose(there.joint, here.joint * [1.0, -1.0], atol=1e-15)
    np.testing.assert_allclose(there.outward, here.outward * [1.0, -1.0], atol=1e-15)
    np.testing.assert_array_equal(there.offset, here.offset)
    np.testing.assert_array_equal(there.hull_z, here.hull_z)


def test_loop_goes_over_to_the_corner_within_its_first_panel() -> None:
    """Pitch and 1/radius half-way between the last of the side and the first of the corner (closed form)."""
    plan = skirt_of("four-seat").plan
    before, after = plan.runs[4], plan.runs[5]
    at = (plan.stations.at[12] + plan.stations.at[13]) / 2.0
    pitch, radius = pitches_along(plan, np.array([at, plan.stations.at[14] + 0.01]))
    assert pitch[0] == pytest.approx((before.fitted_pitch + after.fitted_pitch) / 2.0, rel=1e-12)
    assert radius[0] == pytest.approx(2.0 * after.radius, rel=1e-12)
    assert (pitch[1], radius[1]) == pytest.approx((after.fitted_pitch, after.radius), rel=1e-12)


def test_lengths_between_stations_do_not_jump() -> None:
    skirt = build(load_design(EXAMPLES / "one-seat.toml"), cut=False)
    at = np.linspace(0.0, float(skirt.plan.stations.at[-1]), 4000)
    length = surface_of(skirt.design, skirt.plan, skirt.sections.pressure)(at).length
    assert np.abs(np.diff(length)).max() < 1e-3  # steps of about a millimetre along the line
