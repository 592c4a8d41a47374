"""What can be kept of the pieces of an earlier pack. Expected values: closed form, unless another source is named."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.pieces.record import PieceRecord, fingerprint, record_of
from skirtloft.pieces.since import PieceChange, change_words, compare
from skirtloft.pieces.types import CutPiece, MarkLine
from tests.designs import skirt_of
from tests.drawing_cases import edge, piece

ALLOWANCE = 0.02


def sheet(
    wide: float = 0.4, high: float = 0.3, slope: float = 0.0, holes: object = None, left: float = 0.0
) -> CutPiece:
    """A four-sided piece; `left` and `slope` raise its tip edge at its ends."""
    corners = [[0.0, left], [wide, slope], [wide, high], [0.0, high]]
    names = ("tip", "seam A", "hull edge", "seam B")
    kinds = ("tip", "seam", "hull", "seam")
    edges = tuple(
        edge(name, kind, [corners[k], corners[(k + 1) % 4]], ALLOWANCE)
        for k, (name, kind) in enumerate(zip(names, kinds, strict=True))
    )
    return piece("X1", "sheet", "loop_panel", edges, holes=None if holes is None else frozen_array(holes))


def change(old: CutPiece, new: CutPiece) -> PieceChange:
    (only,) = compare([record_of(old)], [record_of(new)])
    return only


def moved(record: PieceRecord, angle: float, shift: tuple[float, float]) -> PieceRecord:
    """The same piece in another frame."""
    turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])

    def laid(points: Floats) -> Floats:
        return frozen_array(points @ turn.T + np.array(shift) * len(points[:1]))

    lines = {name: laid(getattr(record, name)) for name in ("cut", "sew", "corners", "holes", "vents", "notches")}
    edges = tuple((name, laid(points)) for name, points in record.edges)
    return replace(record, **lines, edges=edges, warp=frozen_array(turn @ record.warp), fingerprint="")


@pytest.mark.parametrize("name", ["four-seat"])
def test_nothing_has_changed(name: str) -> None:
    pieces = [record_of(part) for part in skirt_of(name).pieces]
    assert {change.verdict for change in compare(pieces, pieces)} == {"same"}
    blank = [replace(record, fingerprint="") for record in pieces]  # by their lines
    assert {change.verdict for change in compare(blank, pieces)} == {"same"}


def test_the_frame_does_not_matter() -> None:
    old = record_of(sheet(holes=[[0.05, 0.31], [0.35, 0.31]]))
    (told,) = compare([old], [moved(old, 0.3, (1.2, -0.7))])
    assert told.verdict == "same", told.why


@pytest.mark.parametrize("by", [0.002, 0.007, 0.031])
def test_trim_is_what_comes_off(by: float) -> None:
    """A piece lower by `by` needs that much off one edge, whichever: laid on the other."""
    told = change(sheet(), sheet(high=0.3 - by))
    assert told.verdict == "trim"
    assert told.trim == pytest.approx(by, abs=1e-6)
    assert told.where in ("tip", "hull edge")


def test_trim_of_a_slope_is_square_to_the_new_line() -> None:
    """The tip edge rises by 2 to 30 mm over 400: most comes off at the end of the cut line, square to the new line."""
    low, high, wide = 0.002, 0.03, 0.4
    told = change(sheet(), sheet(left=low, slope=high))
    rise = high - low
    cosine = wide / np.hypot(rise, wide)
    far = low + (rise / wide) * (wide + ALLOWANCE) + ALLOWANCE - ALLOWANCE / cosine  # new cut line over the old one
    assert told.verdict == "trim"
    assert told.trim == pytest.approx(far * cosine, abs=2e-5)
    assert told.where in ("tip", "seam A")  # as near to either
    assert told.point == pytest.approx((wide + ALLOWANCE, -ALLOWANCE), abs=1e-6)


@pytest.mark.parametrize("by", [0.003, 0.012])
def test_larger_is_cut_again(by: float) -> None:
    told = change(sheet(), sheet(wide=0.4 + by))
    assert told.verdict == "cut again"
    assert "of cloth missing" in told.why
    least = float(told.why.split(" mm of cloth")[0])  # some can be taken from either side
    assert 1000.0 * by / 2.0 - 0.06 <= least <= 1000.0 * by + 0.06


def test_less_than_scissors_see_is_the_same() -> None:
    assert change(sheet(), sheet(high=0.3004)).verdict == "same"
    assert change(sheet(), sheet(high=0.3025)).verdict == "cut again"


def test_holes_bind_the_piece() -> None:
    """A hole 3 mm off cannot be moved; one more can be made; one in what is trimmed off does not matter."""
    two = [[0.05, 0.305], [0.35, 0.305]]
    told = change(sheet(holes=two), sheet(holes=[[0.05, 0.305], [0.353, 0.305]]))
    assert (told.verdict, "old hole" in told.why) == ("cut again", True)
    told = change(sheet(holes=two), sheet(holes=[*two, [0.2, 0.305]]))
    assert (told.verdict, told.why) == ("mark again", "1 hole to make")
    told = change(sheet(holes=[*two, [0.2, 0.005]]), sheet(slope=0.0, high=0.26, holes=[[x, 0.265] for x, _ in two]))
    assert told.verdict == "trim", told.why


def test_other_cloth_warp_or_slit_is_cut_again() -> None:
    old = sheet()
    assert "cloth" in change(old, replace(old, cloth="segment")).why
    heavier = change(old, replace(old, mass=1.1 * old.mass, hole_diameter=0.007))
    assert heavier.verdict == "cut again"
    assert "g/m²" in heavier.why
    turned = change(old, replace(old, warp=frozen_array([0.0, 1.0])))
    assert "warp turned by 90" in turned.why
    slit = MarkLine(frozen_array([[0.1, -0.02], [0.1, 0.05]]), "slit")
    assert change(replace(old, marks=(slit,)), old).verdict == "cut again"
    assert change(old, replace(old, marks=(slit,))).verdict == "mark again"


def test_more_of_them_new_and_gone() -> None:
    one = record_of(sheet())
    (more,) = compare([one], [replace(one, quantity=one.quantity + 4)])
    assert (more.verdict, more.why) == ("same", "cut 4 more")
    told = compare([replace(one, id="X9", kind="face")], [one])
    assert [(change.id, change.verdict) for change in told] == [("X1-P", "new"), ("X9", "gone")]
    told = compare([replace(one, id="X9")], [one])  # another code, the same kind: it will do
    assert [(change.id, change.verdict, change.old) for change in told] == [("X1-P", "same", "X9")]
    assert any("from the old X9" in line for line in change_words(told))


def test_a_deeper_tip_trim_trims_the_faces() -> None:
    """5 mm less cloth at the tip: every face loses 5 mm there at most (offset curves)."""
    old = [record_of(part) for part in skirt_of("four-seat").pieces]
    new = [record_of(part) for part in skirt_of("four-seat", ("making.tip_trim", "10 mm")).pieces]
    told = {change.id: change for change in compare(old, new)}
    faces = [told[record.id] for record in new if record.kind == "face"]
    assert {face.verdict for face in faces} == {"trim"}
    assert all(0.0045 < face.trim < 0.0075 for face in faces), [face.trim for face in faces]
    loops = {record.id: told[record.id] for record in new if record.kind == "loop_panel"}
    # Lighter segments want a little less of the loop: most panels keep their cloth, one corner's allowance is short.
    assert {code for code, loop in loops.items() if loop.verdict == "cut again"} == {"L04-P", "L04-S"}


def test_fingerprint_is_of_the_cloth_not_of_the_last_digit() -> None:
    for part in skirt_of("four-seat").pieces[:12]:
        noise = 1e-12 * np.sin(np.arange(part.cut_line.size)).reshape(part.cut_line.shape)
        assert fingerprint(replace(part, cut_line=frozen_array(part.cut_line + noise))) == fingerprint(part)
        assert fingerprint(replace(part, quantity=99, name="other")) == fingerprint(part)
        longer = frozen_array(part.cut_line * 1.005)
        assert fingerprint(replace(part, cut_line=longer)) != fingerprint(part)
        assert fingerprint(replace(part, cloth="wear")) != fingerprint(part)
