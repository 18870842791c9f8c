"""For who cannot see or hold a mouse: axe finds nothing on any page, targets are 44 px, every control has its turn.

axe-core 4.14.1 (Deque Systems, MPL 2.0) stands unchanged in tests/browser/axe with its licence; it is used by this test
alone and never sent to anybody who visits the page.
"""

from pathlib import Path

import pytest

from tests.browser.actions import choose, settled, visit

pytestmark = pytest.mark.browser

AXE = (Path(__file__).parent / "axe" / "axe.min.js").read_text(encoding="utf-8")
PAGES = ("", "plan", "cell", "weigh", "after", "find", "evidence", "materials", "notebook")
# Streamlit's own box for a file: a region with a label and the role presentation, a minor rule, not ours to change.
OF_STREAMLIT = "[['[data-testid=stFileUploaderDropzone]']]"
TARGET_PX = 44  # WCAG 2.2, target size (enhanced)
GLOVED_PX = 48  # metal and temperature on a phone: what is changed most, with gloves on


def violations(page):
    """Rules that axe sees broken, with the first element of each."""
    page.evaluate(AXE)
    found = page.evaluate(f"axe.run({{exclude: {OF_STREAMLIT}}}, {{resultTypes: ['violations']}})")
    return [f"{rule['id']}: {rule['nodes'][0]['html'][:160]}" for rule in found["violations"]]


@pytest.mark.parametrize(("width", "scheme"), [(1280, "light"), (390, "dark")])
def test_axe_finds_nothing_on_any_page(browser, address, width, scheme):
    context = browser.new_context(viewport={"width": width, "height": 844}, color_scheme=scheme)
    page = context.new_page()
    wrong = {}
    for where in PAGES:
        visit(page, f"{address}/{where}")
        page.wait_for_timeout(500)
        if found := violations(page):
            wrong[where or "melt"] = found
    context.close()
    assert wrong == {}


def test_axe_finds_nothing_in_what_is_opened(browser, address):
    context = browser.new_context(viewport={"width": 390, "height": 844})
    page = context.new_page()
    visit(page, f"{address}/?v=1&m=NaCl:30,CaCl2:18,MgCl2:22,KCl:15,LiCl:10,SrCl2:5&metal=Mg&T=720")
    choose(page, "map_map_view", "Shares")
    page.locator('.knob[aria-label^="Share of SrCl"]').wait_for()
    page.locator("summary", has_text="Pairs: the edges").click()
    page.locator(".mw-pictures img").nth(14).wait_for(timeout=90000)
    settled(page)
    assert violations(page) == []
    context.close()


@pytest.mark.parametrize("width", [1280, 390])
def test_what_is_tapped_is_as_large_as_a_gloved_finger(browser, address, width):
    context = browser.new_context(viewport={"width": width, "height": 844})
    page = context.new_page()
    visit(page, address)
    small = page.evaluate(
        """least => [...document.querySelectorAll('.stApp button, .stApp a, .knob .hit, .stApp input, .stApp summary')]
        .filter(e => e.offsetParent !== null || e.closest('svg'))
        .map(e => [e, {width: (e.closest('.stSelectbox, .stTextInput') || e).getBoundingClientRect().width,
            height: e.getBoundingClientRect().height}])
        .filter(([, b]) => b.width > 1 && b.height > 1 && (b.height < least - 0.5 || b.width < least - 0.5))
        .map(([e, b]) => `${e.outerHTML.slice(0, 90)} ${Math.round(b.width)}x${Math.round(b.height)}`)""",
        TARGET_PX,
    )
    context.close()
    assert small == []


def test_metal_and_temperature_are_larger_still_on_a_phone(browser, address):
    context = browser.new_context(viewport={"width": 390, "height": 844})
    page = context.new_page()
    visit(page, address)
    for where in (".st-key-metal input", ".st-key-t_C input", *(f".st-key-{k} button" for k in ("colder", "hotter"))):
        assert page.locator(where).first.bounding_box()["height"] >= GLOVED_PX, where
    foot = page.locator(".st-key-nav")
    assert [name.strip() for name in foot.locator("a:visible").all_inner_texts()] == ["Melt", "Plan", "Weigh"]
    assert foot.locator("button:visible", has_text="More").count() == 1
    assert foot.bounding_box()["y"] + foot.bounding_box()["height"] == pytest.approx(844, abs=1)
    context.close()


def test_the_keyboard_reaches_every_control_in_the_order_of_the_page(page, address):
    visit(page, address)
    seen = []
    for _ in range(60):
        page.keyboard.press("Tab")
        key = page.evaluate(
            """() => { let e = document.activeElement;
            while (e?.shadowRoot?.activeElement) e = e.shadowRoot.activeElement;
            if (!e || e === document.body) return 'end';
            return e.dataset?.handle || [...(e.closest('[class*="st-key-"]')?.classList || [])]
                .find(c => c.startsWith('st-key-'))?.slice(7) || e.tagName }"""
        )
        if key == "end":
            break
        seen.append(key)
    order = ["pop_start", "metal", "deposit", "t_C", "colder", "hotter", "into", "shares", "part_NaCl", "less_NaCl"]
    order += ["more_NaCl", "drop_NaCl", "part_CaCl2", "basis", "add_salt", "lowest", "recipe"]
    places = [seen.index(key) if key in seen else -1 for key in order]
    assert -1 not in places, [key for key in order if key not in seen]
    assert places == sorted(places)


def test_one_sentence_alone_is_read_out(page, address):
    visit(page, address)
    live = page.locator('[aria-live]:not([aria-live="off"])').evaluate_all("all => all.map(e => e.className)")
    assert [name for name in live if name.startswith("mw-")] == ["mw-sentence"]
    assert len(page.locator(".mw-sentence").inner_text()) < 140
