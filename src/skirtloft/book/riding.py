"""How the craft rides, heave and bounce; and whether the sewn skirt takes its shape, where that was computed."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from skirtloft.answers.bounce_words import CAUTIONS
from skirtloft.answers.inflated_plain import CLAIM, pieces_fingerprint
from skirtloft.answers.inflated_saved import SavedInflation, saved_inflation
from skirtloft.answers.rides import loads_table, rides_parts, verdict_line
from skirtloft.book.hovering import printed, rules, worth
from skirtloft.book.subject import Subject
from skirtloft.book.types import Block, Caution, Chapter, FullPage, Heading, Table, Text
from skirtloft.drawing.rides_sheets import rides_pages
from skirtloft.errors import SolveError
from skirtloft.physics.bounce.types import SCREENING
from skirtloft.rides.findings import rides_findings
from skirtloft.rides.rides_of import rides_of


def how_it_rides(subject: Subject) -> Chapter:
    """Return heave and bounce with the first load, by section, and what was assumed for it."""
    try:
        rides = rides_of(subject.skirt)
    except SolveError as error:
        return Chapter("How it rides", (Text("Nothing can be said of heave and bounce here."), Text(str(error))))
    head, rows = loads_table(rides, subject.show)
    blocks: list[Block] = [
        Text(
            "On a smooth hard floor some skirts bounce by themselves, faster than the crew can count. It is the one"
            " trouble that no drawing shows; this is a first look at it."
        ),
        Text(" ".join(verdict_line(rides).split()), bold=True),
        Table(tuple(word.capitalize() for word in head), tuple(rows), (1.8, 1.3, 1.4, 1.9, 1.6, 1.4)),
    ]
    for title, said in rides_parts(subject.skirt, rides):
        blocks += [Heading(title), *_paragraphs(title, [one for one in said if one != SCREENING])]
    blocks += rules(subject, rides_findings(rides, subject.show))
    blocks += [
        Heading("Assumed, because the file does not tell it"),
        Table(
            ("What", "Taken", "Its key in the file"),
            tuple((one.name, printed(one.taken), printed(one.key)) for one in rides.hover.assumed),
            (2.6, 3.6, 2.4),
        ),
        *worth([SCREENING, *CAUTIONS[:-1]]),
        Caution(CAUTIONS[-1]),
    ]
    drawn = rides_pages(subject.skirt, rides, subject.stamp)
    return Chapter("How it rides", (*blocks, *(FullPage(sheet) for sheet in drawn)))


def _paragraphs(title: str, said: list[str]) -> list[Block]:
    """Return what is said under a heading: section by section for bounce, else in one paragraph.

    What each mechanism alone would need is left to the drawing of the margins, which has it in columns.
    """
    if title != "Bounce":
        return [Text(printed(" ".join(said)))]
    return [Text(printed(one[0].upper() + one[1:])) for one in said if not one.startswith(" ")]


def inflated_shape(subject: Subject, saved: str | None) -> Chapter:
    """Return how level joint and tips of the sewn skirt come, by a saved inflation; else how to get one.

    Raises
    ------
    ExportError
        The saved text is no inflation.
    """
    title = "The sewn skirt, inflated"
    found = None if saved is None else saved_inflation(saved, pieces_fingerprint(subject.skirt.pieces))
    if found is None or not found.is_current:
        why = (
            "No answer is kept beside the design file."
            if found is None
            else "The one kept beside the design file did not come to rest, or belongs to pieces that have changed"
            " since: it is left out."
        )
        return Chapter(
            title,
            (
                Text(
                    "The pieces of this book can be sewn up and inflated in the computer, with their weight: the one"
                    f" check that sees the whole skirt at once, corners included. {why}"
                ),
                Text(
                    "To have it here: run the command inflate on the design file. It takes minutes, keeps its answer"
                    " beside the file, and the next book tells it. Before cloth is cut it is worth the wait; the trial"
                    " segment and the first hover have the last word all the same."
                ),
            ),
            new_page=False,
        )
    return Chapter(title, tuple(_told(subject, found)), new_page=False)


def _told(subject: Subject, found: SavedInflation) -> Iterator[Block]:
    verdict = "Joint and tips come level, within what the making allows." if found.is_level else (
        "Joint or tips do not come level, within what the making allows: trim by this table at the first hover, or ask"
        " the command inflate with --level for loops that do."
    )  # fmt: skip
    yield Text("The cut pieces sewn up and inflated in the computer, with their weight, hull edge held.")
    yield Text(verdict, bold=True)
    rises = found.joint_rise
    yield Table(
        ("Station", "Joint over the drawing"),
        tuple((name, _over(subject, value)) for name, value in rises.items()),
        (1.0, 2.0),
        caption="Joint line; negative: lower",
    )
    if found.tip:
        tips = np.array(found.tip)
        lowest, highest = int(tips.argmin()), int(tips.argmax())
        yield Text(
            f"Tips, {len(tips)} segments of the port half from the bow: {_over(subject, float(tips.mean()))} over the"
            f" drawn plane in the mean; lowest segment {lowest + 1} with {_over(subject, float(tips[lowest]))}, highest"
            f" segment {highest + 1} with {_over(subject, float(tips[highest]))}."
        )
    if found.ground_stiffness:
        rows = tuple((run.replace("_", " "), f"{value:.0f}") for run, value in found.ground_stiffness.items())
        yield Table(
            ("Run", "Force per metre of joint and metre of sink [N/m2]"),
            rows,
            (1.0, 2.0),
            right=(1,),
            caption="Pushed by the ground",
        )
    yield Caution(CLAIM)


def _over(subject: Subject, value: float) -> str:
    return subject.length(round(value, 3))
