"""The build book of a skirt: its chapters in the order in which a builder needs them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from skirtloft.book.both import in_both
from skirtloft.book.care import care
from skirtloft.book.cutting import bill, catalogue, cut_plan
from skirtloft.book.decisions import decisions, findings
from skirtloft.book.faults import faults
from skirtloft.book.fitting import fitting
from skirtloft.book.hover import before_starting, first_hover, trim_record
from skirtloft.book.hovering import how_it_sits, on_the_water
from skirtloft.book.inflated import inflated
from skirtloft.book.particulars import air, particulars
from skirtloft.book.riding import how_it_rides
from skirtloft.book.sections import plan_and_sections
from skirtloft.book.sewing import order_of_work
from skirtloft.book.sources import sources
from skirtloft.book.subject import Subject
from skirtloft.book.types import Book, Cover, Figure
from skirtloft.design.model import Paper
from skirtloft.design.units import format_area, format_mass, format_pressure
from skirtloft.drawing.page import Stamp
from skirtloft.drawing.picture import cover_picture
from skirtloft.layout.types import Layout
from skirtloft.layout.verify import roll_uses
from skirtloft.materials.list import bill_of_materials
from skirtloft.pipeline import Skirt
from skirtloft.report import verdict_line
from skirtloft.results import sizes
from skirtloft.sits.on_water import on_water
from skirtloft.sits.sits import Sits, sits_of

PICTURE = (168.0, 86.0)  # [mm] room on the cover


def build_book(
    skirt: Skirt,
    layouts: Sequence[Layout],
    stamp: Stamp,
    paper: Paper | None = None,
    digest: str = "",
    *,
    sits: Sits | None = None,
) -> Book:
    """Return the build book.

    Parameters
    ----------
    skirt : Skirt
    layouts : sequence of Layout
        One for each cloth, of its pieces.
    stamp : Stamp
        Refused and accepted rules, changes of the run.
    paper : "A4", "Letter" or None
        None is the paper of the design.
    digest : str
        sha256 of the design's text, for the chapter on assumptions.
    sits : Sits, optional
        From `sits_of` for the same skirt, where it is known already.
    """
    made = bill_of_materials(skirt.design, skirt.pieces, layouts)
    subject = Subject(_on(skirt, paper), stamp, tuple(layouts), made, paper or skirt.design.making.paper)
    project = skirt.design.project
    found = sits_of(subject.skirt) if sits is None else sits
    book = Book(
        paper=subject.paper,
        cover=_cover(subject),
        chapters=(
            decisions(subject),
            particulars(subject),
            air(subject),
            plan_and_sections(subject),
            how_it_sits(subject, found),
            on_the_water(subject, found, on_water(subject.skirt, found)),
            how_it_rides(subject),
            findings(subject),
            inflated(subject),
            catalogue(subject),
            cut_plan(subject),
            bill(subject),
            order_of_work(subject),
            fitting(subject),
            before_starting(subject),
            first_hover(subject),
            trim_record(subject),
            faults(subject),
            care(subject),
            sources(subject, digest),
        ),
        running=f"{project.name}, revision {stamp.revision}, {project.date}",
        banner=stamp.banner or stamp.record,
    )
    return in_both(book, subject.show)


def _on(skirt: Skirt, paper: Paper | None) -> Skirt:
    """Return the same skirt with its drawings on another paper."""
    if paper is None:
        return skirt
    making = skirt.design.making.model_copy(update={"paper": paper})
    return replace(skirt, design=skirt.design.model_copy(update={"making": making}))


def _cover(subject: Subject) -> Cover:
    skirt, stamp, show = subject.skirt, subject.stamp, subject.show
    project, first = skirt.design.project, skirt.cushions[0]
    size = sizes(skirt)
    segments = sum(run.segments * (1 if run.crosses_centre else 2) for run in skirt.plan.runs)
    cloth = "; ".join(
        f"{subject.length(use.length)} of {layout.problem.cloth} cloth, {subject.length(use.roll.width)} wide"
        for layout in subject.layouts
        for use in roll_uses(layout)
    )
    facts = [
        ("Verdict", verdict_line(skirt).split(": ", 1)[1]),
        ("Inflated", f"{subject.length(size['overall_length_m'])} by {subject.length(size['overall_width_m'])}"),
        ("Carries", f"{format_mass(first.mass, show)} on {format_area(skirt.plan.tip_area, show)}:"
                    f" {format_pressure(first.pressure, show)}"),
        ("To cut", f"{sum(piece.quantity for piece in skirt.pieces)} pieces, {segments} segments; spares besides"),
        ("Cloth", f"{cloth}; for spares see the materials" if cloth else "not laid out"),
    ]  # fmt: skip
    return Cover(
        title=project.name,
        subtitle=f"Build book of its skirt. Revision {stamp.revision}, {project.date}",
        picture=Figure(cover_picture(skirt), *PICTURE, caption="The skirt as drawn, not a picture of a built one"),
        facts=tuple(facts),
        notes=(
            "Made from one design file by computation. No figure here is a promise: sew one segment and one panel, try"
            " them, then cut the rest. Hovercraft have fans, float on water and can tip over: the cautions in this book"
            " are part of the work.",
        ),
    )
