"""How the craft rides, heave and bounce; and whether the sewn skirt takes its shape, where that was computed."""

from __future__ import annotations

from skirtloft.answers.bounce_words import CAUTIONS
from skirtloft.answers.rides import loads_table, rides_parts, verdict_line
from skirtloft.book.hovering import rules, worth
from skirtloft.book.subject import Subject, printed
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
