"""Five questions -> the text of a design that solves."""

from __future__ import annotations

import datetime
import re
from typing import Any

from skirtloft.design.start import new_design
from skirtloft.design.write import change_text
from skirtloft.errors import DesignError, Problem

# Where it runs -> gap and roughness to start from, metric and imperial; common practice, no source.
GROUNDS: dict[str, tuple[tuple[str, str], tuple[str, str]]] = {
    "water": (("10 mm", "3/8 in"), ("0 mm", "0 in")),
    "smooth": (("8 mm", "5/16 in"), ("0 mm", "0 in")),
    "grass": (("15 mm", "5/8 in"), ("0 mm", "0 in")),
    "rough": (("20 mm", "3/4 in"), ("0 mm", "0 in")),
}


def started(fields: dict[str, Any]) -> tuple[str, tuple[str, ...]]:
    """Return the text of a first design, and sentences on what is unusual in it.

    Parameters
    ----------
    fields : dict
        ``name``, ``seats``, ``mass``, ``length``, ``beam`` ("" takes what suits the rest), ``ground``.

    Raises
    ------
    DesignError
        With every reason why no sensible craft comes out.
    """
    name = str(fields["name"]).strip()
    ground = str(fields["ground"])
    if ground not in GROUNDS:
        raise DesignError([Problem("ground", ground, "There is no such ground.", f"One of {', '.join(GROUNDS)}.")])
    if not name or not name.isprintable() or len(name) > 60:
        raise DesignError([Problem("name", name[:60] or "(nothing)", "A craft has a name.", "Write 1 to 60 letters.")])
    sizes = {key: str(fields[key]).strip() or None for key in ("mass", "length", "beam")}
    today = datetime.datetime.now().astimezone().date().isoformat()
    text, warnings = new_design(
        name, seats=fields["seats"], mass=sizes["mass"], length=sizes["length"], beam=sizes["beam"], date=today
    )
    is_imperial = 'show = "imperial"' in text
    gap, roughness = (pair[int(is_imperial)] for pair in GROUNDS[ground])
    text, _ = change_text(text, [("air.gap", gap), ("air.roughness", roughness)])
    return text, warnings


def file_name(name: str) -> str:
    """Return a file name for a craft, with nothing in it that means something to a file system."""
    stem = re.sub(r"[^\w-]+", "-", name, flags=re.ASCII).strip("-_").lower()[:60]
    return f"{stem or 'craft'}.toml"
