"""What pulls on cloth, seams and bolt holes, against what they hold.

Static stress never sizes a light skirt: the loop pulls some 100 N/m on cloth that holds 20 to 70 kN/m. Tear, abrasion,
holes near an edge and flogging wear it out. So the factors here say what is *not* the problem, and the weight of the
cloth comes from the band of `cloth_band`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.stated import MEMORY, OURS, TRADE, Stated

STATIC_NOTE = (
    "Static stress never sizes a light skirt: these factors only rule it out. Tear, abrasion, seam holes and flogging "
    "decide; choose the cloth by its weight band."
)

LOAD_DEFAULTS: dict[str, Stated] = {
    "shock": Stated(3.0, "Pressure of a slap over that of hover; no published factor was found.", TRADE),
    "tensile": Stated(20e3, "N/m; lightest coated cloth of the range 20 to 70 kN/m.", MEMORY),
    "tear": Stated(100.0, "N; low end of light coated nylon.", f"{MEMORY}, low confidence"),
    "seam_efficiency": Stated(0.6, "Low end of 60 to 85 % for a sewn seam, of the cloth.", MEMORY),
    "shear_share": Stated(0.3, "Cloth held along each line of tear-out over its tensile strength; try a strip.", OURS),
}


@dataclass(frozen=True)
class ClothStrength:
    """Strength of a kind of coated cloth.

    Parameters
    ----------
    name : str
    areal_mass : (low, high) [kg/m2]
        nan where not told.
    tensile : (low, high) [N/m]
    tear : (low, high) [N]
        nan where not told.
    source : str
    """

    name: str
    areal_mass: tuple[float, float]
    tensile: tuple[float, float]
    tear: tuple[float, float]
    source: str


_NOT_TOLD = (float("nan"), float("nan"))

CLOTH_STRENGTHS: tuple[ClothStrength, ...] = (
    ClothStrength("neoprene nylon", (0.35, 0.50), (30e3, 50e3), (100.0, 250.0), f"{MEMORY}, low confidence"),
    ClothStrength(
        "PVC polyester under 0.4 mm", _NOT_TOLD, (24e3, 24e3), _NOT_TOLD, "a vendor's 1200 N, strip taken as 50 mm wide"
    ),
    ClothStrength(
        "PVC polyester 0.6 mm", _NOT_TOLD, (44e3, 50e3), _NOT_TOLD, "a vendor's 2200-2500 N, strip taken as 50 mm wide"
    ),
    ClothStrength("PVC polyester type I", (0.75, 0.75), (60e3, 60e3), (300.0, 300.0), MEMORY),
    ClothStrength("inflatable-boat fabric", _NOT_TOLD, (70e3, 70e3), _NOT_TOLD, "ISO 15372: at least 3.5 kN/50 mm"),
)


@dataclass(frozen=True, eq=False)
class ClothLoads:
    """Pulls per load case and section, (k, n) each.

    Parameters
    ----------
    loop : [N/m]  T = p R around the loop; also at the hull edge, at the joint seam and, as a bound, across loop seams
    hoop : [N/m]  p w/2 round the face of a segment; also on the seam of face to web
    hull_hole, joint_hole : [N]  on one bolt of the hull edge and of the joint: T times the pitch of the holes
    diaphragm : [N/m]  as given, scaled with the pressure
    diaphragm_hole : [N]
    """

    loop: Floats
    hoop: Floats
    hull_hole: Floats
    joint_hole: Floats
    diaphragm: Floats
    diaphragm_hole: Floats


def cloth_loads(
    pressure: npt.ArrayLike,
    loop_radius: npt.ArrayLike,
    pitch: npt.ArrayLike,
    hole_pitch: npt.ArrayLike,
    *,
    joint_hole_pitch: npt.ArrayLike | None = None,
    diaphragm_pull: npt.ArrayLike = 0.0,
) -> ClothLoads:
    """Return the static pulls in every load case and section.

    Parameters
    ----------
    pressure : (k,) [Pa]
        Cushion pressure of each load.
    loop_radius : (n,) or (k, n) [m]
    pitch : (n,) or one [m]
        Of the webs.
    hole_pitch : float [m]
        Of the bolts in the hull edge; of those in the joint too, if `joint_hole_pitch` is not given.
    diaphragm_pull : (n,) or one, over the pressure [m]
        T_d/p.

    Notes
    -----
    T = p R; a half-round face of pitch w has hoop p w/2. Higher up the face is flatter across, and there the pull goes
    down the face. Bolts share a straight run evenly.

    References
    ----------
    Young and Laplace.

    Examples
    --------
    >>> loads = cloth_loads([612.9], [0.15], 0.15, 0.06)
    >>> round(float(loads.loop[0, 0]), 1), round(float(loads.hoop[0, 0]), 1), round(float(loads.hull_hole[0, 0]), 2)
    (91.9, 46.0, 5.52)
    """
    p = np.asarray(pressure, dtype=np.float64)[..., None]
    radius = np.asarray(loop_radius, dtype=np.float64)
    loop = p * radius
    hoop = np.broadcast_to(p * np.asarray(pitch, dtype=np.float64) / 2.0, loop.shape)
    held = np.broadcast_to(p * np.asarray(diaphragm_pull, dtype=np.float64), loop.shape)
    at_hull = np.asarray(hole_pitch, dtype=np.float64)
    at_joint = at_hull if joint_hole_pitch is None else np.asarray(joint_hole_pitch, dtype=np.float64)
    values = (loop, hoop, loop * at_hull, loop * at_joint, held, held * at_joint)
    return ClothLoads(*(frozen_array(value) for value in values))


@dataclass(frozen=True, eq=False)
class HoleStrength:
    """What one bolt hole in cloth holds, (...) [N]; an estimate to be tried on a strip.

    Parameters
    ----------
    bearing : hole diameter times tensile strength times layers
    tear_out : two lines from the hole to the edge, each with a share of the tensile strength
    net : cloth left between two holes at full tensile strength
    tear : tear strength times layers: what holds once a tear has begun
    least : of the first three
    """

    bearing: Floats
    tear_out: Floats
    net: Floats
    tear: Floats
    least: Floats


def hole_strength(
    diameter: npt.ArrayLike,
    hole_pitch: npt.ArrayLike,
    edge: npt.ArrayLike,
    *,
    tensile: npt.ArrayLike = LOAD_DEFAULTS["tensile"].value,
    tear: npt.ArrayLike = LOAD_DEFAULTS["tear"].value,
    layers: npt.ArrayLike = 1,
    shear_share: npt.ArrayLike = LOAD_DEFAULTS["shear_share"].value,
) -> HoleStrength:
    """Return what a bolt hole holds without clamping: a washer or a strip holds more.

    Parameters
    ----------
    diameter, hole_pitch : (...) [m]
    edge : (...) [m]
        From the hole's centre to the cut edge.
    tensile : (...) [N/m]
    tear : (...) [N]
    layers : (...)
        Of cloth that the bolt passes.
    shear_share : (...)
        Strength along a line of tear-out over tensile strength; assumed.

    Notes
    -----
    bearing d S n; tear-out 2 (e - d/2) k S n; net (P - d) S n. Friction under the strip is left out.

    References
    ----------
    The three ways a bolted sheet fails, taken over to cloth; derived, not tested.
    """
    d, gap, e, strength, n = np.broadcast_arrays(diameter, hole_pitch, edge, tensile, layers)
    bearing = d * strength * n
    tear_out = 2.0 * np.maximum(e - d / 2.0, 0.0) * np.asarray(shear_share) * strength * n
    net = np.maximum(gap - d, 0.0) * strength * n
    once_torn = np.broadcast_to(np.asarray(tear) * np.asarray(layers), np.shape(bearing))
    least = np.minimum(np.minimum(bearing, tear_out), net)
    return HoleStrength(*(frozen_array(value) for value in (bearing, tear_out, net, once_torn, least)))


@dataclass(frozen=True, eq=False)
class LoadFactor:
    """One line of the table: pull against strength.

    Parameters
    ----------
    name : str
    unit : "N/m" or "N"
    load : (k, n)  static
    strength : (...)  broadcast against it
    static, shocked : (k, n)  strength over load, without and with the shock factor; inf where nothing pulls
    """

    name: str
    unit: Literal["N/m", "N"]
    load: Floats
    strength: Floats
    static: Floats
    shocked: Floats


def load_factors(
    loads: ClothLoads,
    hole: HoleStrength,
    *,
    tensile: npt.ArrayLike = LOAD_DEFAULTS["tensile"].value,
    seam: npt.ArrayLike | None = None,
    shock: npt.ArrayLike = LOAD_DEFAULTS["shock"].value,
) -> tuple[LoadFactor, ...]:
    """Return the factors of cloth, seams and holes in every load case and section.

    Parameters
    ----------
    tensile : [N/m]
        Of the cloth.
    seam : [N/m], optional
        Of a seam, from `sewn_seam_strength`; the cloth's own strength limits it. Without it: 0.6 of the cloth.
    shock : [-]
        On every load.
    """
    cloth = np.asarray(tensile, dtype=np.float64)
    guess = LOAD_DEFAULTS["seam_efficiency"].value * cloth
    sewn = guess if seam is None else np.minimum(np.asarray(seam, dtype=np.float64), cloth)
    rows: tuple[tuple[str, Literal["N/m", "N"], Floats, npt.ArrayLike], ...] = (
        ("loop cloth", "N/m", loads.loop, cloth),
        ("face cloth", "N/m", loads.hoop, cloth),
        ("diaphragm cloth", "N/m", loads.diaphragm, cloth),
        ("loop seams and joint", "N/m", loads.loop, sewn),
        ("face to web seam", "N/m", loads.hoop, sewn),
        ("hull-edge hole", "N", loads.hull_hole, hole.least),
        ("joint hole", "N", loads.joint_hole, hole.least),
        ("diaphragm hole", "N", loads.diaphragm_hole, hole.least),
    )
    return tuple(_factor(name, unit, load, strength, shock) for name, unit, load, strength in rows)


def _factor(
    name: str, unit: Literal["N/m", "N"], load: Floats, strength: npt.ArrayLike, shock: npt.ArrayLike
) -> LoadFactor:
    pulls = load > 0.0
    ratio = np.where(pulls, np.asarray(strength) / np.where(pulls, load, 1.0), np.inf)
    shocked = ratio / np.asarray(shock, dtype=np.float64)
    return LoadFactor(name, unit, load, frozen_array(strength), frozen_array(ratio), frozen_array(shocked))


@dataclass(frozen=True)
class ClothBand:
    """Weight of segment cloth usual for a craft.

    Parameters
    ----------
    seats : int  most seats of the band
    mass : float [kg]  most full load of the band
    low, high : float [kg/m2]
    """

    seats: int
    mass: float
    low: float
    high: float


# Seats and weights: common practice, no source (from memory). Masses: our own choice, half way between the usual full
# loads of neighbouring seat counts.
CLOTH_BANDS: tuple[ClothBand, ...] = (
    ClothBand(2, 425.0, 0.200, 0.350),
    ClothBand(4, 750.0, 0.300, 0.450),
    ClothBand(8, 1375.0, 0.450, 0.700),
    ClothBand(12, 2500.0, 0.600, 1.000),
)


def cloth_band(
    *, seats: int | None = None, mass: float | None = None, bands: tuple[ClothBand, ...] = CLOTH_BANDS
) -> ClothBand:
    """Return the band of a craft by seats, by mass [kg], or the heavier of both; beyond the last, the last.

    Raises
    ------
    ValueError
        Neither seats nor mass is given.
    """
    if seats is None and mass is None:
        raise ValueError("seats or mass is needed")
    last = len(bands) - 1
    by_seats = next((i for i, band in enumerate(bands) if seats is None or seats <= band.seats), last)
    by_mass = next((i for i, band in enumerate(bands) if mass is None or mass <= band.mass), last)
    return bands[max(by_seats, by_mass)]


def cloth_verdict(
    areal_mass: float,
    band: ClothBand,
    part: Literal["segment", "loop"],
    bands: tuple[ClothBand, ...] = CLOTH_BANDS,
) -> tuple[Literal["light", "usual", "heavy"], float, float]:
    """Return whether a cloth [kg/m2] is usual, and the ends of what is [kg/m2].

    Notes
    -----
    A loop may be one grade lighter than the segments: its range begins where the next lighter band does.
    Common practice, no source.
    """
    place = bands.index(band)
    low = bands[max(place - 1, 0)].low if part == "loop" else band.low
    if areal_mass < low:
        return "light", low, band.high
    return ("heavy" if areal_mass > band.high else "usual"), low, band.high
