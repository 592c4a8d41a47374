"""A design corrected by its own inflation: loops and tips changed in the file, cut and inflated again."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from skirtloft.answers.inflated_words import round_words
from skirtloft.design.read import parse_design
from skirtloft.design.recut_text import with_recut
from skirtloft.inflate.skirt.correct import correction_of, is_drawn
from skirtloft.inflate.skirt.trial import Trial
from skirtloft.maths.frozen import Floats
from skirtloft.pipeline import Skirt, build

Inflate = Callable[[Skirt], Trial]


@dataclass(frozen=True, eq=False)
class Corrected:
    """A corrected design.

    Parameters
    ----------
    text : str
        Of the design file.
    skirt : Skirt
        Of that text, as it is cut.
    trials : tuple of Trial
        As designed first; the last is of `text`.
    """

    text: str
    skirt: Skirt
    trials: tuple[Trial, ...]


def corrected(text: str, skirt: Skirt, first: Trial, inflate: Inflate, rounds: int) -> Corrected:
    """Return a design whose joint and tips come to stand where they are drawn, or the best of so many rounds.

    Parameters
    ----------
    text : str
    skirt : Skirt
        Of that text, as it is cut.
    first : Trial
        Of that skirt, not levelled.
    inflate : callable
        Skirt -> trial of it.
    rounds : int

    Raises
    ------
    DesignError
        The text is written in a way that cannot be changed safely.
    ShapeError, SolveError
        What is corrected cannot be cut.
    """
    trials, made = [first], (text, skirt)
    for _ in range(rounds):
        last = trials[-1]
        if last.is_stopped or not last.shape.is_settled or is_drawn(last):
            break
        correction = correction_of(last, made[1].sections.length)
        loops = _inside(correction.at, correction.loop)
        imperial = made[1].design.project.show == "imperial"
        again = with_recut(made[0], loops, correction.tips, imperial)
        made = (again, build(parse_design(again), preview=False))
        trials.append(inflate(made[1]))
    return Corrected(made[0], made[1], tuple(trials))


def _inside(at: Floats, loop: Floats) -> list[tuple[float, float]]:
    """Return places and changes, none where nothing is changed at all; the same beyond the first and the last."""
    if not loop.any():
        return []
    return [(float(place), float(change)) for place, change in zip(at, loop, strict=True)]


def round_lines(found: Corrected) -> list[str]:
    """Return what each round brought, one line each."""
    lines = []
    for number, trial in enumerate(found.trials):
        what = "as designed" if number == 0 else f"cut by the corrected file, round {number}"
        lines.append(f"Corrected {what}: {round_words(trial.rounds[-1], found.skirt.design.project.show)}")
    return lines
