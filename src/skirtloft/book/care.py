"""Looking after the skirt: what to inspect and when, repair, spares, and pages to write in."""

from __future__ import annotations

from skirtloft.book.sewing import is_glued
from skirtloft.book.subject import Subject, listed
from skirtloft.book.types import Block, Caution, Chapter, Heading, Steps, Table, Text
from skirtloft.materials.list import SPARE_TIES
from skirtloft.materials.spares import spare_pieces


def care(subject: Subject) -> Chapter:
    """Return inspection, repair, spares and the logs."""
    design = subject.skirt.design
    blocks: list[Block] = [
        Heading("Before every trip"),
        Steps(
            (
                "Walk round: torn segments, broken ties, bolts gone, seams that lift.",
                "Reach into the loop low at the stern: water, sand or stones? Let them out.",
                "Fan, guards, belt, kill switch, fuel.",
                "Spares, knife, tape, ties and glue aboard; somebody ashore knows where you go.",
            ),
            boxes=True,
        ),
        Heading("Every ten hours, and after a hard landing"),
        Steps(
            (
                "Tips: wear all round alike? More on one side or at the stern tells of mass off centre or of trim.",
                "Corners of the hull where cloth rubs: chafed through the coating?",
                "Joint bolts: a tenth of them with a spanner; all of them if one was loose.",
                "Segments off rough ground change places with those that wear little, within one code.",
            ),
            boxes=True,
        ),
        Heading("Repair"),
        Text(
            "A lost segment is replaced whole: undo its bolts and ties, put in a spare of the same code and hand. A"
            f" tear is cleaned, dried and patched with at least {subject.length(0.03)} of cloth beyond it all round,"
            f" corners of the patch rounded; longer than {subject.length(0.075)}, a patch inside as well. A patch"
            " across the tip line rubs off: replace that segment. (Sizes: common practice, no source.)"
        ),
    ]
    if is_glued(design):
        blocks.append(
            Text(
                "One-part glue gets you home and no further. Take it off again and do the joint anew, with two-part"
                " glue, in the warm and dry."
            )
        )
    blocks += [Heading("Spares"), *_spares(subject)]
    blocks += [
        Caution("No repair under a craft that can move: engine off, lanyard in your pocket, hull on timber."),
        Table(
            ("Day", "Hours", "Ground: water, grass, sand, stone", "Ties used", "What was seen", "By"),
            (("",) * 6,) * 8,
            (1.0, 0.9, 2.6, 1.0, 4.0, 0.9),
            form=True,
            caption="Log of hours",
        ),
        Table(
            ("Day", "Station or segment", "What was wrong", "What was done", "Glue, thread, batch", "By"),
            (("",) * 6,) * 7,
            (1.0, 1.5, 3.0, 3.0, 2.0, 0.9),
            form=True,
            caption="Log of repairs",
        ),
    ]
    return Chapter("Inspection, repair and spares", tuple(blocks))


def _spares(subject: Subject) -> list[Block]:
    spares = spare_pieces(subject.skirt.pieces)
    if not spares:
        return [
            Text(f"The file asks for no spare segments. Carry {SPARE_TIES} ties, tape, bolts and glue all the same.")
        ]
    total = sum(spares.values())
    told = listed(f"{count} of {base}" for base, count in spares.items())
    return [
        Text(
            f"{total} segments, sewn and ready: {told}, each with a web of either hand (2 webs, {2 * total} in all)."
            f" With them {SPARE_TIES} ties, a handful of bolts and washers, tape, glue. A craft flies home with a few"
            " segments gone; how many this one can lose is among the findings."
        )
    ]
