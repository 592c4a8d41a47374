"""How long the desk takes from a key to the painted picture, and to be ready: against the library in the same run.

What is aimed at on a quiet machine is 60 ms in the middle and 100 ms at 95 of 100, and a page ready within a second;
``benchmarks/bench_desk.py`` reports those. Here others load the machine, so the limit is a time of the same run: an
edit has to be painted before the library, in
turns with it, has worked out the skirt, drawn it and cut its pieces. A desk that cut before it painted, or had an old
edit solved before the newest, would not keep it.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from typing import Any

import pytest

from skirtloft.desk.answer import Solved, cut, solve
from skirtloft.desk.drawings import drawing_data
from skirtloft.desk.surface import surface_block
from tests.browser.test_desk import view
from tests.desk_cases import FOUR_TEXT

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


def library(draw: Callable[[Solved], object]) -> tuple[float, float]:
    """Return how long the library takes for the skirt and a drawing [ms], and for the pieces too."""
    start = time.perf_counter()
    solved = solve(1, FOUR_TEXT)
    assert isinstance(solved, Solved)
    draw(solved)
    drawn = time.perf_counter()
    cut(solved, lambda: None)
    return 1000.0 * (drawn - start), 1000.0 * (time.perf_counter() - start)


def ratio(page: Any, name: str, selector: str, draw: Callable[[Solved], object]) -> None:
    """Edit and solve in turns; assert that an edit is painted before the library has cut the pieces."""
    page.evaluate(MEASURE, [selector, 4])
    library(draw)
    times: list[float] = []
    needed: list[tuple[float, float]] = []
    for _ in range(6):
        times += page.evaluate(MEASURE, [selector, 5])
        page.wait_for_function("() => !document.querySelector('.strip .solving')")  # no cutting beside the library
        needed.append(library(draw))
    middle, slow = statistics.median(times), statistics.quantiles(times, n=20)[18]
    of_drawing, of_all = (statistics.median(part) for part in zip(*needed, strict=True))
    print(
        f"{name}: {middle:.0f} ms in the middle, {slow:.0f} ms at 95 of 100, {len(times)} edits; the library"
        f" {of_drawing:.0f} ms, with pieces {of_all:.0f} ms; ratio {middle / of_drawing:.2f}"
    )
    assert middle < of_all


def test_a_key_is_painted_soon(page: Any) -> None:
    page.get_by_role("textbox", name="Depth").focus()
    ratio(page, "section", 'svg[data-name^="section-"]', lambda solved: drawing_data(solved, "section-P06"))


def test_a_key_is_painted_soon_in_three_dimensions(page: Any) -> None:
    view(page, "Whole skirt")
    page.wait_for_function("() => Number(document.querySelector('.solid')?.dataset.triangles) > 10000")
    ratio(page, "whole skirt", ".solid", lambda solved: surface_block(solved.skirt, 1))


@pytest.mark.parametrize("first", ["Walk round"])
def test_the_page_is_ready_soon(page: Any, first: str) -> None:
    page.reload()
    page.locator('svg[data-name^="section-"] path').first.wait_for(state="attached")
    ready = page.evaluate("() => performance.now()")
    count = page.evaluate("() => performance.getEntriesByType('resource').length")
    print(f"ready after {ready:.0f} ms, {count} files")
    assert ready < 4000
    assert count <= 4
