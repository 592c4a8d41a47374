"""How the values of the rules on the inflated skirt come about; they are there once `inflate` has run."""

from __future__ import annotations

from skirtloft.checks.finding import Finding
from skirtloft.design.model import Show
from skirtloft.design.units import format_force, format_length
from skirtloft.explain.types import Working
from skirtloft.inflate.saved import SavedInflation
from skirtloft.pipeline import Skirt

RUN_FIRST = "That rule looks at the skirt inflated as sewn, and `inflate` has not run since the design last changed."


def _saved(skirt: Skirt) -> SavedInflation:
    assert skirt.inflated is not None  # or there were no such finding
    return skirt.inflated


def _joint(skirt: Skirt, finding: Finding) -> str:
    rises, show = _saved(skirt).segments.joint, skirt.design.project.show
    return (
        f"all round {_signed(float(rises.min()), show)} to {_signed(float(rises.max()), show)};"
        f" farthest {_signed(finding.value, show)} at {finding.where}"
    )


def _signed(value: float, show: Show) -> str:
    return f"{'-' if value < 0.0 else '+'}{format_length(abs(value), show)}"


def _tips(skirt: Skirt, finding: Finding) -> str:
    tips, show = _saved(skirt).segments.tip, skirt.design.project.show
    return (
        f"tips {_signed(float(tips.min()), show)} to {_signed(float(tips.max()), show)} over the drawn plane;"
        f" farthest from their mean {_signed(finding.value, show)} at {finding.where}"
    )


def _mean(skirt: Skirt, finding: Finding) -> str:
    return f"{_signed(finding.value, skirt.design.project.show)}, mean of {len(_saved(skirt).segments.at)} segments"


def _rest(skirt: Skirt, finding: Finding) -> str:
    return f"{finding.value:.3g} N left over of {finding.high or 0.0:.3g} N asked for"


def _fixing(skirt: Skirt, finding: Finding) -> str:
    show, shock = skirt.design.project.show, skirt.design.making.shock
    each = format_force(finding.value / shock, show)
    return f"{each} x {shock:g} = {format_force(finding.value, show)} at {finding.where}"


def _slack(skirt: Skirt, finding: Finding) -> str:
    return f"{100.0 * finding.value:.0f} % of the face at {finding.where}"


WORKINGS = {
    "inflated-at-rest": Working("size of the forces left over at all nodes, sqrt(sum f^2)", _rest, cut=True),
    "joint-level": Working(
        "height of the joint in the mean over each pitch, less the drawn one; a finer mesh's shift counted in",
        _joint,
        cut=True,
    ),
    "tips-level": Working(
        "mean height of each segment's tip edge, less the mean of all; a finer mesh's shift counted in",
        _tips,
        cut=True,
    ),
    "tips-at-height": Working("mean height of all tip edges over the drawn plane", _mean, cut=True),
    "fixing-holds": Working("pull of the cloth on one tie, from the reactions, x making.shock", _fixing, cut=True),
    "face-taut": Working(
        "share of a face whose larger tension is below 2 % of pressure x half a pitch", _slack, cut=True
    ),
}
