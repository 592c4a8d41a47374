"""What pulls on the cloth, seams and bolt holes of a design, and whether its cloth has the usual weight."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

from skirtloft.maths.frozen import Floats
from skirtloft.physics.cloth_loads import ClothBand, ClothLoads, cloth_band, cloth_loads, cloth_verdict, hole_strength
from skirtloft.physics.sewing import sewn_seam_strength
from skirtloft.physics.statics_types import SectionStatics, TurnedSections
from skirtloft.physics.types import Cushion
from skirtloft.service.diaphragm import DiaphragmResult
from skirtloft.shape.types import Plan

if TYPE_CHECKING:
    from skirtloft.design.model import Cloth, Design


@dataclass(frozen=True)
class Pull:
    """The largest pull on one thing over all loads and stations, against what holds it.

    Parameters
    ----------
    name : str
    kind : "cloth", "seam", "hole" or "tear"
    unit : "N/m" or "N"
    load : float  static pull
    case, where, run : str  load, station and run of it
    strength : float or None  None where the file does not state it
    shock : float  factor on the pull
    source : str  where the strength comes from
    """

    name: str
    kind: Literal["cloth", "seam", "hole", "tear"]
    unit: Literal["N/m", "N"]
    load: float
    case: str
    where: str
    run: str
    strength: float | None
    shock: float
    source: str

    @property
    def needed(self) -> float:
        """Strength at which a shock is just held."""
        return self.load * self.shock

    @property
    def static_factor(self) -> float | None:
        """Strength over pull; None where the strength is not stated, inf where nothing pulls."""
        if self.strength is None:
            return None
        return self.strength / self.load if self.load > 0.0 else float("inf")

    @property
    def shock_factor(self) -> float | None:
        """Strength over pull in a shock; None as above."""
        return None if self.static_factor is None else self.static_factor / self.shock


@dataclass(frozen=True)
class ClothWeight:
    """Whether a cloth has the weight that is usual for the craft; [kg/m2]."""

    part: Literal["segment", "loop"]
    mass: float
    low: float
    high: float
    verdict: Literal["light", "usual", "heavy"]


@dataclass(frozen=True, eq=False)
class ClothInUse:
    """Pulls and weights of the cloth of a design.

    Parameters
    ----------
    loads : ClothLoads (k, n)
    pulls : tuple of Pull
    band : ClothBand
    by_seats : bool  the band is that of the seats, else that of the heaviest load
    weights : tuple of ClothWeight
    """

    loads: ClothLoads
    pulls: tuple[Pull, ...]
    band: ClothBand
    by_seats: bool
    weights: tuple[ClothWeight, ...]


def cloth_in_use(
    design: Design,
    plan: Plan,
    cushions: tuple[Cushion, ...],
    statics: SectionStatics,
    rests: TurnedSections,
    diaphragm: DiaphragmResult | None,
) -> ClothInUse:
    """Return pulls in every load case and the usual weight of cloth.

    Notes
    -----
    Under every load the loop has the radius at which it comes to rest; where it comes to rest nowhere, that of the
    design case. A seam takes what the thread holds, or its cloth if that is less.
    """
    pressures = np.array([cushion.pressure for cushion in cushions])
    radius = np.where(np.isnan(rests.radius), statics.radius, rests.radius)
    held: Floats = np.zeros(len(plan.stations.ids))
    if diaphragm is not None and diaphragm.is_there.any():
        held = np.where(diaphragm.is_there, np.nan_to_num(diaphragm.sized.tension), 0.0) / statics.pressure
    loads = cloth_loads(pressures, radius, statics.shape.pitch, design.making.hole_pitch, diaphragm_pull=held)
    seats, heaviest = design.craft.seats, max(cushion.mass for cushion in cushions)
    band = cloth_band(seats=seats) if seats is not None else cloth_band(mass=heaviest)
    return ClothInUse(
        loads=loads,
        pulls=_pulls(design, plan, cushions, loads),
        band=band,
        by_seats=seats is not None,
        weights=tuple(_weight(part, getattr(design.cloth, part).mass, band) for part in ("segment", "loop")),
    )


def _weight(part: Literal["segment", "loop"], mass: float, band: ClothBand) -> ClothWeight:
    verdict, low, high = cloth_verdict(mass, band, part)
    return ClothWeight(part, mass, low, high, verdict)


def seam_strength(design: Design, cloth: Cloth) -> float | None:
    """Return what a sewn seam of a cloth holds [N/m]; None where the thread is not stated or nothing is sewn."""
    making = design.making
    if making.thread_strength is None or not making.is_sewn:
        return None
    sewn = float(
        sewn_seam_strength(1.0 / making.stitch_length, making.thread_strength, making.stitch, rows=making.rows)
    )
    return sewn if cloth.strength is None else min(sewn, cloth.strength)


def _hole(design: Design, cloth: Cloth) -> float | None:
    """Return what one bolt hole holds in one layer of cloth [N]; None where the cloth's strength is not stated."""
    if cloth.strength is None:
        return None
    making = design.making
    return float(hole_strength(making.hole, making.hole_pitch, making.hole_edge, tensile=cloth.strength).least)


def _pulls(design: Design, plan: Plan, cushions: tuple[Cushion, ...], loads: ClothLoads) -> tuple[Pull, ...]:
    loop, segment = design.cloth.loop, design.cloth.segment
    told, stitched = "the design file", "stitches times thread times a factor of apparel practice; the file's thread"
    bolted = "bearing, tear-out or net cloth of one layer, from the file's strength; derived, try a strip"
    hole_of_joint = [value for value in (_hole(design, loop), _hole(design, segment)) if value is not None]
    joint_hole = min(hole_of_joint) if len(hole_of_joint) == 2 else None
    rows: tuple[
        tuple[str, Literal["cloth", "seam", "hole", "tear"], Literal["N/m", "N"], Floats, float | None, str], ...
    ]
    rows = (
        ("loop cloth", "cloth", "N/m", loads.loop, loop.strength, told),
        ("face cloth", "cloth", "N/m", loads.hoop, segment.strength, told),
        ("diaphragm cloth", "cloth", "N/m", loads.diaphragm, None, told),
        ("loop seams and joint", "seam", "N/m", loads.loop, seam_strength(design, loop), stitched),
        ("face to web seam", "seam", "N/m", loads.hoop, seam_strength(design, segment), stitched),
        ("hull-edge hole", "hole", "N", loads.hull_hole, _hole(design, loop), bolted),
        ("joint hole", "hole", "N", loads.joint_hole, joint_hole, bolted),
        ("diaphragm hole", "hole", "N", loads.diaphragm_hole, None, bolted),
        ("hull-edge hole, once torn", "tear", "N", loads.hull_hole, loop.tear, told),
        ("joint hole, once torn", "tear", "N", loads.joint_hole, _least(loop.tear, segment.tear), told),
    )
    return tuple(_pull(design, plan, cushions, row) for row in rows if row[3].any())


def _least(first: float | None, second: float | None) -> float | None:
    return None if first is None or second is None else min(first, second)


def _pull(
    design: Design,
    plan: Plan,
    cushions: tuple[Cushion, ...],
    row: tuple[str, Literal["cloth", "seam", "hole", "tear"], Literal["N/m", "N"], Floats, float | None, str],
) -> Pull:
    name, kind, unit, load, strength, source = row
    k, i = np.unravel_index(int(np.nanargmax(load)), load.shape)
    stations = plan.stations
    return Pull(
        name=name,
        kind=kind,
        unit=unit,
        load=float(load[k, i]),
        case=cushions[k].name,
        where=stations.ids[i],
        run=stations.runs[i],
        strength=strength,
        shock=design.making.shock,
        source=source if strength is not None else "not stated",
    )
