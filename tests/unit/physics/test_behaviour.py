"""The record of what sections do: balance under every load, places at the taut limit, pulls at the tip, the curve."""

from __future__ import annotations

import numpy as np
import pytest

from skirtloft.maths.frozen import Floats
from skirtloft.physics.behaviour import CURVE_POINTS, SectionBehaviour, section_behaviour, turned_about, turned_statics
from skirtloft.physics.design_case import rest_under
from skirtloft.physics.force_line import reactions
from skirtloft.physics.segment_shape import segment_shape
from skirtloft.physics.statics import solve_statics
from skirtloft.physics.statics_types import SectionStatics
from skirtloft.physics.turning import restoring_moment
from skirtloft.results import results
from tests.designs import skirt_of
from tests.statics_cases import cloths_of, random_given, random_sections, shape_of

GRAVITY = 9.80665
LOADS = np.array([1.0, 0.7, 1.4])


def cross(a: Floats, b: Floats) -> Floats:
    return a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]


def stable_sections(count: int = 60, seed: int = 5) -> SectionStatics:
    """Random sections at one pressure that come to rest under every load of LOADS."""
    given = random_given(count, seed)
    shape = shape_of(given)
    segment, loop = cloths_of(given, shape)
    return solve_statics(shape, given["offset"], given["rise"], 500.0, segment=segment, loop=loop)


def behaviour_of(sections: SectionStatics) -> SectionBehaviour:
    return section_behaviour(sections, rest_under(sections, 500.0 * LOADS))


def test_moments_balance_about_the_inner_fixing_under_every_load() -> None:
    """Loop's pull at J, pressure on the face and weight of the segments, each at its own place: equilibrium.

    The pressure's moment is -p (<|J-I|^2> - <|G-I|^2>)/2 whatever the turn (derived, see `statics`).
    """
    sections = stable_sections()
    rests = rest_under(sections, 500.0 * LOADS)
    turned = turned_statics(sections, rests)
    behaviour = section_behaviour(sections, rests)
    pull = cross(turned.shape.joint - turned.shape.inner, behaviour.reactions.joint)
    lever = (sections.shape.joint_mean_square - sections.shape.tip_mean_square) / 2.0
    left = pull - turned.pressure * lever - GRAVITY * turned.segment.moment
    good = np.isfinite(rests.turn)
    assert good.mean() > 0.9
    assert np.abs(left[good]).max() < 1e-9 * np.abs(pull[good]).max()


def test_forces_balance_under_every_load() -> None:
    """On the segment: loop's pull, face pressure and weight go out through I; on the loop: its ends and its weight."""
    sections = stable_sections()
    behaviour = behaviour_of(sections)
    forces, weight = behaviour.reactions, GRAVITY * sections.segment.mass
    through = forces.joint + forces.face_pressure - forces.inner
    good = np.isfinite(behaviour.rests.turn)
    assert np.allclose(through[good][:, 0], 0.0, atol=1e-9)
    assert np.allclose((through[..., 1] - weight)[good], 0.0, atol=1e-9)


def test_the_design_case_is_the_first_load() -> None:
    sections = stable_sections()
    mine, plain = behaviour_of(sections).reactions, reactions(sections)
    for name in ("hull_edge", "joint", "inner", "face_pressure", "upper_edge", "lower_edge"):
        assert np.allclose(getattr(mine, name)[0], getattr(plain, name), rtol=1e-9, atol=1e-9), name


def test_at_the_taut_limit_the_loop_is_straight() -> None:
    """|E - J| is the loop's length there, and J and G keep their distances from I and from each other."""
    sections = stable_sections()
    behaviour = behaviour_of(sections)
    shape = sections.shape
    for side in (0, 1):
        joint, tip = behaviour.taut_joint[:, side], behaviour.taut_tip[:, side]
        there = np.isfinite(behaviour.taut.turn[:, side])
        assert there.mean() > 0.5
        reach = np.linalg.norm(joint - sections.hull_edge, axis=-1)
        assert np.allclose(reach[there], sections.length[there], rtol=1e-9)
        assert np.allclose(np.linalg.norm(tip - joint, axis=-1)[there], shape.face_length[there], rtol=1e-12)
        assert np.allclose(np.linalg.norm(tip - shape.inner, axis=-1)[there], shape.lower_edge[there], rtol=1e-12)


def test_a_pull_at_the_tip_is_held_there() -> None:
    """Inboard pull F at the turned G: its moment about I and the restoring moment cancel (statics by hand)."""
    sections = stable_sections()
    behaviour = behaviour_of(sections)
    turn = behaviour.taut.share * behaviour.taut.turn[:, 0]
    tip = turned_about(sections.shape.tip, sections.shape.inner, turn)
    force = np.stack([-behaviour.drag_at_taut, np.zeros_like(turn)], axis=-1)
    left = cross(tip - sections.shape.inner, force) + restoring_moment(sections, turn)
    good = np.isfinite(turn)
    assert np.abs(left[good]).max() < 1e-9


def test_two_lines_at_the_tip() -> None:
    """P = p |JG|/2 on the point where face and lower edge meet: both lines' forces cancel it (closed form)."""
    sections = random_sections(200, 11)
    behaviour = section_behaviour(sections, rest_under(sections, [500.0]))
    shape = sections.shape
    load = sections.pressure * shape.face_length / 2.0
    face = (shape.joint - shape.tip) / shape.face_length[:, None]
    edge = (shape.inner - shape.tip) / shape.lower_edge[:, None]
    outward = np.stack([face[:, 1], -face[:, 0]], axis=-1)
    pull = load / np.tan(np.pi - shape.tip_angle)
    total = outward * load[:, None] + face * pull[:, None] + edge * behaviour.tip_edge_pull[:, None]
    assert np.abs(total).max() < 1e-10 * load.max()
    sharp = shape.tip_angle < np.pi / 2.0
    assert sharp.any()
    assert not sharp.all()
    assert np.allclose(behaviour.face_push, np.where(sharp, -pull, 0.0), atol=1e-12)


def test_the_curve_goes_through_the_design_case_and_falls_as_stiff() -> None:
    sections = stable_sections()
    behaviour = behaviour_of(sections)
    middle = CURVE_POINTS // 2
    assert behaviour.turn.shape == behaviour.moment.shape == (CURVE_POINTS, len(sections.length))
    assert np.all(behaviour.turn[middle] == 0.0)
    assert np.all(np.diff(behaviour.turn, axis=0) > 0.0)
    assert np.abs(behaviour.moment[middle]).max() < 1e-9
    assert np.isfinite(behaviour.moment).mean() > 0.99
    step = 1e-5
    slope = (restoring_moment(sections, step) - restoring_moment(sections, -step)) / (2.0 * step)
    assert np.allclose(-slope, sections.stiffness, rtol=1e-5, atol=1e-4)
    assert np.allclose(behaviour.hardness, sections.stiffness / (500.0 * sections.shape.depth**2))


def test_one_turned_about_a_point() -> None:
    """A quarter turn takes x to z (closed form)."""
    point = turned_about(np.array([1.0, 0.0]), np.array([0.0, 0.0]), np.pi / 2.0)
    assert point.tolist() == pytest.approx([0.0, 1.0], abs=1e-15)


def test_an_unstable_section_keeps_its_reactions_in_the_design_case() -> None:
    """A section that rests under no load is still a section as cut: the forces there are those of `reactions`."""
    skirt = skirt_of(
        "four-seat", *((f"hull.edge[{i}].height", "60 mm") for i in range(5)), ("skirt.side.tip_inside", "-100 mm")
    )
    assert np.isnan(skirt.rests.turn[0]).any()
    forces = skirt.behaviour.reactions
    assert np.isfinite(forces.inner[0]).all()
    assert np.isnan(forces.inner[1]).any()


def test_results_hold_what_the_record_holds() -> None:
    """Degrees, points from the hull edge and forces of a station, against the record."""
    skirt = skirt_of("four-seat")
    i, data = 8, results(skirt, "digest")
    section = data["sections"][i]
    assert section["taut"]["tip_down"]["turn_deg"] == pytest.approx(np.degrees(skirt.behaviour.taut.turn[i, 0]))
    reach = np.linalg.norm(np.array(section["taut"]["tip_down"]["joint"]) - np.array(section["hull_edge"]))
    assert reach == pytest.approx(section["loop_length_m"], rel=1e-9)
    assert section["force_line"]["crossing"][1] == pytest.approx(section["inner"][1])
    assert section["quarter_rule"]["loop_length_m"] == pytest.approx(section["loop_length_quarter_rule_m"], rel=1e-9)
    assert section["face"] == {
        "puckers": False,
        "push_n_per_m": 0.0,
        "lower_edge_at_tip_n_per_m": pytest.approx(132.64, abs=0.01),
    }
    pull = np.linalg.norm(section["reactions"]["joint_n_per_m"])
    assert pull == pytest.approx(section["loop_tension_n_per_m"], rel=0.02)  # less the weight that hangs on the joint
    for load, cushion in zip(data["loads"], skirt.cushions, strict=True):
        inner = load["sections"][i]["reactions"]["inner_n_per_m"]
        assert inner[0] / cushion.pressure == pytest.approx(
            section["reactions"]["inner_n_per_m"][0] / skirt.cushions[0].pressure, rel=0.02
        )
    sharp = results(skirt_of("four-seat", ("skirt.tip_angle", "80 deg")), "digest")["sections"][i]["face"]
    assert sharp["puckers"] is True
    assert sharp["push_n_per_m"] > 20.0
    assert data["corner_cloth"]["hull_edge_allowance_m"] == pytest.approx(0.060)


@pytest.mark.parametrize("cut", ["level", "square"])
def test_the_air_s_force_turns_with_the_face(cut: str) -> None:
    """Turned about I by phi, the resultant is that of the design case turned by phi, times the pressures' ratio."""
    given = random_given(40, 7)
    keys = ("inboard", "drop", "radius")
    shape = segment_shape(
        given["depth"], given["face_angle"], given["pitch"], cut=cut, **{key: given[key] for key in keys}
    )
    segment, loop = cloths_of(given, shape)
    sections = solve_statics(shape, given["offset"], given["rise"], 500.0, segment=segment, loop=loop)
    rests = rest_under(sections, 500.0 * LOADS)
    forces = section_behaviour(sections, rests).reactions.face_pressure
    origin = np.zeros(2)
    for k, ratio in enumerate(LOADS):
        good = np.isfinite(rests.turn[k])
        expected = ratio * turned_about(forces[0], origin, rests.turn[k])
        assert good.mean() > 0.8
        assert np.allclose(forces[k][good], expected[good], rtol=1e-10)
