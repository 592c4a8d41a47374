"""Can it get up from rest on water?"""

from __future__ import annotations

from skirtloft.answers.subject import CAUTION, Subject
from skirtloft.answers.table import prose, table
from skirtloft.design.units import format_length, format_mass, format_pressure


def water_lines(subject: Subject) -> list[str]:
    """Return float line, heads and margins of every load."""
    design, match, show = subject.design, subject.lift.match, subject.design.project.show
    if match is None or match.start_up is None or design.air.water is None:
        missing = "[air.fan]" if match is None else "[air.water]"
        return [f"Write {missing} in the file first: `skirtloft new` shows how it looks."]
    start = match.start_up
    rows = []
    for i, load in enumerate(design.craft.load):
        decides = "feed holes" if start.holes_decide[i] else "under the hull"
        rows.append(
            (
                load.name,
                format_mass(load.mass + design.air.water.aboard, show),
                format_length(float(start.floating.low_draught[i]), show),
                format_length(float(start.floating.hole_depth[i]), show),
                format_pressure(float(start.floating.hole_head[i]), show),
                format_pressure(float(start.under_hull[i]), show),
                format_pressure(float(start.shut_off[i]), show),
                format_pressure(float(start.margin[i]), show),
                decides,
                "hangs"
                if start.hangs[i]
                else "yes"
                if start.gets_up[i]
                else "no"
                if start.margin[i] < 0.0
                else "no point",
            )
        )
    head = (
        "load", "with water", "draught", "holes below", "their head", "under the hull", "shut-off", "margin", "decides",
        "gets up",
    )  # fmt: skip
    known = "" if bool(start.shut_off_known.all()) else " The curve has no point at no flow: its first stands in."
    return [
        "Water     at rest, level with its masses; draught at the deeper end, holes below the outer water there",
        *table(head, rows),
        *prose(
            "First the shut-off pressure must blow the holes clear of the water over them, then get air under the hull,"
            f" which takes the cushion's pressure at no flow.{known} The float's middle is taken"
            " below the middle of the hull edge. No point: it gets off the water, but the fan then has no working"
            " point (see `air`). Left out: waves, suction of a wet bottom, water thrown"
            f" up the duct. On water: lifejackets, a second boat, calm and shallow first. {CAUTION}"
        ),
    ]
