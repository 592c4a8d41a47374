"""The pictures of heave and bounce: nothing over anything, regions where they belong, bars as long as margins."""

from __future__ import annotations

import numpy as np
import pytest

from skirtloft.drawing import rides_sheets as module
from skirtloft.drawing.chart import Axis, Plot
from skirtloft.drawing.overlap import overlaps
from skirtloft.drawing.page import Room, Stamp
from skirtloft.drawing.region_hatch import region_items
from skirtloft.drawing.rides_sheets import MOST_MARGIN, rides_sheets
from skirtloft.drawing.sheet import Area, Circle, Line, Sheet, Text
from skirtloft.errors import SolveError
from tests.designs import NAMES
from tests.rides_cases import NARROW, ride

CASES = [*((name, ()) for name in NAMES), ("four-seat", (NARROW,)), ("four-seat", (("project.show", "both"),))]


def words(sheet: Sheet) -> list[str]:
    return [item.text for item in sheet.items if isinstance(item, Text)]


@pytest.mark.parametrize(("name", "changes"), CASES)
def test_nothing_is_over_anything_and_every_page_says_what_it_is_worth(
    name: str, changes: tuple[tuple[str, str], ...]
) -> None:
    skirt, _ = ride(name, *changes)
    sheets = rides_sheets(skirt, Stamp(skirt.design.project))
    assert len(sheets) == 3
    for sheet in sheets:
        assert overlaps(sheet) == [], sheet.name
        text = " ".join(words(sheet))
        assert "Screening indicator, unvalidated" in text
        assert "hands clear of fan and skirt" in text
        assert "nan" not in text.split()


def test_the_circle_stands_on_the_working_point() -> None:
    skirt, rides = ride("four-seat")
    sheet = rides_sheets(skirt, Stamp(skirt.design.project))[0]
    marks = [item for item in sheet.items if isinstance(item, Circle) and item.layer == "hull"]
    box = next(item for item in sheet.items if isinstance(item, Line) and item.layer == "register" and item.closed)
    low, high = box.points.min(axis=0), box.points.max(axis=0)
    share = (np.array([marks[0].x, marks[0].y]) - low) / (high - low)
    # 41 cells from 0.05 to 2.05 times the point: 1 lies half a cell and 19 cells from the left, 19.5/41
    np.testing.assert_allclose(share, [19.5 / 41.0, 19.5 / 41.0], rtol=1e-9)
    assert rides.hover.point.gap > 0.0


def test_bars_are_as_long_as_the_margins() -> None:
    skirt, rides = ride("four-seat", NARROW)
    sheet = rides_sheets(skirt, Stamp(skirt.design.project))[1]
    bars = [float(np.ptp(item.points[:, 0])) for item in sheet.items if isinstance(item, Area)]
    margins = np.array([float(rides.margins.craft_margin), *rides.margins.margin.tolist()])
    shown = np.minimum(margins, MOST_MARGIN)
    np.testing.assert_allclose(np.array(bars) / max(bars), shown / shown.max(), rtol=1e-9)


def test_hatch_stays_in_its_region() -> None:
    """Left half hatched, right half not: no line right of the middle but the frame's; borders run down the middle."""
    verdict = np.array([["bounces"] * 4 + ["steady"] * 4] * 6)
    plot = Plot(Room(0.0, 0.0, 80.0, 60.0), Axis(0.0, 1.0, 0.5, "x"), Axis(0.0, 1.0, 0.5, "y"))
    lines = region_items(plot, verdict, {"bounces": "crossed", "steady": "none"})
    hatch = [line for line in lines if isinstance(line, Line) and line.layer == "dimension"]
    border = [line for line in lines if isinstance(line, Line) and line.layer == "segment"]
    assert len(hatch) > 4
    assert max(line.points[:, 0].max() for line in hatch) <= 40.0 + 1e-9
    assert len(border) == 1
    np.testing.assert_allclose(border[0].points, [[40.0, 0.0], [40.0, 60.0]])


def test_no_answer_is_a_page_that_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    skirt, _ = ride("four-seat")

    def fails(*_: object) -> None:
        raise SolveError("segments at rest in hover", 1.0, "Check loop and over-pressure.")

    monkeypatch.setattr(module, "rides_of", fails)
    (sheet,) = rides_sheets(skirt, Stamp(skirt.design.project))
    assert "Nothing can be said of heave and bounce here." in words(sheet)
    assert overlaps(sheet) == []
