"""What `inflate` says: the verdict first, then joint, tips, pulls, ground, and what to change at every station."""

from __future__ import annotations

import numpy as np

from skirtloft.answers.inflated_plain import CLAIM, ground_stiffness, run_pulls, strip_pulls
from skirtloft.design.model import Show
from skirtloft.design.units import format_force, format_length, format_line_load, format_pressure
from skirtloft.inflate.skirt.trial import Round, Trial
from skirtloft.maths.frozen import Floats

SAME = 0.0254 / 32.0  # m: half of the finest mark on a tape in inches


def inflated_lines(trial: Trial) -> list[str]:
    """Return the whole answer as lines."""
    return [
        _verdict(trial),
        f"          {CLAIM}",
        *_shape_lines(trial),
        *_mesh_lines(trial),
        *_pull_lines(trial),
        *_load_lines(trial),
        *_ground_lines(trial),
        *_round_lines(trial),
        *_station_lines(trial),
    ]


def _verdict(trial: Trial) -> str:
    name = trial.skirt.cut.design.project.name
    within = format_length(trial.asked.tolerance, trial.skirt.cut.design.project.show)
    if trial.is_stopped or not trial.shape.is_settled:
        return (
            f"STOPPED   {name}: not at rest; the best so far, {trial.shape.residual:.3g} N left over of"
            f" {trial.shape.wanted:.2g} N asked for. Heights below may still change."
        )
    word = "LEVEL" if trial.is_level else "UNEVEN"
    how = "as designed" if len(trial.rounds) == 1 else f"after cutting again {len(trial.rounds) - 1} times"
    return f"{word:9} {name}, inflated as sewn, {how}: joint and tips {_or_not(trial)}level within {within}"


def _or_not(trial: Trial) -> str:
    return "" if trial.is_level else "not "


def _span(trial: Trial, values: Floats) -> str:
    """Return a range in words: "-4.1 to 2.0 mm" or in inches."""
    if trial.skirt.cut.design.project.show == "imperial":
        return f"{values.min() / 0.0254:+.2f} to {values.max() / 0.0254:+.2f} in"
    return f"{values.min() * 1e3:+.1f} to {values.max() * 1e3:+.1f} mm"


def _shape_lines(trial: Trial) -> list[str]:
    found, show = trial.measures, trial.skirt.cut.design.project.show
    segments, lines = found.segments, found.lines
    joint_shift, tip_shift = trial.mesh.along(segments.at)
    joint, tips = segments.joint + joint_shift, segments.tip + tip_shift
    high, low = int(np.argmax(joint)), int(np.argmin(joint))
    runs = [run.replace("_", " ") for run in segments.runs]
    off = found.loop_off[~np.isnan(found.loop_off)]
    arc = f"within {format_length(float(off.max()), show)} of its drawn arc at the stations; " if len(off) else ""
    slack = np.average(segments.slack, weights=segments.width)
    mean = float(np.average(tips, weights=segments.width))
    hovers = "" if abs(mean) < SAME else f": the craft hovers {'lower' if mean > 0.0 else 'higher'} by that"
    return [
        f"Joint     {_span(trial, joint)} from its drawn height (highest at segment {high + 1}, {runs[high]};"
        f" lowest at {low + 1}, {runs[low]}); {_span(trial, segments.joint_out)} outboard;"
        f" scallop between webs up to {format_length(float(segments.scallop.max()), show)}",
        f"Tips      {_span(trial, tips)} over the drawn plane, mean {_signed(mean, show)}{hovers}",
        f"          neighbours {format_length(float(np.nanmax(lines.opening)), show)} apart at most at their nearest,"
        f" together over {format_length(float(np.nanmin(lines.touching)), show)} at least",
        f"Loop      {arc}"
        f"slack cloth: {100 * slack:.0f} % of the faces, {100 * float(found.panels.slack.max()):.0f} % of a loop"
        f" panel at most; wrinkled {100 * float(np.average(segments.wrinkled, weights=segments.width)):.0f} % of the"
        " faces",
    ]


def _mesh_lines(trial: Trial) -> list[str]:
    mesh, count = trial.mesh, len(trial.skirt.problem.mesh.triangles)
    words = f"Mesh      {count} triangles, {trial.shape.steps} steps"
    if len(mesh.at) == 0:
        return [f"{words}; what a finer mesh changes is not known here"]
    told = f"a finer mesh moves the joint of a straight run by {_span(trial, mesh.joint)}, tips by"
    told += f" {_span(trial, mesh.tip)}"
    return [f"{words}; {told}" + (" (counted in above)" if mesh.applied else " (this is the finer one)")]


def _pull_lines(trial: Trial) -> list[str]:
    show = trial.skirt.cut.design.project.show
    pull = np.linalg.norm(trial.measures.lines.pull, axis=1)
    runs = [(run.replace("_", " "), pull, drawn) for run, pull, drawn in run_pulls(trial, trial.measures)]
    loop = ", ".join(
        f"{run} {format_line_load(pull, show)} ({format_line_load(drawn, show)})" for run, pull, drawn in runs
    )
    return [
        f"Pulls     inner fixings {format_force(float(pull.min()), show)} to {format_force(float(pull.max()), show)}"
        " at each web line, both webs together",
        f"          loop at the hull edge (in brackets p R as drawn): {loop}",
        *_strip_lines(trial),
    ]


def _strip_lines(trial: Trial) -> list[str]:
    rows = strip_pulls(trial)
    if not rows:
        return []
    show = trial.skirt.cut.design.project.show
    told = ", ".join(
        f"{row['run'].replace('_', ' ')} {format_line_load(row['least_n_per_m'], show)} to"
        f" {format_line_load(row['most_n_per_m'], show)}"
        for row in rows
    )
    return [f"          diaphragm, along the joint: {told}"]


def _load_lines(trial: Trial) -> list[str]:
    show = trial.skirt.cut.design.project.show
    lines = []
    for load in trial.loads:
        segments = load.measures.segments
        shift = trial.mesh.along(segments.at)
        rest = "" if load.shape.is_settled else " (not at rest)"
        lines.append(
            f"{load.name!r}  at {format_pressure(load.pressure, show)}: joint {_span(trial, segments.joint + shift[0])}"
            f", tips {_span(trial, segments.tip + shift[1])}{rest}"
        )
    return lines


def _ground_lines(trial: Trial) -> list[str]:
    if not trial.ground:
        return []
    segments, show = trial.measures.segments, trial.skirt.cut.design.project.show
    lines = []
    for step in trial.ground:
        mean = float(np.average(step.lift, weights=segments.width))
        turned = float(np.nanmean(step.turned))
        rest = "" if step.is_settled else " (not at rest)"
        lines.append(
            f"Ground    up {format_length(step.up, show)}: presses with {format_line_load(mean, show)} along the joint;"
            f" {100 * turned:.0f} % by turning about the inner fixings, the rest by folding{rest}"
        )
    parts = ", ".join(f"{row['run'].replace('_', ' ')} {row['n_per_m2']:.0f}" for row in ground_stiffness(trial))
    lines.append(
        f"          stiffness over the first of these, N/m per metre: {parts}; deeper, folds depend on the mesh"
    )
    return lines


def _round_lines(trial: Trial) -> list[str]:
    if len(trial.rounds) == 1:
        return []
    lines = []
    for number, state in enumerate(trial.rounds):
        what = "as designed" if number == 0 else f"cut again, {number}"
        lines.append(f"Levelling {what}: {round_words(state, trial.skirt.cut.design.project.show)}")
    return lines


def round_words(state: Round, show: Show) -> str:
    """Return how far joint and tips of a round are off."""
    joint, tips = (_signed(worst, show).lstrip("+") for worst in (state.joint_worst, state.tip_worst))
    return (
        f"joint off by {joint} at most, tips {_signed(state.tip_mean, show)} in the mean, by {tips} at most from that"
    )


def _signed(value: float, show: Show) -> str:
    """Return a small height with its sign, finer than a rule reads: "+10.8 mm", or "+0.43 in"."""
    return f"{value / 0.0254:+.2f} in" if show == "imperial" else f"{value * 1e3:+.1f} mm"


def _station_lines(trial: Trial) -> list[str]:
    """Return what to change at every station; a change within the tolerance is said to be none."""
    advice, stations = trial.advice, trial.skirt.cut.plan.stations
    show = trial.skirt.cut.design.project.show
    designed, now = trial.rounds[0].loops, trial.rounds[-1].loops
    lines = ["Stations  loop now; change it by; tips, along the face from the finished tip line"]
    for i, name in enumerate(stations.ids):
        wanted = -float(advice.rise[i] / advice.slope[i])
        change = _more(wanted, show) if advice.loop[i] != 0.0 else f"leave it ({_more(wanted, show)})"
        if len(trial.rounds) > 1:
            change += f", already {_more(float(now[i] - designed[i]), show)}"
        run = stations.runs[i].replace("_", " ")
        tips = trim_words(float(advice.tip_trim[i]), show) or "at the line"
        lines.append(f"  {name} {run:13} {format_length(float(now[i]), show)}; {change}; {tips}")
    return lines


def _more(value: float, show: Show) -> str:
    return f"{'-' if value < 0.0 else '+'}{format_length(abs(value), show)}"


def trim_words(trim: float, show: Show) -> str:
    """Return what to do at the tips, "" where that is too little to mark."""
    if abs(trim) < (0.0005 if show == "metric" else SAME):
        return ""
    return f"trim {format_length(trim, show)} off" if trim > 0.0 else f"leave {format_length(-trim, show)} on"
