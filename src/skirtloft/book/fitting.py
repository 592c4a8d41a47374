"""How the skirt goes on to its hull: holes, joint, edge, inner fixings, in that order."""

from __future__ import annotations

from skirtloft.book.subject import Subject, run_words
from skirtloft.book.types import Block, Caution, Chapter, Heading, Steps, Table, Text


def fitting(subject: Subject) -> Chapter:
    """Return the order of fitting with the run by run table of segments."""
    skirt, making = subject.skirt, subject.skirt.design.making
    sections = skirt.sections
    holes = sum(len(piece.holes) * piece.quantity for piece in subject.pieces("face"))
    ties = sum(piece.quantity for piece in subject.pieces("web"))
    blocks: list[Block] = [
        Heading("The hull"),
        Steps(
            (
                "Mark stations along the hull edge and along the line of the inner fixings, from the strips of the"
                " pack or from the table of the hull's lines; port and starboard from the bow centre.",
                f"Drill the edge at {subject.length(making.hole_pitch)}, holes of {subject.length(making.hole)}. Go"
                " over every distance once more before drilling: marks drift.",
                f"Inner fixings: {subject.span(sections.depth - sections.drop)} above the ground at hover,"
                f" {subject.span(sections.inboard)} inboard of the joint.",
                "Round every edge that cloth can touch. Seal every hole on both sides: each one left open leaks when"
                " she floats.",
                "The air must be able to pass from fan to loop and on to every segment: look for foam and frames in its"
                " way now.",
            ),
            boxes=True,
        ),
        Heading("The joint, on the bench"),
        Steps(
            (
                "Loop, strip and segments share their holes. The allowances of loop and face point inwards, the folded"
                " strip between them with its fold on the joint line.",
                f"In corners clip the loop's allowance at its pitch marks to {subject.length(0.005)} from the joint"
                " line, so that it lies round the curve.",
                f"{holes} bolts in all along the joint, a washer on either side. Corners first, then the runs; segment"
                " 1 lies at the bow centre.",
                "Left and right hand: P goes to port. The pitch marks carry the numbers of the segments on either"
                " side.",
            ),
            boxes=True,
        ),
        Table(
            ("Run", "Segments", "Pitch", "Radius of the joint line"),
            tuple(
                (
                    run_words(run.name),
                    f"{run.segments} across" if run.crosses_centre else f"{run.segments} on each side",
                    subject.length(run.fitted_pitch),
                    "straight" if run.radius == float("inf") else subject.length(run.radius),
                )
                for run in skirt.plan.runs
            ),
            (2.0, 2.0, 2.0, 2.4),
            caption="From the bow centre aft",
        ),
        Heading("On to the hull"),
        Steps(
            (
                "Prop the hull level on timber, its bottom"
                f" {subject.length(skirt.design.hull.clearance)} off the floor, and leave room to crawl round it.",
                "Hang the loop by its edge at bow centre and stern centre, then at the stations, then between. The edge"
                " strip clamps it: pierce its holes through those of the edge as you go; no wrinkle may run into it.",
                f"Tie the {ties} inner corners, loose at first. The tie is the fuse: it is to break before the cloth.",
                "Set the ties so that each web hangs flat and none pulls its segment down.",
                "Take the timber away only when nobody has a hand under the hull.",
            ),
            boxes=True,
        ),
        *_diaphragm(subject),
        Caution("A propped hull that slips crushes. Timber across both ends, never a jack alone; nobody beneath it."),
    ]
    return Chapter("Fitting", tuple(blocks))


def _diaphragm(subject: Subject) -> list[Block]:
    result = subject.skirt.service.diaphragm
    if result is None or not result.is_there.any():
        return []
    return [
        Text(
            "The loop is cut short for its diaphragm. Its strips go from the joint to the hull inside the loop, one"
            " between each pair of webs, before the ring is closed to the hull; without them the skirt does not stand"
            " as drawn, so do not fly without.",
            bold=True,
        ),
        Table(
            ("Run", "Strips", "Width at the joint", "Width at the hull", "Length, joint to hull", "Vents in each"),
            tuple(
                (
                    run_words(run.run),
                    str(run.strips),
                    subject.length(run.pitch),
                    subject.length(run.hull_pitch),
                    subject.span((run.span_low, run.span_high)),
                    f"{run.vents / run.strips:.0f}" if run.strips else "-",
                )
                for run in result.runs
            ),
            (1.6, 0.9, 2.0, 2.0, 2.4, 1.4),
            caption="Strips of the diaphragm, finished sizes",
        ),
    ]
