"""A saved inflation taken up again: does it belong to these pieces, and what do other chapters take from it?"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from skirtloft.answers.inflated_plain import FORMAT
from skirtloft.errors import ExportError


@dataclass(frozen=True)
class SavedInflation:
    """What a file of `inflate` says.

    Parameters
    ----------
    is_current : bool
        Whether it was computed from the pieces as they are now, and came to rest.
    is_level : bool
    joint_rise : mapping of station id to float [m]
        Round each station in the mean, the mesh's own shift counted in.
    tip : tuple of float [m]
        Mean height of every segment's tip over the drawn plane, bow to stern.
    ground_stiffness : mapping of run to float [N/m2]
        Force per metre of joint over the first ground step; empty where no ground was brought up.
    """

    is_current: bool
    is_level: bool
    joint_rise: Mapping[str, float]
    tip: tuple[float, ...]
    ground_stiffness: Mapping[str, float]


def saved_inflation(text: str, fingerprint: str) -> SavedInflation:
    """Return what the text of a saved inflation says, for pieces of this fingerprint (`pieces_fingerprint`).

    Raises
    ------
    ExportError
        The text is no saved inflation, or not all of one.
    """
    try:
        data: dict[str, Any] = json.loads(text)
        if data["format"] != FORMAT:
            raise KeyError("format")
        return SavedInflation(
            is_current=data["pieces_sha256"] == fingerprint and bool(data["solver"]["settled"]),
            is_level=bool(data["level"]),
            joint_rise={row["id"]: float(row["joint_rise_m"]) for row in data["stations"]},
            tip=tuple(float(row["tip_on_finer_mesh_m"]) for row in data["segments"]),
            ground_stiffness={row["run"]: float(row["n_per_m2"]) for row in data["ground_stiffness"]},
        )
    except (ValueError, KeyError, TypeError) as error:
        raise ExportError(f"This is no saved inflation ({FORMAT}), or not a whole one: {error}.") from error
