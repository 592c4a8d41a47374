"""Better layouts in processes of their own: never worse, verified, and stopped at once with the best so far."""

from __future__ import annotations

import multiprocessing
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pytest

from skirtloft.errors import SolveError
from skirtloft.layout.better import improve
from skirtloft.layout.blanks import problems
from skirtloft.layout.nest import nest
from skirtloft.layout.search import quick_layout
from skirtloft.layout.types import Layout
from skirtloft.layout.verify import faults, length_used
from tests.designs import skirt_of
from tests.layout_cases import piece, problem, rectangle

ROOT = Path(__file__).parents[3]


def test_never_worse_than_quick_and_sound() -> None:
    skirt = skirt_of("one-seat")
    wanted = problems(skirt.design, skirt.pieces)[0]
    told: list[tuple[float, float]] = []
    found = improve(wanted, 5.0, lambda spent, best: told.append((spent, length_used(best)[1])))
    assert faults(found.layout) == []
    assert length_used(found.layout) <= length_used(found.quick)
    assert not found.cancelled
    assert found.troubles == ()
    assert told
    assert [length for _, length in told] == sorted((length for _, length in told), reverse=True)
    assert not multiprocessing.active_children()


def test_cancelled_at_once_with_the_best_so_far() -> None:
    wanted = problem(piece("A", rectangle(0.3, 0.2), 20), width=0.7)
    began = time.monotonic()
    found = improve(wanted, 300.0, cancelled=lambda: time.monotonic() - began > 1.0)
    assert time.monotonic() - began < 20.0
    assert found.cancelled
    assert faults(found.layout) == []
    assert not multiprocessing.active_children()


def test_no_time_gives_the_quick_layout_and_a_start_is_beaten_or_kept() -> None:
    wanted = problem(piece("A", rectangle(0.5, 0.5), 4))
    quick = quick_layout(wanted)
    assert length_used(improve(wanted, 0.0).layout) == length_used(quick)
    assert length_used(improve(wanted, 0.0, start=quick).layout) == length_used(quick)


def test_the_nester_is_told_only_sound_outlines() -> None:
    bow = np.array([[0.0, 0.0], [0.3, 0.3], [0.3, 0.0], [0.0, 0.25]])
    base = quick_layout(problem(piece("A", rectangle(0.3, 0.3))))
    crossed = problem(piece("B", bow, area=0.045))
    with pytest.raises(SolveError, match="outline of B crosses itself"):
        nest(Layout(crossed, base.lies, ""), 1, lambda layout: None)


def test_the_nester_keeps_gap_and_margin() -> None:
    """It keeps its distance to the edges too; told the true width, three of 320 mm fit 1 m with 10 mm all round."""
    wanted = problem(piece("A", rectangle(0.32, 0.32), 6), gap=0.006, margin=0.01)
    found: list[Layout] = []
    nest(quick_layout(wanted), 3, found.append)
    sound = [layout for layout in found if not faults(layout)]
    assert sound
    assert min(length_used(layout)[1] for layout in sound) == pytest.approx(0.02 + 2 * 0.32 + 0.006, abs=2e-3)


@pytest.mark.skipif(sys.platform == "win32", reason="sends SIGINT to a group of processes")
def test_ctrl_c_keeps_the_best_so_far(tmp_path: Path) -> None:
    script = tmp_path / "look.py"
    script.write_text(LOOK, encoding="utf-8")
    command = [sys.executable, str(script)]
    own_group = {"start_new_session": True}
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join([str(ROOT), *sys.path])}
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, env=environment, **own_group
    ) as running:  # type: ignore[call-overload]
        assert running.stdout.readline().strip() == "looking"
        time.sleep(1.0)
        os.killpg(running.pid, signal.SIGINT)  # as a terminal does: to every process
        out, _ = running.communicate(timeout=60)
    assert out.splitlines() == ["stopped, sound"]
    assert running.returncode == 0


LOOK = """
from skirtloft.layout.better import improve
from skirtloft.layout.verify import faults
from tests.layout_cases import piece, problem, rectangle

told = []


def progress(spent, best):
    if not told:
        told.append(print("looking", flush=True))


if __name__ == "__main__":
    wanted = problem(piece("A", rectangle(0.3, 0.2), 20), piece("B", rectangle(0.11, 0.17), 20), width=0.7)
    found = improve(wanted, 300.0, progress)
    print("stopped" if found.cancelled else "ran on", "sound" if not faults(found.layout) else "unsound", sep=", ")
"""
