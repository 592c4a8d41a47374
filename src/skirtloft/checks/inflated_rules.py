"""Rules on a skirt inflated as sewn: joint and tips level, fixings not overloaded, cloth not slack.

They speak of a computation: cloth from the cut pieces, not yet compared with a built skirt.
"""

from __future__ import annotations

import numpy as np

from skirtloft.checks.finding import Finding, Verdict, grade
from skirtloft.inflate.skirt.trial import Trial
from skirtloft.maths.frozen import Floats

SLACK_FACE = 0.25  # share of a face's area (our own choice)
COMPUTED = "computed from the cut pieces (inflate); not yet compared with a built skirt"


def inflated_findings(trial: Trial) -> tuple[Finding, ...]:
    """Return one finding per rule, each at its worst place, of the skirt as it was cut last."""
    segments = trial.measures.segments
    joint_shift, tip_shift = trial.mesh.along(segments.at)
    joint, tips = segments.joint + joint_shift, segments.tip + tip_shift
    return (
        _settled(trial),
        _joint_level(trial, joint),
        _tips_level(trial, tips),
        _tips_high(trial, tips),
        _fixing(trial),
        _slack(trial),
    )


def place(trial: Trial, segment: int) -> str:
    """Return what a builder calls a segment: its number from the bow, and its run."""
    return f"segment {segment + 1} from the bow ({trial.measures.segments.runs[segment].replace('_', ' ')})"


def _settled(trial: Trial) -> Finding:
    shape = trial.shape
    return Finding(
        rule="inflated-at-rest",
        title="The inflated shape has come to rest",
        verdict="pass" if shape.is_settled else "warn",
        value=shape.residual,
        unit="N",
        low=None,
        high=shape.wanted,
        where="the whole skirt",
        why="It was stopped before the forces were in balance: heights may still change.",
        change="Let it run to the end.",
        source="choice of this program",
    )


def _joint_level(trial: Trial, joint: Floats) -> Finding:
    limit, worst = trial.asked.tolerance, int(np.argmax(np.abs(joint)))
    value = float(joint[worst])
    advice = trial.advice
    station = int(np.argmin(np.abs(trial.skirt.cut.plan.stations.at - trial.measures.segments.at[worst])))
    name, loop = trial.skirt.cut.plan.stations.ids[station], -float(advice.rise[station] / advice.slope[station])
    return Finding(
        rule="joint-level",
        title="The joint comes level when inflated as sewn",
        verdict=grade(value, -limit, limit, "warn"),
        value=value,
        unit="m",
        low=-limit,
        high=limit,
        where=place(trial, worst),
        why="A joint that rises lifts its tips off the ground and lets air out; one that sags drags.",
        change=f"Make the loop at {name} {abs(loop) * 1e3:.0f} mm {'longer' if loop > 0 else 'shorter'}.",
        source=COMPUTED,
    )


def _tips_level(trial: Trial, tips: Floats) -> Finding:
    limit = trial.asked.tolerance
    mean = float(np.average(tips, weights=trial.measures.segments.width))
    worst = int(np.argmax(np.abs(tips - mean)))
    value, trim = float(tips[worst] - mean), float(trial.advice.trim[worst])
    return Finding(
        rule="tips-level",
        title="The tips come level with one another",
        verdict=grade(value, -limit, limit, "warn"),
        value=value,
        unit="m",
        low=-limit,
        high=limit,
        where=place(trial, worst),
        why="Air leaves under the highest tips; the lowest wear.",
        change=f"There {trim_words(trim)}.",
        source=COMPUTED,
    )


def _tips_high(trial: Trial, tips: Floats) -> Finding:
    limit = trial.asked.tolerance
    mean = float(np.average(tips, weights=trial.measures.segments.width))
    verdict: Verdict = "pass" if abs(mean) <= limit else "note"
    return Finding(
        rule="tips-at-height",
        title="The tips stand at the drawn height",
        verdict=verdict,
        value=mean,
        unit="m",
        low=-limit,
        high=limit,
        where="mean of all tips",
        why="The craft hovers lower by what the tips stand high: check the clearance and the inner fixings with that.",
        change=f"In the mean {trim_words(float(np.mean(trial.advice.trim)))}.",
        source=COMPUTED,
    )


def trim_words(trim: float) -> str:
    """Return what to do at the tip."""
    if trim >= 0.0:
        return f"trim {trim * 1e3:.0f} mm above the finished tip line"
    return f"leave {-trim * 1e3:.0f} mm of the trim allowance on below the finished tip line"


def _fixing(trial: Trial) -> Finding:
    lines, design = trial.measures.lines, trial.skirt.cut.design
    ties = np.array([np.count_nonzero(trial.skirt.web_lines == node) for node in lines.node], dtype=float)
    ends = (lines.node == 0) | (lines.node == len(trial.skirt.chain.at) - 1)
    ties = np.where(ends, 2.0 * ties, ties)  # the mirror image's own
    each = np.linalg.norm(lines.pull, axis=1) / ties
    worst = int(np.argmax(each))
    with_shock, tear = float(each[worst]) * design.making.shock, design.cloth.segment.tear
    verdict: Verdict = "note" if tear is None else grade(with_shock, None, tear, "warn")
    return Finding(
        rule="fixing-holds",
        title="The inner fixings hold",
        verdict=verdict,
        value=with_shock,
        unit="N",
        low=None,
        high=tear,
        where=f"web line {worst + 1} from the bow",
        why=f"One tie carries {each[worst]:.0f} N at rest; with the shock factor {design.making.shock:g} a hole in bare"
        " cloth tears before the patch behind it is counted.",
        change="Sew a patch of two layers behind the hole, with the tie through all of them.",
        source=f"{COMPUTED}; shock: making.shock; limit: tear strength of the segment cloth",
    )


def _slack(trial: Trial) -> Finding:
    slack = trial.measures.segments.slack
    worst = int(np.argmax(slack))
    return Finding(
        rule="face-taut",
        title="The faces are taut",
        verdict=grade(float(slack[worst]), None, SLACK_FACE, "warn"),
        value=float(slack[worst]),
        unit="1",
        low=None,
        high=SLACK_FACE,
        where=place(trial, worst),
        why="Slack cloth flogs in the jet under the tips and wears at its folds.",
        change="A narrower pitch there, or a loop as long as advised.",
        source=f"{COMPUTED}; limit: choice of this program",
    )
