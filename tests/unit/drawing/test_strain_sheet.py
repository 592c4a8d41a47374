"""The strain sheet: greys by band, true shapes, the worst place, a table; every page within its frame."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from skirtloft.drawing.page import Stamp
from skirtloft.drawing.sheet import Area, Circle, Text
from skirtloft.drawing.strain_sheet import BANDS, GREYS, strain_sheets
from skirtloft.shape.flatten.strain import strain_pictures
from tests.designs import NAMES, as_cut, skirt_of


@pytest.mark.parametrize("name", NAMES)
def test_everything_lies_within_the_page(name: str) -> None:
    skirt = as_cut(name)
    for sheet in strain_sheets(skirt, Stamp(skirt.design.project)):
        for item in sheet.items:
            points = np.array([[item.x, item.y]]) if isinstance(item, (Text, Circle)) else item.points
            assert points.min() >= 0.0
            assert (points <= [sheet.width - 10.0 + 1e-9, sheet.height]).all(), item


def test_areas_by_grey_are_those_of_the_strain() -> None:
    """One panel: what is painted in each grey, darker ones on top, is the area of the cells in that band."""
    skirt = as_cut("four-seat")
    made = skirt.development
    sheets = strain_sheets(skirt, Stamp(skirt.design.project))
    flat_row = made.flat_rows[0]
    picture = strain_pictures(flat_row)[0]
    worst = np.maximum(np.abs(picture.warp), np.abs(picture.weft)).reshape(-1, 2).max(axis=1)
    cells = shapely.area(shapely.polygons(picture.points[picture.triangles])).reshape(-1, 2).sum(axis=1)
    wanted = [cells[(worst >= low) & (worst < high)].sum() for low, high in zip(BANDS, (*BANDS[1:], 9.0), strict=True)]
    areas = [item for item in sheets[0].items if isinstance(item, Area)]
    outline = shapely.Polygon(areas[0].points).envelope  # the first panel's largest part spans it
    own = [item for item in areas if outline.buffer(0.5).contains(shapely.Polygon(item.points))]
    painted = dict.fromkeys(GREYS, 0.0)
    covered = shapely.Polygon()
    for item in reversed(own):
        part = shapely.Polygon(item.points)
        painted[item.grey] += part.difference(covered).area
        covered = covered.union(part)
    scale = next(float(i.text[2:]) for i in sheets[0].items if isinstance(i, Text) and i.text.startswith("1:"))
    for grey, area in zip(GREYS, wanted, strict=True):
        assert painted[grey] * (scale / 1000.0) ** 2 == pytest.approx(area, abs=2e-6 + 0.002 * cells.sum())


def test_greys_fall_in_equal_looking_steps_and_are_all_in_the_legend() -> None:
    assert list(GREYS) == sorted(GREYS, reverse=True)
    assert min(np.diff(GREYS[::-1])) > 0.1
    sheet = strain_sheets(as_cut("one-seat"), Stamp(as_cut("one-seat").design.project))[0]
    words = [item.text for item in sheet.items if isinstance(item, Text)]
    assert "1.00% to 1.50%" in words
    assert "2.00% and more" in words


def test_no_sheet_without_strain() -> None:
    skirt = skirt_of("four-seat")
    assert strain_sheets(skirt, Stamp(skirt.design.project)) == []
