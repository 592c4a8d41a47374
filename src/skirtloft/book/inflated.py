"""What inflating the skirt in the computer showed, where that was done: before any cloth is bought."""

from __future__ import annotations

from skirtloft.book.subject import Subject, run_words
from skirtloft.book.types import Block, Caution, Chapter, Figure, Heading, Table, Text
from skirtloft.drawing.inflated_figures import FROM_ABOVE, heights_figure, shape_figure
from skirtloft.inflate.saved import SavedInflation, StationRow

CLAIM = (
    "A computation from the cut pieces; no built skirt has been compared with it yet. It can tell whether joint and"
    " tips come level, to about 10 mm on runs like a bow and 15 mm on sides that balloon, before the tips are trimmed."
    " It says nothing of the highest stress in the cloth, of flutter or bounce, of shocks and waves, or of cloth that"
    " creeps. Sew and inflate one corner before you cut the rest."
)
TITLE = "Inflated in the computer"
HOW = (
    Text(
        "The pieces of this book can be sewn up and inflated in the computer, with their weight: the one check that"
        " sees the whole skirt at once, corners included. No such computation of this design is kept beside its file."
    ),
    Text(
        "To have it here: run the command inflate on the design file. It takes minutes, keeps its answer beside the"
        " file, and the next book tells it. Before cloth is cut it is worth the wait; the trial segment and the first"
        " hover have the last word all the same."
    ),
)


def inflated(subject: Subject) -> Chapter:
    """Return the chapter; where `inflate` has not run since the design last changed, it says how to get it."""
    saved = subject.skirt.inflated
    if saved is None:
        return Chapter(TITLE, HOW, new_page=False)
    shape = shape_figure(saved)
    blocks: list[Block] = [
        Text(_verdict(subject, saved), bold=True),
        Caution(CLAIM),
        Figure(heights_figure(saved, subject.show), 168.0, 84.0, "Height of joint and tips against the drawing"),
        Figure(shape, shape.width, shape.height, FROM_ABOVE),
        Heading("What to change, station by station"),
        Text(
            "Where the change of the loop is a dash the joint stands within what counts as level"
            f" ({subject.length(saved.tolerance)}). A longer loop lets the joint down. Tips are not chased with the"
            " loop: they are trimmed from the finished tip line, or cloth of the trim allowance is left on below it."
        ),
        Table(
            ("Station", "Run", "Joint stands", "Change the loop by", "Tips"),
            tuple(_row(subject, row) for row in saved.stations),
            (1.0, 2.0, 1.6, 2.0, 2.4),
            right=(2, 3),
            caption="Before cutting: inflate --write puts these into a design file and inflates it again",
        ),
    ]
    return Chapter(TITLE, tuple(blocks))


def _verdict(subject: Subject, saved: SavedInflation) -> str:
    joint, tips = saved.segments.joint, saved.segments.tip
    word = "comes" if saved.is_level else "does not come"
    return (
        f"Sewn up and inflated in the computer the skirt {word} level within {subject.length(saved.tolerance)}: the"
        f" joint stands {_signed(subject, float(joint.min()))} to {_signed(subject, float(joint.max()))} from its drawn"
        f" height, the tips {_signed(subject, float(tips.min()))} to {_signed(subject, float(tips.max()))} from the"
        " drawn tip plane. The craft hovers lower by what the tips stand high."
    )


def _row(subject: Subject, row: StationRow) -> tuple[str, ...]:
    trim = row.trim_tips
    tips = "as drawn"
    if abs(trim) >= 0.0005:
        tips = f"trim {subject.length(trim)}" if trim > 0.0 else f"leave {subject.length(-trim)} on"
    change = _signed(subject, row.change_loop) if row.is_beyond else "–"
    return (row.id, run_words(row.run), _signed(subject, row.joint_rise), change, tips)


def _signed(subject: Subject, value: float) -> str:
    return f"{'-' if value < 0.0 else '+'}{subject.length(abs(value))}"
