"""The desk in a real browser: each thing a builder does there, and what he then sees."""

from __future__ import annotations

import io
import os
import re
import tomllib
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.browser.conftest import Desk, edits, is_at_edit, opened

ROOT = Path(__file__).resolve().parents[2]
AXE = ROOT / "desk-page" / "node_modules" / "axe-core" / "axe.min.js"
VIEWS = (
    "Walk round",
    "Plan",
    "Whole skirt",
    "Hull lines",
    "Pieces",
    "Air",
    "Sits",
    "Rides",
    "Layout",
    "Inflated",
    "Checks",
    "Compare",
    "Take away",
)


def view(page: Any, name: str) -> None:
    page.get_by_role("tablist", name="Views").get_by_role("tab", name=name, exact=True).click()


def group(page: Any, name: str) -> None:
    page.get_by_role("tablist", name="The design file").get_by_role("tab", name=name).click()


def revision(page: Any) -> int:
    return edits(page) - int(page.base)


def drawn(page: Any, at: int) -> None:
    """Wait until the section on the page is of that edit."""
    page.locator(f'svg[data-name^="section-"][data-revision="{page.base + at}"]').wait_for()


# ---------------------------------------------------------------------------------------------------- edit and see


def test_typing_changes_the_drawing_after_a_moment(page: Any) -> None:
    before = page.locator('svg[data-name^="section-"] .ink').inner_html()
    page.get_by_label("Depth", exact=True).fill("300")
    drawn(page, 2)
    assert page.get_by_label("Depth", exact=True).input_value() == "300"  # what is typed is not typed over
    page.get_by_label("Pitch", exact=True).focus()
    assert page.get_by_label("Depth", exact=True).input_value() == "300 mm"
    after = page.locator('svg[data-name^="section-"] .ink').inner_html()
    assert "300 mm" in after
    assert "300 mm" not in before


def test_arrow_keys_step_and_undo_takes_them_back_as_one(page: Any, shared: Desk) -> None:
    field = page.get_by_label("Depth", exact=True)
    field.focus()
    for _ in range(3):
        field.press("ArrowUp")
    page.wait_for_function("() => document.getElementById('field-skirt.depth').value === '283 mm'")
    field.press("Shift+ArrowUp")
    page.wait_for_function("() => document.getElementById('field-skirt.depth').value === '290 mm'")
    page.get_by_role("button", name="Undo").click()
    page.wait_for_function("() => document.getElementById('field-skirt.depth').value === '280 mm'")
    page.get_by_role("button", name="Redo").click()
    page.wait_for_function("() => document.getElementById('field-skirt.depth').value === '290 mm'")
    assert shared.design is not None
    assert tomllib.loads(shared.design.read_text())["skirt"]["depth"] == "280 mm"  # not before it is saved


def test_every_key_of_the_file_is_on_the_page(page: Any) -> None:
    for name, key in (("Craft", "craft.load[2].mass"), ("Hull", "hull.edge[4].x"), ("Air", "air.fan.points[6].power"),
                      ("Cloth", "cloth.segment.warp"), ("Making", "making.printer_y")):  # fmt: skip
        group(page, name)
        assert page.locator(f'[id="field-{key}"]').count() == 1, key


def test_a_field_says_what_it_means_its_default_and_where_that_comes_from(page: Any) -> None:
    page.get_by_role("button", name="About Face angle").click()
    text = page.locator(".about-text").inner_text()
    assert "Slope of the outer face to the ground." in text
    assert "Default 45 deg." in text
    assert "Source" in text


def test_dragging_a_handle_is_one_edit(page: Any) -> None:
    handle = page.get_by_role("slider", name="Handle of depth")
    box = handle.locator(".knob").bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    for step in range(1, 9):
        page.mouse.move(x, y - 5 * step)
        page.wait_for_timeout(30)
    page.mouse.up()
    page.wait_for_function("() => parseFloat(document.getElementById('field-skirt.depth').value) > 290")
    page.wait_for_timeout(600)
    value = page.get_by_label("Depth", exact=True).input_value()
    assert float(value.split()[0]) % 5 == 0
    page.get_by_role("button", name="Undo").click()
    page.wait_for_function("() => document.getElementById('field-skirt.depth').value === '280 mm'")


def test_a_handle_has_keyboard_steps(page: Any) -> None:
    page.get_by_role("slider", name="Handle of depth").focus()
    page.keyboard.press("ArrowUp")
    page.wait_for_function("() => document.getElementById('field-skirt.depth').value === '285 mm'")


def test_an_impossible_value_greys_the_last_picture_and_says_what_would_do(page: Any) -> None:
    page.get_by_label("Depth", exact=True).fill("20 mm")
    page.keyboard.press("Enter")
    alert = page.get_by_role("alert")
    alert.wait_for()
    assert "50 mm" in alert.inner_text()
    assert page.locator(".sheet.is-old").count() >= 1
    assert page.get_by_label("Depth", exact=True).get_attribute("aria-invalid") == "true"
    page.get_by_role("button", name="Go back one step").click()
    alert.wait_for(state="detached")
    assert page.locator(".sheet.is-old").count() == 0


def test_points_and_leaks_can_be_added_and_removed(page: Any) -> None:
    group(page, "Hull")
    page.locator('[data-block="hull.edge[1]"]').get_by_role("button", name="Add one after this").click()
    page.locator('[data-block="hull.edge[5]"]').wait_for()
    page.locator('[data-block="hull.edge[2]"]').get_by_role("button", name="Remove").click()
    page.locator('[data-block="hull.edge[5]"]').wait_for(state="detached")


# ------------------------------------------------------------------------------------------------------------- views


def test_the_section_follows_the_slider_and_the_plan(page: Any) -> None:
    slider = page.get_by_role("slider", name="Station along the skirt")
    slider.focus()
    slider.press("Home")
    page.locator('svg[data-name="section-P00"]').wait_for()
    slider.press("ArrowRight")
    page.locator('svg[data-name="section-P01"]').wait_for()
    plan = page.locator('.walk-plan svg[data-name="plan"]')
    box = plan.bounding_box()
    plan.click(position={"x": box["width"] * 0.15, "y": box["height"] * 0.4})  # near the stern
    page.wait_for_function(
        "() => Number(document.querySelector('.walk-section svg[data-name]').dataset.name.slice(9)) > 12"
    )
    page.get_by_role("button", name="Pin this station").click()
    pinned = page.get_by_role("group", name="Pinned stations").get_by_role("button")
    name = pinned.inner_text()
    slider.press("Home")
    page.locator('svg[data-name="section-P00"]').wait_for()
    pinned.click()
    page.locator(f'svg[data-name="section-{name}"]').wait_for()


def test_the_whole_skirt_is_drawn_and_can_be_pulled_apart_and_cut(page: Any) -> None:
    view(page, "Whole skirt")
    page.wait_for_function("() => Number(document.querySelector('.solid')?.dataset.triangles) > 10000")
    whole = page.locator(".solid").screenshot()
    page.get_by_label("Pull apart").fill("0.6")
    page.wait_for_timeout(400)
    apart = page.locator(".solid").screenshot()
    page.get_by_label("Cut at the station").check()
    page.wait_for_timeout(400)
    cut = page.locator(".solid").screenshot()
    assert len({whole, apart, cut}) == 3
    before = page.evaluate("() => Number(document.querySelector('.solid').dataset.triangles)")
    page.get_by_label("Segments").uncheck()
    page.wait_for_function(
        "(all) => Number(document.querySelector('.solid').dataset.triangles) < 0.6 * all", arg=before
    )


def test_a_piece_leads_to_the_skirt_and_back(page: Any) -> None:
    view(page, "Pieces")
    page.get_by_role("button", name="F3", exact=True).click()
    page.locator('svg[data-name="piece-F3"]').wait_for()
    page.get_by_role("button", name="Show on the skirt").click()
    page.locator(".chosen").get_by_text("F3").wait_for()
    page.locator(".chosen").get_by_role("button", name="Pieces").click()
    page.locator('svg[data-name="piece-F3"]').wait_for()
    view(page, "Whole skirt")
    page.wait_for_function("() => Number(document.querySelector('.solid')?.dataset.triangles) > 10000")
    page.wait_for_timeout(300)
    box = page.locator(".solid").bounding_box()
    found = None
    for fy in (0.5, 0.55, 0.6, 0.65, 0.7, 0.75):  # a click somewhere on the near side of the loop finds its panel
        page.mouse.click(box["x"] + 0.45 * box["width"], box["y"] + fy * box["height"])
        page.wait_for_timeout(150)
        if page.locator(".chosen strong").count():
            found = page.locator(".chosen strong").inner_text()
            break
    assert found is not None
    assert re.fullmatch(r"[LFW]\d+", found)


def test_a_check_leads_to_the_field_it_is_about(page: Any) -> None:
    group(page, "Hull")
    page.get_by_label("Clearance", exact=True).fill("310 mm")
    page.keyboard.press("Enter")
    page.wait_for_function("() => document.querySelector('.cell-verdict').innerText.includes('FAIL')"
                           " || document.querySelector('.cell-verdict').innerText.includes('Fails')"
                           " || document.querySelector('.cell-verdict').innerText.includes('watch')")  # fmt: skip
    group(page, "Cloth")
    view(page, "Checks")
    card = page.locator("article.check", has_text="The inner fixing lands on the planing surface")
    card.get_by_role("button", name="Depth").click()
    page.wait_for_function("() => document.activeElement?.id === 'field-skirt.depth'")


def test_a_kept_variant_is_compared_in_numbers_and_drawings(page: Any) -> None:
    view(page, "Compare")
    page.get_by_role("button", name="Keep this variant").click()
    page.get_by_text(f"Kept at edit {page.base + 1}").wait_for()
    page.get_by_label("Depth", exact=True).fill("300 mm")
    page.keyboard.press("Enter")
    page.get_by_role("row", name="Depth skirt.depth 280 mm 300 mm").wait_for()
    assert "%" in page.get_by_role("row", name=re.compile("Mass of the pieces")).inner_text()
    page.get_by_text(re.compile(r"\d+ of \d+ templates can be kept")).wait_for(timeout=60_000)
    view(page, "Walk round")
    page.locator("svg .ghost path").first.wait_for(state="attached")
    view(page, "Compare")
    page.get_by_role("button", name="Drop the kept variant").click()
    page.get_by_text("No variant is kept.").wait_for()


# ----------------------------------------------------------------------------------------------------- jobs, taking


def test_the_pack_is_made_beside_the_page(page: Any) -> None:
    view(page, "Take away")
    assert "first hover" in page.locator(".cautions").inner_text()
    page.get_by_role("button", name="Make the pack").click()
    page.get_by_role("progressbar").wait_for()
    page.get_by_label("Depth", exact=True).fill("281 mm")  # the page stays quick
    page.keyboard.press("Enter")
    is_at_edit(page, page.base + 2)
    link = page.get_by_role("link", name="Download the pack")
    link.wait_for(timeout=600_000)
    with page.expect_download() as waiting:
        link.click()
    data = Path(waiting.value.path()).read_bytes()
    names = zipfile.ZipFile(io.BytesIO(data)).namelist()
    assert any(name.endswith("00-read-me.pdf") for name in names)
    assert any("/templates/" in name for name in names)
    page.get_by_text("This pack is of an earlier edit.").wait_for()


def test_a_pack_can_be_cancelled(page: Any) -> None:
    view(page, "Take away")
    page.get_by_role("button", name="Make the pack").click()
    page.get_by_role("button", name="Cancel").click()
    page.get_by_text("Cancelled; nothing half-made is left.").wait_for(timeout=180_000)


# ------------------------------------------------------------------------------------------------------------ start


def test_five_questions_give_a_design_that_solves(empty_desk: Desk, new_page: Callable[..., Any]) -> None:
    page = new_page(empty_desk.home)
    page.get_by_label("What is she called?").fill("Reed Warbler")
    page.get_by_label("How many seats?").fill("2")
    page.get_by_label("All-up mass").fill("4 parsecs")
    page.get_by_role("button", name="Put it on the desk").click()
    page.get_by_role("alert").wait_for()
    assert page.evaluate("() => document.activeElement.id") == "start-mass"
    page.get_by_label("All-up mass").fill("360 kg")
    page.get_by_label("Hull length").fill("2 m")  # the width that would suit is none that a craft has
    page.get_by_role("button", name="Put it on the desk").click()
    page.get_by_role("alert").get_by_text("Hull width. Taken to suit the rest").wait_for()
    page.get_by_label("Hull length").fill("")
    page.get_by_label("Where does she run most?").select_option("grass")
    page.get_by_role("button", name="Put it on the desk").click()
    tour = page.get_by_role("dialog")
    tour.wait_for()
    for label in ("Next", "Next", "To the desk"):
        tour.get_by_role("button", name=label).click()
    page.locator('svg[data-name^="section-"]').wait_for()
    assert "Holds" in page.locator(".cell-verdict").inner_text()
    page.get_by_role("button", name="Save as").click()
    page.get_by_text("Saved", exact=True).wait_for()
    saved = (empty_desk.folder / "reed-warbler.toml").read_text(encoding="utf-8")
    assert tomllib.loads(saved)["air"]["gap"] == "15 mm"


# ------------------------------------------------------------------------------------------------- what goes wrong


def test_the_file_is_saved_changed_elsewhere_and_edited_while_the_desk_is_down(own_page: Any, desk: Desk) -> None:
    page = own_page
    assert desk.design is not None
    before = desk.design.read_text(encoding="utf-8")
    page.get_by_label("Depth", exact=True).fill("290 mm")
    page.keyboard.press("Enter")
    drawn(page, 2)
    page.keyboard.press("Control+s")
    page.get_by_text("Saved", exact=True).wait_for()
    saved = desk.design.read_text(encoding="utf-8")
    assert saved == before.replace('depth = "280 mm"', 'depth = "290 mm"')  # the comments too

    desk.design.write_text(saved.replace('pitch = "150 mm"', 'pitch = "140 mm"'), encoding="utf-8")
    page.get_by_role("button", name="Take up the file").click()
    page.wait_for_function("() => document.getElementById('field-skirt.pitch').value === '140 mm'")
    page.get_by_role("button", name="Undo").click()
    page.wait_for_function("() => document.getElementById('field-skirt.pitch').value === '150 mm'")

    page.get_by_label("Depth", exact=True).fill("295 mm")
    page.keyboard.press("Enter")
    drawn(page, 5)
    desk.end()
    page.get_by_text("The desk does not answer.").wait_for()
    page.get_by_label("Pitch", exact=True).fill("145 mm")
    page.keyboard.press("Enter")
    desk.start()
    page.wait_for_function("() => document.getElementById('field-skirt.pitch').value === '145 mm'")
    page.get_by_role("button", name="Take them up").click()  # the journal of the desk that went down
    page.wait_for_function("() => document.getElementById('field-skirt.depth').value === '295 mm'")


def test_two_tabs_show_the_same(page: Any, shared: Desk, new_page: Callable[..., Any]) -> None:
    other = opened(shared.home, new_page)
    page.get_by_label("Depth", exact=True).fill("295 mm")
    page.keyboard.press("Enter")
    other.wait_for_function("() => document.getElementById('field-skirt.depth').value === '295 mm'")
    other.get_by_role("button", name="Undo").click()
    page.wait_for_function("() => document.getElementById('field-skirt.depth').value === '280 mm'")


def test_a_megabyte_that_is_pasted_changes_nothing(page: Any) -> None:
    field = page.get_by_label("Depth", exact=True)
    field.focus()
    page.evaluate("() => navigator.clipboard?.writeText")
    page.evaluate(
        """() => {
            const field = document.getElementById('field-skirt.depth');
            field.value = '9'.repeat(1 << 20);
            field.dispatchEvent(new InputEvent('input', { bubbles: true }));
        }"""
    )
    page.get_by_text("That is longer than any value is").wait_for()
    assert revision(page) == 1
    field.fill("285 mm")
    page.keyboard.press("Enter")
    drawn(page, 2)


# -------------------------------------------------------------------------------------------------- for everyone


SMALL = """() => [...document.querySelectorAll('button, select, input, a, summary')]
    .filter((one) => one.offsetParent && !one.classList.contains('link') && !one.closest('.cell-verdict'))
    .filter((one) => !(one.type === 'checkbox' && one.closest('label')))
    .map((one) => [one.outerHTML.slice(0, 90), one.getBoundingClientRect()])
    .filter(([, box]) => box.height > 0 && (box.height < 43.5 || box.width < 43.5))
    .map(([html, box]) => `${html} ${box.width} x ${box.height}`)"""


def too_small(page: Any, what: str) -> list[str]:
    """Return what is too small to be hit with a thumb, and whether something sticks out of the page."""
    found = [f"{what}: {one}" for one in page.evaluate(SMALL)]
    is_within = page.evaluate("() => document.documentElement.scrollWidth <= innerWidth")
    return found if is_within else [*found, f"{what}: something sticks out"]


def violations(page: Any, what: str, only: tuple[str, ...] = ()) -> list[str]:
    """Return what axe finds, by those of its rules or by all."""
    if not page.evaluate("() => 'axe' in window"):
        page.evaluate(AXE.read_text(encoding="utf-8"))
    result = page.evaluate("(only) => axe.run(document, only.length ? { runOnly: only } : {})", list(only))
    return [f"{what}: {one['id']} {one['nodes'][0]['target']} {one['nodes'][0]['failureSummary']}"
            for one in result["violations"]]  # fmt: skip


def need_axe() -> None:
    """Skip a test where axe-core is not installed, never in continuous integration."""
    if not AXE.is_file():
        assert not os.environ.get("CI"), "axe-core is not installed"
        pytest.skip("axe-core is not installed: npm ci in desk-page")


def test_axe_finds_nothing_and_targets_are_big_enough(page: Any) -> None:
    """On every view: at a desk by day, on a tablet by night, and the sizes between."""
    need_axe()
    page.get_by_role("button", name="About Depth").click()
    found: list[str] = []
    for width, height, scheme, is_read in (
        (1366, 768, "light", True), (1920, 1080, "light", False), (1024, 768, "dark", False), (820, 1180, "dark", True),
    ):  # fmt: skip
        page.set_viewport_size({"width": width, "height": height})
        page.emulate_media(color_scheme=scheme)
        for name in VIEWS:
            view(page, name)
            page.wait_for_timeout(500 if is_read else 200)
            found += too_small(page, f"{name} at {width}")
            if is_read:
                found += violations(page, f"{name}, {scheme}")
    assert not found, "\n".join(found)


def test_both_unit_systems_reach_fields_and_drawings(page: Any) -> None:
    page.get_by_label("Units").select_option("imperial")
    page.wait_for_function("() => document.querySelector('.walk-section .ink').innerHTML.includes(' in<')")
    assert "11 in" in page.locator('[id="field-skirt.depth"] ~ .hint').inner_text()


# -------------------------------------------------------------------------------------------------- worked out beside


def studied(page: Any, name: str, at: int) -> Any:
    """Wait until a study of that edit is on the page."""
    found = page.locator(f'[data-study="{name}"][data-revision="{page.base + at}"]')
    found.wait_for(timeout=60_000)
    return found


def test_sits_rides_and_layout_say_it_first_and_draw_it(page: Any) -> None:
    view(page, "Sits")
    study = studied(page, "sits", 1)
    assert "With 'full' the first tip touches" in study.inner_text()
    assert "no prediction of stability" in study.locator(".caution").inner_text()
    study.locator('svg[data-name="sits-curves"] path').first.wait_for(state="attached")
    study.get_by_role("button", name="Next").click()
    study.locator('svg[data-name="sits-gap-1"]').wait_for()
    page.get_by_role("tab", name="On water").click()
    assert "gets over the hump at" in studied(page, "water", 1).inner_text()
    view(page, "Rides")
    assert "tethered" in studied(page, "rides", 1).locator(".caution").inner_text()
    view(page, "Layout")
    study = studied(page, "layout", 1)
    assert "used by 482 pieces" in study.inner_text()
    study.locator('svg[data-name="roll-1"]').wait_for()


def test_a_study_follows_the_design_and_edits_do_not_wait_for_it(page: Any) -> None:
    view(page, "Sits")
    before = studied(page, "sits", 1).locator(".study-sentences").inner_text()
    group(page, "Craft")
    field = page.get_by_label("Mass", exact=True).first
    for mass in ("690 kg", "640 kg", "600 kg"):
        field.fill(mass)
        page.keyboard.press("Enter")
        page.wait_for_function("(text) => document.querySelector('.strip').innerText.includes(text)", arg="Pa with")
    after = studied(page, "sits", 4).locator(".study-sentences").inner_text()
    assert after != before


def test_forces_and_taut_limit_are_a_second_drawing_of_the_section(page: Any) -> None:
    page.get_by_role("tab", name="Forces and taut limit").click()
    drawing = page.locator('svg[data-name$="-forces"]')
    drawing.wait_for()
    assert "turned under" in page.locator(".walk-section figcaption").inner_text()
    assert "Force-line margin, real face" in page.locator(".walk-side").inner_text()
    assert drawing.locator('[data-layer="ghost"]').count() == 1
    page.get_by_role("slider", name="Station along the skirt, bow to stern").press("ArrowRight")
    page.wait_for_function("(old) => document.querySelector('svg[data-name$=\"-forces\"]').dataset.name !== old",
                           arg=drawing.get_attribute("data-name"))  # fmt: skip
