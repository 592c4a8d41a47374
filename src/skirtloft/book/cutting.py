"""What to cut: every piece with its picture, where it lies on the roll, and what to buy."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from skirtloft.book.accuracy import how_true
from skirtloft.book.subject import Subject, codes, run_words
from skirtloft.book.types import Block, Caution, Chapter, Figure, FullPage, Heading, Steps, Table, Text
from skirtloft.design.model import Show
from skirtloft.design.units import format_area, format_length, format_mass
from skirtloft.drawing.roll_sheets import roll_sheets
from skirtloft.drawing.template import distinct
from skirtloft.drawing.template_labels import quantity_words
from skirtloft.drawing.thumbnail import thumbnail
from skirtloft.layout.report import layout_lines
from skirtloft.layout.types import Layout
from skirtloft.layout.verify import RollUse, roll_uses
from skirtloft.materials.spares import spare_pieces
from skirtloft.materials.table import NOT_PRICED, Cell, amount, in_units, rows
from skirtloft.maths.number_text import number_text
from skirtloft.pieces.cut_list import size_mm
from skirtloft.pieces.types import CutPiece, PieceKind

PICTURE = (40.0, 15.0)  # [mm] room of a picture in the catalogue
FEW = 4  # notes up to which they are told as text, not as a table
KINDS: dict[str, str] = {
    "loop_panel": "Panels of the loop",
    "face": "Faces of the segments",
    "web": "Webs of the segments",
    "joint_strip": "Strips of the joint",
}


def catalogue(subject: Subject) -> Chapter:
    """Return every distinct piece with its picture, how many to cut, size and what it joins."""
    pieces, project = subject.skirt.pieces, subject.skirt.design.project
    spares = spare_pieces(pieces)
    count, spare = sum(piece.quantity for piece in pieces), sum(spares.values())
    blocks: list[Block] = [
        Text(
            f"{count} pieces from {len({piece.base for piece in pieces})} templates of revision {project.revision}."
            f" P is port, S is starboard, its mirror image: one template serves both, turned over for S. To cut besides"
            f" as spares: {spare} faces, each with a web of either hand." if spare else
            f"{count} pieces from {len({piece.base for piece in pieces})} templates of revision {project.revision}."
            " P is port, S is starboard, its mirror image: one template serves both, turned over for S."
        ),
        Text(
            "Sizes are of the box round the cut line, allowances in. The pictures are not for measuring: the full-size"
            " templates are in the pack, and rectangles have a card with their dimensions."
        ),
        _count(subject),
    ]  # fmt: skip
    for kind in dict.fromkeys(piece.kind for piece in pieces):
        blocks.append(Heading(kind_title(kind)))
        blocks.append(_catalogue_of(subject, kind, _spares(pieces)))
        notes = dict.fromkeys(note for piece in subject.pieces(kind) for note in piece.notes)
        by_note = {note: [p.id for p in subject.pieces(kind) if note in p.notes] for note in notes}
        told = [(codes(named), note) for note, named in by_note.items()]
        if len(told) > FEW:
            blocks.append(Table(("Pieces", "Note"), tuple(told), (2.6, 6.0)))
        else:
            blocks += [Text(f"{named}: {note}") for named, note in told]
    return Chapter("The pieces", tuple(blocks))


def kind_title(kind: PieceKind) -> str:
    """Return the heading over the pieces of a kind."""
    words = kind.replace("_", " ").capitalize()
    return KINDS.get(kind, f"{words}es" if words.endswith("ch") else f"{words}s")


def _count(subject: Subject) -> Table:
    """How many of which, on one look."""
    found: list[tuple[str, str, str, str]] = []
    for cloth in dict.fromkeys(piece.cloth for piece in subject.skirt.pieces):
        mine = [piece for piece in subject.skirt.pieces if piece.cloth == cloth]
        area = sum(piece.area * piece.quantity for piece in mine)
        bought = [f"{subject.length(use.length)} of {use.roll.name}" for use in _uses(subject, cloth)]
        found.append(
            (
                cloth,
                str(sum(piece.quantity for piece in mine)),
                format_area(area, subject.show),
                "; ".join(bought) or "lay out first",
            )
        )
    spares = next((line for line in subject.bill.lines if line.part.endswith("for spares")), None)
    if spares is not None:
        counts = {kind: sum(piece.spares for piece in subject.pieces(kind)) for kind in ("face", "web", "patch")}
        cut = ", ".join(f"{n} {kind}{'es' if kind == 'patch' else 's'}" for kind, n in counts.items() if n)
        inside = (spares.area or 0.0) - (spares.offcut or 0.0)
        more = f"{subject.length(spares.quantity)} more, at the same use of the roll"
        found.append(("segment, spares", cut, format_area(inside, subject.show), more))
    return Table(("Cloth", "Pieces", "Area in the pieces", "Cut from"), tuple(found), (1.6, 1.8, 2.2, 4.0))


def _uses(subject: Subject, cloth: str) -> list[RollUse]:
    return [use for layout in subject.layouts if layout.problem.cloth == cloth for use in roll_uses(layout)]


def _catalogue_of(subject: Subject, kind: PieceKind, spares: dict[str, str]) -> Table:
    found: list[tuple[str | Figure, ...]] = []
    for piece, quantities in distinct(subject.pieces(kind)):
        sheet, scale = thumbnail(piece, *PICTURE)
        spare = spares.get(piece.base, "")
        found.append(
            (
                Figure(sheet, sheet.width, sheet.height),
                piece.base,
                quantity_words(quantities).removeprefix("cut ") + (f", and {spare} spare" if spare else ""),
                piece_size(subject, piece),
                _what(piece),
                f"1 : {scale:g}",
            )
        )
    return Table(
        ("", "Code", "Cut", "Size of the box" + (" [mm]" if subject.show == "metric" else ""), "What it is", "Picture"),
        tuple(found),
        (3.6, 0.9, 2.0, 2.8, 4.6, 1.1),
    )


def _spares(pieces: Sequence[CutPiece]) -> dict[str, str]:
    """Return in words how many spares are cut of each piece by its code: "13 P + 13 S"."""
    found: dict[str, list[str]] = {}
    for piece in pieces:
        if piece.spares:
            found.setdefault(piece.base, []).append(f"{piece.spares} {piece.hand}".strip())
    return {base: " + ".join(told) for base, told in found.items()}


def piece_size(subject: Subject, piece: CutPiece) -> str:
    """Return length and width of a piece as the cut list has them, in feet and inches besides where asked."""
    metric = " × ".join(size_mm(piece))
    if subject.show == "metric":
        return metric
    low, high = piece.cut_line.min(axis=0), piece.cut_line.max(axis=0)
    feet = " × ".join(format_length(float(value), "imperial") for value in high - low)
    return f"{feet} ({metric} mm)"


def _what(piece: CutPiece) -> str:
    place = f", {_both_sides(piece.stations)}" if piece.stations else ""
    letters = list(dict.fromkeys(edge.letter for edge in piece.edges if edge.letter))
    seams = f"; seam{'s' if len(letters) > 1 else ''} {', '.join(letters)}" if letters else ""
    holes = f"; {len(piece.holes)} hole{'s' if len(piece.holes) != 1 else ''}" if len(piece.holes) else ""
    card = "; from its card" if piece.is_rectangle else ""
    name = piece.name if run_words(piece.run) in piece.name else f"{piece.name} {run_words(piece.run)}".strip()
    return f"{name}{place}{seams}{holes}{card}"


def _both_sides(stations: str) -> str:
    return f"station {stations}"


def cut_plan(subject: Subject) -> Chapter:
    """Return where every piece lies on its roll, to mark out by hand."""
    blocks: list[Block] = []
    if not subject.layouts:
        words = "There is no layout: a piece fits across no roll of its cloth. See what to change among the findings."
        blocks.append(Text(words, bold=True))
    if any(layout.made_by == "quick" for layout in subject.layouts):
        blocks.append(
            Text(
                "The layout is the quick one. A longer search may save cloth: lay the pieces out with the layout"
                " command and make the book again; it keeps what was found."
            )
        )
    for layout in subject.layouts:
        blocks.append(Heading(f"{layout.problem.cloth.capitalize()} cloth"))
        blocks += [Text(line.strip()) for line in _layout_words(subject, layout)]
    blocks += [
        Heading("Before the first cut"),
        Steps(
            (
                "Measure the width of the roll you have against the width in the drawing. A narrower roll needs a"
                " layout of its own.",
                "Look the cloth over for flaws and shade; mark them, and cut round them from what is left over.",
                "Square the end of the roll. Lay the cloth flat, outside up, without pulling it.",
                "Cut one panel and one segment first, sew them, try them against the drawing. Then cut the rest.",
                "Write the code on every piece before it leaves the table, and carry over every notch, hole and"
                " letter.",
            ),
            boxes=True,
        ),
        Caution(
            "A hot knife gives off fumes that harm: open air, and none on cloth coated with PVC. A cold blade cuts away"
            " from you, with a mat below."
        ),
    ]
    blocks += how_true(subject)
    sheets = roll_sheets(subject.layouts, subject.stamp, subject.paper)
    return Chapter("Cut plan", (*blocks, *(FullPage(sheet) for sheet in sheets)))


def _layout_words(subject: Subject, layout: Layout) -> list[str]:
    lines = layout_lines(layout, subject.show)
    return [line.removeprefix(layout.problem.cloth.capitalize()).strip().capitalize() + "." for line in lines]


def bill(subject: Subject) -> Chapter:
    """Return what to buy."""
    made = subject.bill
    table = rows(made, subject.show)
    blocks: list[Block] = [
        Table(
            ("Part", "Quantity", "Mass", f"Cost {made.currency}".strip(), "How it was counted"),
            tuple(
                (
                    str(row["part"]),
                    _quantities(subject)[k],
                    _mass_words(subject, row.get("mass_kg")),
                    number_text(row.get("cost")),
                    str(row.get("how") or ""),
                )
                for k, row in enumerate(table)
            ),
            (2.4, 1.9, 1.1, 1.4, 5.4),
            right=(1, 2, 3),
        ),
        *_bill_notes(subject),
    ]
    return Chapter("Materials", tuple(blocks))


def _mass_words(subject: Subject, mass: Cell) -> str:
    """Return a mass [kg] as the table of materials has it, or in pounds, or in both."""
    if not isinstance(mass, (int, float)):
        return ""
    metric, imperial = f"{number_text(mass)} kg", format_mass(float(mass), "imperial")
    return {"metric": metric, "imperial": imperial, "both": f"{metric} ({imperial})"}[subject.show]


def _quantities(subject: Subject) -> list[str]:
    """Return the quantities as the table of materials has them, in both systems of units where asked."""
    shown: tuple[Show, ...] = ("metric", "imperial") if subject.show == "both" else (subject.show,)
    found = []
    for line in subject.bill.lines:
        names = ["" if line.unit == "each" else f" {in_units(line, show)[1]}" for show in shown]
        words = [f"{number_text(amount(line, show))}{name}" for show, name in zip(shown, names, strict=True)]
        found.append(words[0] if len(set(words)) == 1 else f"{words[0]} ({words[1]})")
    return [*found, ""]


def _bill_notes(subject: Subject) -> Iterator[Block]:
    if not subject.bill.laid_out:
        yield Text("The cloth is only the area of the pieces: lay them out first, then it is what to buy.", bold=True)
    if subject.bill.not_priced:
        yield Text(
            f"“{NOT_PRICED}” is no zero: the file has no price for that part, and the sum is without it. Prices are"
            " written under [prices]."
        )
    yield Text("The same table is in the pack as materials.csv. Buy a little more of what a knife may spoil.")
