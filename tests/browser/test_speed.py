"""How long the desk takes from a key to the painted picture, and to be ready; generous limits, printed numbers.

The limits only catch a desk that has become unusable, on a machine that others load as well, with software drawing.
What is aimed at on a quiet one is 60 ms in the middle and 100 ms at 95 of 100, and a page ready within a second.
"""

from __future__ import annotations

import statistics
from typing import Any

import pytest

from tests.browser.test_desk import view

# Steps the depth by arrow key and waits until what is asked for is on the screen: two frames after it is in the page.
MEASURE = """async ([selector, count]) => {
    const field = document.getElementById('field-skirt.depth');
    const shown = () => Number(document.querySelector(selector).dataset.revision);
    const frame = () => new Promise((done) => requestAnimationFrame(done));
    const times = [];
    for (let i = 0; i < count; i++) {
        await new Promise((done) => setTimeout(done, 120));
        const before = shown();
        const start = performance.now();
        field.dispatchEvent(new KeyboardEvent('keydown', { key: i % 2 ? 'ArrowDown' : 'ArrowUp', bubbles: true }));
        while (shown() <= before) await frame();
        await frame();
        times.push(performance.now() - start);
    }
    return times;
}"""


def told(name: str, times: list[float]) -> tuple[float, float]:
    middle, slow = statistics.median(times), statistics.quantiles(times, n=20)[18]
    print(f"{name}: {middle:.0f} ms in the middle, {slow:.0f} ms at 95 of 100, {len(times)} edits")
    return middle, slow


def test_a_key_is_painted_soon(page: Any) -> None:
    page.get_by_role("textbox", name="Depth").focus()
    page.evaluate(MEASURE, ['svg[data-name^="section-"]', 5])
    middle, slow = told("section", page.evaluate(MEASURE, ['svg[data-name^="section-"]', 30]))
    assert middle < 1500
    assert slow < 3000


def test_a_key_is_painted_soon_in_three_dimensions(page: Any) -> None:
    view(page, "Whole skirt")
    page.wait_for_function("() => Number(document.querySelector('.solid')?.dataset.triangles) > 10000")
    page.evaluate(MEASURE, [".solid", 5])
    middle, slow = told("whole skirt", page.evaluate(MEASURE, [".solid", 30]))
    assert middle < 1500
    assert slow < 3000


@pytest.mark.parametrize("first", ["Walk round"])
def test_the_page_is_ready_soon(page: Any, first: str) -> None:
    page.reload()
    page.locator('svg[data-name^="section-"] path').first.wait_for(state="attached")
    ready = page.evaluate("() => performance.now()")
    count = page.evaluate("() => performance.getEntriesByType('resource').length")
    print(f"ready after {ready:.0f} ms, {count} files")
    assert ready < 4000
    assert count <= 4
