"""Long work beside the page: how far it is, the best so far, an end by hand, and what then is shown where."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from skirtloft.design.read import parse_design
from skirtloft.layout.blanks import problems
from skirtloft.layout.saved import from_text
from skirtloft.pipeline import build
from tests.browser.conftest import Desk, is_at_edit
from tests.browser.test_desk import drawn, need_axe, studied, too_small, view, violations
from tests.desk_cases import FOUR_TEXT


def state(page: Any, of: str, *states: str) -> None:
    page.locator(", ".join(f'[data-job="{of}"][data-state="{one}"]' for one in states)).wait_for(timeout=600_000)


def test_a_better_layout_is_looked_for_and_kept_beside_the_design(page: Any, shared: Desk) -> None:
    view(page, "Layout")
    page.get_by_role("button", name="Look for a better layout").click()
    page.get_by_role("progressbar", name="Look for a better layout").wait_for()
    page.wait_for_function("() => document.querySelector('[data-job=layout] progress').max === 40", timeout=120_000)
    page.get_by_role("button", name="Stop, and keep the best").click()
    state(page, "layout", "done")
    assert shared.design is not None
    kept = shared.design.with_suffix(".layout.json")
    design = parse_design(FOUR_TEXT)
    from_text(
        kept.read_text(encoding="utf-8"), problems(design, build(design, preview=False).pieces)
    )  # of these pieces
    page.get_by_text("This is the layout kept beside the design.").wait_for(timeout=60_000)
    studied(page, "layout", 1).locator("svg path").first.wait_for(state="attached")


def test_the_page_stays_quick_while_it_inflates_and_shows_what_there_is_when_stopped(page: Any) -> None:
    view(page, "Inflated")
    page.get_by_role("button", name="Inflate it", exact=True).click()
    state(page, "inflate", "running")
    view(page, "Layout")  # a second piece of work waits
    assert page.get_by_role("button", name="Look for a better layout").is_disabled()
    view(page, "Inflated")
    page.wait_for_function("() => /[1-9]\\d* steps/.test(document.querySelector('[data-job=inflate]').innerText)",
                           timeout=120_000)  # fmt: skip
    view(page, "Walk round")
    page.get_by_label("Depth", exact=True).fill("285 mm")
    page.keyboard.press("Enter")
    drawn(page, 2)
    view(page, "Inflated")
    assert page.locator('[data-job="inflate"]').get_attribute("data-state") == "running"
    page.get_by_role("button", name="Stop, and show it as it is").click()
    state(page, "inflate", "done")
    study = studied(page, "inflated", 1)
    assert "Stopped: this is the best so far, not at rest." in study.inner_text()
    assert "not yet compared with a built skirt" in study.inner_text()
    page.locator('[data-job="inflate"]').get_by_text("This is of an earlier edit.").wait_for()
    page.wait_for_function("() => Number(document.querySelector('.solid-inflated')?.dataset.triangles) > 2000")
    assert study.get_by_role("row").count() > 15  # every station
    need_axe()
    found = [*violations(page, "inflated, light"), *too_small(page, "inflated at 1366")]
    page.set_viewport_size({"width": 820, "height": 1180})
    page.emulate_media(color_scheme="dark")
    page.wait_for_timeout(500)
    found += [*violations(page, "inflated, dark"), *too_small(page, "inflated at 820")]
    assert not found, "\n".join(found)


def test_exact_patterns_say_how_far_their_threads_stretch(page: Any) -> None:
    view(page, "Pieces")
    page.get_by_role("button", name="Make the exact patterns").click()
    state(page, "patterns", "done")
    study = page.locator('[data-study="patterns"]')
    study.locator('svg[data-name^="strain-"] path').first.wait_for(state="attached")
    assert "Patterns made as they are cut." in study.inner_text()
    need_axe()
    found = [*violations(page, "pieces with strains"), *too_small(page, "pieces with strains")]
    assert not found, "\n".join(found)


def test_the_build_book_is_taken_away_while_the_page_goes_on(page: Any) -> None:
    view(page, "Take away")
    with page.expect_download(timeout=240_000) as waiting:
        page.get_by_role("link", name="Build book").click()
        page.get_by_label("Depth", exact=True).fill("284 mm")
        page.keyboard.press("Enter")
        is_at_edit(page, page.base + 2)
    assert Path(waiting.value.path()).read_bytes().startswith(b"%PDF")
