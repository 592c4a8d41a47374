"""Rules on the plan: clearance against width, insets, tip lines against the hull edge, pitch, corners, balance."""

from __future__ import annotations

import math

import numpy as np

from skirtloft.checks.corner_rules import corner_findings
from skirtloft.checks.finding import TRADE, Finding, Verdict, grade
from skirtloft.design.model import Design
from skirtloft.maths.curves import Path, outward_at, path_points, points_at
from skirtloft.maths.frozen import Floats
from skirtloft.shape.plan import run_offsets, tip_insets_of
from skirtloft.shape.segment_field import crown_insets, is_uniform, line_points, tip_insets
from skirtloft.shape.types import Plan

SAMPLE_STEP = 0.01  # m along the joint line, for the lines against the hull edge
FIRST_LOAD = 1.25  # how much heavier than the first load another may be
EDGE_RISE = (0.5, 2.0)  # hull edge above the joint, in depths
MERGE = 0.020  # m: a hull break within this of a station counts as having one (the plan's own merging distance)


def plan_findings(design: Design, plan: Plan) -> list[Finding]:
    """Return one finding per plan rule, each at its worst place."""
    return [
        _clearance(design, plan),
        _depth_over_clearance(design, plan),
        *_insets(design, plan),
        *_lines_inside(plan),
        _stations_at_breaks(plan),
        _pitch_fit(design, plan),
        _segment_proportion(design, plan),
        *corner_findings(design, plan),
        *balance_findings(design, plan),
        _first_load(design),
        _edge_height(plan),
    ]


def hull_width(plan: Plan) -> float:
    """Return the width of the hull at its edge [m]."""
    return 2.0 * float(path_points(plan.hull_edge, 1e-4)[:, 1].max())


def _clearance(design: Design, plan: Plan) -> Finding:
    width = hull_width(plan)
    value = design.hull.clearance / width
    verdict: Verdict = "fail" if value > 1.0 / 6.0 else grade(value, None, 0.125, "warn")
    return Finding(
        rule="clearance-to-width",
        title="Clearance against hull width",
        verdict=verdict,
        value=value,
        unit="1",
        low=None,
        high=0.125,
        where="hull",
        why="A high craft on a narrow base heels easily and is hard to trim; above one sixth it is a refusal.",
        change=f"Use a clearance of at most {1000 * width / 8:.0f} mm on this width.",
        source=TRADE,
    )


def _depth_over_clearance(design: Design, plan: Plan) -> Finding:
    """The inner fixing must lie above the flat of the bottom, everywhere."""
    stations = plan.stations
    above = stations.depth - stations.drop - design.hull.clearance
    worst = int(np.argmin(above))
    value = float(above[worst])
    drop = float(stations.drop[worst])
    return Finding(
        rule="inner-fixing-on-planing-surface",
        title="The inner fixing lands on the planing surface",
        verdict=grade(value, np.nextafter(0.0, 1.0), None, "fail"),
        value=value,
        unit="m",
        low=0.0,
        high=None,
        where="whole craft" if is_uniform(plan.segments) else _station(plan, worst),
        why="At or below the flat bottom there is nothing to tie the inner fixing to; it hangs in the cockpit.",
        change=f"Make the depth more than {1000 * (design.hull.clearance + drop):.0f} mm"
        + (", or the drop of the inner fixing smaller." if drop > 0.0 else ": the clearance."),
        source=TRADE,
    )


def _station(plan: Plan, index: int) -> str:
    return f"{plan.stations.ids[index]} ({plan.stations.runs[index].replace('_', ' ')})"


def _insets(design: Design, plan: Plan) -> list[Finding]:
    """Tip line inside the hull edge on side and stern, joint inside it on the bow."""
    wanted = {
        "bow": ("bow-joint-inset", "Bow joint inside the hull edge", 0.050, 0.100, "joint_inside"),
        "side": ("side-tip-inset", "Side tip line inside the hull edge", 0.030, 0.080, "tip_inside"),
        "stern": ("stern-tip-inset", "Stern tip line inside the hull edge", 0.030, 0.080, "tip_inside"),
    }
    insets = tip_insets_of(design)
    found = []
    for run, (rule, title, low, high, key) in wanted.items():
        offset, where = _run_offset(design, plan, run, (low + high) / 2.0)
        if offset is None:
            continue
        value = -offset if run == "bow" else insets[run] - offset
        found.append(
            Finding(
                rule=rule,
                title=title,
                verdict=grade(round(value, 9), low, high, "warn"),
                value=value,
                unit="m",
                low=low,
                high=high,
                where=where,
                why="Too far out, and it stands on ground outside its hull; too far in gives cushion away.",
                change=f"Set skirt.{run}.{key} between {1000 * low:.0f} and {1000 * high:.0f} mm.",
                source=TRADE,
            )
        )
    return found


def _run_offset(design: Design, plan: Plan, run: str, wanted: float) -> tuple[float | None, str]:
    """Return X of a run and where: as the file gives it; for a joint line given outright, at the worst station.

    Notes
    -----
    Where a hull corner is rounded before its run ends, the inset shrinks towards the corner; the rule is about the run.
    """
    mine = np.flatnonzero([name == run for name in plan.stations.runs])
    if len(mine) == 0:
        return None, ""
    if design.skirt.joint_line is None:
        return run_offsets(design, tip_insets_of(design))[run], f"{run} run"
    inset = -plan.stations.offset[mine] + (0.0 if run == "bow" else tip_insets_of(design)[run])
    worst = int(mine[np.argmax(np.abs(inset - wanted))])
    return float(plan.stations.offset[worst]), f"{plan.stations.ids[worst]} ({run})"


def _lines_inside(plan: Plan) -> list[Finding]:
    """The mean tip line may not pass outside the hull edge (fail); the crown of the faces should not (warn)."""
    at = _samples(plan)
    lines: list[tuple[str, str, Floats, Verdict]] = [
        ("tip-line-inside", "Mean tip line inside the hull edge", tip_insets(plan.segments, plan.pitch, at), "fail"),
        (
            "crown-line-inside",
            "Crown of the faces inside the hull edge",
            crown_insets(plan.segments, plan.pitch, at),
            "warn",
        ),
    ]
    found = []
    for rule, title, insets, outside in lines:
        margin, places = inside_margin(plan, insets)
        worst = int(np.argmin(margin))
        value = float(margin[worst])
        found.append(
            Finding(
                rule=rule,
                title=title,
                verdict=grade(value, 0.0, None, outside),
                value=value,
                unit="m",
                low=0.0,
                high=None,
                where=f"x {places[worst, 0]:.2f} m, y {places[worst, 1]:.2f} m ({run_at(plan, worst, len(margin))})",
                why="Ground contact outside the hull edge tips the craft outward: it must never be so.",
                change=f"Bring the joint line in there by {max(0.0, -1000 * value):.0f} mm or more"
                " (inset, or a larger corner radius).",
                source=TRADE,
            )
        )
    return found


def _samples(plan: Plan) -> Floats:
    total = float(plan.joint_line.breaks[-1])
    return np.linspace(0.0, total, max(2, math.ceil(total / SAMPLE_STEP)))


def run_at(plan: Plan, index: int, count: int) -> str:
    """Return the name of the run that holds sample `index` of `count` along the joint line."""
    at = float(plan.joint_line.breaks[-1]) * index / max(1, count - 1)
    return next((run.name for run in plan.runs if at <= run.end + 1e-9), plan.runs[-1].name).replace("_", " ")


def inside_margin(plan: Plan, insets: Floats) -> tuple[Floats, Floats]:
    """Return how far a line `insets` (n,) [m] inboard of the joint, at the samples, lies inside the hull edge.

    Returns
    -------
    margin : (n,) [m]
        Distance to the hull edge, negative outside.
    points : (n, 2) [m]

    Notes
    -----
    The whole hull edge (both sides) is convex, so the distance inside is the least distance to the lines through
    its edges.
    """
    points = line_points(plan, insets, _samples(plan))
    edge = path_points(plan.hull_edge, 2e-5)
    starts, steps = edge[:-1], np.diff(edge, axis=0)
    lengths = np.hypot(steps[:, 0], steps[:, 1])
    kept = lengths > 1e-9
    starts, steps, lengths = starts[kept], steps[kept], lengths[kept]
    outward = np.column_stack([steps[:, 1], -steps[:, 0]]) / lengths[:, None]
    distance = (outward * starts).sum(axis=1) - points @ outward.T
    return distance.min(axis=1), points


def _stations_at_breaks(plan: Plan) -> Finding:
    bends = _bend_lengths(plan.hull_edge)
    if len(bends) == 0:
        value, where = 0.0, "hull edge has no break"
    else:
        away = np.abs(plan.stations.hull_at[None, :] - bends[:, None]).min(axis=1)
        worst = int(np.argmax(away))
        value = float(away[worst])
        place = points_at(plan.hull_edge, bends[worst : worst + 1])[0]
        where = f"x {place[0]:.2f} m, y {place[1]:.2f} m"
    return Finding(
        rule="station-at-every-break",
        title="A station wherever the hull edge changes direction",
        verdict=grade(value, None, MERGE, "warn"),
        value=value,
        unit="m",
        low=None,
        high=MERGE,
        where=where,
        why="A panel that spans a break in the hull edge cannot lie on it.",
        change="Use more stations_per_corner, or move the hull point away from its neighbour.",
        source=TRADE,
    )


def _bend_lengths(path: Path) -> Floats:
    """Return the lengths along `path` at which its direction breaks."""
    inner = path.breaks[1:-1]
    if len(inner) == 0:
        return np.zeros(0)
    before, after = outward_at(path, inner - 1e-7), outward_at(path, inner + 1e-7)
    turn = np.abs(before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0])
    return np.asarray(inner[turn > 1e-3])


def _pitch_fit(design: Design, plan: Plan) -> Finding:
    runs = [run for run in plan.runs if run.fitted_length > 1e-9]
    misfit = [run.fitted_pitch / design.skirt.pitch - 1.0 for run in runs]
    worst = int(np.argmax(np.abs(misfit)))
    return Finding(
        rule="pitch-fit",
        title="Fitted pitch against the wanted pitch",
        verdict=grade(misfit[worst], -0.10, 0.10, "warn"),
        value=misfit[worst],
        unit="1",
        low=-0.10,
        high=0.10,
        where=runs[worst].name.replace("_", " "),
        why="A whole number of segments must fill each run; far from the wanted pitch the shapes are less true.",
        change="Change skirt.pitch or that corner's radius so that a whole number fits better.",
        source="our own choice",
    )


def _segment_proportion(design: Design, plan: Plan) -> Finding:
    depths = plan.stations.depth
    low, high = 1.5, 2.5
    ratio = depths / design.skirt.pitch
    worst = int(np.argmax(np.abs(np.log(ratio / math.sqrt(low * high)))))
    depth, value = float(depths[worst]), float(ratio[worst])
    return Finding(
        rule="depth-to-pitch",
        title="Depth of a segment against its pitch",
        verdict=grade(value, low, high, "warn"),
        value=value,
        unit="1",
        low=low,
        high=high,
        where="segments" if is_uniform(plan.segments) else _station(plan, worst),
        why="Wide, shallow segments bulge and gape; narrow, deep ones are many to sew and stiff.",
        change=f"Use a pitch of {1000 * depth / high:.0f} to {1000 * depth / low:.0f} mm at this depth.",
        source=TRADE,
    )


def balance_findings(design: Design, plan: Plan) -> list[Finding]:
    """Centre of gravity of each load against the centre of the cushion area."""
    centre, length, width = cushion_centre(plan)
    fore = [(load.x - centre) / length for load in design.craft.load]
    side = [load.y / width for load in design.craft.load]
    found = []
    for rule, title, values, limit, key in (
        ("balance-fore-aft", "Centre of gravity along the craft against the centre of the cushion", fore, 0.03, "x"),
        ("balance-sideways", "Centre of gravity off the centre line", side, 0.01, "y"),
    ):
        worst = int(np.argmax(np.abs(values)))
        wanted = centre if key == "x" else 0.0
        found.append(
            Finding(
                rule=rule,
                title=title,
                verdict=grade(values[worst], -limit, limit, "warn"),
                value=values[worst],
                unit="1",
                low=-limit,
                high=limit,
                where=f"load {design.craft.load[worst].name!r}",
                why="Inside the gap an even cushion does not hold the craft level: mass off centre drags one side.",
                change=f"Move mass until {key} is within {limit:.0%} of {wanted:.2f} m, or shift the plan.",
                source=TRADE,
            )
        )
    return found


def _first_load(design: Design) -> Finding:
    loads = design.craft.load
    heaviest = max(loads, key=lambda load: load.mass)
    value = heaviest.mass / loads[0].mass
    return Finding(
        rule="first-load-is-design-case",
        title="The first load against the heaviest",
        verdict=grade(value, None, FIRST_LOAD, "warn"),
        value=value,
        unit="1",
        low=None,
        high=FIRST_LOAD,
        where=f"load {heaviest.name!r}",
        why="The cloth is cut for the first load in the file; a much heavier one finds the skirt cut too slack.",
        change=f"Put {heaviest.name!r} first, or check its mass of {heaviest.mass:.0f} kg.",
        source="our own choice",
    )


def _edge_height(plan: Plan) -> Finding:
    rise = plan.stations.hull_z / plan.stations.depth - 1.0
    low, high = EDGE_RISE
    worst = int(np.argmax(np.abs(np.log(rise / math.sqrt(low * high)))))
    depth = float(plan.stations.depth[worst])
    return Finding(
        rule="hull-edge-height",
        title="Hull edge above the joint, in depths",
        verdict=grade(float(rise[worst]), low, high, "warn"),
        value=float(rise[worst]),
        unit="1",
        low=low,
        high=high,
        where=f"{plan.stations.ids[worst]} ({plan.stations.runs[worst].replace('_', ' ')})",
        why="Low, the loop is short and soft and cannot give with the waves; high, it is a tall bag that sways.",
        change=f"Put the hull edge {1000 * low * depth:.0f} to {1000 * high * depth:.0f} mm above the joint.",
        source="our own choice",
    )


def cushion_centre(plan: Plan) -> tuple[float, float, float]:
    """Return the centre x of the cushion area, its length and its width [m], from the mean tip line."""
    at = _samples(plan)
    points = line_points(plan, tip_insets(plan.segments, plan.pitch, at), at)
    x, y = points[:, 0], points[:, 1]
    cross = x[:-1] * y[1:] - x[1:] * y[:-1]
    moment = float(((x[:-1] + x[1:]) * cross).sum() / 6.0)
    return moment / float(cross.sum() / 2.0), float(x.max() - x.min()), 2.0 * float(y.max())
