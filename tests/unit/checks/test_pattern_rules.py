"""Thread strain is judged where panels were flattened by strain, and only there."""

from __future__ import annotations

import numpy as np
import pytest

from tests.designs import as_cut, skirt_of


@pytest.mark.parametrize("limit, verdict", [("0.0160", "pass"), ("0.0150", "warn")])
def test_thread_strain_on_both_sides(limit: str, verdict: str) -> None:
    skirt = as_cut("four-seat", ("making.loop.thread_strain", limit))
    found = next(finding for finding in skirt.findings if finding.rule == "thread-strain")
    assert found.verdict == verdict
    assert found.value == pytest.approx(max(r.thread.largest for r in skirt.development.strain if r), abs=1e-15)
    assert found.value == pytest.approx(0.0154, abs=0.0003)  # this mesh: 12 by 32
    assert found.where.startswith(skirt.development.panels[12].id) or found.where.startswith("L18")
    at = [float(word) for word in found.change.split() if word.replace(".", "").isdigit()]
    assert np.abs(skirt.plan.stations.at - at[0]).min() > 0.05  # well inside a panel


def test_a_preview_says_nothing_of_threads_but_expects_the_same_deviation() -> None:
    rules = {finding.rule: finding for finding in skirt_of("four-seat").findings}
    assert "thread-strain" not in rules
    exact = next(finding for finding in as_cut("four-seat").findings if finding.rule == "panel-deviation")
    assert rules["panel-deviation"].value == pytest.approx(exact.value, rel=0.05)  # a coarser mesh tells the curvature
    assert rules["panel-deviation"].where == exact.where
