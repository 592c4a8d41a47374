"""The closed form against mpmath: forces and moments about I written out and the loop found by a root finder.

Nothing of the program's algebra is used: pressure on the face is integrated slice by slice along the pitch, the loop's
pull comes from its radius and its direction at the joint, its weight from the derivative of its centroid's height at
fixed length. 30 digits; agreement is asked to 1e-9.
"""

from __future__ import annotations

from functools import lru_cache

import mpmath
import pytest
from mpmath import mpf

from skirtloft.physics.section import solve_sections
from skirtloft.physics.types import SegmentWeight
from tests.section_cases import CASES, Case

mpmath.mp.dps = 30
GRAVITY = mpf("9.80665")


def face_moment(case: Case) -> mpf:
    """Moment of the pressure on the face about I, per metre of joint, turning the tip up counted positive."""
    d, w = mpf(case.depth), mpf(case.pitch)

    def slice_at(place: mpf) -> mpf:
        """Straight from J to the level-cut tip edge; force p (-dz, dx), moment p (x dx + z dz)."""
        tip_x = d + mpmath.sqrt(2) * mpmath.sqrt(w**2 / 4 - place**2)
        run, fall = tip_x - 2 * d, -d
        return mpmath.quad(lambda q: (2 * d + q * run) * run + q * fall * fall, [0, 1])

    return mpf(case.pressure) * mpmath.quad(slice_at, [-w / 2, 0, w / 2]) / w


def loop_at(case: Case, beyond: mpf, joint: tuple[mpf, mpf]) -> tuple[mpf, mpf, mpf, mpf]:
    """Centre (x, z), radius and angle of the loop whose centre lies `beyond` outboard of the chord's middle."""
    edge = (2 * mpf(case.depth) - mpf(case.offset), mpf(case.rise))
    east, north = joint[0] - edge[0], joint[1] - edge[1]
    chord = mpmath.hypot(east, north)
    centre = ((edge[0] + joint[0]) / 2 - north / chord * beyond, (edge[1] + joint[1]) / 2 + east / chord * beyond)
    return *centre, mpmath.hypot(beyond, chord / 2), 2 * mpmath.atan2(chord / 2, -beyond)


def centroid_height(case: Case, length: mpf, guess: mpf, phi: mpf) -> mpf:
    """Height of the loop's centroid above I with the segment turned by phi, the loop keeping its length."""
    joint = (2 * mpf(case.depth) * mpmath.cos(phi), 2 * mpf(case.depth) * mpmath.sin(phi))

    def excess(beyond: mpf) -> mpf:
        _, _, radius, angle = loop_at(case, beyond, joint)
        return radius * angle - length

    beyond = mpmath.findroot(excess, guess)
    _, z, radius, angle = loop_at(case, beyond, joint)
    to_joint = mpmath.asin((joint[1] - z) / radius)  # J lies outboard of the centre in every case here
    return z + radius * (mpmath.cos(to_joint) - mpmath.cos(to_joint + angle)) / angle


@lru_cache
def balance(case: Case) -> tuple[mpf, mpf, mpf]:
    """Centre inset, length and angle of the loop with which all moments about I cancel."""
    d, load, at_rest = mpf(case.depth), face_moment(case), (2 * mpf(case.depth), mpf(0))

    def moment(beyond: mpf) -> mpf:
        x, _, radius, angle = loop_at(case, beyond, at_rest)
        pull = mpf(case.pressure) * radius
        up = (at_rest[0] - x) / radius  # of the loop's direction at J, from J back along the loop
        length = radius * angle
        cloth = mpf(case.moment) + mpf(case.areal_mass) * mpf(case.allowance) * 2 * d
        if case.areal_mass:
            rate = mpmath.diff(lambda phi: centroid_height(case, length, beyond, phi), 0)
            cloth += mpf(case.areal_mass) * length * rate
        return 2 * d * pull * up + load - GRAVITY * cloth

    beyond = mpmath.findroot(moment, (mpf(case.offset) / 2 - d / 3) * mpmath.hypot(case.offset, case.rise) / case.rise)
    x, _, radius, angle = loop_at(case, beyond, at_rest)
    return at_rest[0] - x, radius * angle, angle


@pytest.mark.parametrize("case", CASES)
def test_closed_form_is_the_balance_of_moments(case: Case) -> None:
    inset, length, angle = balance(case)
    sections = solve_sections(
        [case.offset],
        [case.rise],
        depth=case.depth,
        pitch=case.pitch,
        pressure=case.pressure,
        segment=SegmentWeight(0.0, case.moment, case.height_moment),
        loop_areal_mass=case.areal_mass,
        loop_joint_allowance=case.allowance,
    )
    assert sections.centre_inset[0] == pytest.approx(float(inset), rel=1e-12)
    assert sections.length[0] == pytest.approx(float(length), rel=1e-12)
    assert sections.angle[0] == pytest.approx(float(angle), rel=1e-12)


def test_cases_lie_on_both_branches() -> None:
    angles = [balance(case)[2] for case in CASES]
    assert min(angles) < 2 < mpmath.pi < max(angles)
