"""From a key at the desk to the painted picture, four-seat, in Chromium, against the library in the same run.

    PYTHONPATH=src:. python benchmarks/bench_desk.py

Prints for each: middle and 95 of 100 in ms, what the library needs in the same run for skirt and drawing, the ratio.
Aim on a quiet machine: 60 ms and 100 ms.
"""

from __future__ import annotations

import shutil
import statistics
import tempfile
from pathlib import Path

from playwright.sync_api import sync_playwright

from skirtloft.desk.drawings import drawing_data
from skirtloft.desk.surface import surface_block
from tests.browser.conftest import ARGUMENTS, CHROMIUM, Desk
from tests.browser.test_speed import MEASURE, library
from tests.designs import EXAMPLES

CASES = (
    ("section", "Walk round", 'svg[data-name^="section-"]', lambda solved: drawing_data(solved, "section-P06")),
    ("whole skirt", "Whole skirt", ".solid", lambda solved: surface_block(solved.skirt, 1)),
)


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
                    needed.append(library(draw)[0])
                middle, slow = statistics.median(times), statistics.quantiles(times, n=20)[18]
                own = statistics.median(needed)
                print(f"{name:12} {middle:6.0f} ms  {slow:6.0f} ms  library {own:6.0f} ms  ratio {middle / own:.2f}")
            browser.close()
        finally:
            desk.end()


if __name__ == "__main__":
    main()
