"""The skirt blown up slowly, on the page: a small one of two triangles, put in among what the desk says."""

from __future__ import annotations

import json
import time
from collections.abc import Callable
from typing import Any

from tests.browser.conftest import Desk
from tests.browser.test_desk import view

SHARES = (0.02, 0.2)
CORNERS = [0, 1, 2, 1, 3, 2]


def points(height: int, per_mm: int) -> list[int]:
    flat = [(0, 500, 0), (4000, 500, 0), (0, 900, height), (4000, 900, height)]
    return [value * per_mm for point in flat for value in point]


def shown(desk: Desk, new_page: Callable[..., Any], **options: Any) -> Any:
    """Return a page on which an inflated skirt of three pressures is shown."""
    frames = [{"share": share, "points": points(height, 1)} for share, height in zip(SHARES, (100, 300), strict=True)]
    study = {
        "type": "study", "name": "inflated", "revision": 1, "why": "", "verdict": "LEVEL  a small one", "sentences": [],
        "cautions": [], "lines": "", "findings": [], "sheets": [], "rows": [],
        "model": {"points": points(500, 10), "corners": CORNERS, "frames": frames},
    }  # fmt: skip
    page = new_page(desk.home, **options)
    sockets: list[Any] = []

    def between(socket: Any) -> None:
        socket.connect_to_server()
        sockets.append(socket)

    page.route_web_socket("**", between)
    page.goto(desk.home)
    page.locator('svg[data-name^="section-"]').wait_for()
    view(page, "Inflated")
    sockets[-1].send(json.dumps(study))
    page.wait_for_function("() => document.querySelector('.solid-inflated')?.dataset.triangles > 0")
    return page


def until(holds: Callable[[], bool]) -> None:
    """Wait until a picture is what it should be."""
    end = time.monotonic() + 15.0
    while not holds():
        assert time.monotonic() < end
        time.sleep(0.2)


def test_it_is_blown_up_by_hand_and_played(desk: Desk, new_page: Callable[..., Any]) -> None:
    page = shown(desk, new_page)
    slider, model = page.get_by_role("slider", name="Blown up slowly"), page.locator(".solid-inflated")
    assert slider.get_attribute("aria-valuetext") == "100 % of the pressure"
    until(lambda: model.screenshot() == model.screenshot())
    full = model.screenshot()
    slider.press("Home")
    page.get_by_text("2 % of the pressure", exact=True).wait_for()
    until(lambda: model.screenshot() != full)
    slider.press("ArrowRight")
    page.get_by_text("20 % of the pressure", exact=True).wait_for()
    page.get_by_role("button", name="Blow it up").click()
    page.get_by_text("100 % of the pressure", exact=True).wait_for()
    page.get_by_role("button", name="Blow it up").wait_for()  # it ends by itself
    assert model.get_attribute("data-at") == "2"


def test_with_less_motion_it_goes_from_one_pressure_to_the_next(desk: Desk, new_page: Callable[..., Any]) -> None:
    page = shown(desk, new_page, reduced_motion="reduce")
    model = page.locator(".solid-inflated")
    page.evaluate("() => { window.seen = new Set(); const host = document.querySelector('.solid-inflated');"
                  " new MutationObserver(() => window.seen.add(host.dataset.at))"
                  ".observe(host, { attributes: true, attributeFilter: ['data-at'] }); }")  # fmt: skip
    page.get_by_role("button", name="Blow it up").click()
    page.wait_for_function("() => window.seen.size === 3")
    page.get_by_role("button", name="Blow it up").wait_for()
    assert page.evaluate("() => [...window.seen].sort()") == ["0", "1", "2"]
    assert model.get_attribute("data-at") == "2"
