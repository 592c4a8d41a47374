"""Text of a JSON file: same data, same bytes."""

from __future__ import annotations

import json
from typing import Any


def render(data: dict[str, Any]) -> str:
    """Return `data` as indented JSON with a final newline; numbers keep 12 significant digits, nan becomes null."""
    return json.dumps(_plain(data), indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def _plain(value: Any) -> Any:
    if isinstance(value, dict):
        return {str(key): _plain(item) for key, item in value.items()}
    if hasattr(value, "tolist"):
        return _plain(value.tolist())
    if isinstance(value, list | tuple):
        return [_plain(item) for item in value]
    if isinstance(value, float):
        return float(f"{value:.12g}") if abs(value) < float("inf") else None
    return value
