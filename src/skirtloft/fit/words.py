"""What `fit` says: verdict, what was found, what holds it there, how far every rule is from its limit."""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np

from skirtloft.checks.finding import Finding
from skirtloft.checks.hull_rules import OFF_LINE
from skirtloft.design.model import Design
from skirtloft.design.units import format_length
from skirtloft.fit.search import Fit, Hold
from skirtloft.fit.trial import Trial, margin, usual_values
from skirtloft.report import finding_lines, number_text, value_text
from skirtloft.shape.hull_lines import RUNS


def fit_lines(found: Fit) -> list[str]:
    """Return every line of the answer."""
    if not found.trial.holds:
        return _no_answer_lines(found)
    project = found.design.project
    watch = sum(finding.verdict == "warn" for finding in found.trial.findings)
    more = f", {watch} to watch" if watch else ""
    lines = [f"FITS  {project.name}, revision {project.revision}: no rule fails{more}; {found.tries} skirts tried"]
    lines += [*_value_lines(found), *_fixing_lines(found.trial, project.show), *_clearance_lines(found)]
    lines += [_hold_line(hold, found.design) for hold in found.holds]
    watched = tuple(finding for finding in found.trial.findings if finding.verdict == "warn")
    return [*lines, *finding_lines(watched), *_margin_lines(found.trial)]


def set_line(launcher: str, command: str, design: str, changes: Mapping[str, str]) -> str:
    """Return what to type to run a command with changed values, the file left as it is."""
    words = " ".join(f'--set {path}="{value}"' for path, value in changes.items())
    return f"{launcher} {command} {design} {words}".rstrip()


def _value_lines(found: Fit) -> list[str]:
    """Each value found, with the file's and the usual one beside it."""
    show = found.design.project.show
    usual = usual_values(found.variables, found.trial.values)
    lines: list[str] = []
    for variable, value, plain in zip(found.variables, found.trial.values, usual, strict=True):
        notes = ["as in the file" if abs(value - variable.asked) < 1e-9 else f"file {_length(variable.asked, show)}"]
        if variable.kind != "clearance" and abs(plain - variable.asked) > 1e-9:
            notes.append("as usual" if abs(value - plain) < 1e-9 else f"usual {_length(plain, show)}")
        head = f"{'' if lines else 'Values':10}{variable.path:26}"
        lines.append(f"{head} {_length(value, show)} ({', '.join(notes)})")
    kept = [name for name in ("bow", "side", "stern") if getattr(found.design.skirt.corner, name) == "full"]
    kept = [name for name in kept if name in found.design.skirt.corner.model_fields_set]
    if kept:
        lines.append(f"{'':10}{', '.join(f'skirt.corner.{name}' for name in kept)}: stays full")
    return lines


def _length(value: float, show: str) -> str:
    return format_length(value, "imperial" if show == "imperial" else "metric")


def _fixing_lines(trial: Trial, show: str) -> list[str]:
    if trial.miss is None or trial.stations is None or np.isnan(trial.miss.distance).all():
        return [f"{'Fixings':10}the file does not say where the hull has them: see [hull.fixing]"]
    distance = trial.miss.distance
    worst = int(np.nanargmax(distance))
    middle = math.sqrt(float(np.nanmean(distance**2)))
    return [
        f"{'Fixings':10}inner fixings {_length(middle, show)} off the hull's line in the mean,"
        f" {_length(float(distance[worst]), show)} at most, at {trial.stations.ids[worst]}"
    ]


def _clearance_lines(found: Fit) -> list[str]:
    """What keeps the clearance from the one asked."""
    show = found.design.project.show
    if found.nearer is None:
        return [f"{'Clearance':10}as asked; nothing holds it back"]
    at = _length(found.nearer.values[0], show)
    if found.nearer.refusal:
        return [f"{'Clearance':10}held by the shape: at {at}, {found.nearer.refusal}"]
    broken = [finding for finding in found.nearer.findings if finding.verdict == "fail"]
    return [
        f"{'Clearance':10}held by {finding.rule}: at {at} it is {value_text(finding)} at {finding.where}"
        for finding in broken
    ]


def _hold_line(hold: Hold, design: Design) -> str:
    show = design.project.show
    head = f"{'Held':10}{hold.variable.path} at {_length(hold.value, show)}: at the usual {_length(hold.usual, show)} "
    if hold.finding is not None:
        word = "fails" if hold.finding.verdict == "fail" else "is to watch"
        return f"{head}{hold.finding.rule} {word}, {value_text(hold.finding)} at {hold.finding.where}"
    if hold.refusal:
        return f"{head}the shape cannot be made. {hold.refusal}"
    if hold.moves_off:
        return f"{head}the inner fixings lie up to {_length(hold.off_line, show)} off the hull's line"
    return f"{head}other values and rules to watch come off worse"


def _margin_lines(trial: Trial) -> list[str]:
    """How far every rule is from its limit, the nearest first."""
    rated = sorted(trial.findings, key=_nearness)
    return [
        f"{'Margins' if i == 0 else '':10}{finding.rule:32} {value_text(finding)}: {_margin_words(finding)}"
        for i, finding in enumerate(rated)
    ]


def _nearness(finding: Finding) -> float:
    room = margin(finding)
    span = max(abs(limit) for limit in (finding.low, finding.high, finding.value) if limit is not None)
    return room / span if span > 0.0 else room


def _margin_words(finding: Finding) -> str:
    room = margin(finding)
    if math.isinf(room):
        return "no limit"
    return f"{number_text(abs(room), finding.unit)} {'inside' if room >= 0.0 else 'outside'}"


def _no_answer_lines(found: Fit) -> list[str]:
    """The nearest miss, and what would do."""
    project, trial = found.design.project, found.trial
    lines = [
        f"NO FIT  {project.name}, revision {project.revision}: no skirt was found without a failed rule;"
        f" {found.tries} tried. The nearest miss:",
        *_value_lines(found),
    ]
    if trial.refusal:
        return [*lines, f"{'':10}This shape cannot be made. {trial.refusal}"]
    lines += _fixing_lines(trial, project.show)
    lines += finding_lines(tuple(finding for finding in trial.findings if finding.verdict == "fail"))
    return [*lines, *_would_do_lines(found)]


def _would_do_lines(found: Fit) -> list[str]:
    """Where the hull's inner fixings would have to be for the nearest miss, by run."""
    trial, show, clearance = found.trial, found.design.project.show, found.design.hull.clearance
    if not any(finding.rule == "inner-fixing-on-line" and finding.verdict == "fail" for finding in trial.findings):
        return []
    assert trial.miss is not None
    assert trial.stations is not None
    assert trial.inner is not None
    lines = []
    for run in RUNS:
        mine = [i for i, name in enumerate(trial.stations.runs) if name == run and trial.miss.distance[i] > OFF_LINE]
        if mine:
            i = mine[int(np.argmax(trial.miss.distance[mine]))]
            inboard, height = -float(trial.inner[i, 0]), float(trial.inner[i, 1]) - clearance
            lines.append(
                f"{'Would do':10}{run} fixings {_length(height, show)} above the bottom, {_length(inboard, show)} "
                f"inside the hull edge (at {trial.stations.ids[i]}, clearance {_length(clearance, show)})"
            )
    return lines
