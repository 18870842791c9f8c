"""Whole jobs as a person does them, each from opening the page to a printed run sheet in at most 12 inputs."""

import base64
import io
import json
import re

import pytest
from PIL import Image

from tests.browser.actions import Person, amounts, answer, box, keep_melt, pick, settled, visit, wait_changed, wait_for
from tests.browser.session import free_port, served_page

pytestmark = pytest.mark.browser

MOST_INPUTS = 12


def picture():
    """A picture's file, as a telephone might give it."""
    out = io.BytesIO()
    Image.linear_gradient("L").resize((300, 200)).convert("RGB").save(out, "PNG")
    return out.getvalue()


def printed(person, tmp_path):
    """The run sheet as a file, by the Plan page."""
    person.go("Plan")
    button = person.page.get_by_role("button", name="Run sheet (PDF)")
    button.wait_for()
    settled(person.page)
    with person.page.expect_download() as coming:
        button.click()
    person.inputs += 1
    saved = tmp_path / coming.value.suggested_filename
    coming.value.save_as(saved)
    return saved.read_bytes()


def add_salt(person, word, formula):
    """A salt found by a word and added: two inputs."""
    pick(person.page, "add_salt", word, person.page.locator(f".st-key-part_{formula}"))
    person.inputs += 2


@pytest.mark.parametrize(
    ("symbol", "salts", "verdict"),
    [
        ("Li", {"LiCl", "KCl"}, "floats"),
        ("Na", {"NaCl", "CaCl2"}, "floats"),
        ("Ca", {"CaCl2", "CaF2"}, "floats"),
        ("Al", {"NaF", "AlF3", "CaF2"}, "sinks"),
        ("Nd", {"NdF3", "LiF"}, "sinks"),
    ],
)
def test_a_metal_from_opening_to_a_run_sheet(page, address, tmp_path, symbol, salts, verdict):
    visit(page, address)
    person = Person(page)
    person.start(symbol)
    for name in salts:  # a box a salt, which may come after the answers, beside a stale one
        page.locator(f".st-key-part_{name}").first.wait_for()
    wait_for(page, lambda: verdict in answer(page, "float"), True)
    wait_for(page, lambda: answer(page, "metal"), "liquid")
    person.tap(page.locator(".st-key-hotter button"))
    person.tap(page.locator(".st-key-into button"))
    page.locator('[data-answer="window"]', has_text="inside").wait_for()
    assert printed(person, tmp_path)[:5] == b"%PDF-"
    assert person.inputs <= MOST_INPUTS


def test_magnesium_with_fluorspar_and_a_decimal_comma(page, address, tmp_path):
    visit(page, address)
    person = Person(page)
    person.start("Mg")
    add_salt(person, "fluorspar", "CaF2")
    person.fill("part_CaF2", "2,5")
    wait_for(page, lambda: amounts(page), [60.0, 18.0, 22.0, 2.5])
    person.go("Weigh")
    person.fill("num_weigh_total_g", "400")
    assert printed(person, tmp_path)[:5] == b"%PDF-"
    assert person.inputs <= MOST_INPUTS


def test_three_melts_are_compared(page, address):
    visit(page, address)
    person = Person(page)
    for symbol in ("Na", "Ca", "Mg"):
        person.start(symbol)
        person.tap(page.locator(".st-key-bar a", has_text="Notebook"))
        person.fill("keep_name", f"bath of {symbol}")
        person.tap(page.locator(".st-key-keep_melt button"))
        page.get_by_text(f"Kept: bath of {symbol}").wait_for()
    for symbol in ("Na", "Ca", "Mg"):
        name = f"bath of {symbol}"
        pick(page, "compared", name, page.locator(".st-key-compared").get_by_text(name).first)
    page.keyboard.press("Escape")
    page.locator(".mw-wide", has_text="Side by side").wait_for()
    rows = page.locator(".mw-wide", has_text="Side by side").locator("tr")
    wait_for(page, rows.count, 4)
    page.locator(".mw-picture").nth(1).wait_for()  # one temperature axis, one chart of densities


def test_what_is_kept_is_there_tomorrow(browser, tmp_path):
    book = tmp_path / "notebook.sqlite3"
    with served_page(book) as today:
        page = browser.new_page()
        visit(page, f"{today}/notebook?v=1&m=LiCl:58.5,KCl:41.5&metal=Li&T=450")
        keep_melt(page, "eutectic bath")
        before = answer(page, "freezing")
        page.close()
    with served_page(book) as tomorrow:
        page = browser.new_page()
        visit(page, f"{tomorrow}/notebook")
        assert answer(page, "freezing") != before
        Person(page).tap(page.locator(".st-key-entry_open button"))
        wait_for(page, lambda: answer(page, "freezing"), before)
        page.close()


def test_a_salt_taken_out_by_a_slip_comes_back_with_undo_and_with_back(page, address):
    visit(page, address)
    page.wait_for_url(lambda url: "?" in url)
    first, shown = amounts(page), answer(page, "freezing")
    person = Person(page)
    person.tap(page.locator(".st-key-drop_NaCl button"))
    wait_changed(page, "freezing", shown)
    person.tap(page.locator(".st-key-undo button"))
    wait_for(page, lambda: answer(page, "freezing"), shown)
    wait_for(page, lambda: amounts(page), first)
    person.tap(page.locator(".st-key-redo button"))
    wait_for(page, lambda: len(amounts(page)), 2)
    person.tap(page.locator(".st-key-drop_CaCl2 button"))
    wait_for(page, lambda: len(amounts(page)), 1)
    page.wait_for_url(lambda url: "NaCl:" not in url and "CaCl2:" not in url)
    page.go_back()
    wait_for(page, lambda: len(amounts(page)), 2)
    assert "NaCl:" not in page.evaluate("location.search")
    page.locator(".st-key-nav a", has_text="Cell").click()
    page.wait_for_url(lambda url: "/cell?" in url and "amps=" in url)
    page.go_back()
    page.wait_for_url(lambda url: "/cell" not in url and "amps=" in url)  # the page has said where it stands
    page.go_forward()  # and the way forward is still there
    page.wait_for_url(lambda url: "/cell?" in url)
    page.locator(".st-key-num_cell_amps").wait_for()


def test_a_cleared_melt_comes_back_salt_by_salt(page, address):
    visit(page, address)
    first, shown = amounts(page), answer(page, "freezing")
    person = Person(page)
    for left, name in ((2, "NaCl"), (1, "CaCl2"), (0, "MgCl2")):
        person.tap(page.locator(f".st-key-drop_{name} button"))
        wait_for(page, lambda: len(amounts(page)), left)
    page.locator(".mw-sentence", has_text="waits for amounts").wait_for()
    for back in (1, 2, 3):
        person.tap(page.locator(".st-key-undo button"))
        wait_for(page, lambda: len(amounts(page)), back)
    wait_for(page, lambda: amounts(page), first)
    wait_for(page, lambda: answer(page, "freezing"), shown)


def test_a_melt_is_shared_to_a_second_browser(page, address, browser):
    visit(page, address)
    person = Person(page)
    person.start("Ca")
    person.fill("t_C", "905")
    person.tap(page.locator(".st-key-pop_share button"))
    link = page.locator(".mw-code").inner_text().strip()
    other = browser.new_context().new_page()
    visit(other, link)
    for key in ("freezing", "metal", "float", "window"):
        assert answer(other, key) == answer(page, key)
    assert box(other, "t_C").input_value() == "905"
    other.context.close()


def test_a_server_started_anew_gives_the_page_back_and_loses_no_edit(browser, tmp_path):
    port = free_port()
    book = tmp_path / "notebook.sqlite3"
    with served_page(book, port) as address:
        page = browser.new_page()
        visit(page, address)
        Person(page).tap(page.locator(".st-key-hotter button"))
        page.wait_for_url(lambda url: "T=730" in url)
    with served_page(book, port):
        page.get_by_text("The server was started anew").wait_for(timeout=60000)
        assert box(page, "t_C").input_value() == "730"
        Person(page).fill("t_C", "755")
        page.locator('[data-answer="metal"]', has_text="at 755 °C").wait_for()
        page.close()


def test_words_in_a_link_are_text_and_fetch_nothing(page, address):
    evil = "![x](http://127.0.0.2/x.png)<img src=http://127.0.0.2/y.png>"
    visit(page, f"{address}/?v=1&m=NaCl:60,{evil}:1&metal={evil}&title={evil}&recipe={evil}")
    shown = " ".join(page.locator(".mw-say, .mw-slip").all_inner_texts())
    assert "![x](http" in shown
    assert page.locator('img[src*="127.0.0.2"]').count() == 0


def test_a_run_is_logged_and_exported(page, address, tmp_path):
    visit(page, f"{address}/notebook")
    person = Person(page)
    person.fill("keep_name", "run 7")
    person.tap(page.locator(".st-key-keep_run button"))
    person.go("After")
    page.locator("summary", has_text="Log of a run").click()
    settled(page)
    page.locator(".st-key-num_log_log_volts input").wait_for()
    person.fill("num_log_log_volts", "4,2")
    person.fill("num_log_log_T_C", "718")
    person.tap(page.locator(".st-key-log_add button"))
    page.locator(".mw-wide", has_text="Log of run 7").wait_for()
    page.locator(".st-key-log_photo input[type=file]").set_input_files(
        {"name": "<img src=x>.png", "mimeType": "image/png", "buffer": picture()}
    )
    person.tap(page.locator(".st-key-photo_keep button"))
    shown = page.locator('img[alt="Photograph of run 7"]')
    shown.wait_for()
    assert shown.evaluate("async image => (await image.decode(), image.naturalWidth)") == 300
    person.tap(page.locator(".st-key-bar a", has_text="Notebook"))
    with page.expect_download() as coming:
        page.locator(".st-key-notebook_export button").click()
    saved = tmp_path / "all.json"
    coming.value.save_as(saved)
    run = next(entry for entry in json.loads(saved.read_text())["entries"] if entry["name"] == "run 7")
    assert run["run"]["readings"][0]["volts"] == 4.2
    assert base64.b64decode(run["photo"])[:2] == b"\xff\xd8"  # a JPEG, whatever was taken in
    assert re.match(r"\d{4}-\d\d-\d\dT", run["made"])
