"""What a swing test at home says of the cloth, and what that does to the bounce margin."""

from __future__ import annotations

import math

from skirtloft.answers.bounce_words import swing_sentences
from skirtloft.answers.table import prose
from skirtloft.physics.bounce.types import SCREENING
from skirtloft.rides.rides_of import with_loss
from skirtloft.rides.swing_test import ClothLoss
from skirtloft.rides.types import Rides

SAFE_HANDS = (
    "Swing only a craft that stands on blocks and is ballasted to stay there, nobody in or under it; pull the tip with"
    " a line from outside the fan's plane, and stop the fan before you touch anything."
)


def swing_lines(loss: ClothLoss, rides: Rides) -> list[str]:
    """Return the lines: the loss factor of all tests first, then test by test, then the margin."""
    many = len(loss.swung)
    tests = f"{many} segments" if many > 1 else "1 segment"
    lines = [
        f"LOSS     {loss.loss_factor:.3f} in the cloth, between {loss.low:.3f} and {loss.high:.3f} by the scatter, from"
        f" {tests}"
    ]
    last = ""
    for one in loss.swung:
        *said, last = swing_sentences(one.test, one.fed or None)
        lines += ["", f"{one.name} ({one.run})", *(line for words in said for line in prose(f"  {words}"))]
    now = float(rides.hover.runs.loss_factor.min())
    margin, low, high, before = (with_loss(rides, eta)[0] for eta in (loss.loss_factor, loss.low, loss.high, now))
    if math.isinf(before):
        words = "No bounce is expected with any loss in the cloth."
    else:
        words = (
            f"With it the margin of the craft against bounce is {margin:.2f}, between {low:.2f} and {high:.2f};"
            f" with the {now:g} put in so far it is {before:.2f}."
        )
    return [*lines, "", *prose(words), *prose(last), *prose(SCREENING), *prose(SAFE_HANDS)]
