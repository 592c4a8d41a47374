"""How each load sits: heel and trim, what holds it to either side, how far its centre of gravity may be off.

Not part of the flow: a second or so for a design, so it is computed when somebody asks.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from skirtloft.errors import DesignError, Problem
from skirtloft.maths.curves import path_points
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.attitude.ballast import LevelPlace, ballast_place, level_move
from skirtloft.physics.attitude.bounds import BOUNDS, Bound
from skirtloft.physics.attitude.heel_limits import PERSON_MASS
from skirtloft.physics.attitude.lean import HoverLoad
from skirtloft.physics.attitude.rest import Rest, rest
from skirtloft.physics.attitude.restoring import RestoringCurve, Side, restoring_curve
from skirtloft.physics.attitude.tip_line import TipLine
from skirtloft.pipeline import Skirt
from skirtloft.sits.lazily import Lazily
from skirtloft.sits.tips import flies, hover_load, hull_points, tips_of

ANGLES = np.radians(np.linspace(0.0, 10.0, 41))
CURVE_SIDES: tuple[Side, ...] = ("starboard", "bow", "stern")  # tip line and hull are alike on both sides
MOST_TILT = float(ANGLES[-1])
PERSON_ASIDE = 0.30  # m: from one half of a bench to the other; chosen


@dataclass(frozen=True, eq=False)
class LoadSits:
    """One load at rest and what holds it.

    Parameters
    ----------
    name : str
    index : int  place in the file
    flies : bool  the fan carries it; False: told as if the wanted gap were there
    line : TipLine
    hover : HoverLoad
    centre : (2,) [m]  centre of gravity in the craft's axes
    hull : (m, 3) [m]  low points of the hull, z from the tips
    rests : Rest by bound
    curves : RestoringCurve by side (starboard, bow, stern) and bound
    slack : RestoringCurve by bound, to starboard, with the diaphragm slack; empty where none of the file is taut
    ballast : LevelPlace  of the ballast asked for
    movable : LevelPlace of each thing that can be moved, in the order of the file

    Notes
    -----
    Rests and curves are solved when they are first asked for, and kept.
    """

    name: str
    index: int
    flies: bool
    line: TipLine
    hover: HoverLoad
    centre: Floats
    hull: Floats
    rests: Mapping[Bound, Rest]
    curves: Mapping[Side, Mapping[Bound, RestoringCurve]]
    slack: Mapping[Bound, RestoringCurve]
    ballast: LevelPlace
    movable: tuple[LevelPlace, ...]

    @cached_property
    def person(self) -> Rest:
        """Likely, with one person (75 kg) moved 0.3 m to starboard and the craft level before."""
        off = self.line.centre + [0.0, -PERSON_MASS * PERSON_ASIDE / self.mass]
        return rest(self.line, self.hover, off, "likely", hull=self.hull, most_tilt=MOST_TILT)

    @property
    def mass(self) -> float:
        """Mass [kg]."""
        return float(np.asarray(self.hover.mass))

    @property
    def offset(self) -> Floats:
        """Centre of gravity from the centre of the cushion (2,) [m]: forward, to port."""
        return np.asarray(self.centre - self.line.centre)


@dataclass(frozen=True, eq=False)
class Sits:
    """How the craft sits, load by load in the order of the file.

    Parameters
    ----------
    loads : tuple of LoadSits
    is_uneven : bool  runs hang at different gaps, which the attitude leaves out
    """

    loads: tuple[LoadSits, ...]
    is_uneven: bool


def sits_of(skirt: Skirt, load: str | None = None) -> Sits:
    """Return how each load sits.

    Parameters
    ----------
    skirt : Skirt
        Pieces are not needed: `build(design, cut=False)` does.
    load : str, optional
        Only this load of the file.

    Raises
    ------
    DesignError
        There is no such load.

    Notes
    -----
    The gap is the same all round when level: `air.gap_by_run`, and the millimetre or two by which the tips of one run
    come down more than another's under a lighter load, are left out; their mean is in. Print `bounds.CAUTION` with
    every figure.
    """
    loads = tuple(_load_sits(skirt, index) for index in _asked(skirt, load))
    gaps = skirt.design.air.gap_by_run
    return Sits(loads, len({gaps.bow, gaps.side, gaps.stern}) > 1)


def rests_at(sits: LoadSits, centre: Floats, height: float | None = None) -> dict[Bound, Rest]:
    """Return where a load comes to rest with its centre of gravity elsewhere, (2,) or (k, 2) [m], by bound."""
    hover = sits.hover if height is None else _with_height(sits.hover, height)
    return {bound: rest(sits.line, hover, centre, bound, hull=sits.hull, most_tilt=MOST_TILT) for bound in BOUNDS}


def moved_centre(sits: LoadSits, moves: Sequence[tuple[float, Floats]]) -> Floats:
    """Return the shift of the centre of gravity (3,) [m] when masses [kg] go by (3,) [m] each."""
    shift = np.zeros(3)
    for mass, way in moves:
        shift = shift + mass * np.asarray(way) / sits.mass
    return shift


def outline_of(skirt: Skirt) -> Floats:
    """Return the hull edge in plan as a convex outline (m, 2) [m], counter-clockwise: where ballast can go."""
    from scipy.spatial import ConvexHull

    half = path_points(skirt.plan.hull_edge, 1e-3)
    points = np.vstack([half, half * np.array([1.0, -1.0])])
    return frozen_array(points[ConvexHull(points).vertices])


def _asked(skirt: Skirt, load: str | None) -> list[int]:
    names = [entry.name for entry in skirt.design.craft.load]
    if load is None:
        return list(range(len(names)))
    if load not in names:
        would_do = f"One of {', '.join(repr(name) for name in names)}."
        raise DesignError([Problem("--load", load, "The file has no such load.", would_do)])
    return [names.index(load)]


def _load_sits(skirt: Skirt, index: int) -> LoadSits:
    told = skirt.design.craft.load[index]
    line, hover, hull = tips_of(skirt, index), hover_load(skirt, index), hull_points(skirt, index)
    centre = np.array([told.x, told.y])
    balance, outline = skirt.design.balance, outline_of(skirt)
    return LoadSits(
        name=told.name,
        index=index,
        flies=flies(skirt, index),
        line=line,
        hover=hover,
        centre=frozen_array(centre),
        hull=hull,
        rests=Lazily(BOUNDS, lambda bound: rest(line, hover, centre, bound, hull=hull, most_tilt=MOST_TILT)),
        curves={side: _curves(line, hover, side, hull) for side in CURVE_SIDES},
        slack=_with_slack_diaphragm(skirt, index, line, hover, hull),
        ballast=ballast_place(told.mass, centre, line.centre, balance.ballast, outline),
        movable=tuple(
            level_move(told.mass, centre, line.centre, thing.mass, [thing.x, thing.y], outline)
            for thing in balance.movable
        ),
    )


def _curves(line: TipLine, hover: HoverLoad, side: Side, hull: Floats) -> Mapping[Bound, RestoringCurve]:
    return Lazily(BOUNDS, lambda bound: restoring_curve(line, hover, side, bound, angles=ANGLES, hull=hull))


def _with_slack_diaphragm(
    skirt: Skirt, index: int, line: TipLine, hover: HoverLoad, hull: Floats
) -> Mapping[Bound, RestoringCurve]:
    bare = tips_of(skirt, index, diaphragm=False)
    if not (line.stiffness > bare.stiffness).any():
        return {}
    return _curves(bare, hover, "starboard", hull)


def _with_height(hover: HoverLoad, height: float) -> HoverLoad:
    return replace(hover, height=height)
