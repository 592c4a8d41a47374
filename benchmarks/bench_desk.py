"""From a key at the desk to the painted picture, four-seat, in Chromium, against the library in the same run.

    PYTHONPATH=src:. python benchmarks/bench_desk.py

Prints for each: middle and 95 of 100 in ms, what the library needs in the same run for skirt and drawing, and with the
pieces, and the ratio of the first two.
Aim on a quiet machine: 60 ms and 100 ms.
"""

from __future__ import annotations

import shutil
import statistics
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from playwright.sync_api import sync_playwright

from skirtloft.desk.answer import Solved, cut, solve
from skirtloft.desk.drawings import drawing_data
from skirtloft.desk.surface import surface_block
from tests.browser.conftest import ARGUMENTS, CHROMIUM, Desk
from tests.designs import EXAMPLES
from tests.desk_cases import FOUR_TEXT

CASES = (
    ("section", "Walk round", 'svg[data-name^="section-"]', lambda solved: drawing_data(solved, "section-P06")),
    ("whole skirt", "Whole skirt", ".solid", lambda solved: surface_block(solved.skirt, 1)),
)

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


def main() -> None:
    """Measure both and print them."""
    with tempfile.TemporaryDirectory() as place, sync_playwright() as play:
        design = Path(place) / "craft.toml"
        shutil.copyfile(EXAMPLES / "four-seat.toml", design)
        desk = Desk(Path(place), design)
        try:
            browser = play.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
            page = browser.new_page(viewport={"width": 1366, "height": 768})
            page.goto(desk.home)
            for name, view, selector, draw in CASES:
                page.get_by_role("tab", name=view, exact=True).click()
                page.locator(f"{selector}[data-revision]").first.wait_for()
                page.evaluate(MEASURE, [selector, 5])
                times, needed = [], []
                for _ in range(6):
                    times += page.evaluate(MEASURE, [selector, 6])
                    page.wait_for_function("() => !document.querySelector('.strip .solving')")
                    needed.append(library(draw))
                middle, slow = statistics.median(times), statistics.quantiles(times, n=20)[18]
                own, all_of_it = (statistics.median(part) for part in zip(*needed, strict=True))
                print(
                    f"{name:12} {middle:6.0f} ms  {slow:6.0f} ms  library {own:6.0f} ms, and pieces {all_of_it:.0f} ms"
                    f"  ratio {middle / own:.2f}"
                )
            browser.close()
        finally:
            desk.end()


if __name__ == "__main__":
    main()
