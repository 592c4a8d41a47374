"""Kill `pack` at many random moments, as a folder and as a ZIP, and count what is found: `pack_kills.py [TIMES]`."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from tests.unit.test_pack_killed import kill_at_random


def main(words: list[str]) -> None:
    """Print how often the old and how often the new pack was found; anything else stops with an error."""
    times = int(words[0]) if words else 100
    for kind in ("folder", "zip"):
        with tempfile.TemporaryDirectory() as place:
            print(kind, times, "kills, found:", kill_at_random(Path(place), kind, times, seed=times), flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
