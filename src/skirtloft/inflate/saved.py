"""A saved inflation: what it belongs to, and what other chapters take from it."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from skirtloft.errors import ExportError
from skirtloft.maths.frozen import Floats, frozen_array

if TYPE_CHECKING:
    from skirtloft.design.model import Design

FORMAT = "skirtloft-inflated/1"
ENDING = ".inflated.json"  # beside the design: NAME.inflated.json
STALE = "was made before the design changed: not used. Inflate again."
UNSETTLED = "was stopped before it was at rest: not used. Inflate again and let it run to the end."
LEVELLED = "holds a skirt cut again (--level), not the one of this file: not used. Inflate without --level."
BARE = "leaves out strip and bolts (--bare): not used. Inflate without --bare."
PART = "holds no whole skirt: not used. Inflate again."
# Nothing of these moves the sewn skirt: papers, notions and limits.
APART = frozenset({
    "level", "hole", "hole_edge", "stitch", "stitch_length", "rows", "thread_strength", "glued", "shock", "spares",
    "paper", "printer_x", "printer_y", "drains", "loop_ties", "covers", "spray_flap",
})  # fmt: skip


@dataclass(frozen=True, eq=False)
class SegmentRows:
    """Of every segment of the port half, bow to stern, the mesh's own shift counted in; arrays (k,) [m].

    Parameters
    ----------
    runs : tuple of str
    at
        Along the joint line from the bow centre.
    joint, tip
        Rise of the joint, mean of the pitch; mean height of the tips over the drawn plane.
    """

    runs: tuple[str, ...]
    at: Floats
    joint: Floats
    tip: Floats


@dataclass(frozen=True)
class StationRow:
    """What to do at a station [m]: change of the loop, what to take off the tips (negative: leave on)."""

    id: str
    run: str
    joint_rise: float
    loop_length: float
    change_loop: float
    is_beyond: bool
    trim_tips: float


@dataclass(frozen=True)
class GroundRow:
    """How a run takes the ground: force per metre of joint and sink [N/m2], share of the sink that is a turn."""

    stiffness: float
    turned: float


@dataclass(frozen=True, eq=False)
class SavedInflation:
    """What a file of `inflate` says.

    Parameters
    ----------
    refusal : str
        Why it is not used, as the end of a sentence that starts with the file's name; "" where it is.
    is_level : bool
    tolerance, pressure : float [m], [Pa]
    segments : SegmentRows
    stations : tuple of StationRow
    ground : mapping of run to GroundRow
        Over the first ground step; empty where no ground was brought up.
    deviation : mapping of panel to float [m]
        How far each loop panel stands off the arcs of its length between hull edge and joint as they stand.
    findings : tuple of mapping
        As in the results.
    lines : mapping of str to sequence of (n, 2) [m]
        The shape from above: hull edge, drawn joint, joint, loop, tips.
    triangles : int
        Of the mesh.
    """

    refusal: str
    is_level: bool
    tolerance: float
    pressure: float
    segments: SegmentRows
    stations: tuple[StationRow, ...]
    ground: Mapping[str, GroundRow]
    deviation: Mapping[str, float]
    findings: tuple[Mapping[str, Any], ...]
    lines: Mapping[str, tuple[Floats, ...]] = field(default_factory=dict)
    triangles: int = 0

    @property
    def is_current(self) -> bool:
        """Whether it was computed from the design as it is now, whole, as cut, and came to rest."""
        return not self.refusal


def inflation_place(design: Path) -> Path:
    """Return where the inflation of a design file is kept: NAME.inflated.json beside it."""
    return design.with_name(f"{design.stem}{ENDING}")


def shape_digest(design: Design) -> str:
    """Return a digest of the parts of a design that the inflated skirt follows from.

    Hull, skirt, cloth, the first load's mass and what the pieces are made with; not the air, other loads, prices,
    paper, or limits.
    """
    told = {
        "mass": design.craft.load[0].mass,
        **{part: getattr(design, part).model_dump(mode="json") for part in ("hull", "skirt", "cloth")},
        "making": design.making.model_dump(mode="json", exclude=set(APART)),
    }
    return hashlib.sha256(json.dumps(told, sort_keys=True).encode()).hexdigest()


def saved_inflation(text: str, digest: str) -> SavedInflation:
    """Return what the text of a saved inflation says, for a design of this `shape_digest`.

    Raises
    ------
    ExportError
        The text is no saved inflation, or not all of one.
    """
    try:
        data: dict[str, Any] = json.loads(text)
        if data["format"] != FORMAT:
            raise KeyError("format")
        return SavedInflation(
            refusal=_refusal(data, digest),
            is_level=bool(data["level"]),
            tolerance=float(data["tolerance_m"]),
            pressure=float(data["pressure_pa"]),
            segments=SegmentRows(
                runs=tuple(row["run"] for row in data["segments"]),
                at=_column(data["segments"], "s_m"),
                joint=_column(data["segments"], "joint_rise_on_finer_mesh_m"),
                tip=_column(data["segments"], "tip_on_finer_mesh_m"),
            ),
            stations=tuple(_station(row) for row in data["stations"]),
            ground={
                row["run"]: GroundRow(float(row["n_per_m2"]), _number(row["turned_share"]))
                for row in data["ground_stiffness"]
            },
            deviation={row["id"]: float(row["off_its_arc_m"]) for row in data["panels"]},
            findings=tuple(data["findings"]),
            lines={name: tuple(frozen_array(line) for line in found) for name, found in data["from_above"].items()},
            triangles=int(data["solver"]["triangles"]),
        )
    except (ValueError, KeyError, TypeError, AttributeError) as error:
        raise ExportError(f"This is no saved inflation ({FORMAT}), or not a whole one: {error}.") from error


def _refusal(data: Mapping[str, Any], digest: str) -> str:
    if data["shape_sha256"] != digest:
        return STALE
    if not data["solver"]["settled"]:
        return UNSETTLED
    if data["whole"] is not True:
        return PART
    if data.get("bare", False):
        return BARE
    return LEVELLED if len(data["levelling"]) > 1 else ""


def _column(rows: list[dict[str, Any]], key: str) -> Floats:
    return frozen_array([_number(row[key]) for row in rows])


def _number(value: float | None) -> float:
    return float("nan") if value is None else float(value)


def _station(row: Mapping[str, Any]) -> StationRow:
    return StationRow(
        id=row["id"],
        run=row["run"],
        joint_rise=float(row["joint_rise_m"]),
        loop_length=float(row["loop_length_m"]),
        change_loop=float(row["change_loop_m"]),
        is_beyond=bool(row["beyond_tolerance"]),
        trim_tips=float(row["trim_tips_m"]),
    )
