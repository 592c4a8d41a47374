"""Segments cut longer or shorter at the tip than drawn: sides go straight on, the tip edge keeps its form."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.pieces.segment import FaceShape


def lengthened(shape: FaceShape, change: float) -> FaceShape:
    """Return a face `change` [m] longer along its side edges; shorter where that is negative.

    Notes
    -----
    The web's right angle at the tip keeps |G - I|^2 to the second order in the change, so the balance of the section
    stays as drawn.
    """
    if change == 0.0:
        return shape
    side, stern, tip = trimmed(shape.side[::-1], shape.stern_side, shape.tip[::-1], -change)
    return replace(
        shape,
        side=frozen_array(side[::-1]),
        stern_side=frozen_array(stern),
        tip=frozen_array(tip[::-1]),
        side_length=shape.side_length + change,
        stern_length=shape.stern_length + change,
    )


def with_longer_tip(corners: Floats, change: float) -> Floats:
    """Return the corners J, G, I of a web with G `change` [m] farther down the face, (3, 2) [m]."""
    if change == 0.0:
        return corners
    down = corners[1] - corners[0]
    return np.array([corners[0], corners[1] + change * down / np.hypot(*down), corners[2]])


def cut_short(line: Floats, amount: float) -> Floats:
    """Return a line `amount` [m] shorter at its end; longer, straight on, where that is negative."""
    if amount == 0.0:
        return line
    if amount < 0.0:
        way = line[-1] - line[-2]
        return np.vstack([line[:-1], line[-1] - amount * way / np.hypot(*way)])
    at = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(line, axis=0).T))])
    keep = at[-1] - amount
    end = [np.interp(keep, at, line[:, axis]) for axis in range(2)]
    return np.vstack([line[at < keep - 1e-12], end])


def trimmed(left: Floats, right: Floats, tip: Floats, trim: float) -> tuple[Floats, Floats, Floats]:
    """Return sides and tip of a face with `trim` off both sides; the tip edge keeps its form between its new ends."""
    left, right = cut_short(left, trim), cut_short(right, trim)
    old, new = tip[-1] - tip[0], right[-1] - left[-1]
    turned = (tip - tip[0]) @ _turn(old, new)
    return left, right, np.vstack([left[-1], (left[-1] + turned)[1:-1], right[-1]])


def _turn(old: Floats, new: Floats) -> Floats:
    """Return the matrix that turns and stretches row vector `old` on to `new`."""
    factor = complex(*new) / complex(*old)
    return np.array([[factor.real, factor.imag], [-factor.imag, factor.real]])
