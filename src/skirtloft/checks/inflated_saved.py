"""What a saved inflation adds to the findings: its own rules, and the measured deviation in place of the expected."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from skirtloft.checks.finding import Finding, grade
from skirtloft.checks.inflated_rules import COMPUTED
from skirtloft.inflate.saved import SavedInflation

DEVIATION = "panel-deviation"


def as_inflated(findings: Iterable[Finding], saved: SavedInflation) -> tuple[Finding, ...]:
    """Return findings with those of an inflation behind them, and the deviation of the loop panels as it shows it."""
    return (*(_deviation(finding, saved) for finding in findings), *inflated_rows(saved))


def inflated_rows(saved: SavedInflation) -> tuple[Finding, ...]:
    """Return the findings that were saved."""
    return tuple(Finding(**row) for row in saved.findings)


def _deviation(finding: Finding, saved: SavedInflation) -> Finding:
    """Return the expected deviation of the loop as the inflated skirt has it.

    The limit is meant for what flat patterns make of the shape, and that is what the rule of thumb says. The free
    joint, drawn in and out between the webs, adds to what is measured: where the patterns pass by themselves, more than
    the limit is worth a note and no more.
    """
    if finding.rule != DEVIATION or not saved.deviation:
        return finding
    worst = max(saved.deviation, key=lambda panel: saved.deviation[panel])
    value = saved.deviation[worst]
    verdict = grade(value, finding.low, finding.high, "note" if finding.verdict == "pass" else "warn")
    return replace(
        finding,
        title="How far the inflated loop stands off its own arcs between hull edge and joint",
        verdict=verdict,
        value=value,
        where=worst,
        change=finding.change
        if verdict == "warn"
        else "Nothing: the patterns pass. The rest is the pull of the webs on the joint, which no seam changes.",
        source=f"{COMPUTED}; in place of the rule of thumb, which said {finding.value * 1e3:.1f} mm ({finding.where})",
    )
