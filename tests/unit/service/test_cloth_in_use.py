"""Pulls in the flow, mass by part, and the craft at rest."""

from __future__ import annotations

import numpy as np
import pytest

from skirtloft.pipeline import Skirt
from skirtloft.results import results
from tests.designs import NAMES, TAUT, skirt_of


def pulls(skirt: Skirt):
    return {pull.name: pull for pull in skirt.service.cloth.pulls}


def test_pulls_are_pressure_times_radius_in_every_load() -> None:
    skirt = skirt_of("four-seat")
    loads = skirt.service.cloth.loads
    for k, cushion in enumerate(skirt.cushions):
        np.testing.assert_allclose(loads.loop[k], cushion.pressure * skirt.rests.radius[k])  # T = p R, Young-Laplace
        np.testing.assert_allclose(loads.hoop[k], cushion.pressure * skirt.sections.pitch / 2.0)  # half round
    largest = pulls(skirt)["loop cloth"]
    assert largest.load == pytest.approx(loads.loop.max())
    assert largest.case == "full"
    assert largest.where == skirt.plan.stations.ids[int(np.argmax(loads.loop[0]))]
    assert pulls(skirt)["hull-edge hole"].load == pytest.approx(largest.load * 0.060)


def test_what_is_not_stated_has_no_verdict() -> None:
    skirt = skirt_of("one-seat")
    assert all(pull.strength is None and pull.shock_factor is None for pull in skirt.service.cloth.pulls)
    assert not [f for f in skirt.findings if f.rule.endswith("-strength")]
    rows = results(skirt, "")["cloth"]["pulls"]
    assert {row["strength_from"] for row in rows} == {"not stated"}
    assert all(row["pull_in_shock"] == pytest.approx(3.0 * row["pull"]) for row in rows)


def test_seams_hold_what_thread_and_cloth_hold() -> None:
    """62 N at 4.5 mm, two rows of 301: 2 x 62/.0045 x 1.5 = 41.3 kN/m (apparel practice); cloth of 24 kN/m is less."""
    sewn = (("making.thread_strength", "62 N"),)
    seam = pulls(skirt_of("one-seat", *sewn))["face to web seam"]
    assert seam.strength == pytest.approx(2 * 62.0 / 0.0045 * 1.5)
    weak = (("making.rows", "1"), ("making.stitch_length", "9 mm"))
    assert pulls(skirt_of("one-seat", *sewn, *weak))["face to web seam"].strength == pytest.approx(62.0 / 0.009 * 1.5)
    limited = pulls(skirt_of("one-seat", *sewn, ("cloth.segment.strength", "1200 N/50mm")))["face to web seam"]
    assert limited.strength == pytest.approx(24_000.0)


def test_the_weakest_cloth_of_the_joint_decides_its_holes() -> None:
    both = (("cloth.loop.strength", "30 kN/m"), ("cloth.segment.strength", "20 kN/m"))
    found = pulls(skirt_of("one-seat", *both))
    assert found["joint hole"].strength == pytest.approx(found["hull-edge hole"].strength * 2.0 / 3.0)


@pytest.mark.parametrize("name", NAMES)
def test_mass_by_part_adds_up_to_the_cut_pieces(name: str) -> None:
    """Cloth is the sum of the cut pieces; the sections' own integral of their cloth is near it, by another way."""
    skirt = skirt_of(name)
    weight, plan = skirt.service.weight, skirt.plan
    pieces = sum(piece.mass * piece.quantity for piece in skirt.pieces)
    parts = {part.part: part for part in weight.parts}
    assert weight.table.cloth_mass == pytest.approx(pieces, rel=1e-12)
    assert weight.pieces_mass == pytest.approx(pieces, rel=1e-12)
    cloth = parts["loop"].mass + parts["segments"].mass + parts["strips"].mass
    assert cloth == pytest.approx(pieces, rel=1e-12)
    assert sum(part.mass for part in weight.parts) == pytest.approx(weight.table.mass, rel=1e-12)
    steps = np.diff(plan.stations.at)
    share = (np.append(steps, 0.0) + np.append(0.0, steps)) / 2.0
    segments = 2.0 * float(share @ skirt.statics.segment.mass)  # with strips, corners as wide as straight runs
    patches = sum(piece.mass * piece.quantity for piece in skirt.pieces if piece.kind == "patch")
    sewn = parts["segments"].mass + parts["strips"].mass - patches  # patches hang at the inner fixings: no moment there
    assert segments == pytest.approx(sewn, rel=0.08)
    making = skirt.design.making
    across = skirt.sections.length + making.hull_edge + making.joint
    loop = 2.0 * float(share @ across) * skirt.design.cloth.loop.mass
    assert 1.0 < parts["loop"].mass / loop < 1.25  # seams, and corners whose hull edge is shorter or longer


def test_centre_of_mass_lies_where_the_parts_are() -> None:
    skirt = skirt_of("four-seat")
    weight, stations = skirt.service.weight, skirt.plan.stations
    parts = {part.part: part for part in weight.parts}
    assert 0.12 < parts["segments"].z < 0.22  # webs and face between ground and 280 mm, more cloth low than high
    assert parts["strips"].z == pytest.approx(0.28)  # at the joint, level all round
    assert parts["loop"].z > 0.28 + 0.1
    joint = np.concatenate([stations.joint, stations.joint[::-1] * [1.0, -1.0]])
    steps = np.linalg.norm(np.diff(joint, axis=0), axis=1)
    middle = float((joint[:-1, 0] + joint[1:, 0]) @ steps / 2.0 / steps.sum())
    assert parts["strips"].x == pytest.approx(middle, abs=0.01)  # centre of the joint line by its chords
    whole = sum(part.mass * part.x for part in weight.parts) / weight.table.mass
    assert weight.x == pytest.approx(whole)


def test_fittings_of_the_file_are_counted() -> None:
    light = skirt_of("four-seat", ("making.fittings.strip", "0 g/m"), ("making.fittings.bolt", "0 g"))
    heavy = skirt_of("four-seat", ("making.fittings.bolt", "10 g"), ("making.fittings.strip", "0 g/m"))
    bolts = next(line for line in heavy.service.weight.table.lines if line.part == "bolts")
    assert heavy.service.weight.table.mass - light.service.weight.table.mass == pytest.approx(0.010 * bolts.amount)
    holes = sum(len(p.holes) * p.quantity for p in heavy.pieces if p.kind == "face")
    assert bolts.amount > holes > 100
    glued = skirt_of("four-seat", ("making.join", "glued and sewn"))
    glue = next(line for line in glued.service.weight.table.lines if line.part == "glue")
    assert glue.mass == pytest.approx(0.2 * glue.amount)
    assert glue.amount > 1.0


def test_a_diaphragm_is_a_part_of_its_own() -> None:
    skirt = skirt_of("four-seat", *TAUT)
    part = next(part for part in skirt.service.weight.parts if part.part == "diaphragm")
    assert skirt.service.diaphragm is not None
    strips = [piece for piece in skirt.pieces if piece.kind == "diaphragm"]
    assert part.mass == pytest.approx(sum(piece.mass * piece.quantity for piece in strips))
    # as cut over finished, by hand for a straight strip of 150 x 472 mm with four holes of 60 mm: 179 x 537 mm less
    # vents over 150 x 472 less vents, 0.0849/0.0595 = 1.43; corners are narrower, and their hems weigh more
    assert 1.40 < part.mass / skirt.service.diaphragm.mass < 1.65
    assert part.z == pytest.approx((0.28 + 0.10) / 2.0, abs=1e-9)  # half way from the joint to the rail
    without = skirt_of("four-seat", *TAUT, ("skirt.diaphragm.margin", "0"))
    segments = [next(p for p in s.service.weight.parts if p.part == "segments") for s in (skirt, without)]
    assert segments[0].z == pytest.approx(segments[1].z, rel=1e-9)  # the half that hangs at the joint is not theirs


def test_hanging_she_is_no_narrower_than_her_hull_and_narrower_than_inflated() -> None:
    skirt = skirt_of("four-seat")
    rest, size = skirt.service.rest, results(skirt, "")["size"]
    hanging = rest.free_extent
    assert hanging.width == pytest.approx(2.4)
    assert hanging.length == pytest.approx(5.1)
    assert 2.4 < hanging.width_bound < size["overall_width_m"]
    # a flap of .606 w on each side (derived: half-round strip between webs w apart)
    assert hanging.width_bound == pytest.approx(2.4 + 2 * 0.60566 * 0.15, abs=0.005)
    assert rest.grounded_extent.width_bound > hanging.width_bound
    # the lower edge hangs straight down from I: z_I - |G-I| = .28 - .396 below the tip plane, clearance above it
    assert rest.hangs_below == pytest.approx(0.25 - (0.28 - 0.28 * np.sqrt(2.0)), abs=0.02)


def test_skids_give_the_room_that_segments_need() -> None:
    low = skirt_of("four-seat", ("hull.clearance", "275 mm"))  # fixings 5 mm above the flat of the bottom
    least = float(low.service.rest.sitting.least_skid.max())
    assert 0.005 < least < 0.020
    for skid, pinched in ((least - 0.0005, True), (least + 0.0005, False)):
        skirt = skirt_of("four-seat", ("hull.clearance", "275 mm"), ("hull.skids.height", f"{1000 * skid} mm"))
        assert bool(skirt.service.rest.sitting.is_pinched.any()) is pinched
