"""Which keys of the design file a finding is about: where a builder turns when a rule warns."""

from __future__ import annotations

import re
from typing import Any

from skirtloft.checks.finding import Finding
from skirtloft.desk.edits import given

RUNS = ("bow", "side", "stern")
INSETS = ("skirt.RUN.tip_inside", "skirt.RUN.joint_inside")
FAN = ("air.fan.speed", "air.fan.diameter", "air.gap")

# A rule's name, or how it begins -> keys, the likeliest first. RUN stands for the runs that the finding names (all
# where it names none), LOAD for the load it names (the first where it names none). The longest beginning counts.
KEYS: dict[str, tuple[str, ...]] = {
    "clearance-to-width": ("hull.clearance",),
    "inner-fixing-on-planing-surface": ("skirt.depth", "hull.clearance"),
    "inner-fixing-far-enough": ("skirt.inner.inboard", "skirt.inner.drop", "skirt.tip_angle", "skirt.depth"),
    "inner-fixing-on-line": ("hull.fixing.RUN.inboard", "hull.fixing.RUN.height"),
    "flat-bottom-inside-fixings": ("hull.bottom.RUN", "skirt.depth"),
    "corner-webs-shortened": ("skirt.corner.bow", "skirt.corner.side", "skirt.corner.stern", "skirt.inner.tight"),
    "tip-angle": ("skirt.tip_angle", "skirt.inner.inboard"),
    "face-angle": ("skirt.face_angle",),
    "diaphragm-": ("skirt.diaphragm.margin",),
    "diaphragm-place": ("skirt.diaphragm.RUN.height", "skirt.diaphragm.RUN.inboard"),
    "diaphragm-clear-of-webs": ("skirt.diaphragm.RUN.inboard",),
    "diaphragm-vents": ("skirt.diaphragm.vent_diameter", "skirt.diaphragm.vents_per_pitch"),
    "stiff-for-wet-cloth": ("skirt.depth", "cloth.segment.mass"),
    "force-line-margin": ("skirt.inner.inboard", "skirt.tip_angle", "skirt.depth"),
    "upper-edge-margin": ("skirt.depth", "hull.edge[0].height"),
    "bow-taut-limit": ("skirt.bow.joint_inside", "skirt.bow.tip_inside", "hull.edge[0].height"),
    "rests-under-every-load": ("skirt.depth", "craft.load[0].mass"),
    "joint-under-loads": ("craft.load[0].mass", "skirt.depth"),
    "tips-level-under-loads": ("craft.load[0].mass", "skirt.pitch"),
    "corner-hull-edge": ("making.hull_edge_corner", "making.hull_edge"),
    "cloth-weight-loop": ("cloth.loop.mass",),
    "cloth-weight-segment": ("cloth.segment.mass",),
    "cloth-": ("cloth.segment.strength", "cloth.loop.strength"),
    "seam-": ("making.rows", "making.thread_strength"),
    "bolt-": ("making.hole_pitch", "making.hole_edge"),
    "hole-": ("making.hole_pitch", "making.hole_edge"),
    "tear-": ("cloth.segment.tear", "cloth.loop.tear"),
    "sitting-pinched": ("hull.clearance", "hull.skids.height"),
    "skids-clear": ("hull.skids.height", "hull.clearance"),
    "bow-": INSETS,
    "side-": INSETS,
    "stern-": INSETS,
    "tip-line-inside": INSETS,
    "crown-line-inside": INSETS,
    "station-at-every-break": ("skirt.stations_per_corner",),
    "pitch-fit": ("skirt.pitch",),
    "depth-to-pitch": ("skirt.pitch", "skirt.depth"),
    "corner-": ("skirt.corner.RUN", "skirt.depth"),
    "balance-fore-aft": ("LOAD.x",),
    "balance-sideways": ("LOAD.y",),
    "first-load-is-design-case": ("LOAD.mass",),
    "hull-": ("hull.clearance",),
    "hull-edge-height": ("hull.edge[0].height", "skirt.depth"),
    "loop-": ("hull.edge[0].height", "skirt.depth"),
    "loop-lifts-joint": ("skirt.depth", *INSETS),
    "section-": ("skirt.depth", "hull.edge[0].height"),
    "segment-": ("skirt.pitch", "skirt.depth"),
    "upper-edge-taut": ("skirt.depth", "hull.edge[0].height"),
    "pressure-range": ("LOAD.mass",),
    "panel-width": ("skirt.stations_per_corner", "cloth.loop.roll_width"),
    "thread-strain": ("making.loop.thread_strain", "skirt.stations_per_corner"),
    "panel-deviation": ("making.loop.deviation", "skirt.stations_per_corner"),
    "hull-edge-allowance": ("making.hull_edge",),
    "joint-level": ("making.level", "skirt.pitch"),
    "tips-level": ("making.level", "making.tip_trim"),
    "tips-at-height": ("making.tip_trim", "making.level"),
    "fixing-holds": ("making.patch", "cloth.segment.mass"),
    "face-taut": ("skirt.pitch", "skirt.depth"),
    "inflated-at-rest": ("skirt.depth", "skirt.pitch"),
    "true-panel-edges": ("skirt.stations_per_corner",),
    "fits-roll": ("cloth.loop.roll_width", "cloth.segment.roll_width"),
    "seam-allowance": ("making.seam",),
    "hem-allowance": ("making.hem",),
    "fan-": FAN,
    "segments-spare": ("air.fan.speed", "air.gap"),
    "engine-power": ("air.engine_power", "air.gap"),
    "feed-choked": ("air.feed_drop",),
    "losses-told": ("air.loss",),
    "gets-up-from-water": ("air.water.aboard", "air.water.float_area"),
    "battery-": ("air.battery.capacity", "air.battery.duration"),
    "battery-can-give": ("air.battery.voltage", "air.battery.resistance"),
}


def keys_of(finding: Finding, raw: dict[str, Any]) -> list[str]:
    """Return the keys to change for a finding, the likeliest first; an empty list where none is known.

    Parameters
    ----------
    finding : Finding
    raw : dict
        The design file as tomllib gives it: of two keys that stand in for each other, the one it has.
    """
    known = [name for name in KEYS if finding.rule == name or (name.endswith("-") and finding.rule.startswith(name))]
    if not known:
        return []
    where = finding.where.replace("_", " ")
    runs = [run for run in RUNS if re.search(rf"\b{run}\b", where)]
    runs += [run for run in RUNS if not runs and finding.rule.startswith(f"{run}-")]
    found: list[str] = []
    for key in KEYS[max(known, key=len)]:
        if "RUN" in key:
            found += [key.replace("RUN", run) for run in (runs or RUNS)]
        else:
            found.append(key.replace("LOAD", f"craft.load[{_load(where, raw)}]"))
    written = [key for key in found if given(raw, key) is not None]
    return list(dict.fromkeys(written or found))


def _load(where: str, raw: dict[str, Any]) -> int:
    """Return the place of the load that a finding names, else 0."""
    craft = raw.get("craft")
    loads = craft.get("load") if isinstance(craft, dict) else None
    for index, load in enumerate(loads if isinstance(loads, list) else []):
        if isinstance(load, dict) and f"{load.get('name')!r}" in where:
            return index
    return 0
