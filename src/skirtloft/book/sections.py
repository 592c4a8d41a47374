"""The plan, the sections with the figures that set them out, and what the hull must be."""

from __future__ import annotations

import math

from skirtloft.book.subject import Subject, run_words
from skirtloft.book.types import Block, Chapter, FullPage, Heading, Table, Text
from skirtloft.drawing.hull_sheet import hull_sheets
from skirtloft.drawing.plan_sheet import plan_sheets
from skirtloft.drawing.section_sheet import section_sheet, template_seam
from skirtloft.drawing.section_view import chosen_stations


def plan_and_sections(subject: Subject) -> Chapter:
    """Return the plan, the sections with what sets them out, and the lines of the hull, drawings last."""
    skirt = subject.skirt
    chosen = chosen_stations(skirt)
    sheets = [
        *plan_sheets(skirt, subject.stamp),
        *(section_sheet(skirt, i, subject.stamp, f"{k} of {len(chosen)}") for k, i in enumerate(chosen, start=1)),
        *hull_sheets(skirt, subject.stamp),
    ]
    blocks: list[Block] = [
        Text(
            "Stations count from the bow centre aft, P to port and S to starboard; every number of the pieces and of"
            " the hull goes by them. Heights are above the ground at zero gap. The drawings follow on pages of their"
            " own: the plan, a section of each kind to set out with ruler and compass, and the lines of the hull."
        ),
        Text(
            "The skirt comes first and the bottom of the hull follows from it: build to the lines that are drawn, or"
            " fit the skirt to the hull that is there and make the book again."
        ),
        Heading("Setting out the sections"),
        Text(
            "How long the loop is cut from hull edge to joint, and the arc that it then makes. Radius and angle are"
            " those of the loop under pressure; “joint out” is how far the joint lies outboard of the hull edge,"
            " negative inboard. Where the seam on the template differs from the loop, cut by the template: it is set"
            " out so that straight edges come out true."
        ),
        _stations(subject),
        Text(
            f"Depth {subject.span(skirt.sections.depth)}, inner fixing {subject.span(skirt.sections.inboard)} inboard"
            f" of the joint and {subject.span(skirt.sections.drop)} below it."
        ),
    ]
    return Chapter("Plan, sections and hull lines", (*blocks, *(FullPage(sheet) for sheet in sheets)))


def _stations(subject: Subject) -> Table:
    skirt = subject.skirt
    all_of, stations = skirt.sections, skirt.plan.stations
    rows = []
    for i, name in enumerate(stations.ids):
        seam = template_seam(skirt, i)
        offset, rise = float(all_of.offset[i]), float(all_of.rise[i])
        rows.append(
            (
                name,
                run_words(stations.runs[i]),
                subject.length(float(all_of.length[i])),
                "-" if seam is None else subject.length(seam),
                subject.length(float(all_of.radius[i])),
                f"{math.degrees(float(all_of.angle[i])):.1f}",
                subject.length(math.hypot(offset, rise)),
                subject.length(offset),
                subject.length(float(all_of.depth[i]) + rise),
            )
        )
    return Table(
        ("No.", "Run", "Loop", "Seam on template", "Radius", "Angle [deg]", "Chord", "Joint out", "Edge height"),
        tuple(rows),
        (0.9, 1.8, 1.6, 1.7, 1.5, 1.2, 1.5, 1.6, 1.6),
        right=(5,),
    )
