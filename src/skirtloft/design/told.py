"""What the file itself says at a path, for messages."""

from __future__ import annotations

from typing import Any

from skirtloft.design.fields import NOTHING
from skirtloft.design.quantity import shown


def given(raw: Any, *path: str | int) -> str:
    """Return what the file says at a path, as text, or "(nothing)"."""
    for step in path:
        try:
            raw = raw[step]
        except (KeyError, IndexError, TypeError):
            return NOTHING
    return shown(raw)
