"""The plan with greys for the page: daylight under the tips of every load, and what flattening costs each panel."""

from __future__ import annotations

from dataclasses import replace

from skirtloft.answers.attitude_words import told_rest
from skirtloft.desk.answer import Solved
from skirtloft.desk.drawings import Drawn
from skirtloft.desk.plan_handles import plan_crop
from skirtloft.drawing.page import page_room
from skirtloft.drawing.plan_shading import (
    LEGEND,
    Shading,
    gap_rows,
    gap_shading,
    shaded_plan,
    strain_rows,
    strain_shading,
)
from skirtloft.drawing.plan_sheet import plan_frame
from skirtloft.pipeline import Skirt, flat_panels
from skirtloft.sits.sits import Sits

STRAIN_CAUTION = "Computed, not measured: how stiff the cloth is in shear is assumed (making.loop)."


def shaded_gaps(solved: Solved, sits: Sits) -> tuple[Drawn, ...]:
    """Return for every load the plan with its daylight; the sentence is the one that says how it rests."""
    show = solved.skirt.design.project.show
    return tuple(
        _drawn(
            solved,
            gap_shading(solved.skirt, entry),
            told_rest(entry.name, entry.rests, show).sentence,
            gap_rows(solved.skirt, entry),
        )
        for entry in sits.loads
    )


def with_exact_panels(skirt: Skirt) -> Skirt:
    """Return the skirt with its loop panels made as the file says."""
    return replace(skirt, development=flat_panels(skirt.design, skirt.plan, skirt.sections, preview=False))


def strain_sentences(skirt: Skirt) -> tuple[str, ...]:
    """Return what there is to say of a skirt with exact panels: the worst stretch first, then the worst deviation."""
    made = skirt.development
    known = [
        (one.thread.p95, panel.id) for one, panel in zip(made.strain, made.panels, strict=False) if one is not None
    ]
    if not known:
        if all(panel.is_rectangle for panel in made.panels):
            return ("Every loop panel is a rectangle: nothing has to stretch.",)
        return (
            "No strain is computed for quick patterns.",
            'Set making.loop.pattern = "exact" to see what flattening costs each panel.',
        )
    most, panel = max(known)
    stretch = f"Laid flat, the threads of {panel} stretch or give most: {100.0 * most:.2f} % on 95 % of it."
    if made.deviation is None:
        return (stretch,)
    off, worst = max(zip(made.deviation.tolist(), (one.id for one in made.panels), strict=True))
    return (
        stretch,
        f"Inflated, {worst} may stand {1000.0 * off:.1f} mm off the drawn shape, by a rule of thumb.",
    )


def strain_lines(skirt: Skirt) -> tuple[str, ...]:
    """Return the sentences, then a line for each panel."""
    rows = [f"  {panel:<18}  {words}" for panel, words in strain_rows(skirt)]
    return (*strain_sentences(skirt), "", *rows)


def shaded_strain(solved: Solved, skirt: Skirt) -> tuple[Drawn, ...]:
    """Return the plan with the strain of a skirt with exact panels."""
    return (_drawn(solved, strain_shading(skirt), strain_sentences(skirt)[0], strain_rows(skirt)),)


def _drawn(solved: Solved, shading: Shading, summary: str, table: tuple[tuple[str, str], ...]) -> Drawn:
    sheet = shaded_plan(solved.skirt, solved.stamp, shading)
    room = page_room(solved.skirt.design.making.paper, landscape=True)
    _, _, _, top = plan_crop(solved, sheet)
    crop = (room.left - 2.0, room.bottom + LEGEND - 4.0, room.right + 2.0, top)
    return Drawn(sheet, summary, table, plan_frame(solved.skirt), crop=crop)
