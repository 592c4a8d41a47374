"""What must hold between the keys of [bounce]."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from skirtloft.design.told import given
from skirtloft.errors import Problem

NOTHING = "(nothing)"


def bounce_problems(values: dict[str, Any], raw: dict[str, Any]) -> Iterator[Problem]:
    """Yield what is wrong between the keys of the table.

    Parameters
    ----------
    values : dict
        Of the whole file: what could be read.
    raw : dict
        The file as tomllib gives it.
    """
    table = raw.get("bounce")
    if not isinstance(table, dict) or "bounce" not in values:
        return
    for key, other, example in (("duct_length", "duct_area", '"0.55 m2"'), ("duct_area", "duct_length", '"1.2 m"')):
        if key in table and other not in table:
            wrong = f"Length and area of the duct belong together: {other} is missing."
            yield Problem(f"bounce.{other}", NOTHING, wrong, f"Write {other} = {example}, or leave both out.")
    if "mouth_area" in table and "mouth_open" in table:
        wrong = "The way from loop to cushion is told twice: as an area and as a share of the open lower side."
        yield Problem("bounce.mouth_open", given(raw, "bounce", "mouth_open"), wrong, "Leave one of the two out.")
