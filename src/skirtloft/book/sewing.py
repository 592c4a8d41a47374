"""The order of work: loop, segments, strips, seam by seam, with stitch, glue and the clock of the cure."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from skirtloft.book.cutting import kind_title
from skirtloft.book.seams import Seam, ring_order, roll_diameter, segment_seams
from skirtloft.book.subject import Subject, codes, listed
from skirtloft.book.types import Block, Caution, Chapter, Heading, Steps, Table, Text
from skirtloft.design.model import Design
from skirtloft.design.units import format_areal_mass
from skirtloft.pieces.types import CutPiece

CLOCK = (24.0, 72.0)  # [h] until a glued lap may be loaded, and until it may get wet (common practice, no source)
KNOWN = ("loop_panel", "face", "web", "joint_strip")


def order_of_work(subject: Subject) -> Chapter:
    """Return how to sew the skirt, step by step, every seam by its letter and pieces."""
    blocks: list[Block] = [
        Text(
            "In this order: one trial segment and one trial seam of the loop; the loop, seam by seam; segments, the"
            " corners first; strips; then the joint, which is bolted and not sewn. A seam has one letter, the same on"
            " both pieces that meet in it, and its notches meet, single to single and double to double."
        ),
        Heading("Stitch and glue"),
        *_stitch(subject),
        *_glue(subject),
        Heading("1  The loop"),
        *_loop(subject),
        Heading("2  The segments"),
        *_segments(subject),
        Heading("3  The strips of the joint"),
        *_strips(subject),
        *_others(subject),
        *_clock(subject),
    ]
    return Chapter("Order of work", tuple(blocks))


def is_sewn(design: Design) -> bool:
    """Tell whether the file has seams sewn."""
    return design.making.is_sewn


def is_glued(design: Design) -> bool:
    """Tell whether the file has seams glued."""
    return design.making.is_glued


def _stitch(subject: Subject) -> Iterator[Block]:
    design = subject.skirt.design
    making = design.making
    lap = f"Laps of {subject.length(making.seam)}, {making.join}."
    if not is_sewn(design):
        yield Text(lap)
        return
    yield Text(
        f"{lap} Stitch {making.stitch} ({'lockstitch' if making.stitch == '301' else 'chain stitch'}), {making.rows}"
        f" row{'s' if making.rows > 1 else ''}, stitches {subject.length(making.stitch_length)} long, the outer row"
        f" {subject.length(0.008)} from the edge, rows {subject.length(0.007)} apart. Bonded polyester thread that"
        " stands sunlight, needle 90/14 to 110/18 with a plain point: the smallest that does not fray the thread."
        " Shorter stitches do not make a stronger seam; they tear like a stamp. (Distances and needle: common"
        " practice, no source.)"
    )
    yield Text(
        "Pins leave holes: hold laps with clips or a strip of tape. Try thread, needle and tension on offcuts of the"
        " same cloth, in as many layers as the corner of a tab has, before the first real seam."
    )
    yield Caution(
        "Switch the machine off to thread it or to change the needle, and wear eye protection: needles break."
    )


def _glue(subject: Subject) -> Iterator[Block]:
    design = subject.skirt.design
    if design.making.join == "welded":
        yield Text(
            "Weld offcuts first and tear them apart: where the cloth tears beside the weld, heat, speed and pressure"
            " are right. Write them down. Hot air nozzles burn, and some coatings give off fumes that harm: open air."
        )
    if not is_glued(design):
        return
    yield Steps(
        (
            "Use the two-part glue that the maker of the cloth names, and its sheet before anything said here.",
            "Wipe both faces with the solvent of the sheet, let them dry; roughen rubber.",
            f"Two or three thin coats on both faces, {format_areal_mass(design.materials.glue, subject.show)} in all,"
            " each dry to the touch before the next.",
            "18 to 25 degC, and drier than 70 % humidity. A white bloom means damp: stop, warm the room, begin again.",
            "Lay the edges together from the middle outwards, notch on notch, and roll them down hard.",
            f"Leave it {CLOCK[0]:.0f} hours before it is sewn or pulled, {CLOCK[1]:.0f} hours before it gets wet. Enter"
            " every batch in the clock at the end of this chapter. (Hours, warmth, humidity: common practice, no"
            " source.)",
        )
    )
    yield Caution(
        "Glue and solvent burn and their vapour harms: open air or good ventilation, no flame or spark, gloves, and the"
        " tin closed. Rags soaked in them can catch fire by themselves: dry them spread out, outdoors."
    )


def _loop(subject: Subject) -> Iterator[Block]:
    design = subject.skirt.design
    order = ring_order(subject.skirt.pieces)
    yield Text(
        "Lap neighbouring panels so that their sew lines lie on each other; the panel nearer the bow lies outside. Sew"
        " each half flat, from the bow aft. Lay the two halves on each other, outside to outside, before they are"
        " joined: every station must meet its twin. Keep what is sewn to the left of the needle, so that only the new"
        " panel has to pass under the arm of the machine."
    )
    yield _seam_table(subject, order.port, "Port half, bow to stern")
    yield _seam_table(subject, order.starboard, "Starboard half, bow to stern")
    if order.joining:
        yield _seam_table(subject, order.joining, "Across the centre line, joining the halves")
    longest = max((piece.joint_length for piece in subject.pieces("loop_panel")), default=0.0)
    under = roll_diameter(longest, design.cloth.loop.mass)
    if order.closing is not None:
        yield _seam_table(subject, (order.closing,), "Last: the seam that closes the ring")
        half = roll_diameter(subject.skirt.plan.joint_perimeter / 2.0, design.cloth.loop.mass)
        yield Text(
            f"Seam {order.closing.letter} between {order.closing.first} and {order.closing.second} comes last: it is"
            f" {subject.length(order.closing.length)} long, and half the ring has to lie under the arm. Rolled up it is"
            f" about {subject.length(round(half, 3))} thick; the longest single panel, rolled, about"
            f" {subject.length(round(under, 3))}. Measure the room between needle and arm before you begin. Where it is"
            " too little, sew this one seam by hand, or glue it and sew it on a longer machine."
        )
    yield _hull_edge(subject)


def _hull_edge(subject: Subject) -> Text:
    """Say what becomes of the cloth beyond the hull edge: the same row that the list of materials has thread for."""
    making = subject.skirt.design.making
    beyond = subject.span(
        edge.allowance for piece in subject.pieces("loop_panel") for edge in piece.edges if edge.kind == "hull"
    )
    if making.seams.hull == "bound":
        finish = f"Bind the raw edge with tape, {subject.length(making.seams.binding)} wide when finished"
    else:
        way = {"glued": "glue it down", "welded": "weld it down"}.get(making.join, "sew it down in one row")
        finish = f"Turn the raw edge in once and {way}, clear of that line"
    return Text(
        f"Then the hull edge, all round: {beyond} of cloth lie beyond the line of the hull edge. {finish}. The line"
        " comes on to the edge of the hull, the hem beyond it under the edge strip. Its bolt holes are no part of the"
        " templates: they are pierced when the loop hangs, through the holes drilled in the edge."
    )


def _seam_table(subject: Subject, seams: Sequence[Seam], caption: str) -> Table:
    rows = [(f"{s.letter}", f"{s.first}  with  {s.second}", subject.length(s.length), "") for s in seams]
    half = (len(rows) + 1) // 2 if len(rows) > 6 else len(rows)
    if half == len(rows):
        return Table(("Seam", "Pieces", "Length", "Done"), tuple(rows), (0.8, 3.4, 1.6, 3.0), caption=caption)
    blank = ("", "", "", "")
    pairs = [(*rows[k], *(rows[k + half] if k + half < len(rows) else blank)) for k in range(half)]
    return Table(
        ("Seam", "Pieces", "Length", "Done", "Seam", "Pieces", "Length", "Done"),
        tuple(pairs),
        (0.8, 2.6, 1.6, 1.0, 0.8, 2.6, 1.6, 1.0),
        caption=caption,
    )


def _segments(subject: Subject) -> Iterator[Block]:
    design = subject.skirt.design
    faces = subject.pieces("face")
    seams = segment_seams(subject.skirt.pieces)
    rows = []
    for face in faces:
        mine = [seam for seam in seams if seam.first == face.id]
        rows.append(
            (
                face.id,
                str(face.quantity),
                *(f"{seam.letter}: {seam.second}" for seam in mine[:2]),
                subject.span(seam.length for seam in mine),
                face.name.removeprefix("segment face, "),
            )
        )
    yield Table(
        ("Face", "Make", "Seam at its left", "Seam at its right", "Length of each", "Belongs to"),
        tuple(rows),
        (1.0, 0.9, 2.2, 2.2, 2.0, 2.4),
        right=(1,),
        caption="One segment is a face and two webs; left and right as its outside faces you, joint up",
    )
    tab = (
        ", stopping at the tab, which stays flat"
        if any("tab" in n for p in subject.pieces("web") for n in p.notes)
        else ""
    )
    yield Steps(
        (
            f"Webs first: fold the hems of {subject.length(design.making.hem)} and sew them{tab}. Sew a patch behind"
            " the tab and set the eyelet through both.",
            "Lay face and web outside to outside, sew line on sew line, and sew from the joint to the tip. Then the"
            " other web.",
            "Hold it up by the joint: the joint edge is straight and the tip stands round. If the face twists, a notch"
            " was missed.",
            f"Do not trim the tip: {subject.length(design.making.tip_trim)} are left on for the first hover.",
            "Every segment is a piece of its own. Neighbours are never sewn together: that is how one can be changed in"
            " a minute.",
        )
    )


def _strips(subject: Subject) -> Iterator[Block]:
    strips = subject.pieces("joint_strip")
    yield Text(
        f"Fold each of {codes(dict.fromkeys(piece.base for piece in strips))} along its middle, outside out. In corners"
        " cut the slits of both halves first. Punch the holes through both layers at once, from the template."
    )


def _others(subject: Subject) -> Iterator[Block]:
    """Pieces of any further kind: what their notes and edges say."""
    kinds = [kind for kind in dict.fromkeys(piece.kind for piece in subject.skirt.pieces) if kind not in KNOWN]
    for number, kind in enumerate(kinds, start=4):
        yield Heading(f"{number}  {kind_title(kind)}")
        mine = subject.pieces(kind)
        yield Table(
            ("Piece", "Make", "What it is", "Meets"),
            tuple((piece.id, str(piece.quantity), piece.name, _meets(piece)) for piece in mine),
            (1.2, 0.8, 3.6, 4.0),
            right=(1,),
        )
        for note in dict.fromkeys(note for piece in mine for note in piece.notes):
            yield Text(note)


def _meets(piece: CutPiece) -> str:
    told = [f"{edge.name}: {edge.joins}" for edge in piece.edges if edge.joins]
    return listed(dict.fromkeys(told)) or "-"


def _clock(subject: Subject) -> Iterator[Block]:
    if not is_glued(subject.skirt.design):
        return
    yield Table(
        (
            "Seams",
            "Glued: day, hour",
            "Warmth, humidity",
            "Batch of glue",
            f"Sew from: + {CLOCK[0]:.0f} h",
            f"Wet from: + {CLOCK[1]:.0f} h",
        ),
        (("",) * 6,) * 8,
        (1.6, 1.6, 1.6, 1.4, 1.5, 1.5),
        form=True,
        caption="Clock of the cure",
    )
