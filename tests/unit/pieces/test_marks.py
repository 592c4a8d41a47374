"""Letters and notches."""

from __future__ import annotations

import numpy as np
import pytest

from skirtloft.maths.frozen import frozen_array
from skirtloft.pieces.marks import along, mirrored, seam_letter, seam_notches
from skirtloft.pieces.types import Edge


def test_letters_run_from_a_and_leave_out_what_can_be_misread():
    letters = [seam_letter(i) for i in range(60)]
    assert letters[:9] == ["A", "B", "C", "D", "E", "F", "G", "H", "J"]
    assert len(set(letters)) == 60
    assert not set("IOPS") & set("".join(letters))
    assert letters[21:24] == ["Z", "AA", "AB"]


def test_place_along_a_bent_line_and_its_outward_side():
    points = frozen_array([(0.0, 0.0), (3.0, 0.0), (3.0, 1.0)])
    at, outward = along(points, 0.5)
    assert at == pytest.approx([2.0, 0.0])
    assert outward == pytest.approx([0.0, -1.0])
    at, outward = along(points, 1.0)
    assert at == pytest.approx([3.0, 1.0])
    assert outward == pytest.approx([1.0, 0.0])


def test_notches_of_a_seam_match_on_both_sides_and_not_upside_down():
    down = np.column_stack([0.03 * np.sin(np.linspace(0, 3, 40)), np.linspace(0.4, 0.0, 40)])
    up = mirrored(down)
    one = seam_notches(Edge("seam B", "seam", frozen_array(down), 0.02, "B"), from_end=False)
    two = seam_notches(Edge("seam B", "seam", up, 0.02, "B"), from_end=True)
    assert [notch.count for notch in one] == [notch.count for notch in two] == [1, 1, 2]
    for a, b in zip(one, two, strict=True):
        assert a.at * [-1, 1] == pytest.approx(b.at, abs=1e-14)
        assert a.outward * [-1, 1] == pytest.approx(b.outward, abs=1e-14)
        assert a.letter == b.letter == "B"
    counts = {0.25: 1, 0.5: 1, 0.75: 2}
    assert {1 - share: count for share, count in counts.items()} != counts
