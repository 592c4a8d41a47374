"""Mass of the skirt part by part, from its list of pieces and what holds them together."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from skirtloft.physics.stated import DERIVED, MEMORY, OURS, TRADE, Stated

# (name, kind, cloth, quantity on the whole craft, area of one [m2], mass of one [kg])
PieceLine = tuple[str, str, str, int, float, float]

MASS_DEFAULTS: dict[str, Stated] = {
    "thread_per_seam": Stated(3.0, "Metres of thread per metre of one row of lockstitch, both threads.", TRADE),
    "thread_tex": Stated(90.0, "Thread of the middle size [g/km].", TRADE),
    "rows": Stated(2.0, "Rows of stitches in a seam.", TRADE),
    "glue": Stated(0.20, "kg of dry glue per m2 of lap, both sides.", MEMORY),
    "bolt": Stated(0.0065, "kg of an M5 bolt 16 mm long with nut and two washers.", MEMORY),
    "strip": Stated(0.162, "kg/m of aluminium strip 20 x 3 mm at 2700 kg/m3.", f"{DERIVED}; size: {OURS}"),
    "tie": Stated(0.003, "kg of one tie at an inner fixing.", MEMORY),
}


@dataclass(frozen=True)
class Extra:
    """What is no cloth: thread, glue, bolts, strips, ties.

    Parameters
    ----------
    part : str
    amount : float
    unit : str
        Of the amount: "m", "m2", "pieces".
    mass_each : float [kg per unit]
    source : str
    """

    part: str
    amount: float
    unit: str
    mass_each: float
    source: str


def usual_extras(
    *, seam_length: float, lap_area: float, bolts: int, strip_length: float, ties: int
) -> tuple[Extra, ...]:
    """Return the extras at their default masses; replace any line by your own.

    Parameters
    ----------
    seam_length : float [m]
        Of all sewn seams.
    lap_area : float [m2]
        Of all glued laps; 0 if nothing is glued.
    bolts, ties : int
    strip_length : float [m]
        Of hull-edge and joint strips together.
    """
    d = MASS_DEFAULTS
    thread = d["rows"].value * d["thread_per_seam"].value * d["thread_tex"].value * 1e-6
    return (
        Extra("thread", seam_length, "m", thread, d["thread_per_seam"].source),
        Extra("glue", lap_area, "m2", d["glue"].value, d["glue"].source),
        Extra("bolts", float(bolts), "pieces", d["bolt"].value, d["bolt"].source),
        Extra("strips", strip_length, "m", d["strip"].value, d["strip"].source),
        Extra("ties", float(ties), "pieces", d["tie"].value, d["tie"].source),
    )


@dataclass(frozen=True)
class MassLine:
    """One part of the skirt.

    Parameters
    ----------
    part : str
    cloth : str  "" for what is no cloth
    amount : float
    unit : str
    area : float [m2]  of cloth
    mass : float [kg]
    share : float  of the whole skirt
    source : str
    """

    part: str
    cloth: str
    amount: float
    unit: str
    area: float
    mass: float
    share: float
    source: str


@dataclass(frozen=True)
class SkirtMass:
    """The table and its sums.

    Parameters
    ----------
    lines : cloth by part in the order of the pieces, then extras
    cloth_mass, extra_mass, mass : float [kg]
    cloth_area : float [m2]
    share_of_craft : float  nan where the craft's mass is not told
    """

    lines: tuple[MassLine, ...]
    cloth_mass: float
    extra_mass: float
    mass: float
    cloth_area: float
    share_of_craft: float


def skirt_mass(pieces: Iterable[PieceLine], extras: Iterable[Extra] = (), craft_mass: float | None = None) -> SkirtMass:
    """Return the mass of the skirt by part.

    Parameters
    ----------
    pieces : (name, kind, cloth, quantity, area of one [m2], mass of one [kg])
        Pieces of one kind and cloth make one line.
    extras : Extra
    craft_mass : float [kg], optional

    Raises
    ------
    ValueError
        A quantity, an area or a mass is negative.
    """
    sums: dict[tuple[str, str], list[float]] = {}
    for name, kind, cloth, quantity, area, mass in pieces:
        if min(quantity, area, mass) < 0:
            raise ValueError(f"{name}: quantity, area and mass must not be negative")
        row = sums.setdefault((kind, cloth), [0.0, 0.0, 0.0])
        for place, value in enumerate((quantity, quantity * area, quantity * mass)):
            row[place] += value
    rows = [(kind, cloth, n, "pieces", area, mass, "cut pieces") for (kind, cloth), (n, area, mass) in sums.items()]
    cloth_mass, cloth_area = sum(row[5] for row in rows), sum(row[4] for row in rows)
    for extra in extras:
        if min(extra.amount, extra.mass_each) < 0:
            raise ValueError(f"{extra.part}: amount and mass must not be negative")
        rows.append((extra.part, "", extra.amount, extra.unit, 0.0, extra.amount * extra.mass_each, extra.source))
    whole = sum(row[5] for row in rows)
    lines = tuple(
        MassLine(part, cloth, amount, unit, area, mass, mass / whole if whole > 0.0 else 0.0, source)
        for part, cloth, amount, unit, area, mass, source in rows
    )
    share = float("nan") if craft_mass is None else whole / craft_mass
    return SkirtMass(lines, cloth_mass, whole - cloth_mass, whole, cloth_area, share)
