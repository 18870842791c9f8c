"""The Find page in a browser: the picture is a set of buttons, by mouse and by keyboard, on a narrow screen too."""

from urllib.parse import unquote

import pytest

from tests.browser.actions import choose, settled, visit
from tests.browser.test_access import violations

MELT = "NaCl:60,CaCl2:18,MgCl2:22"
FIND = f"/find?v=1&m={MELT}&metal=Mg&T=720&at_hand=NaCl,KCl,CaCl2,MgCl2"
WAIT_MS = 60000

pytestmark = pytest.mark.browser


def found(page, address):
    visit(page, address + FIND)
    page.get_by_role("button", name="Search", exact=True).click()
    page.wait_for_selector(".choice", timeout=WAIT_MS)
    settled(page)


def test_a_tap_on_a_point_makes_its_melt_the_pages(page, address):
    found(page, address)
    point = page.locator('.choice[data-choice="3"]')
    words = point.get_attribute("aria-label")
    assert words.startswith("3: ")
    assert words.endswith("Put it on the page")
    point.click()
    page.wait_for_selector('.choice.chosen[data-choice="3"]', timeout=WAIT_MS)
    settled(page)
    page.wait_for_url(lambda url: MELT not in unquote(url), timeout=WAIT_MS, wait_until="commit")


def test_a_point_is_reached_and_pressed_by_keyboard(page, address):
    found(page, address)
    page.locator('.choice[data-choice="1"]').focus()
    page.keyboard.press("Enter")
    page.wait_for_selector('.choice.chosen[data-choice="1"]', timeout=WAIT_MS)


def test_the_picture_fits_a_narrow_screen_and_fingers(page, address):
    page.set_viewport_size({"width": 390, "height": 800})
    found(page, address)
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    for point in page.locator(".choice").all():
        box = point.bounding_box()
        assert min(box["width"], box["height"]) >= 43.9  # 44 less rounding
        assert box["x"] >= 0
        assert box["x"] + box["width"] <= 390


def test_axe_finds_nothing_on_the_picture(browser, address):
    context = browser.new_context(viewport={"width": 1280, "height": 800}, color_scheme="dark")
    page = context.new_page()
    found(page, address)
    page.wait_for_timeout(500)
    wrong = violations(page)
    context.close()
    assert wrong == []


def test_a_search_can_be_left(page, address):
    visit(page, address + FIND.replace("at_hand=NaCl,KCl,CaCl2,MgCl2", "at_hand=NaCl,KCl,CaCl2,MgCl2,LiCl,SrCl2"))
    choose(page, "find_most", "5")
    page.get_by_role("button", name="Search", exact=True).click()
    page.get_by_role("button", name="Cancel").click(timeout=WAIT_MS)
    page.get_by_role("button", name="Cancel").wait_for(state="detached", timeout=WAIT_MS)
    settled(page)
    assert page.locator(".choice").count() == 0
