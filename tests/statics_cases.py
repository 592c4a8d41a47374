"""Random sections that can be, for tests and benchmarks of section statics."""

from __future__ import annotations

import numpy as np

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.segment_cloth import segment_cloth
from skirtloft.physics.segment_shape import inboard_by_tip_angle, segment_shape
from skirtloft.physics.statics import solve_statics
from skirtloft.physics.statics_types import LoopCloth, SectionStatics, SegmentCloth, SegmentShape

ALLOWANCES = {"seam": 0.025, "hem": 0.015, "tip_trim": 0.015, "joint": 0.025}


def random_given(count: int, seed: int) -> dict[str, Floats]:
    """Return random depths, face angles ... of `count` sections such as light craft have, corners among them."""
    rng = np.random.default_rng(seed)
    depth = rng.uniform(0.15, 0.40, count)
    face, tip = np.radians(rng.uniform(38.0, 62.0, count)), np.radians(rng.uniform(80.0, 98.0, count))
    drop = depth * rng.uniform(0.0, 0.25, count)
    return {
        "depth": depth,
        "face_angle": face,
        "drop": drop,
        "inboard": inboard_by_tip_angle(depth, face, tip, drop),
        "pitch": depth * rng.uniform(0.35, 0.65, count),
        "radius": np.where(rng.random(count) < 0.5, np.inf, depth * rng.uniform(2.5, 8.0, count)),
        "offset": depth * rng.uniform(-0.3, 0.8, count),
        "rise": depth * rng.uniform(0.6, 1.5, count),
        "pressure": rng.uniform(300.0, 900.0, count),
        "segment_mass": rng.uniform(0.2, 0.5, count),
        "loop_mass": rng.uniform(0.2, 0.4, count),
    }


def shape_of(given: dict[str, Floats]) -> SegmentShape:
    """Return the segments of `random_given`."""
    keys = ("inboard", "drop", "radius")
    return segment_shape(given["depth"], given["face_angle"], given["pitch"], **{key: given[key] for key in keys})


def cloths_of(given: dict[str, Floats], shape: SegmentShape) -> tuple[SegmentCloth, LoopCloth]:
    """Return cloth of the segments and of the loops of `random_given`."""
    segment = segment_cloth(shape, areal_mass=given["segment_mass"], **ALLOWANCES)
    return segment, LoopCloth(frozen_array(given["loop_mass"]), frozen_array(0.025))


def random_sections(count: int, seed: int, *, weighed: bool = True) -> SectionStatics:
    """Return random sections in equilibrium."""
    given = random_given(count, seed)
    shape = shape_of(given)
    segment, loop = cloths_of(given, shape) if weighed else (None, None)
    return solve_statics(shape, given["offset"], given["rise"], given["pressure"], segment=segment, loop=loop)
