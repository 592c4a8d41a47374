"""Every file of a pack with what makes its bytes, in writing order."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

from skirtloft.drawing.air_sheets import air_sheets
from skirtloft.drawing.hull_sheet import hull_sheets
from skirtloft.drawing.picture import picture_sheet
from skirtloft.drawing.plan_sheet import plan_sheets
from skirtloft.drawing.rides_sheets import rides_sheets
from skirtloft.drawing.section_sheet import section_sheets
from skirtloft.drawing.sheet import Sheet
from skirtloft.drawing.sits_sheets import sits_sheets
from skirtloft.drawing.solid import seam_parts, skirt_meshes, skirt_parts
from skirtloft.drawing.strain_sheet import strain_sheets
from skirtloft.drawing.water_sheets import water_sheets
from skirtloft.export import csv, glb, json, pdf
from skirtloft.pack.mock_up import mock_up_makers
from skirtloft.pack.parts import belongs
from skirtloft.pack.pictures import picture_makers
from skirtloft.pack.read_me import cut_list, read_me
from skirtloft.pack.sewing import sewing_makers
from skirtloft.pack.since import COLUMNS as SINCE_COLUMNS
from skirtloft.pack.since import SINCE
from skirtloft.pack.templates import printer_tests, template_makers
from skirtloft.pack.trial_kit import trial_makers
from skirtloft.pack.true_size import former_makers, strip_makers, tape_makers
from skirtloft.pack.types import Made, PlannedPack
from skirtloft.pack.workshop import book_makers, roll_makers
from skirtloft.pipeline import Skirt
from skirtloft.results import results
from skirtloft.shape.hull_offsets import COLUMNS, hull_offsets
from skirtloft.sits.on_water import on_water
from skirtloft.sits.sits import Sits, sits_of


def makers(planned: PlannedPack) -> Made:
    """Return the files of the parts that are wanted."""
    skirt = planned.skirt
    sits = cache(lambda: sits_of(skirt))
    made: Made = [
        ("00-read-me.pdf", lambda: pdf.render(read_me(planned))),
        *book_makers(planned, sits),
        ("overview.png", lambda: pdf.render_png(_overview(skirt), 150.0)),
        *_drawing_makers(planned, sits),
        ("hull-offsets.csv", lambda: csv.render(hull_offsets(skirt.hull), COLUMNS).encode()),
        *roll_makers(planned),
        *strip_makers(planned),
        *former_makers(planned),
        *tape_makers(planned),
        *trial_makers(planned),
        *mock_up_makers(planned),
        ("cut-list.csv", lambda: cut_list(planned).encode()),
        *_since_makers(planned),
        ("skirt.glb", lambda: glb.render(skirt_meshes(skirt))),
        ("results.json", lambda: json.render(results(skirt, planned.digest)).encode()),
        *printer_tests(planned.papers),
        *(file for template in planned.templates for file in template_makers(planned, template)),
        *sewing_makers(planned),
        *picture_makers(planned),
    ]
    return [(name, make) for name, make in made if belongs(name, planned.only)]


def _drawing_makers(planned: PlannedPack, sits: Callable[[], Sits]) -> Made:
    """Return the drawings of the whole skirt."""
    skirt, stamp = planned.skirt, planned.stamp
    return [
        ("drawings/plan.pdf", lambda: pdf.render(plan_sheets(skirt, stamp))),
        ("drawings/air.pdf", lambda: pdf.render(air_sheets(skirt, stamp))),
        ("drawings/rides.pdf", lambda: pdf.render(rides_sheets(skirt, stamp))),
        ("drawings/sections.pdf", lambda: pdf.render(section_sheets(skirt, stamp))),
        ("drawings/sits.pdf", lambda: pdf.render(sits_sheets(skirt, sits(), stamp))),
        ("drawings/water.pdf", lambda: pdf.render(water_sheets(skirt, sits(), on_water(skirt, sits()), stamp))),
        ("drawings/hull.pdf", lambda: pdf.render(hull_sheets(skirt, stamp))),
        *_strain_makers(planned),
    ]


def _strain_makers(planned: PlannedPack) -> Made:
    """Return the pages on the strain of the loop panels, where they were made exact."""
    sheets = strain_sheets(planned.skirt, planned.stamp)
    return [("drawings/strain.pdf", lambda: pdf.render(sheets))] if sheets else []


def _since_makers(planned: PlannedPack) -> Made:
    """Return the table of what becomes of the pieces of an earlier pack, where one was named."""
    told = planned.since
    return [(SINCE, lambda: csv.render(told.rows(), SINCE_COLUMNS).encode())] if told else []


def _overview(skirt: Skirt) -> Sheet:
    project = skirt.design.project
    caption = f"{project.name}, revision {project.revision}: the skirt as drawn, not a picture of a built one"
    return picture_sheet("overview", project.name, (*skirt_parts(skirt), *seam_parts(skirt)), caption)
