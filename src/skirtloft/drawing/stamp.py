"""What every sheet of a skirt says: refusals, accepted refusals, changes of the run."""

from __future__ import annotations

from collections.abc import Sequence

from skirtloft.checks.check import failed
from skirtloft.drawing.page import Stamp
from skirtloft.errors import ExportError
from skirtloft.pipeline import Skirt


def stamp_of(skirt: Skirt, accept: Sequence[str] = (), changes: tuple[str, ...] = ()) -> Stamp:
    """Return what every sheet says of rules that fail and of changes for this run; as `plan_pack`.

    Raises
    ------
    ExportError
        A rule to accept does not fail.
    """
    failing = [finding.rule for finding in failed(skirt.findings)]
    unknown = [rule for rule in accept if rule not in failing]
    if unknown:
        those = f"these fail: {', '.join(failing)}" if failing else "no rule fails"
        raise ExportError(f"--accept {', '.join(unknown)}: only a rule that fails can be accepted; {those}.")
    return Stamp(
        skirt.design.project,
        failed=tuple(rule for rule in failing if rule not in accept),
        accepted=tuple(rule for rule in failing if rule in accept),
        changes=changes,
    )
