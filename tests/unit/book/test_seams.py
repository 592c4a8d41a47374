"""The seams of a skirt by letter, the order in which the ring is closed, and how thick a roll of it is."""

from __future__ import annotations

import math
from collections import Counter

import pytest

from skirtloft.book.seams import LOOSE, loop_seams, ring_order, roll_diameter, segment_seams
from tests.designs import skirt_of

EXAMPLES = ("one-seat", "four-seat", "ten-seat")


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_seam_of_the_loop_is_sewn_once(name: str) -> None:
    """A ring of n panels has n seams, and every panel is in two of them (closed form)."""
    pieces = skirt_of(name).pieces
    panels = sum(piece.quantity for piece in pieces if piece.kind == "loop_panel")
    order = ring_order(pieces)
    assert order.closing is not None
    seams = [*order.port, *order.starboard, *order.joining, order.closing]
    assert len(seams) == panels
    ends = Counter(code for seam in seams for code in (seam.first, seam.second))
    assert set(ends.values()) == {2}
    assert sorted(ends) == sorted(piece.id for piece in pieces if piece.kind == "loop_panel")


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_ring_is_closed_by_the_last_seam_and_not_before(name: str) -> None:
    order = ring_order(skirt_of(name).pieces)
    part: dict[str, str] = {}

    def root(code: str) -> str:
        while part.setdefault(code, code) != code:
            code = part[code]
        return code

    for seam in (*order.port, *order.starboard, *order.joining):
        first, second = root(seam.first), root(seam.second)
        assert first != second  # two pieces that hang together already would make a ring
        part[first] = second
    assert order.closing is not None
    assert root(order.closing.first) == root(order.closing.second)
    shortest = min(seam.length for seam in loop_seams(skirt_of(name).pieces))
    assert order.closing.length < 1.06 * shortest  # at the bow, where loops are shortest


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_face_has_a_seam_on_either_side(name: str) -> None:
    seams = segment_seams(skirt_of(name).pieces)
    faces = {piece.id: piece.quantity for piece in skirt_of(name).pieces if piece.kind == "face"}
    assert Counter(seam.first for seam in seams) == dict.fromkeys(faces, 2)
    assert all(seam.count == faces[seam.first] for seam in seams)
    assert all(seam.second.startswith("W") for seam in seams)


def test_a_roll_has_the_room_of_its_cloth() -> None:
    """Closed form: the end of the roll is the cloth's edge, length times thickness, and the air that is in it."""
    diameter = roll_diameter(3.0, 0.6)  # 0.6 kg/m2 at 1200 kg/m3 is 0.5 mm
    assert math.pi / 4 * diameter**2 == pytest.approx(LOOSE * 3.0 * 0.0005)
