"""The page in a real browser: drags, keys and touch move the melt, the figures follow, mistakes get a message."""

import re
from urllib.parse import parse_qs, urlsplit

import pytest

from tests.browser.actions import (
    SETTLED_MS,
    answer,
    arrived,
    box,
    centre,
    choose,
    drag,
    settled,
    visit,
    wait_changed,
    wait_for,
)

pytestmark = pytest.mark.browser

PAIR = "/?v=1&m=NaCl:30,CaCl2:70&basis=mol&metal=Na&T=820&deposit=liquid"


def degrees(text):
    return int(re.match(r"\d+", text).group())


def mole_percents(page):
    rows = []
    for _ in range(SETTLED_MS // 100):  # while the table is drawn anew it has no rows
        rows = page.locator(".mw-table tr").all_inner_texts()[1:]
        if rows and all("\t" in row for row in rows):
            break
        page.wait_for_timeout(100)
    return [float(row.split("\t")[1]) for row in rows]


def test_dragging_the_pair_knob_moves_the_figures(page, address):
    visit(page, address + PAIR)
    before = answer(page, "freezing")
    assert mole_percents(page) == [30.0, 70.0]
    drag(page, page.locator('.knob[data-handle="x"]'), -60, 0)
    wait_changed(page, "freezing", before)
    arrived(page, page.locator('.knob[data-handle="x"]'), lambda: mole_percents(page)[1])
    sodium, calcium = mole_percents(page)
    assert calcium < 62
    after = answer(page, "freezing")
    assert sodium + calcium == pytest.approx(100, abs=0.11)  # two roundings to 0.1
    # On the CaCl2 side less CaCl2 freezes later.
    assert degrees(after) < degrees(before) - 10
    # The parts follow too: one truth on the page.
    wait_for(page, box(page, "part_CaCl2").input_value, f"{calcium:g}")


def test_the_temperature_knob_moves_the_metal(page, address):
    visit(page, address + PAIR)
    before = answer(page, "metal")
    assert before == "liquid"
    slider = page.locator('.knob[data-handle="t_C"]').first
    slider.focus()
    for _ in range(3):
        slider.press("PageUp")
    assert wait_changed(page, "metal", before) == "vapour"  # 895 deg C, sodium boils at 883


def test_fast_keys_end_where_they_should(page, address):
    visit(page, address + PAIR)
    before = answer(page, "freezing")
    knob = page.locator('.knob[data-handle="x"]')
    knob.focus()
    for _ in range(40):
        knob.press("ArrowLeft")
    wait_changed(page, "freezing", before)
    wait_for(page, lambda: mole_percents(page), [50.0, 50.0])
    page.wait_for_timeout(1000)  # for a late echo
    assert knob.get_attribute("aria-valuenow") == "50"  # 70 - 40 * 0.5, no late echo pulled it back
    assert mole_percents(page) == [50.0, 50.0]
    knob.press("End")
    knob.press("PageDown")
    wait_for(page, lambda: mole_percents(page), [5.0, 95.0])


def test_forty_quick_drags_never_jump(page, address):
    visit(page, address + PAIR)
    knob = page.locator('.knob[data-handle="x"]')
    knob.evaluate(
        """node => {
        const place = text => Number(/translate\\(([-\\d.]+)/.exec(text)[1]);
        window.steps = [];
        window.watching = new MutationObserver(list => {
          const all = [...list.map(one => one.oldValue), node.getAttribute("transform")].map(place);
          for (let k = 1; k < all.length; k += 1) window.steps.push(all[k] - all[k - 1]);
        });
        window.watching.observe(node, {attributeFilter: ["transform"], attributeOldValue: true}); }"""
    )
    x, y = centre(knob)
    for _ in range(40):  # each begins before the answer to the one before is there
        page.mouse.move(x, y)
        page.mouse.down()
        page.mouse.move(x - 6, y, steps=2)  # some 1 mol% on a plot of 586 px; the knob's grid is 0.5 %
        page.mouse.up()
        x, y = centre(knob)
    at = float(knob.get_attribute("aria-valuenow"))
    assert 25 <= at <= 35
    page.wait_for_timeout(1500)  # late echoes
    assert float(knob.get_attribute("aria-valuenow")) == at
    wait_for(page, lambda: mole_percents(page), [100 - at, at])
    steps = page.evaluate("window.steps")  # every place it was put at, however few frames were drawn
    assert sum(steps) == pytest.approx((at - 70) / 100 * 586, abs=6)  # none is missing
    assert max(steps) <= 0.01, "pulled back by an echo"
    assert min(steps) >= -12  # one move of 6 px, and the grid of 3


def test_where_freezing_is_unknown_the_knob_says_so(page, address):
    visit(page, f"{address}/?v=1&m=CsCl:70,ZnCl2:30&metal=Zn&T=480")
    plate = page.locator(".label .plate-text").first
    assert "start of freezing not known" in plate.inner_html()
    knob = page.locator('.knob[data-handle="x"]')
    knob.focus()
    knob.press("PageDown")
    knob.press("PageDown")  # 20 mol%: known, with a wide band
    assert re.search(r"freezes from \d+\s", plate.text_content())
    assert page.locator("path.curve.liquidus").count() == 2  # one each side of the open part


def test_marks_that_would_cover_one_another_share_a_line_of_numbers(page, address):
    visit(page, f"{address}/?v=1&m=KCl:20,MgCl2:80&metal=Mg&T=720")  # invariants at 32, 33 and 36 mol%
    assert page.locator("text.note", has_text="1, 2, 3").count() == 1
    assert page.locator("text.small", has_text="5").count() == 1  # alone, inside its mark


def test_dragging_the_triangle_moves_the_figures(page, address):
    visit(page, address)
    before = answer(page, "freezing")
    first = mole_percents(page)
    drag(page, page.locator('.knob[data-handle="shares"]'), 0, -80)
    wait_changed(page, "freezing", before)
    then = mole_percents(page)
    assert then[0] > first[0] + 10
    assert sum(then) == pytest.approx(100, abs=0.16)


def test_a_drag_leaves_the_drawing_standing(page, address):
    visit(page, address)
    before = answer(page, "freezing")
    knob = page.locator('.knob[data-handle="shares"]')
    kept = knob.element_handle()
    drag(page, knob, 0, -60)
    wait_changed(page, "freezing", before)
    assert kept.evaluate("node => node.isConnected")  # drawn again, it would slip from under a finger


def test_zoomed_in_a_drag_moves_the_melt_by_less(page, address):
    visit(page, address)
    knob = page.locator('.knob[data-handle="shares"]')
    moved = []
    for taps in (0, 2):
        for _ in range(taps):
            page.get_by_role("button", name="Zoom in on the knob").click()
        first = mole_percents(page)
        drag(page, knob, 0, -60)
        wait_for(page, lambda first=first: mole_percents(page) != first, True)
        arrived(page, knob, lambda: mole_percents(page)[0])
        moved.append(mole_percents(page)[0] - first[0])
    assert moved[1] == pytest.approx(moved[0] / 4, abs=0.8)  # four times as large; the knob's grid is 0.5 %
    page.get_by_role("button", name="Show more of the triangle").click()
    page.get_by_role("button", name="Show more of the triangle").click()
    assert page.locator("text.tick", has_text="20").count() >= 3


@pytest.mark.parametrize(
    ("key", "change"),
    [
        ("ArrowUp", (1, -0.5, -0.5)),
        ("ArrowDown", (-1, 0.5, 0.5)),
        ("ArrowLeft", (0, 0.5, -0.5)),
        ("ArrowRight", (0, -0.5, 0.5)),
    ],
)
def test_every_arrow_works_on_the_triangle(page, address, key, change):
    visit(page, address)
    first = mole_percents(page)
    knob = page.locator('.knob[data-handle="shares"]')
    knob.focus()
    knob.press(key)
    knob.press(key)
    wanted = pytest.approx([now + 2 * step for now, step in zip(first, change, strict=True)], abs=0.01)
    wait_for(page, lambda: mole_percents(page), wanted)


SIX = "/?v=1&m=NaCl:30,CaCl2:18,MgCl2:22,KCl:15,LiCl:10,SrCl2:5&metal=Mg&T=720"


def test_any_three_of_six_salts_stand_on_the_corners_and_the_others_are_held(page, address):
    visit(page, address + SIX)
    held = page.locator(".st-key-map_choice .mw-hint")
    assert held.inner_text() == "held, mol%: KCl 15.0 / LiCl 10.0 / SrCl₂ 5.0"
    choose(page, "corners", "NaCl – KCl – LiCl")
    page.locator(".st-key-diagram text.axis", has_text="LiCl").wait_for()
    wait_for(page, held.inner_text, "held, mol%: CaCl₂ 18.0 / MgCl₂ 22.0 / SrCl₂ 5.0")
    first = mole_percents(page)
    drag(page, page.locator('.knob[data-handle="shares"]'), 0, 60)
    wait_for(page, lambda: mole_percents(page)[0] < first[0] - 2, True)
    still = pytest.approx([first[i] for i in (1, 2, 5)], abs=0.06)  # printed to 0.1; boxes change one after another
    wait_for(page, lambda: [mole_percents(page)[i] for i in (1, 2, 5)] == still, True)
    page.locator(".st-key-nav a", has_text="Plan").click()
    settled(page)
    page.locator(".st-key-nav a", has_text="Melt").first.click()
    page.locator(".st-key-diagram text.axis", has_text="LiCl").wait_for()  # the choice outlasts another page
    wait_for(page, lambda: parse_qs(urlsplit(page.url).query).get("corners"), ["NaCl,KCl,LiCl"])
    visit(page, page.url)
    page.locator(".st-key-diagram text.axis", has_text="LiCl").wait_for()  # and a link


def test_the_shares_of_six_salts_are_dragged_and_stepped(page, address):
    visit(page, address + SIX)
    choose(page, "map_map_view", "Shares")
    knobs = page.locator(".st-key-diagram .knob")
    knobs.nth(5).wait_for()
    assert knobs.count() == 6
    first = mole_percents(page)
    drag(page, knobs.nth(0), 120, 0)
    wait_for(page, lambda: mole_percents(page)[0] > first[0] + 10, True)
    arrived(page, knobs.nth(0), lambda: mole_percents(page)[0])
    then = mole_percents(page)
    assert sum(then) == pytest.approx(100, abs=0.31)  # six roundings to 0.1
    scale = (100 - then[0]) / (100 - first[0])  # the others keep their proportions
    assert then[1:] == pytest.approx([scale * part for part in first[1:]], abs=0.11)
    knobs.nth(3).focus()
    for key in ("PageUp", "ArrowRight", "ArrowRight"):
        knobs.nth(3).press(key)
    wait_for(page, lambda: knobs.nth(3).get_attribute("aria-valuetext").split(";")[0].startswith("KCl"), True)
    wait_for(page, lambda: abs(mole_percents(page)[3] - (then[3] + 6)) < 0.6, True)  # the knob's grid is 0.5 %
    knobs.nth(3).press("End")  # all of it, and back: the others come back in their proportions
    knobs.nth(3).press("PageDown")
    wait_for(page, lambda: mole_percents(page)[3], 95.0)
    assert mole_percents(page)[0] > mole_percents(page)[1] > 0


def test_the_edges_of_a_melt_stand_beside_one_another(page, address):
    visit(page, address)
    page.locator("summary", has_text="Pairs: the edges").click()
    page.locator(".mw-pictures img").nth(2).wait_for(timeout=60000)
    words = page.locator(".mw-pictures img").evaluate_all("all => all.map(e => e.alt)")
    assert [line.split(":")[0] for line in words] == ["NaCl–CaCl₂", "NaCl–MgCl₂", "CaCl₂–MgCl₂"]


def test_a_finger_drags_the_triangle(browser, address):
    context = browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True)
    page = context.new_page()
    visit(page, address)
    knob = page.locator('.knob[data-handle="shares"]')
    knob.evaluate("node => node.scrollIntoView({ block: 'center' })")  # clear of the bars at top and foot
    box = knob.locator(".hit").bounding_box()
    assert min(box["width"], box["height"]) >= 44  # WCAG 2.2, target size (enhanced)
    first = mole_percents(page)
    x, y = centre(knob.locator(".hit"))
    touch = context.new_cdp_session(page)
    touch.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [{"x": x, "y": y}]})
    for k in range(1, 7):
        touch.send("Input.dispatchTouchEvent", {"type": "touchMove", "touchPoints": [{"x": x, "y": y + 10 * k}]})
        page.wait_for_timeout(30)
    touch.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    wait_for(page, lambda: mole_percents(page)[0] < first[0] - 10, True)
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    context.close()


def test_two_anions_have_a_diagram_to_drag(page, address):
    visit(page, address)
    recipe = box(page, "recipe")
    recipe.fill("NaCl=50 LiF=50")
    recipe.press("Enter")
    box(page, "part_LiF").wait_for()
    assert box(page, "part_LiF").input_value() == "50"
    page.locator("svg [role=slider]").first.wait_for()
    assert page.locator(".mw-shares .bar").count() == 0


def test_a_mistyped_salt_keeps_the_text_and_the_melt(page, address):
    visit(page, address)
    first = mole_percents(page)
    recipe = box(page, "recipe")
    recipe.fill("NaCl=50 CaCI2=50")
    recipe.press("Enter")
    page.get_by_text("did you mean CaCl2").first.wait_for()
    assert recipe.input_value() == "NaCl=50 CaCI2=50"
    assert mole_percents(page) == first


def test_a_negative_amount_gets_a_message(page, address):
    visit(page, address)
    entry = box(page, "part_NaCl")
    entry.fill("-3")
    entry.press("Enter")
    page.get_by_text("amount: -3; allowed is zero or more").first.wait_for()
    assert entry.input_value() == "-3"


def test_the_link_brings_the_melt_back(page, address, browser):
    visit(page, address + PAIR)
    before = answer(page, "freezing")
    page.locator('.knob[data-handle="x"]').focus()
    page.keyboard.press("PageDown")
    after = wait_changed(page, "freezing", before)
    page.locator(".st-key-pop_share button").click()
    link = page.locator(".mw-code").inner_text().strip()
    assert page.locator(".mw-qr img").evaluate("img => img.naturalWidth") > 50
    other = browser.new_context().new_page()
    visit(other, link)
    assert answer(other, "freezing") == after
    assert mole_percents(other) == [35.0, 65.0]
    other.context.close()
    page.wait_for_url(lambda url: "CaCl2:65" in url)
    page.reload()
    page.wait_for_selector(".mw-table")
    assert mole_percents(page) == [35.0, 65.0]


def test_a_broken_link_opens_with_messages(page, address):
    visit(page, f"{address}/?v=1&m=NaCl:x&metal=Unobtainium&T=abc")
    warnings = " ".join(page.locator(".mw-say.warning").all_inner_texts())
    assert "not a number" in warnings
    assert "Unobtainium" in warnings
    assert "T: 'abc'" in warnings
    recipe = box(page, "recipe")
    recipe.wait_for()
    for _ in range(SETTLED_MS // 100):  # on a busy machine the text arrives after the messages
        if recipe.input_value():
            break
        page.wait_for_timeout(100)
    assert recipe.input_value() == "NaCl=x"


def open_section(page, label):
    page.locator("summary", has_text=label).click()
    settled(page)


def test_amperes_typed_in_the_cell_make_grams(page, address):
    visit(page, f"{address}/cell")
    page.get_by_text("4.53 g at most").wait_for()  # 10 A h of magnesium, by Faraday
    amps = box(page, "num_cell_amps")
    amps.fill("10,0")
    amps.press("Enter")
    page.get_by_text("9.07 g at most").wait_for()
    amps.fill("ten")
    amps.press("Enter")
    page.get_by_text("'ten' is not a number").wait_for()
    assert amps.input_value() == "ten"
    amps.fill("-1")
    amps.press("Enter")
    page.get_by_text("current -1 A").wait_for()
    page.wait_for_url(lambda url: "amps=-1" in url)


def test_a_temperature_changed_with_the_cell_open_moves_everything(page, address):
    visit(page, f"{address}/cell{PAIR[1:]}&bath_g=500")
    table = page.locator(".mw-wide", has_text="The bath while its salt is used up")
    table.wait_for()
    first = table.inner_text()
    knob = page.locator('.knob[data-handle="t_C"]').first
    drag(page, knob, -60, 0)
    wait_for(page, lambda: answer(page, "metal"), "liquid")
    wait_for(page, lambda: table.inner_text() != first, True)


def test_the_pages_fit_a_phone(browser, address):
    context = browser.new_context(viewport={"width": 390, "height": 844}, color_scheme="dark")
    page = context.new_page()
    for where in ("", "plan", "cell", "weigh", "after", "find", "evidence", "materials", "notebook"):
        visit(page, f"{address}/{where}")
        assert page.evaluate("document.documentElement.scrollWidth") <= 390, where
    # A table with sentences in it is read downwards.
    visit(page, f"{address}/materials")
    table = page.locator(".mw-scroll", has_text="Materials at")
    assert table.evaluate("box => box.scrollWidth - box.clientWidth") <= 1
    context.close()


def test_what_takes_seconds_shows_how_far_it_is_and_can_be_left(page, address):
    visit(page, f"{address}/evidence")
    box_of = page.locator(".st-key-evidence_sort input")

    lowest = "lowest melts of three and more salts"
    choose(page, "evidence_sort", lowest, wait=False)
    page.locator('[data-testid="stProgress"]', has_text=re.compile(r"\d+ of \d+")).wait_for(timeout=60000)
    page.locator(".st-key-cancel_totals button").click()
    wait_for(page, box_of.input_value, "choose one")
    page.locator('[data-testid="stProgress"]').wait_for(state="detached", timeout=60000)
    settled(page)
    choose(page, "evidence_sort", lowest, wait=False)  # what was done is kept; now to the end
    page.locator(".mw-wide caption", has_text="Lowest melts of three").wait_for(timeout=120000)
    assert page.locator('[data-testid="stProgress"]').count() == 0


def test_the_search_for_the_lowest_mix_can_be_left(page, address):
    """Six salts of both anions take seconds: Cancel keeps the melt, and asked again the search ends."""
    visit(page, f"{address}/?v=1&m=LiF:20,NaCl:20,KCl:20,MgCl2:20,CaCl2:10,BaCl2:10&metal=Mg&T=700")
    amount = page.locator(".st-key-part_LiF input")
    page.locator(".st-key-lowest button").click()
    page.locator(".st-key-cancel_lowest button").click(timeout=60000)
    page.locator(".st-key-cancel_lowest button").wait_for(state="detached", timeout=60000)
    settled(page)
    assert amount.input_value() == "20"
    assert page.get_by_text("Lowest:").count() == 0
    page.locator(".st-key-lowest button").click()
    page.get_by_text("Lowest:").first.wait_for(timeout=60000)
    settled(page)
    assert amount.input_value() != "20"
    assert page.locator('[data-testid="stProgress"]').count() == 0
