"""Handles, ghosts, greys and the model in a real browser; one desk for all of them, each test leaves it as it was."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import Any

import pytest

from skirtloft.design.write import change_text
from tests.browser.conftest import Desk
from tests.browser.test_desk import group, need_axe, revision, studied, view, violations
from tests.designs import EXAMPLES, TAUT

STATION = '\n[[skirt.station]]\nat = "2.5 m"\nwhat = "add"\n'


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    """A craft on which a diaphragm is possible, with a station of the builder's own."""
    folder = tmp_path_factory.mktemp("views")
    text, refused = change_text((EXAMPLES / "four-seat.toml").read_text(encoding="utf-8"), TAUT)
    assert not refused
    (folder / "craft.toml").write_text(text + STATION, encoding="utf-8")
    made = Desk(folder, folder / "craft.toml")
    yield made
    made.end()


def handle(page: Any, name: str) -> Any:
    return page.get_by_role("slider", name=f"Handle of {name}", exact=True)


def drag(page: Any, found: Any, dx: float, dy: float) -> None:
    box = found.locator(".knob").bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    for step in range(1, 6):
        page.mouse.move(x + dx * step / 5, y + dy * step / 5)
        page.wait_for_timeout(40)
    page.mouse.up()
    page.wait_for_timeout(700)  # what is still on its way


def says(page: Any, found: Any, test: str) -> None:
    """Wait until the handle's own words pass a test."""
    page.wait_for_function(f"(one) => {test}", arg=found.element_handle())


def to_drag(page: Any, what: str) -> None:
    view(page, "Plan")
    page.locator('.plan svg[data-name="plan"]').wait_for()
    page.get_by_label("To drag").select_option(what)


# ---------------------------------------------------------------------------------------------------------- handles


def test_a_point_of_the_hull_edge_is_dragged_both_ways_as_one_edit(page: Any) -> None:
    to_drag(page, "hull")
    point = handle(page, "hull edge, point 3")
    before = point.get_attribute("aria-valuetext")
    assert before == "3.7 m, 1.2 m"
    box = point.locator(".reach").bounding_box()
    assert min(box["width"], box["height"]) >= 44.0
    drag(page, point, -20.0, -9.0)
    says(page, point, "parseFloat(one.getAttribute('aria-valuetext')) < 3.6")
    x, y = (float(part.split()[0]) for part in point.get_attribute("aria-valuetext").split(","))
    assert x < 3.6
    assert y > 1.25
    page.get_by_role("button", name="Undo").click()
    says(page, point, f"one.getAttribute('aria-valuetext') === '{before}'")
    assert page.get_by_role("button", name="Undo").is_disabled()
    point.focus()
    page.keyboard.press("ArrowUp")
    says(page, point, "one.getAttribute('aria-valuetext') === '3.7 m, 1.205 m'")
    page.keyboard.press("Shift+ArrowRight")
    says(page, point, "one.getAttribute('aria-valuetext') === '3.701 m, 1.205 m'")


def test_corner_radii_and_stations_have_handles_with_keyboard_steps(page: Any) -> None:
    to_drag(page, "corner")
    radius = handle(page, "corner radius, stern")
    drag(page, radius, 12.0, 0.0)  # away from the corner: rounder
    says(page, radius, "parseFloat(one.getAttribute('aria-valuetext')) > 800")
    group(page, "Skirt")
    at = float(radius.get_attribute("aria-valuetext").split()[0])
    assert page.locator('[id="field-skirt.corner.stern"]').input_value() == f"{at:g} mm"
    radius.focus()
    for _ in range(3):  # faster than the drawing
        page.keyboard.press("ArrowRight")
    says(page, radius, f"one.getAttribute('aria-valuetext') === '{at + 15:g} mm'")
    to_drag(page, "station")
    station = handle(page, "your station 1")
    drag(page, station, -20.0, 0.0)  # along the side, to the stern
    says(page, station, "parseFloat(one.getAttribute('aria-valuetext')) > 2.6")
    station.focus()
    page.keyboard.press("ArrowLeft")
    assert page.get_by_role("alert").count() == 0


def test_the_diaphragm_is_moved_on_the_section(page: Any) -> None:
    slider = page.get_by_role("slider", name="Station along the skirt")
    slider.focus()
    slider.press("Home")
    point = handle(page, "diaphragm on the hull, bow")
    point.wait_for()
    assert point.get_attribute("aria-valuetext") == "520 mm, 0 mm"
    point.focus()
    page.keyboard.press("ArrowLeft")
    says(page, point, "one.getAttribute('aria-valuetext') === '525 mm, 0 mm'")
    assert page.locator(".walk-side .lines").get_by_text("diaphragm").count() == 1


# ------------------------------------------------------------------------------------------------- ghosts and greys


def test_the_section_to_set_out_shows_the_taut_limit_when_asked(page: Any) -> None:
    assert page.locator('.walk-section [data-layer="ghost"]').count() == 0
    page.get_by_label("Ghost at the taut limit").check()
    page.locator('svg[data-name$="-taut"] [data-layer="ghost"] path').first.wait_for(state="attached")
    assert "taut limit, tip down" in page.locator(".walk-side .lines").inner_text()


def test_daylight_and_strain_are_shaded_on_the_plan(page: Any) -> None:
    view(page, "Plan")
    page.get_by_label("Shaded").select_option("gap")
    drawing = page.locator('.plan svg[data-name="sits-shade-1"]')
    drawing.wait_for(timeout=60_000)
    assert drawing.locator('[data-layer="zone"] path').count() > 6
    page.locator(".plan summary", has_text="Numbers").click()
    assert "sunk" in page.locator(".plan .numbers-table").inner_text()
    page.get_by_label("Load").select_option("2")
    page.locator('.plan svg[data-name="sits-shade-3"]').wait_for()
    page.get_by_label("Shaded").select_option("strain")
    page.locator('.plan svg[data-name="strain-plan"]').wait_for(timeout=60_000)
    assert "% on 95 % of it" in page.locator(".plan figcaption").inner_text()


# ------------------------------------------------------------------------------------------------------ the model


def picture(page: Any) -> bytes:
    page.wait_for_timeout(350)
    return bytes(page.locator(".solid canvas").screenshot())


def test_the_model_has_letters_hull_and_post_and_can_sit_and_be_seen_from_inside(page: Any) -> None:
    view(page, "Whole skirt")
    page.wait_for_function("() => Number(document.querySelector('.solid')?.dataset.triangles) > 10000")
    seen = {picture(page)}
    for name in ("Seam letters", "Hull", "Person-high post"):
        page.get_by_label(name).uncheck()
        seen.add(picture(page))
    page.get_by_label("How the craft stands").select_option("sit")
    assert "how it folds is not computed" in page.locator(".whole-caption").inner_text()
    seen.add(picture(page))
    page.get_by_role("button", name="From inside").click()
    inside = picture(page)
    page.get_by_role("slider", name="Station along the skirt").press("Home")
    seen |= {inside, picture(page)}
    assert len(seen) == 7  # every one of them changes what is seen
    page.locator(".whole-caption summary").click()
    rows = page.locator(".whole-caption table").inner_text()
    assert re.search(r"Seams of the loop, each side\s+A B C", rows)


def test_the_kept_variant_stands_in_the_model_and_its_pieces_are_judged(page: Any) -> None:
    view(page, "Compare")
    page.get_by_role("button", name="Keep this variant").click()
    page.get_by_text("Kept at edit").wait_for()
    group(page, "Making")
    page.get_by_label("Seam", exact=True).first.fill("22 mm")
    page.keyboard.press("Enter")
    page.get_by_role("columnheader", name="Wanted now").wait_for(timeout=60_000)
    page.get_by_role("row", name=re.compile("^L02 .*trim by up to")).wait_for(timeout=60_000)
    change = page.get_by_role("row", name=re.compile("Mass of the pieces")).inner_text()
    assert re.search(r"−[\d.]+ k?g \(−[\d.]+ %\)", change)
    view(page, "Whole skirt")
    page.wait_for_function("() => Number(document.querySelector('.solid')?.dataset.triangles) > 10000")
    page.locator(".whole-caption").get_by_text("The kept variant is drawn in dashes.").wait_for()
    view(page, "Walk round")
    page.get_by_role("tab", name="Forces and taut limit").click()
    page.locator('svg[data-name$="-forces"] .ghost path').first.wait_for(state="attached")
    view(page, "Compare")
    page.get_by_role("button", name="Drop the kept variant").click()
    page.get_by_text("No variant is kept.").wait_for()


# ----------------------------------------------------------------------------------------------------- for everyone


def in_both(page: Any, what: str) -> list[str]:
    """Return what axe finds by day, and of the colours by night."""
    found = violations(page, what)
    page.emulate_media(color_scheme="dark")
    page.wait_for_timeout(100)
    found += violations(page, f"{what}, dark", only=("color-contrast", "link-in-text-block"))
    page.emulate_media(color_scheme="light")
    return found


def test_axe_finds_nothing_in_what_is_opened_on_a_view(page: Any) -> None:
    need_axe()
    page.get_by_label("Ghost at the taut limit").check()
    page.locator('svg[data-name$="-taut"]').wait_for()
    found = in_both(page, "taut ghost")
    for what in ("hull", "corner", "station"):
        to_drag(page, what)
        found += in_both(page, f"plan, handles of {what}")
    page.get_by_label("Shaded").select_option("gap")
    page.locator('.plan svg[data-name="sits-shade-1"]').wait_for(timeout=60_000)
    page.locator(".plan summary", has_text="Numbers").click()
    found += in_both(page, "plan, daylight")
    view(page, "Whole skirt")
    page.get_by_role("button", name="From inside").click()
    page.locator(".whole-caption summary").click()
    found += in_both(page, "model from inside")
    view(page, "Sits")
    studied(page, "sits", revision(page))
    page.locator(".study figcaption summary").click()
    found += in_both(page, "sits with its numbers")
    group(page, "Skirt")
    page.get_by_label("Depth", exact=True).fill("20 mm")
    page.keyboard.press("Enter")
    page.get_by_role("alert").wait_for()
    found += in_both(page, "a design that cannot be made")
    page.get_by_role("button", name="Go back one step").click()
    page.get_by_role("alert").wait_for(state="detached")
    assert not found, "\n".join(found)


def test_motion_is_left_out_where_that_is_asked(shared: Desk, new_page: Callable[..., Any]) -> None:
    page = new_page(shared.home, reduced_motion="reduce")
    page.locator('svg[data-name^="section-"]').wait_for()
    moving = page.evaluate(
        """() => [...document.querySelectorAll('*')].filter((one) => {
            const style = getComputedStyle(one);
            return parseFloat(style.transitionDuration) > 0 || style.animationName !== 'none';
        }).length"""
    )
    assert moving == 0
