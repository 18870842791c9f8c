"""The four answers are on the first screen, wide and narrow, light and dark, and stay in view while one works."""

import pytest

from tests.benchmarks.page import VISIT_MB, visit_MB
from tests.browser.actions import settled, visit, wait_for

pytestmark = pytest.mark.browser

KEYS = ("freezing", "metal", "float", "window")
SIZES = {"wide": (1280, 800), "wider": (1920, 1080), "phone": (390, 844)}
# The opening one; a pair whose metal comes second, with a long reason; an aluminium bath.
MELTS = ["", "/?v=1&m=NaCl:48,BaCl2:52&metal=Ba&T=760", "/?v=1&m=NaF:63,AlF3:30,CaF2:7&metal=Al&T=990"]


# What is cut by its own box or stands out of the one around it: signs, figures, reasons of the four answers.
CUT = """() => [...document.querySelectorAll('[data-answer] :is(.answer, .line, .mw-mark:not(:empty))')]
  .filter(node => {
    const own = node.getBoundingClientRect();
    const around = node.parentElement.closest('.answer, [data-answer]').getBoundingClientRect();
    const sign = node.matches('.mw-mark');
    return (!sign && (node.scrollHeight > node.clientHeight + 1 || node.scrollWidth > node.clientWidth + 1))
      || own.top < around.top - 0.5 || own.bottom > around.bottom + 0.5 || own.right > around.right + 0.5;
  })
  .map(node => node.textContent)"""


def opened(browser, size, scheme="light", **more):
    width, height = SIZES[size]
    return browser.new_context(viewport={"width": width, "height": height}, color_scheme=scheme, **more)


def places(page):
    return {key: page.locator(f'[data-answer="{key}"]').bounding_box() for key in KEYS}


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", list(SIZES))
def test_all_four_are_inside_the_first_screen(browser, address, size, scheme):
    context = opened(browser, size, scheme)
    page = context.new_page()
    width, height = SIZES[size]
    for melt in MELTS:
        visit(page, address + melt)
        found = places(page)
        foot = height - (60 if size == "phone" else 0)  # the bar of pages
        for key, box in found.items():
            assert box["x"] >= 0, (melt, key)
            assert box["x"] + box["width"] <= width, (melt, key)
            assert box["y"] >= 0, (melt, key)
            assert box["y"] + box["height"] <= foot, (melt, key)
            # What stands at the box's middle is the box itself: nothing lies over it.
            inside = page.evaluate(
                "([x, y, key]) => document.elementFromPoint(x, y)?.closest('[data-answer]')?.dataset.answer",
                [box["x"] + box["width"] / 2, box["y"] + 12, key],
            )
            assert inside == key
        assert page.evaluate(CUT) == [], (melt, "cut off in its box")
        if size == "wider":  # the pot takes the place that is there
            pot = page.locator(".st-key-pot img").first.bounding_box()
            assert pot["y"] + pot["height"] >= 0.8 * height, melt
        danger = page.locator(".mw-caution summary").bounding_box()
        assert danger["y"] + danger["height"] <= foot, melt
        assert page.evaluate("document.documentElement.scrollWidth") <= width
    context.close()


def test_on_a_wide_screen_the_whole_diagram_and_the_amounts_are_there_too(browser, address):
    context = opened(browser, "wide")
    page = context.new_page()
    for melt in MELTS:
        visit(page, address + melt)
        drawing = page.locator(".st-key-diagram svg").first.bounding_box()
        basis = page.locator(".st-key-basis_row").bounding_box()
        axis = page.locator(".st-key-axis svg").bounding_box()
        assert drawing["y"] + drawing["height"] <= 800, melt
        assert basis["y"] + basis["height"] <= 800, melt
        assert axis["y"] + axis["height"] <= 800, melt
    context.close()


def test_on_a_phone_they_stay_in_view_whatever_is_changed(browser, address):
    context = opened(browser, "phone")
    page = context.new_page()
    visit(page, address)
    for where in (".st-key-part_MgCl2", ".st-key-diagram", ".st-key-axis", ".st-key-section_density"):
        page.locator(where).first.evaluate("node => node.scrollIntoView({ block: 'center' })")
        page.wait_for_timeout(200)
        for key, box in places(page).items():
            assert 0 <= box["y"] <= 200, (where, key)
    context.close()


def test_on_a_phone_the_map_begins_on_the_first_screen_and_a_tap_on_a_box_says_more(browser, address):
    context = opened(browser, "phone")
    page = context.new_page()
    visit(page, address)
    knob = page.locator(".st-key-diagram .knob").bounding_box()
    assert knob["y"] + knob["height"] <= 844 - 60
    page.locator('[data-answer="window"]').click()
    lines = page.locator('[data-answer="window"] .panel')
    lines.get_by_text("vapour").first.wait_for()
    box = lines.bounding_box()
    assert box["x"] >= 0
    assert box["x"] + box["width"] <= 390
    page.locator('[data-answer="metal"]').click(position={"x": 20, "y": 12})
    lines.wait_for(state="hidden")  # one at a time
    context.close()


def test_nothing_is_pushed_sideways_at_320(browser, address):
    context = browser.new_context(viewport={"width": 320, "height": 700})
    page = context.new_page()
    for where in ("", "plan", "cell", "weigh", "after", "find", "evidence", "materials", "notebook"):
        visit(page, f"{address}/{where}")
        main = page.locator('[data-testid="stMain"]')
        assert page.evaluate("document.documentElement.scrollWidth") <= 320, where
        assert main.evaluate("box => box.scrollWidth - box.clientWidth") <= 0, where
        if not where:
            label, button = page.locator(".label .plate").first, page.get_by_role("button", name="Show more of the")
            assert label.bounding_box()["y"] + label.bounding_box()["height"] <= button.bounding_box()["y"]
            page.set_viewport_size({"width": 910, "height": 1200})  # the narrowest with two columns
            wait_for(page, lambda: page.locator(".st-key-recipe input").bounding_box()["width"] > 200, True)
            page.set_viewport_size({"width": 320, "height": 700})
    context.close()


def test_boxes_keep_their_place_while_a_knob_is_dragged(browser, address):
    context = opened(browser, "wide")
    page = context.new_page()
    visit(page, address)
    before = places(page)
    knob = page.locator('.knob[data-handle="shares"]')
    knob.focus()
    for key in ["ArrowUp"] * 10 + ["ArrowLeft"] * 15 + ["ArrowDown"] * 15:
        knob.press(key)
    page.wait_for_timeout(1500)
    assert places(page) == before
    context.close()


def test_a_first_visit_is_no_heavy_load(browser, address):
    assert visit_MB(browser, address) <= VISIT_MB


def test_a_recipe_refused_says_so_on_the_first_screen(browser, address):
    context = opened(browser, "wide")
    page = context.new_page()
    visit(page, address)
    entry = page.locator(".st-key-recipe input")
    entry.fill("NaCl=50 CaCI2=50")
    entry.press("Enter")
    page.locator(".mw-slip").wait_for()
    settled(page)
    box = page.locator(".mw-slip").bounding_box()
    assert box["y"] + box["height"] <= 800
    assert page.locator(".st-key-undo button").is_disabled()  # nothing was changed
    row = [page.locator(f".st-key-{key}") for key in ("into", "pop_rest")]
    before = [one.bounding_box() for one in row]
    entry = page.locator(".st-key-t_C input")
    entry.fill("hot")
    entry.press("Enter")
    page.locator(".st-key-inputs .mw-slip").wait_for()
    assert [one.bounding_box() for one in row] == before  # nothing moves aside for the message
    context.close()


def test_six_salts_leave_amounts_and_map_on_the_first_screen(browser, address):
    context = opened(browser, "wide")
    page = context.new_page()
    visit(page, f"{address}/?v=1&m=NaCl:30,CaCl2:18,MgCl2:22,KCl:15,LiCl:10,SrCl2:5&metal=Mg&T=720")
    for where in (".st-key-diagram svg.drawing", ".st-key-basis_row"):
        box = page.locator(where).first.bounding_box()
        assert box["y"] + box["height"] <= 800.5, where
    context.close()
