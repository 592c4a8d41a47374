"""How true to cut and drill: what a slip does to the shape, and which one matters most."""

from __future__ import annotations

import math

from skirtloft.book.subject import Subject, listed, run_words
from skirtloft.book.types import Block, Heading, Table, Text
from skirtloft.cutting_errors import CuttingError, cutting_errors, ranked
from skirtloft.report import accuracy_words

SHOWN = ("bow", "side", "stern")


def how_true(subject: Subject) -> list[Block]:
    """Return the table of cutting errors with what it says to somebody with a knife."""
    skirt = subject.skirt
    errors = cutting_errors(skirt)
    level = skirt.design.making.level
    worst = ranked(errors, level)
    known = [one for one in worst if math.isfinite(one.allowed)]
    kept = listed(f"{one.part} to {subject.length(one.allowed)} ({run_words(one.run)})" for one in known)
    still = [one.slip.words.lower() for one in worst if one.per_error and not math.isfinite(one.allowed)]
    blocks: list[Block] = [
        Heading("How true to cut"),
        Text(_sentence(accuracy_words(skirt, worst)), bold=True),
        Text(
            f"One at a time, these bring the tips {subject.length(level)} out of level, on a straight line:"
            f" {kept}. They add up; work to a fifth of them."
        ),
        _table(subject, errors),
        Text(
            "Each row is the section solved again with that slip and nothing else, hull held at its height. The other"
            " way round does the opposite, near enough. One piece with a slip shows it as a step at its neighbours;"
            " where all have the same, the craft floats higher or lower by it and the gap stays. The two margins are"
            " those of the force line, and of the upper edge against going slack: they must stay above zero."
        ),
        Text(
            "Holes out of place along the joint change no section: they do not meet. Mark all of them from one end"
            " of a run, never from hole to hole, and pierce loop, strip and segments through one template. Holes"
            " outside their line in strip or face count as in the loop: they let it act longer."
        ),
    ]
    if still:
        blocks.append(Text("The taut diaphragm holds the tips still against: " + "; ".join(still) + "."))
    return blocks


def _table(subject: Subject, errors: tuple[CuttingError, ...]) -> Table:
    first = errors[0]
    places = [k for k, run in enumerate(first.runs) if run in SHOWN] or list(range(len(first.runs)))
    rows = []
    for error in errors:
        for k in places:
            changes = (error.joint_rise, error.radius_change, error.gap_change)
            rows.append(
                (
                    f"{error.slip.words}, {subject.length(error.slip.size)}" if k == places[0] else "",
                    run_words(error.runs[k]),
                    *(_signed(subject, float(change[k])) for change in changes),
                    _percent(float(error.force_margin[k]), float(error.force_change[k])),
                    _percent(float(error.slack_margin[k]), float(error.slack_change[k])),
                )
            )
    return Table(
        ("Slip", "Where", "Joint height", "Loop radius", "Gap at the tip", "Force margin", "Slack margin"),
        tuple(rows),
        (3.6, 1.1, 1.5, 1.5, 1.5, 1.7, 1.7),
        right=(2, 3, 4, 5, 6),
        caption="Change of shape and gap (+ is up, wider), and the two margins with what they lose or gain",
    )


def _sentence(words: str) -> str:
    return f"The height of the tips {words}."


def _signed(subject: Subject, change: float) -> str:
    """Return a change of length with its sign; to 0.1 mm, as they are small."""
    if math.isnan(change):
        return "no rest"
    millimetres, inches = f"{1000.0 * change:+.1f} mm", f"{change / 0.0254:+.2f} in"
    if abs(change) < 0.00005:
        millimetres, inches = "0 mm", "0 in"
    return {"metric": millimetres, "imperial": inches, "both": f"{millimetres} ({inches})"}[subject.show]


def _percent(value: float, change: float) -> str:
    return "no rest" if math.isnan(value) else f"{100.0 * value:.0f} % ({100.0 * change:+.1f})"
