"""How the mock-up goes together, and what to look at when it stands."""

from __future__ import annotations

from skirtloft.design.model import Show
from skirtloft.drawing.dimension import length_text
from skirtloft.drawing.flow import Block, flowed, listed, said, table
from skirtloft.drawing.mock_up import MockUp
from skirtloft.drawing.mock_up_sheets import MockUpSheets, cut_alike, listed_stations, scale_words
from skirtloft.drawing.page import Stamp, drawn_length, page
from skirtloft.drawing.sheet import Sheet

NAMES = 3  # station numbers to a line of the table


def how_to_sheets(made: MockUp, sheets: MockUpSheets, stamp: Stamp, paper: str) -> list[Sheet]:
    """Return the pages on how the mock-up goes together and what to look at."""
    bodies = flowed(_how_to(made, sheets, stamp.project.show), paper)
    title = "Mock-up: how it goes together"
    return [
        page(
            f"mock-up-{k}", title, body, stamp, paper=paper, landscape=False, scale="-", number=f"{k} of {len(bodies)}"
        )
        for k, body in enumerate(bodies, start=1)
    ]


def _sheets_of(sheets: MockUpSheets, kind: str) -> str:
    """Return "3 pages and a large sheet"."""
    number = len(sheets.pages[kind])
    words = [f"{number} page{'s' if number > 1 else ''}"] if number else []
    return " and ".join([*words, *(["a large sheet"] if kind in sheets.large else [])])


def _broken(names: str) -> list[str]:
    """Return "P10, P11, P13, P14" in lines of three, as many as the column of the table holds."""
    each = names.split(", ")
    lines = [", ".join(each[k : k + NAMES]) for k in range(0, len(each), NAMES)]
    return [f"{line}," for line in lines[:-1]] + lines[-1:]


def _how_to(made: MockUp, sheets: MockUpSheets, show: Show) -> list[Block]:
    card, formers = length_text(made.size.card, show), made.formers
    count = {kind: _sheets_of(sheets, kind) for kind in sheets.pages}
    factor, slots = made.size.one_to / 1000.0, {slot.id: slot for slot in made.slots}
    rows: list[tuple[str, ...]] = []
    for group in cut_alike(formers):
        former, slot = group[0], slots[group[0].id]
        first, *more = _broken(listed_stations([one.id for one in group]))
        rows.append(
            (
                first,
                former.run.replace("_", " "),
                f"{former.edge[1]:.1f} mm",
                f"{former.joint[1]:.1f} mm",
                f"{former.slot[2]:.1f} mm",
                f"{slot.length:.1f} mm",
                drawn_length(former.edge[1] * factor, show),
            )
        )
        rows += [(names, "", "", "", "", "", "") for names in more]
    missing = (
        [f"No former at {', '.join(made.left_out)}: the corner is too tight there for a foot. Its panels hang free."]
        if made.left_out
        else []
    )
    return [
        said(
            f"The port half of the skirt in card, {scale_words(made)}: a board at the height of the joint,"
            f" {len(formers)} formers that slot on to it, the loop panels and a few segments, cut on their sew lines."
            " It shows in an evening whether panels meet, which way round everything goes, and how the skirt looks from"
            " where you stand. The same sheets turned over make starboard."
        ),
        *listed(
            "Cut",
            (
                "Print at 100 %, measure the bar on every sheet, then glue the paper to card: the board (1 sheet),"
                f" formers ({count['formers']}), loop panels ({count['panels']}), segments ({count['segments']})."
                " Loop panels and segments may be thinner card.",
                f"Slots are {card} wide, for card {card} thick. Cut one, try it in an offcut: it should hold by itself."
                " Other card: pack again with its thickness.",
                "The board from several cards: butt them away from slots, a strip glued underneath.",
                "Knife away from the fingers, steel rule, several light cuts; cut slots before outlines.",
            ),
        ),
        *listed(
            "Put together",
            (
                "Push each former from outboard on to its slot, number by number, until both slots meet: its inner part"
                f" straddles the board, its feet stand on the table, the board lies {made.level:.1f} mm above it (to"
                " the middle of the card).",
                "Start with three formers far apart, P00, one at the side and the last, so that the board stands; the"
                " one at bow and the one at stern lie on the centre line.",
                *missing,
                "Loop panels: hull edge at E, joint edge on the board's rim, letters against the same letters. Tape"
                " them to the formers' curved edges, bow to stern, then seam to seam. Those across the centre line are"
                " cut or folded on it.",
                "Segments: two webs P and S and one face each, taped along the seams with the same letter. Bend the"
                " face round at its tip. Hang them below the board's rim, joint edge to joint edge.",
            ),
        ),
        *listed(
            "Look at it",
            (
                "Every seam: both edges equally long, mid ticks opposite each other. A gap that grows is a panel in the"
                " wrong place or turned round.",
                "The panels touch their formers all along; the rim of board, panels and faces is one line. Card does"
                " not stretch as cloth does: a hollow of a card's thickness between formers at a corner is the card's.",
                "Square on the table: E stands as high as the table below says, at every former.",
                "Hold the hull's drawing against it: is there room for feet, skids, engine frames, a trailer's arms?",
                "Reach in from below, as a hand will that ties the inner corners. Can it?",
            ),
        ),
        *table(
            "Formers, on the card",
            ("no.", "run", "edge E up", "joint up", "slot in former", "slot in board", "E on the craft"),
            rows,
            (0.0, 26.0, 52.0, 74.0, 94.0, 118.0, 143.0),
        ),
    ]
