"""Mass of the skirt by part, from the pieces as cut and what holds them, with the centre of every part."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from skirtloft.maths.frozen import Floats
from skirtloft.physics.skirt_mass import MASS_DEFAULTS, Extra, SkirtMass, skirt_mass
from skirtloft.physics.statics_types import SectionStatics
from skirtloft.pieces.seams import hem_allowance
from skirtloft.pieces.types import CutPiece
from skirtloft.service.diaphragm import DiaphragmResult
from skirtloft.shape.hull_lines import along_hull_edge
from skirtloft.shape.types import Plan

if TYPE_CHECKING:
    from skirtloft.design.model import Design


@dataclass(frozen=True)
class PartMass:
    """One part of the skirt: its mass [kg] and its centre [m], x forward of the stern, z above the tip plane."""

    part: str
    mass: float
    x: float
    z: float


@dataclass(frozen=True, eq=False)
class SkirtWeight:
    """Mass of the skirt.

    Parameters
    ----------
    table : SkirtMass  line by line, as cut and as counted
    parts : tuple of PartMass  loop, segments, strips, diaphragm, fixings
    x, z : float [m]  centre of the whole, y is 0
    pieces_mass : float [kg]  sum of the cut pieces
    """

    table: SkirtMass
    parts: tuple[PartMass, ...]
    x: float
    z: float
    pieces_mass: float


PARTS = {
    "loop_panel": "loop",
    "face": "segments",
    "web": "segments",
    "joint_strip": "strips",
    "wear_panel": "segments",
    "patch": "segments",
    "back": "segments",
    "spray_flap": "segments",
    "hull_band": "strips",
    "drain_flap": "loop",
    "loop_tie": "loop",
    "cover_tape": "loop",
    "binding": "segments",
    "diaphragm": "diaphragm",
    "thread": "fixings",
    "glue": "fixings",
    "bolts": "fixings",
    "strips": "fixings",
    "ties": "fixings",
}


def skirt_weight(
    design: Design,
    plan: Plan,
    statics: SectionStatics,
    pieces: Sequence[CutPiece],
    diaphragm: DiaphragmResult | None,
) -> SkirtWeight:
    """Return the mass of the skirt by part with its centres.

    Notes
    -----
    Masses are those of the pieces as cut; every part's centre is that of its shape along the port stations, by metre
    of joint. Thread and glue are taken to lie with the segments.
    """
    lines = [(p.base, p.kind, p.cloth, p.quantity, p.area, p.mass) for p in pieces]
    extras = _extras(design, plan, pieces, diaphragm)
    table = skirt_mass(lines, extras, max(load.mass for load in design.craft.load))
    wanted = design.skirt.diaphragm
    centres = _centres(plan, statics, diaphragm, 0.0 if wanted is None else wanted.cloth)
    masses: dict[str, float] = {}
    moments: dict[str, Floats] = {}
    for line in table.lines:
        part = PARTS[line.part]
        masses[part] = masses.get(part, 0.0) + line.mass
        moments[part] = moments.get(part, np.zeros(2)) + line.mass * centres[line.part]
    parts = tuple(
        PartMass(part, mass, *(moments[part] / mass if mass > 0.0 else np.full(2, np.nan)).tolist())
        for part, mass in masses.items()
    )
    centre = sum(moments.values(), np.zeros(2)) / table.mass
    return SkirtWeight(table, parts, float(centre[0]), float(centre[1]), sum(p.mass * p.quantity for p in pieces))


def _extras(
    design: Design, plan: Plan, pieces: Sequence[CutPiece], diaphragm: DiaphragmResult | None
) -> tuple[Extra, ...]:
    making, fittings = design.making, design.making.fittings
    lengths = {"seam": 0.0, "hem": 0.0}
    for piece in pieces:
        for side in piece.edges:
            if side.kind in lengths:
                lengths[side.kind] += side.length * piece.quantity
    seams = lengths["seam"] / 2.0
    edge = 2.0 * float(along_hull_edge(plan, plan.stations.hull_at)[-1])
    joint = sum(p.joint_length * p.quantity for p in pieces if p.kind == "loop_panel")
    bolts = round(edge / making.hole_pitch) + sum(len(p.holes) * p.quantity for p in pieces if p.kind == "face")
    ties = sum(p.quantity for p in pieces if p.kind == "web")
    rows = MASS_DEFAULTS["thread_per_seam"].value * (
        making.sewn_rows * seams + min(making.sewn_rows, 1) * lengths["hem"]
    )
    glued = (seams * making.seam + lengths["hem"] * hem_allowance(making)) if making.is_glued else 0.0
    told = "making.fittings"
    found = [
        Extra("thread", rows, "m", fittings.thread, told),
        Extra("glue", glued, "m2", fittings.glue, told),
        Extra("bolts", float(bolts), "pieces", fittings.bolt, told),
        Extra("strips", edge + joint, "m", fittings.strip, told),
        Extra("ties", float(ties), "pieces", fittings.tie, told),
    ]
    in_pieces = any(p.kind == "diaphragm" for p in pieces)
    if diaphragm is not None and diaphragm.runs and design.skirt.diaphragm is not None and not in_pieces:
        cloth = design.skirt.diaphragm.cloth
        found.append(Extra("diaphragm", diaphragm.mass / cloth, "m2", cloth, "finished strips less vents"))
    return tuple(found)


def _centres(plan: Plan, statics: SectionStatics, diaphragm: DiaphragmResult | None, cloth: float) -> dict[str, Floats]:
    """Return x and z of the centre of each line of the table, (2,) [m]; `cloth` is the diaphragm's [kg/m2]."""
    stations, shape = plan.stations, statics.shape
    half = statics.angle / 2.0
    middle = (statics.start_angle + statics.end_angle) / 2.0
    reach = statics.radius * np.sinc(half / np.pi)  # centroid of an arc: R sin(h)/h from its centre
    loop = statics.centre + reach[:, None] * np.column_stack([np.cos(middle), np.sin(middle)])
    hung = np.zeros_like(half)
    if diaphragm is not None:
        hung = np.where(diaphragm.is_there, 0.5 * cloth * diaphragm.place.span, 0.0)
    segments = _segment_centre(statics, hung)
    points = {
        "loop_panel": (loop, statics.length),
        "face": (segments, np.ones_like(half)),
        "joint_strip": (shape.joint, np.ones_like(half)),
        "strips": ((shape.joint + statics.hull_edge) / 2.0, np.ones_like(half)),
        "ties": (shape.inner, np.ones_like(half)),
    }
    if diaphragm is not None and diaphragm.runs:
        there = diaphragm.is_there
        along = np.where(there[:, None], (shape.joint + diaphragm.sized.attachment) / 2.0, shape.joint)
        points["diaphragm"] = (along, np.where(there, diaphragm.sized.span, 0.0))
    found = {part: _along_joint(stations.at, stations.joint, stations.outward, *at) for part, at in points.items()}
    with_face = ("web", "thread", "glue", "wear_panel", "patch", "back", "spray_flap", "binding")
    found.update(dict.fromkeys(with_face, found["face"]), bolts=found["strips"], hull_band=found["strips"])
    found.update(dict.fromkeys(("drain_flap", "loop_tie", "cover_tape"), found["loop_panel"]))
    return found


def _segment_centre(statics: SectionStatics, hung: Floats) -> Floats:
    """Return the centre of the segments' own cloth, (n, 2) [m]; without weight, the middle of the web.

    `hung` (n,) [kg/m] of a diaphragm hangs at the joint and is in the moments, but not in the mass.
    """
    shape, cloth = statics.shape, statics.segment
    if not np.any(cloth.mass > 0.0):
        return np.asarray((shape.joint + shape.tip + shape.inner) / 3.0)
    moments = np.stack([cloth.moment, cloth.height_moment], axis=-1) - hung[:, None] * (shape.joint - shape.inner)
    return np.asarray(shape.inner + moments / cloth.mass[..., None])


def _along_joint(at: Floats, joint: Floats, outward: Floats, points: Floats, weight: Floats) -> Floats:
    """Return x and z of points (n, 2), x outboard of the joint, weighted per metre of the joint line."""
    x = joint[:, 0] + points[:, 0] * outward[:, 0]
    steps = np.diff(at)
    share = weight * (np.append(steps, 0.0) + np.append(0.0, steps)) / 2.0
    return np.asarray(np.array([share @ x, share @ points[:, 1]]) / share.sum())
