"""The commented-out air tables of a first design file: with their signs taken off they are a file that solves."""

from __future__ import annotations

import re
import tomllib

import pytest

from skirtloft.design.read import parse_design
from skirtloft.design.start import new_design_text
from skirtloft.pipeline import build


def uncommented(text: str) -> str:
    """Take "# " off every line of the air tables that is TOML below it, as a builder would."""
    head, mark, rest = text.partition("# engine_power")
    tables, cloth, tail = rest.partition("[cloth.loop]")
    lines = [
        line[2:] if re.match(r"# (\[|[a-z_]+ = |\]|    \{)", line) else line for line in (mark + tables).splitlines()
    ]
    return head + "\n".join(lines) + "\n" + cloth + tail


@pytest.mark.parametrize("show", ["metric", "imperial"])
def test_uncommented_it_solves_and_its_fan_carries_the_craft(show: str) -> None:
    text = uncommented(new_design_text("x", 4, 650.0, 5.0, 2.3, show))  # type: ignore[arg-type]
    raw = tomllib.loads(text)["air"]
    assert {"fan", "water", "battery", "loss", "leak", "day", "surface", "kinds", "gap_by_run"} <= set(raw)
    skirt = build(parse_design(text))
    assert skirt.air.match is not None
    assert (skirt.air.match.at_speed.failure == 0).all()
    assert [f.rule for f in skirt.findings if f.verdict == "fail"] == []


def test_as_written_it_has_no_fan() -> None:
    design = parse_design(new_design_text("x", 4, 650.0, 5.0, 2.3))
    assert design.air.fan is None
    assert design.air.loss == ()
