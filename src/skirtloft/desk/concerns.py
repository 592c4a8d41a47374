"""Which keys of the design file a finding is about: where a builder turns when a rule warns."""

from __future__ import annotations

import re

from skirtloft.checks.finding import Finding

RUNS = ("bow", "side", "stern")

# Rule -> keys; RUN stands for the run the finding names, or every run where it names none.
KEYS: dict[str, tuple[str, ...]] = {
    "clearance-to-width": ("hull.clearance",),
    "inner-fixing-on-planing-surface": ("skirt.depth", "hull.clearance"),
    "tip-inside": ("skirt.RUN.tip_inside", "skirt.RUN.joint_inside"),
    "joint-inside": ("skirt.RUN.joint_inside", "skirt.RUN.tip_inside"),
    "station-at-every-break": ("skirt.stations_per_corner",),
    "pitch-fit": ("skirt.pitch",),
    "depth-to-pitch": ("skirt.pitch", "skirt.depth"),
    "corner-inner-room": ("skirt.corner.RUN", "skirt.depth"),
    "balance": ("craft.load[0].x", "craft.load[0].y"),
    "first-load-is-design-case": ("craft.load[0].mass",),
    "hull-edge-height": ("hull.edge[0].height", "skirt.depth"),
    "loop-lifts-joint": ("skirt.depth", "skirt.RUN.tip_inside", "skirt.RUN.joint_inside"),
    "loop-over-deck": ("hull.edge[0].height", "skirt.depth"),
    "section-stable": ("skirt.depth", "hull.edge[0].height"),
    "upper-edge-taut": ("skirt.depth", "hull.edge[0].height"),
    "pressure-range": ("craft.load[0].mass",),
    "panel-width": ("skirt.stations_per_corner", "cloth.loop.roll_width"),
    "true-panel-edges": ("skirt.stations_per_corner",),
    "fits-roll": ("cloth.loop.roll_width", "cloth.segment.roll_width"),
    "battery-can-give": ("air.battery.voltage", "air.battery.resistance"),
    "battery-lasts": ("air.battery.capacity", "air.battery.duration"),
    "engine-power": ("air.engine_power", "air.gap"),
    "feed-choked": ("air.feed_drop",),
    "gets-up-from-water": ("air.water.float_area", "air.water.aboard"),
    "losses-told": ("air.loss",),
    "segments-spare": ("air.fan.speed", "air.gap"),
}
_PREFIXES: dict[str, tuple[str, ...]] = {
    "fan-": ("air.fan.speed", "air.fan.diameter", "air.gap"),
    "battery-": ("air.battery.capacity",),
    "balance": ("craft.load[0].x",),
    "trim": ("craft.load[0].x",),
    "hull-": ("hull.clearance",),
    "corner-": ("skirt.corner.RUN",),
    "tip-": ("skirt.RUN.tip_inside", "skirt.RUN.joint_inside"),
    "joint-": ("skirt.RUN.joint_inside", "skirt.RUN.tip_inside"),
    "section-": ("skirt.depth",),
    "loop-": ("skirt.depth", "hull.edge[0].height"),
    "segment-": ("skirt.pitch", "skirt.depth"),
}


def keys_of(finding: Finding) -> list[str]:
    """Return the keys to change for a finding, the likeliest first; an empty list where none is known."""
    keys = KEYS.get(finding.rule)
    if keys is None:
        keys = next((keys for prefix, keys in _PREFIXES.items() if finding.rule.startswith(prefix)), ())
    named = [run for run in RUNS if re.search(rf"\b{run}\b", finding.where.replace("_", " "))]
    found: list[str] = []
    for key in keys:
        found += [key.replace("RUN", run) for run in (named or RUNS)] if "RUN" in key else [key]
    return list(dict.fromkeys(found))
