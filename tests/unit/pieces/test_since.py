"""What can be kept of the pieces of an earlier pack. Expected values: closed form, unless another source is named."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from skirtloft.export.json import render
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.pieces.lay import snug
from skirtloft.pieces.record import PieceRecord, fingerprint, only_fingerprint, record_from, record_of
from skirtloft.pieces.since import PieceChange, change_words, compare, count_words
from skirtloft.pieces.types import CutPiece, MarkLine
from skirtloft.results import _piece as piece_results
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


def some(pieces: Sequence[CutPiece]) -> list[CutPiece]:
    """The first piece of each kind and hand, and of all shapes of a face."""
    return list({(p.kind, p.hand, p.base if p.kind == "face" else ""): p for p in reversed(pieces)}.values())


def test_nothing_has_changed() -> None:
    pieces = [record_of(part) for part in skirt_of("four-seat").pieces]
    assert {change.verdict for change in compare(pieces, pieces)} == {"same"}
    pieces = [record_of(part) for part in some(skirt_of("four-seat").pieces)]
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
    """Half of what a piece grew is missing at the least: laid in the middle of the old one."""
    told = change(sheet(), sheet(wide=0.4 + by))
    assert told.verdict == "cut again"
    missing, _ = told.why.split(" mm of cloth missing at ")
    assert float(missing) == pytest.approx(1000.0 * by / 2.0, abs=0.051)  # said to a tenth of a millimetre


def test_what_cloth_forgives_is_said() -> None:
    """Up to 0.5 mm nothing, up to 1 mm of an allowance on either side the same with a word, more is cut again."""
    assert (change(sheet(), sheet(high=0.3004)).verdict, change(sheet(), sheet(high=0.3004)).why) == ("same", "")
    short = change(sheet(), sheet(high=0.3018))
    assert short.verdict == "mark again"
    assert "its allowance is 0.9 mm short at" in short.why
    assert change(sheet(), sheet(high=0.3022)).verdict == "cut again"


@settings(max_examples=25, deadline=None)
@given(angle=st.floats(-0.02, 0.02), x=st.floats(-0.01, 0.01), y=st.floats(-0.01, 0.01))
def test_snug_finds_the_middle_from_anywhere_near(angle: float, x: float, y: float) -> None:
    """Closed form: a sheet wider and higher by 4 mm is short by 2 mm on every side, whichever way it lay at first."""
    old, new = record_of(sheet()), record_of(sheet(0.404, 0.304))
    turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    turn, shift = snug(old, new, (frozen_array(turn), frozen_array([x, y])), 1e-3, 1e-3)
    laid = new.cut @ turn.T + shift
    beyond = shapely.distance(shapely.points(laid), shapely.Polygon(old.cut))
    assert beyond.max() == pytest.approx(0.002 * np.sqrt(2.0), abs=2e-5)  # at the corners, both ways
    assert np.degrees(np.arctan2(turn[1, 0], turn[0, 0])) == pytest.approx(0.0, abs=0.02)


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


def test_heavier_cloth_is_cut_again_though_every_line_is_the_same() -> None:
    part = sheet()
    told = change(part, replace(part, mass=2.0 * part.mass))
    assert told.verdict == "cut again"
    assert "g/m², was" in told.why
    assert change(part, replace(part, mass=1.01 * part.mass)).verdict == "same"


def test_more_of_them_new_and_gone() -> None:
    one = record_of(sheet())
    (more,) = compare([one], [replace(one, quantity=one.quantity + 4)])
    assert (more.verdict, more.why) == ("same", "cut 4 more")
    told = compare([replace(one, id="X9", kind="face")], [one])
    assert [(change.id, change.verdict) for change in told] == [("X1-P", "new"), ("X9", "gone")]
    told = compare([replace(one, id="X9")], [one])  # another code, the same kind: it will do
    assert [(change.id, change.verdict, change.old) for change in told] == [("X1-P", "same", "X9")]
    assert change_words(told) == [("X1-P", "same", "from the old X9")]
    assert count_words(told) == "1 same"
    (fewer,) = compare([replace(one, spares=3)], [one])
    assert (fewer.verdict, fewer.why) == ("same", "3 left over")
    hands = [replace(one, id="L1-P", hand="P"), replace(one, id="L1-S", hand="S")]
    assert change_words(compare([], hands)) == [("L1 P, S", "new", "no such piece in the old pack")]


def test_a_deeper_tip_trim_trims_the_faces() -> None:
    """5 mm less cloth at the tip: every face loses 5 mm there (offset curves), a web the same square to its tip edge.

    At its corner of 45 degrees the tip edge slides along the side: 5 to 5 sqrt(2) mm. That lighter segments pull the
    loop a little less moves no panel by more than is forgiven, which the outlines themselves show.
    """
    old = {part.id: record_of(part) for part in some(skirt_of("four-seat").pieces)}
    new = [record_of(part) for part in some(skirt_of("four-seat", ("making.tip_trim", "10 mm")).pieces)]
    told = {change.id: change for change in compare(list(old.values()), new)}
    for record in new:
        change = told[record.id]
        if record.kind == "face":
            assert (change.verdict, change.trim) == ("trim", pytest.approx(0.005, abs=5e-5))
        elif record.kind == "web":
            assert change.verdict == "trim"
            assert 0.005 - 5e-5 < change.trim < 0.005 * np.sqrt(2.0) + 5e-5
        else:
            was, now = (shapely.Polygon(p.cut - p.cut.mean(axis=0)) for p in (old[record.id], record))
            assert change.verdict != "cut again" or shapely.hausdorff_distance(was, now) > 1e-3


def test_less_depth_trims_the_faces_and_more_cuts_them_again() -> None:
    """5 mm of depth at a face of 45 degrees: its side is sqrt(2) 5 = 7.07 mm shorter or longer.

    What comes off at the tip's curve besides is not more than the 12 % by which the side's own curve turns; missing
    cloth is shared between joint and tip, so half of it at least.
    """
    deep, less = (
        [record_of(part) for part in skirt.pieces if part.kind == "face"]
        for skirt in (skirt_of("four-seat"), skirt_of("four-seat", ("skirt.depth", "275 mm")))
    )
    for face in compare(deep, less):
        assert face.verdict == "trim"
        assert 0.99 * 7.07e-3 < face.trim < 1.12 * 7.07e-3
    for face in compare(less, deep):
        assert face.verdict == "cut again"
        assert float(face.why.split(" mm of cloth")[0]) > 7.07 / 2.0 - 0.1


def test_what_an_old_record_does_not_say_is_unknown() -> None:
    """A record without slits says nothing of them: none is taken for there, none for missing."""
    part = next(p for p in skirt_of("four-seat").pieces if any(mark.kind == "slit" for mark in p.marks))
    plain = plain_piece(part)
    assert record_from(plain).slits is not None
    del plain["slits_m"], plain["warp"], plain["fingerprint"]
    old = record_from(plain)
    assert old.slits is None
    assert np.isnan(old.warp).all()
    (told,) = compare([old], [record_of(part)])
    assert told.verdict == "mark again"
    assert "slits to make where there are none yet" in told.why
    (told,) = compare([only_fingerprint(part.id, fingerprint(part))], [record_of(part)])
    assert (told.verdict, told.there) == ("same", None)
    (told,) = compare([only_fingerprint(part.id, "0")], [record_of(part)])
    assert (told.verdict, "no results.json" in told.why) == ("cut again", True)


@pytest.mark.parametrize(
    "damage",
    [
        {"cut_line_m": []},
        {"cut_line_m": [[0, 0], [1, 1], [1, 0], [0, 1]]},
        {"sew_line_m": [[0, 0], [1, float("nan")], [1, 0]]},
        {"area_m2": 0},
        {"mass_kg": float("inf")},
        {"quantity": -1},
        {"holes_m": [[1, 2, 3]]},
        {"warp": "along"},
    ],
)
def test_a_damaged_record_is_refused(damage: dict[str, Any]) -> None:
    plain = plain_piece(sheet())
    record_from(plain)
    with pytest.raises((ValueError, TypeError, ZeroDivisionError)):
        record_from({**plain, **damage})


def plain_piece(part: CutPiece) -> dict[str, Any]:
    """The piece as it stands in a results file, read back."""
    plain: dict[str, Any] = json.loads(render(piece_results(part)))
    return plain


def test_fingerprint_is_of_the_cloth_not_of_the_last_digit() -> None:
    for part in skirt_of("four-seat").pieces[:12]:
        noise = 1e-12 * np.sin(np.arange(part.cut_line.size)).reshape(part.cut_line.shape)
        assert fingerprint(replace(part, cut_line=frozen_array(part.cut_line + noise))) == fingerprint(part)
        assert fingerprint(replace(part, quantity=99, name="other")) == fingerprint(part)
        longer = frozen_array(part.cut_line * 1.005)
        assert fingerprint(replace(part, cut_line=longer)) != fingerprint(part)
        assert fingerprint(replace(part, cloth="wear")) != fingerprint(part)
