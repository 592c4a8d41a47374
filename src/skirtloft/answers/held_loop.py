"""What `inflate --held` says of the loop's patterns, as lines and as a file to take up again."""

from __future__ import annotations

import json
from typing import Any

import numpy as np

from skirtloft.design.model import Show
from skirtloft.design.units import format_length, format_pressure
from skirtloft.errors import ExportError
from skirtloft.inflate.loop_check import STIFFNESS, LoopCheck
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.pipeline import Skirt

FORMAT = "skirtloft-held-loop/1"
CLAIM = (
    "A computation, not yet compared with a built skirt: the loop alone, hull edge and joint line held where they are"
    " drawn. On the craft the joint line hangs on the segments (`inflate` without --held)."
)


def held_loop_lines(skirt: Skirt, check: LoopCheck) -> list[str]:
    """Return the answer as lines: the verdict, what was computed, every panel beside the rule of thumb."""
    show, limit = skirt.design.project.show, skirt.design.making.loop.deviation
    worst = int(np.argmax(check.away))
    word = "STOPPED" if not check.is_settled else "TRUE" if check.away[worst] <= limit else "OFF"
    foretold = skirt.development.deviation if skirt.development.deviation_by == "rule" else None
    lines = [
        f"{word:9} {skirt.design.project.name}, loop sewn from its {check.pattern} patterns, joint line held: off the"
        f" drawn shape by {_millis(check.away[worst], show)} at most ({check.panels[worst]}),"
        f" root mean square {_millis(check.mean, show)}; wanted {format_length(limit, show)} at most",
        f"          {CLAIM}",
        f"Inflated  at {format_pressure(check.pressure, show)}, mesh {check.columns} x {check.rows} a panel, cloth"
        f" {STIFFNESS / 1e3:.0f} kN/m (assumed): threads stretch {check.thread_most:.1%} at most, 95 % below"
        f" {check.thread_p95:.2%}; shear {np.degrees(check.shear_most):.1f} deg at most",
    ]
    if not check.is_settled:
        lines.append("          Not at rest: the figures may still change, and are not taken into the reports.")
    for i, panel in enumerate(skirt.development.panels):
        rule = "" if foretold is None else f" (rule of thumb {_millis(float(foretold[i]), show)})"
        way = "rectangle, not inflated" if check.away[i] == 0.0 else _millis(check.away[i], show) + rule
        lines.append(f"{'Panels' if i == 0 else '':10}{panel.id} {panel.start} to {panel.end}: {way}")
    return lines


def _millis(value: float, show: Show) -> str:
    return f"{value / 0.0254:.2f} in" if show == "imperial" else f"{1e3 * value:.1f} mm"


def held_loop_results(skirt: Skirt, check: LoopCheck, digest: str, fingerprint: str) -> dict[str, Any]:
    """Return the same as nested dicts; `fingerprint` as `panels_fingerprint` has it."""
    project, made = skirt.design.project, skirt.development
    return {
        "format": FORMAT,
        "design": {"name": project.name, "revision": project.revision, "sha256": digest},
        "panels_sha256": fingerprint,
        "claim": CLAIM,
        "settled": check.is_settled,
        "pattern": check.pattern,
        "pressure_pa": check.pressure,
        "cloth_stiffness_n_per_m": STIFFNESS,
        "mesh": [check.columns, check.rows],
        "deviation_max_m": float(check.away.max()),
        "deviation_rms_m": check.mean,
        "thread_max": check.thread_most,
        "thread_p95": check.thread_p95,
        "shear_max_rad": check.shear_most,
        "panels": [
            {"id": panel.id, "from": panel.start, "to": panel.end, "deviation_m": check.away[i]}
            for i, panel in enumerate(made.panels)
        ],
    }


def saved_deviation(text: str, fingerprint: str) -> Floats | None:
    """Return the deviation of every panel [m] out of a saved file; None where it is of other panels or not at rest.

    Raises
    ------
    ExportError
        The text is no such file, or not all of one.
    """
    try:
        data: dict[str, Any] = json.loads(text)
        if data["format"] != FORMAT:
            raise KeyError("format")
        if data["panels_sha256"] != fingerprint or not data["settled"]:
            return None
        return frozen_array([float(row["deviation_m"]) for row in data["panels"]])
    except (ValueError, KeyError, TypeError) as error:
        raise ExportError(f"no saved check of the loop ({FORMAT}), or not a whole one: {error}.") from error
