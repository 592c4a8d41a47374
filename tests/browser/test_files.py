"""How much the page has to fetch before its first drawing is there."""

from __future__ import annotations

from typing import Any


def test_the_page_needs_four_files_at_most(page: Any) -> None:
    """Page, program and style; the model in three dimensions is fetched when it is looked at."""
    page.reload()
    page.locator('svg[data-name^="section-"] path').first.wait_for(state="attached")
    names = page.evaluate("() => performance.getEntriesByType('resource').map((entry) => entry.name)")
    assert 2 <= len(names) <= 4, names
    assert not any("scene" in name for name in names)
