"""What the craft and its skirt are in figures, and the air that holds them up."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from skirtloft.book.subject import Subject, run_words
from skirtloft.book.types import Block, Caution, Chapter, Heading, Table, Text
from skirtloft.design.units import (
    format_area,
    format_areal_mass,
    format_flow,
    format_mass,
    format_power,
    format_pressure,
    format_rotation,
    format_temperature,
)
from skirtloft.maths.curves import path_points
from skirtloft.report import POWER_CAUTION
from skirtloft.results import sizes

WATER = 1000.0 * 9.80665  # Pa under a metre of water


def water_column(pressure: float) -> float:
    """Return the height [m] at which fresh water stands in a gauge under a pressure [Pa]."""
    return pressure / WATER


def particulars(subject: Subject) -> Chapter:
    """Return sizes, masses and loads."""
    skirt = subject.skirt
    rows = tuple(_sizes(subject))
    blocks: list[Block] = [
        Table(("What", "Size"), rows, (3.0, 2.0)),
        Heading("Loads"),
        Text(
            f"The cloth is cut for the first load, {skirt.cushions[0].name!r}; the others fly on the same skirt. A"
            " water gauge is a clear hose with some water in it, one end under the skirt, the other open: the"
            " difference of the two levels is the pressure."
        ),
        Table(
            ("Load", "Mass", "Centre from the stern", "Cushion pressure", "Water gauge"),
            tuple(
                (
                    cushion.name,
                    format_mass(cushion.mass, subject.show),
                    subject.length(load.x),
                    format_pressure(cushion.pressure, subject.show),
                    subject.length(water_column(cushion.pressure)),
                )
                for cushion, load in zip(skirt.cushions, skirt.design.craft.load, strict=True)
            ),
            (2.2, 1.6, 2.0, 2.0, 1.6),
        ),
    ]
    weight = skirt.service.weight
    if weight is not None:
        blocks += [
            Heading("Mass of the skirt"),
            Table(
                ("Part", "Mass"),
                (
                    *((part.part, format_mass(part.mass, subject.show)) for part in weight.parts),
                    ("together", format_mass(weight.table.mass, subject.show)),
                ),
                (3.0, 2.0),
            ),
            Text("Bolts, ties, strip, thread and glue are counted as fixings. Weigh what you have made and compare."),
        ]
    return Chapter("Particulars", tuple(blocks))


def _sizes(subject: Subject) -> Iterator[tuple[str, str]]:
    skirt, show = subject.skirt, subject.show
    plan, size = skirt.plan, sizes(skirt)
    hanging, sections = skirt.service.rest.free_extent, skirt.sections
    segments = sum(run.segments * (1 if run.crosses_centre else 2) for run in plan.runs)
    edge = path_points(plan.hull_edge, 1e-4)
    yield "Hull edge, length", subject.length(float(np.ptp(edge[:, 0])))
    yield "Hull edge, width", subject.length(2.0 * float(edge[:, 1].max()))
    yield "Inflated, length", subject.length(size["overall_length_m"])
    yield "Inflated, width", subject.length(size["overall_width_m"])
    yield (
        "Skirt hanging, width (trailer, door)",
        f"{subject.length(hanging.width)}, at most " + subject.length(hanging.width_bound),
    )
    yield "Flat of the bottom above the tips", subject.length(skirt.design.hull.clearance)
    yield "Hover height, with the wanted gap", subject.length(size["hover_height_m"])
    yield "Depth of the segments", subject.span(sections.depth)
    yield "Length of the loop, hull edge to joint", subject.span(sections.length)
    yield "Cushion area, inside the tips", format_area(plan.tip_area, show)
    yield "Tip line, all round", subject.length(plan.tip_perimeter)
    yield "Joint line, all round", subject.length(plan.joint_perimeter)
    yield "Segments", f"{segments}, from {subject.span(run.fitted_pitch for run in plan.runs)} wide"
    for name, cloth in (("Loop", skirt.design.cloth.loop), ("Segment", skirt.design.cloth.segment)):
        yield (
            f"{name} cloth",
            (f"{format_areal_mass(cloth.mass, show)}, roll {subject.length(cloth.roll_width)} wide, warp {cloth.warp}"),
        )


def air(subject: Subject) -> Chapter:
    """Return what the craft asks of its fan, what the fan in the file makes of it, and where the air goes."""
    skirt, show, lift = subject.skirt, subject.show, subject.skirt.air
    day = skirt.design.air
    blocks: list[Block] = [
        Text(
            f"Air of {format_temperature(day.temperature, show)} at {subject.length(day.altitude)}"
            f", {lift.density:.3f} kg/m3; wanted gap {subject.length(lift.gap)}. Everything here is computed for calm"
            " air and smooth ground; none of it is a promise."
        ),
        Table(
            ("Load", "Cushion", "Fan has to give", "of it through the gap", "at a fan pressure of"),
            tuple(
                (
                    load.name,
                    format_pressure(float(lift.need.cushion_pressure[k]), show),
                    format_flow(float(lift.need.fan_flow[k]), show),
                    format_flow(float(lift.need.gap_flow[k]), show),
                    format_pressure(float(lift.need.fan_pressure[k]), show),
                )
                for k, load in enumerate(skirt.design.craft.load)
            ),
            (2.0, 1.6, 1.8, 1.8, 1.8),
        ),
        Text(
            f"Power in the air that escapes, load {skirt.cushions[0].name!r}:"
            f" {format_power(skirt.cushions[0].air_power, show)}, {POWER_CAUTION}. Screening figure for the lift"
            f" engine: {format_power(skirt.cushions[0].engine_power, show)} (fan {day.fan_efficiency:g}, drive"
            f" {day.drive_efficiency:g}, losses {day.losses:g}, reserve {day.reserve:g}; common practice, not a"
            " promise)."
        ),
        *_fan(subject),
        *_losses(subject),
        *_feed(subject),
        Caution(
            "Fans kill. Guards on both sides, nobody in line with the blades, a kill switch on a lanyard. Keep the"
            " blades inside the speed their maker allows, and look for cracks before every start."
        ),
    ]
    return Chapter("Air", tuple(blocks))


def _fan(subject: Subject) -> Iterator[Block]:
    skirt, show, match = subject.skirt, subject.show, subject.skirt.air.match
    yield Heading("The fan of the file")
    if match is None:
        yield Text(
            "The file has no fan yet. Whatever fan is chosen has to give the flow of the table at the fan pressure"
            " beside it, at the same moment: a flow measured with nothing in its way says nothing."
        )
        return
    at, wanted = match.at_speed, match.for_gap
    yield Table(
        ("Load", "Gap it gives", "Power into belt", "Speed for the wanted gap", "Power there"),
        tuple(
            (
                load.name,
                "no working point" if int(at.failure[k]) else subject.length(float(at.gap[k])),
                "-" if int(at.failure[k]) else format_power(float(at.engine_power[k]), show),
                format_rotation(float(wanted.speed[k])) if math.isfinite(float(wanted.speed[k])) else "none",
                format_power(float(wanted.engine_power[k]), show) if math.isfinite(float(wanted.speed[k])) else "-",
            )
            for k, load in enumerate(skirt.design.craft.load)
        ),
        (2.0, 1.6, 1.6, 2.0, 1.6),
        caption=f"At {format_rotation(match.speed)}, no reserve in it",
    )


def _losses(subject: Subject) -> Iterator[Block]:
    lift, show = subject.skirt.air, subject.show
    if not lift.system.losses:
        return
    yield Heading("What the air passes on its way")
    yield Table(
        ("In the way", "Pressure lost", "Source of the factor"),
        tuple(
            (line.name, format_pressure(float(lift.budget.drop[k, 0]), show), line.source)
            for k, line in enumerate(lift.system.losses)
        ),
        (2.0, 1.6, 5.0),
        caption=f"First load, at the wanted gap of {subject.length(lift.gap)}",
    )


def _feed(subject: Subject) -> Iterator[Block]:
    lift, show = subject.skirt.air, subject.show
    yield Heading("Feed holes, one for each segment")
    yield Table(
        ("Run", "Segments", "Through each", "Diameter of a hole"),
        tuple(
            (
                run_words(run),
                str(lift.segments[k]),
                format_flow(float(lift.feed.flow[0, k]), show),
                subject.length(float(lift.feed.diameter[0, k])),
            )
            for k, run in enumerate(lift.runs)
        ),
        (2.0, 1.4, 2.0, 2.0),
        caption=f"To spend {subject.skirt.design.air.feed_drop:.0%} of the cushion's pressure in them (air.feed_drop)",
    )
