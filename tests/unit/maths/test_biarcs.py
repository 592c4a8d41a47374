"""Biarcs: circles exactly, third order, no kink, convex; expected numbers are the closed forms named beside them."""

from __future__ import annotations

import cmath
import math
from itertools import pairwise

import numpy as np
import pytest

from skirtloft.maths.biarcs import SHALLOW, biarc, fit_biarcs
from skirtloft.maths.convex_chain import convex_samples
from skirtloft.maths.curves import (
    ArcPiece,
    LinePiece,
    Piece,
    end_direction,
    piece_end,
    piece_start,
    start_direction,
)
from skirtloft.maths.deviation import distances, points_along
from skirtloft.maths.frozen import Floats
from skirtloft.maths.plane_curves import Evaluation, PlaneCurve, part_of_curve, sample_curve

A, B = 2.5, 1.15  # m: half axes of an ellipse the size of a hull


def ellipse(rise: float = 0.0) -> PlaneCurve:
    """Return the port half of an ellipse from bow to stern; its height rises by `rise` times (t/pi) squared."""

    def evaluate(at: Floats) -> Evaluation:
        points = A * np.cos(at) + 1j * B * np.sin(at)
        return points, -A * np.sin(at) + 1j * B * np.cos(at), rise * (at / math.pi) ** 2

    return PlaneCurve(evaluate, (0.0, math.pi))


def kinks(pieces: tuple[Piece, ...]) -> list[float]:
    return [abs(cmath.phase(start_direction(b) / end_direction(a))) for a, b in pairwise(pieces)]


def gaps(pieces: tuple[Piece, ...]) -> list[float]:
    return [abs(piece_start(b) - piece_end(a)) for a, b in pairwise(pieces)]


def test_points_and_tangents_of_a_circle_give_that_circle() -> None:
    pieces = biarc(2.0, math.pi / 2.0, 2j, math.pi)  # quarter of radius 2 about the origin
    assert len(pieces) == 2
    for piece in pieces:
        assert isinstance(piece, ArcPiece)
        assert piece.radius == pytest.approx(2.0, abs=1e-14)
        assert np.abs(piece.centre).max() < 1e-14
        assert piece.sweep == pytest.approx(math.pi / 4.0, abs=1e-14)


def test_ends_and_directions_are_those_asked_for_and_nothing_turns_right() -> None:
    pieces = biarc(1 + 0.5j, 0.3, 2.2 + 1.4j, 1.3)
    assert piece_start(pieces[0]) == pytest.approx(1 + 0.5j, abs=1e-13)
    assert piece_end(pieces[-1]) == pytest.approx(2.2 + 1.4j, abs=1e-13)
    assert cmath.phase(start_direction(pieces[0])) == pytest.approx(0.3, abs=1e-13)
    assert cmath.phase(end_direction(pieces[-1])) == pytest.approx(1.3, abs=1e-13)
    assert max(kinks(pieces)) < 1e-13
    assert max(gaps(pieces)) < 1e-13
    assert all(isinstance(piece, ArcPiece) and piece.sweep > 0.0 for piece in pieces)


def test_a_curve_that_starts_almost_straight_starts_with_a_line() -> None:
    # The chord leaves the first direction by half the least turn, so the first arc would be too shallow to tell.
    pieces = biarc(0j, 0.0, cmath.rect(1.0, SHALLOW / 2.0), 0.2)
    assert isinstance(pieces[0], LinePiece)
    assert isinstance(pieces[1], ArcPiece)
    assert pieces[1].sweep == pytest.approx(0.2, abs=1e-12)  # the whole turn
    assert max(kinks(pieces)) < 1e-12
    backwards = biarc(0j, 0.0, cmath.rect(1.0, 0.2 - SHALLOW / 2.0), 0.2)
    assert isinstance(backwards[1], LinePiece)


def test_no_turn_is_a_line_and_a_hollow_is_refused() -> None:
    (piece,) = biarc(0j, 0.1, cmath.rect(3.0, 0.1), 0.1)
    assert isinstance(piece, LinePiece)
    with pytest.raises(ValueError, match="no convex biarc"):
        biarc(0j, 0.0, cmath.rect(1.0, -0.1), 0.3)


def test_one_biarc_is_of_third_order() -> None:
    """Half the length, an eighth of the distance (Meek and Walton, 1995: third order; from memory)."""
    found = []
    for span in (0.4, 0.2, 0.1):
        curve = sample_curve(part_of_curve(ellipse(), 0.5, 0.5 + span), 1e-9)
        ends = [complex(curve.points[k]) for k in (0, -1)]
        pieces = biarc(ends[0], float(curve.directions[0]), ends[1], float(curve.directions[-1]))
        found.append(distances(curve.points, pieces).max())
    assert found[0] / found[1] == pytest.approx(8.0, rel=0.15)
    assert found[1] / found[2] == pytest.approx(8.0, rel=0.08)


def test_an_eighth_of_the_tolerance_takes_twice_the_arcs() -> None:
    counts = []
    for tolerance in (1e-3, 1e-3 / 8, 1e-3 / 64, 1e-3 / 512):
        curve = sample_curve(ellipse(), tolerance / 50.0)
        fit = fit_biarcs(curve, tolerance)
        assert fit.error <= tolerance
        assert fit.error > tolerance / 3.0, "far fewer arcs would do"
        counts.append(len(fit.pieces))
    assert counts[0] <= 18  # 16 found: 4 biarcs in each quarter of a 5 m by 2.3 m ellipse at 1 mm
    for coarse, fine in pairwise(counts):
        assert fine / coarse == pytest.approx(2.0, abs=0.3)


def test_the_error_is_the_distance_both_ways() -> None:
    curve = ellipse()
    fit = fit_biarcs(sample_curve(curve, 2e-5), 1e-3)
    there = distances(points_along([curve]), fit.pieces).max()
    back = distances(points_along(fit.pieces), [curve]).max()
    assert there == pytest.approx(fit.error, abs=2e-5)  # samples lie within 0.02 mm of their chords
    assert back == pytest.approx(there, rel=0.01)
    assert max(there, back) <= 1e-3
    assert max(kinks(fit.pieces)) < 1e-12
    assert max(gaps(fit.pieces)) < 1e-12
    assert all(isinstance(piece, ArcPiece) and piece.sweep > SHALLOW for piece in fit.pieces)


def test_heights_are_kept_within_the_tolerance_too() -> None:
    curve = ellipse(rise=4.0)
    level, rising = (fit_biarcs(sample_curve(one, 2e-5), 1e-3) for one in (ellipse(), curve))
    assert rising.heights[0] == 0.0
    assert rising.heights[-1] == pytest.approx(4.0, abs=1e-12)
    assert len(rising.pieces) > len(level.pieces), "4 m of a parabola are not linear within 1 mm in 16 pieces"
    for k, piece in enumerate(rising.pieces):
        end = piece_end(piece)
        own = math.atan2(end.imag / B, end.real / A) % (2.0 * math.pi)
        assert rising.heights[k + 1] == pytest.approx(4.0 * (own / math.pi) ** 2, abs=1.1e-3)


def test_a_straight_spline_is_one_line() -> None:
    def evaluate(at: Floats) -> Evaluation:
        return (3.0 - at**3) + 0j, -3.0 * at**2 + 0j, 0.0 * at

    curve = PlaneCurve(evaluate, (0.0, 1.0))  # at 0 its derivative is none
    convex = convex_samples(sample_curve(curve, 1e-5), math.pi, math.pi)
    (piece,) = fit_biarcs(convex.curve, 1e-3).pieces
    assert isinstance(piece, LinePiece)
    assert (piece_start(piece), piece_end(piece)) == (3.0, 2.0)
