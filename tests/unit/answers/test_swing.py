"""The swing test at home: readings to loss factor, scatter, and a bad file answered with every problem at once."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from skirtloft.cli import main
from skirtloft.design.read import load_design
from skirtloft.design.swing_file import SwingSet, parse_swings
from skirtloft.errors import DesignError
from skirtloft.rides.swing_test import cloth_loss
from tests.designs import EXAMPLES
from tests.rides_cases import ride

HEAD = 'format = "skirtloft-swing/1"\n'


def decay(eta: float, count: int = 6, between: float = 1.0) -> list[float]:
    """Travels that fall as a damper of loss factor `eta` makes them: zeta = eta/2, closed form."""
    zeta = eta / 2.0
    per_swing = 2.0 * math.pi * zeta / math.sqrt(1.0 - zeta**2)
    return [80.0 * math.exp(-per_swing * between * k) for k in range(count)]


def swings(*etas: float, **more: object) -> tuple[SwingSet, ...]:
    return tuple(SwingSet(name=f"s{k}", run="side", travel=tuple(decay(e)), **more) for k, e in enumerate(etas))


def test_one_even_decay_gives_its_loss_and_no_scatter() -> None:
    loss = cloth_loss(swings(0.09), ride("four-seat")[1].hover)
    assert loss.loss_factor == pytest.approx(0.09, rel=1e-9)
    assert loss.high - loss.low < 1e-9


def test_both_sides_are_half_a_swing_apart() -> None:
    both = SwingSet(name="x", run="side", sides="both", travel=tuple(decay(0.09, between=0.5)))
    assert cloth_loss((both,), ride("four-seat")[1].hover).loss_factor == pytest.approx(0.09, rel=1e-9)


def test_three_segments_scatter_by_student() -> None:
    """Mean 0.09, standard deviation 0.01, t 4.303 for two degrees of freedom: +- 0.02484."""
    loss = cloth_loss(swings(0.08, 0.09, 0.10), ride("four-seat")[1].hover)
    assert loss.loss_factor == pytest.approx(0.09, rel=1e-9)
    assert loss.high - 0.09 == pytest.approx(4.303 * 0.01 / math.sqrt(3.0), rel=1e-6)
    assert 0.09 - loss.low == pytest.approx(4.303 * 0.01 / math.sqrt(3.0), rel=1e-6)


def test_air_under_the_tip_is_put_back_and_does_not_depend_on_the_gap() -> None:
    hover = ride("four-seat")[1].hover
    losses = [cloth_loss(swings(0.09, gap=gap), hover).loss_factor for gap in (0.005, 0.020)]
    assert losses[0] == pytest.approx(losses[1], rel=1e-6)
    assert 0.005 < losses[0] - 0.09 < 0.05


def test_a_bad_file_is_answered_with_every_problem(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    bad = tmp_path / "swings.toml"
    bad.write_text(
        """\
format = "other"
weather = "fine"
[[swing]]
name = "a"
run = "roof"
travel = [80, "60", 50]
[[swing]]
run = "side"
reeding = 1
gap = "10"
[[swing]]
name = "c"
run = "stern"
travel = 3
""",
        encoding="utf-8",
    )
    assert main(["swing", str(EXAMPLES / "four-seat.toml"), str(bad)]) == 2
    said = capsys.readouterr().err
    for path in (
        "format", "weather", "swing[0].run", "swing[0].travel[1]", "swing[1].name", "swing[1].reeding", "swing[1].gap",
        "swing[1].travel", "swing[2].travel",
    ):  # fmt: skip
        assert f"  {path}: given" in said
    assert "Traceback" not in said


def test_swings_that_cannot_be_are_all_named() -> None:
    rows = (
        SwingSet(name="a", run="side", travel=(80.0, 60.0)),
        SwingSet(name="b", run="side", travel=(80.0, 60.0, 65.0, -1.0, 20.0)),
        SwingSet(name="c", run="side corner", travel=tuple(decay(0.1))),
    )
    with pytest.raises(DesignError) as caught:
        cloth_loss(rows, ride("ten-seat")[1].hover)
    paths = [problem.path for problem in caught.value.problems]
    assert paths == ["swing[0].travel", "swing[1].travel[2]", "swing[1].travel[3]", "swing[2].run"]


@pytest.mark.parametrize("text", ["", "[[swing", HEAD, HEAD + "swing = 3", HEAD + "swing = [1]", HEAD + "[swing]"])
def test_nothing_to_read_is_a_refusal(text: str) -> None:
    with pytest.raises(DesignError):
        parse_swings(text)


def test_write_puts_it_into_the_design_and_keeps_its_comments(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    design, readings = tmp_path / "craft.toml", tmp_path / "swings.toml"
    before = (EXAMPLES / "four-seat.toml").read_text(encoding="utf-8")
    design.write_text(before, encoding="utf-8")
    travel = ", ".join(f"{value:.4f}" for value in decay(0.083))
    readings.write_text(f'{HEAD}[[swing]]\nname = "a"\nrun = "side"\ntravel = [{travel}]\n', encoding="utf-8")
    assert main(["swing", str(design), str(readings)]) == 0
    out = capsys.readouterr().out
    assert out.startswith("LOSS     0.083")
    assert "swing" in out.splitlines()[-1]
    assert "nobody in or under it" in " ".join(out.split())
    assert design.read_text(encoding="utf-8") == before
    assert main(["swing", str(design), str(readings), "--write"]) == 0
    after = design.read_text(encoding="utf-8")
    assert load_design(design).bounce.loss_factor == 0.083
    assert all(line in after for line in before.splitlines())


def test_a_wrong_design_is_not_blamed_on_the_readings(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    readings = tmp_path / "swings.toml"
    readings.write_text(HEAD, encoding="utf-8")
    words = ["swing", str(EXAMPLES / "four-seat.toml"), str(readings), "--set", "skirt.depth=9 km"]
    assert main(words) == 2
    assert "skirt.depth" in capsys.readouterr().err
