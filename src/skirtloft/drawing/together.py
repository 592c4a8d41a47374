"""How the pieces go together: a sketch of the joint and of one segment, and the order of sewing and fitting."""

from __future__ import annotations

import numpy as np

from skirtloft.drawing.dimension import leader
from skirtloft.drawing.page import Column
from skirtloft.drawing.sheet import Circle, Item, Layer, Line, Text
from skirtloft.maths.frozen import Floats, frozen_array

STEPS = (
    "Loop: lap neighbouring panels so that their sew lines lie on each other, like letters together, notch on notch; "
    "the panel nearer the bow lies outside. Glue, let it cure, then two rows of stitches. Leave the seam that "
    "closes the ring to the end, and roll the loop up so that it passes under the arm of the machine.",
    "Segment: lay the face and a web outside to outside, sew line on sew line, single notches to single, double to "
    "double: the web marked P on the left edge of the face, S on the right, as the outside faces you with the joint "
    "up. Sew, then the other web. Each segment is a piece of its own; neighbours are never sewn together.",
    "Webs: fold the hems on the chain line and stitch. Stop at the tab, leave it flat, sew a patch behind it, and set "
    "the tie hole through both.",
    "Strips: fold on the chain line. In corners, cut the slits of both halves before folding, and clip the allowances "
    "of the loop at its pitch marks to 5 mm from the joint line, so that they lie round the curve.",
    "Joint: the allowances of loop and face point inwards, the folded strip lies between them with its fold on the "
    "joint line. Punch the holes of the template, and bolt all four layers with a washer on both sides. Begin at the "
    "corners, then the runs; segment 1 lies at the bow centre, and the pitch marks on loop and strip carry the numbers "
    "of the segments on either side.",
    "Hull: fix the loop along the hull edge through its allowance, station numbers to their places (plan). Tie the "
    "inner corner of every web to the planing surface, as high and as far in as the section drawing says, "
    "loose at first. Seal every hole in the hull.",
    "Before any engine: read the cautions. First hover tethered and empty. Set the ties so that none pulls its segment "
    "down, mark the tips against the ground, and trim them level, little by little.",
)


def together(column: Column) -> list[Item]:
    """Return the page's items: two sketches side by side, then the steps."""
    top = column.top
    sketches = [*_joint_sketch(column.left + 4.0, top - 70.0), *_segment_sketch(column.left + 90.0, top - 70.0)]
    column.top = top - 82.0
    for number, words in enumerate(STEPS, start=1):
        column.items.append(Text("text", column.left, column.top - 1.75 * 2.7, f"{number}", 2.7, 0.0, "start", True))
        column.paragraph(words, 2.7, indent=6.0)
    return [*sketches, *column.items]


def _joint_sketch(left: float, bottom: float) -> list[Item]:
    """The joint in section, layers drawn apart: outboard to the right, the air inside to the left."""
    place = np.array([left + 46.0, bottom + 30.0])

    def line(layer: Layer, points: list[tuple[float, float]]) -> Line:
        return Line(layer, frozen_array(np.array(points) + place))

    turn = np.linspace(np.radians(-20.0), np.radians(60.0), 25)
    loop = np.column_stack([-8.0 + 24.0 * np.cos(turn), 12.0 + 24.0 * np.sin(turn)])
    loop = np.vstack([[-26.0, 3.6], [10.5, 3.6], loop])
    items: list[Item] = [
        line("loop", [tuple(p) for p in loop]),
        line("segment", [(-26.0, 1.2), (9.0, 1.2), (10.2, 0.0), (9.0, -1.2), (-26.0, -1.2)]),
        line("loop", [(-26.0, -3.6), (10.5, -3.6), (-16.0, -30.0)]),
        line("axis", [(-14.0, 9.0), (-14.0, -9.0)]),
        line("hull", [(-16.5, 6.0), (-11.5, 6.0)]),
        line("hull", [(-16.5, -6.0), (-11.5, -6.0)]),
        Circle("mark", float(place[0] + 10.5), float(place[1]), 0.9),
    ]
    for at, to, words in (
        ((13.0, 26.0), (17.0, 30.0), "loop"),
        ((4.0, -10.0), (10.0, -18.0), "face"),
        ((-20.0, 1.2), (-24.0, 16.0), "strip, folded"),
        ((-14.0, 6.0), (-10.0, 23.0), "bolt, washers"),
        ((10.5, 0.0), (17.0, -6.0), "joint line"),
    ):
        items += leader(place + np.array(at), place + np.array(to), words, height=2.5, head=False).items
    items.append(Text("text", left, bottom - 4.0, "The joint in section, layers drawn apart", 2.8, 0.0, "start", True))
    return items


def _segment_sketch(left: float, bottom: float) -> list[Item]:
    """One segment seen from outside and below: face between its two webs, inner corners tied to the hull."""
    j0, j1 = np.array([left + 6.0, bottom + 54.0]), np.array([left + 30.0, bottom + 54.0])
    g0, g1 = np.array([left + 6.0, bottom + 10.0]), np.array([left + 30.0, bottom + 10.0])
    back = np.array([34.0, 8.0])
    i0, i1 = j0 + back, j1 + back

    def line(layer: Layer, points: list[Floats], closed: bool = False) -> Line:
        return Line(layer, frozen_array(np.array(points)), closed)

    turn = np.linspace(0.0, np.pi, 25)
    tip = np.column_stack([(g0[0] + g1[0]) / 2 - 12.0 * np.cos(turn), g0[1] + 9.0 * np.sin(turn)])
    items: list[Item] = [
        line("loop", [j0, j1]),
        line("loop", [j0, g0]),
        line("loop", [j1, g1]),
        Line("finished", frozen_array(tip)),
        line("segment", [j1, i1, g1]),
        line("ghost", [j0, i0, g0]),
        Circle("holes", float(i1[0]), float(i1[1]), 1.2),
        Circle("holes", float(i0[0]), float(i0[1]), 1.2),
    ]
    for at, to, words in (
        ((j0 + j1) / 2.0, np.array([left + 2.0, bottom + 62.0]), "joint"),
        (i1, i1 + np.array([3.0, -8.0]), "tie hole"),
        (tip[6], np.array([left + 40.0, bottom + 4.0]), "tip, trimmed level"),
    ):
        items += leader(at, to, words, height=2.5, head=False).items
    items += [
        Text("text", float(j0[0] + 8.0), bottom + 22.5, "face", 2.5, 0.0, "middle"),
        Text("text", float(j1[0] + 9.0), bottom + 46.0, "web S", 2.5, 0.0, "start"),
        Text("text", float(j0[0] + 1.5), bottom + 48.0, "web P behind", 2.0, 0.0, "start"),
        Text("text", left, bottom - 4.0, "One segment, from outside", 2.8, 0.0, "start", True),
    ]
    return items
