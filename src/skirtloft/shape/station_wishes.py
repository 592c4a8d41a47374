"""Stations that the builder adds to those that stand by rule, or leaves out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Literal, Protocol

import numpy as np

from skirtloft.errors import ShapeError
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.shape.stations import MERGE, Marks
from skirtloft.shape.wording import millimetres

WishKind = Literal["pin", "add", "leave out", "recut"]
KEY = "skirt.station"


class StationWish(Protocol):
    """What is wanted at a place `at` [m] along the joint line from the bow centre."""

    @property
    def at(self) -> float: ...

    @property
    def what(self) -> WishKind: ...


def pinned_places(wishes: Sequence[StationWish]) -> list[float]:
    """Return the places [m] of the pinned stations, in order."""
    return sorted(wish.at for wish in wishes if wish.what == "pin")


def with_wishes(marks: Marks, wishes: Sequence[StationWish]) -> Marks:
    """Return `marks` with the builder's stations added and left out; the others do not move.

    Raises
    ------
    ShapeError
        A place beyond the joint line or beside another station, nothing there to leave out, or one that must stay.
    """
    at = marks.at
    for number, wish in enumerate(wishes):
        where = f"{KEY}[{number}], {wish.at:.3f} m along the joint line"
        if wish.what != "recut":
            _refuse_beyond(where, wish.at, at)
        if wish.what in ("pin", "recut"):
            continue
        away = np.abs(at - wish.at)
        nearest = int(np.argmin(away))
        near = away[nearest] < MERGE - 1e-9
        if wish.what == "add":
            if near:
                why = f"a station stands {millimetres(float(away[nearest]))} from there already."
                raise ShapeError(where, why, f"Leave this entry out, or go {millimetres(MERGE)} or more from others.")
            at = np.insert(at, int(np.searchsorted(at, wish.at)), wish.at)
        else:
            _refuse_to_leave_out(where, float(at[nearest]), bool(near), marks)
            at = np.delete(at, nearest)
    stands_for = {int(np.argmin(np.abs(at - marks.at[i]))): k for i, k in marks.stands_for.items()}
    return replace(marks, at=frozen_array(at), stands_for=stands_for)


def _refuse_beyond(where: str, place: float, at: Floats) -> None:
    if not at[0] < place < at[-1]:
        why = f"the port half of the joint line runs from 0 to {float(at[-1]):.3f} m."
        raise ShapeError(where, why, "Measure along the joint line from the bow centre.")


def _refuse_to_leave_out(where: str, station: float, near: bool, marks: Marks) -> None:
    if not near:
        why = f"no station stands within {millimetres(MERGE)} of there; the nearest stands at {station:.3f} m."
        raise ShapeError(where, why, "Give the place of a station, as `stations` lists them.")
    if np.abs(marks.held_at - station).min() < MERGE / 2.0:
        why = "the station must stay: the hull edge has a corner there, a run ends, or the loop goes over to a corner."
        raise ShapeError(where, why, "Leave this entry out.")
