"""The plan and the logger's file as a person uses them: typed, read, printed; why not; on a phone nothing is cut."""

import io
import json
import re
import subprocess
import sys

import pytest

from tests.browser.actions import Person, box, choose, settled, visit, wait_for
from tests.browser.session import ROOT

pypdf = pytest.importorskip("pypdf")
pytestmark = pytest.mark.browser

CARNALLITE = "?v=1&m=MgCl2:20,KCl:20,NaCl:50,CaCl2:10&metal=Mg&T=720&vessel=mild+steel"
STEPS = ("Look everything over", "Dry the salts", "Charge and melt", "Check the freezing start",
         "Take the last water out by current", "Set the electrodes", "Run", "Hold and coalesce", "Take the metal out",
         "Harvest, wash, remelt", "Weigh and review", "Neutralise and store")  # fmt: skip
CUT = """() => [...document.querySelectorAll('[data-testid=stMain] .mw-lines li, [data-testid=stMain] .mw-card *')]
    .filter(e => e.scrollWidth > e.clientWidth + 1 && e.clientWidth > 1).map(e => e.innerText.slice(0, 60))"""


def download(page, label, tmp_path):
    """A file of the run sheet by its button."""
    button = page.get_by_role("button", name=label)
    button.wait_for()
    settled(page)
    with page.expect_download() as coming:
        button.click()
    saved = tmp_path / coming.value.suggested_filename
    coming.value.save_as(saved)
    return saved.read_bytes()


def words_of(raw):
    return " ".join(" ".join(p.extract_text().split()) for p in pypdf.PdfReader(io.BytesIO(raw)).pages)


def told_at_the_terminal():
    """The same plan by the command line: page and paper print its grams."""
    words = """plan MgCl2=20 KCl=20 NaCl=50 CaCl2=10 --metal Mg --want-g 25 --from MgCl2=KMgCl3.6H2O --assay CaCl2=0.77
        --pot-mL 600 --supply-volts 12 --supply-amps 40 --furnace-W 1500 --at 720 --deposit liquid --json"""
    run = [sys.executable, "-m", "thermo", *words.split()]
    return json.loads(subprocess.run(run, capture_output=True, text=True, check=True, cwd=ROOT).stdout)


def test_a_whole_plan_is_typed_read_and_printed(page, address, tmp_path):
    """25 g of magnesium from potash carnallite and flake of 77 %, 600 mL, 12 V, 40 A, 1500 W: on page and on paper."""
    visit(page, f"{address}/weigh{CARNALLITE}", knob=False)
    person = Person(page)
    choose(page, "weigh_bottle_MgCl2", "KMgCl")
    person.fill("num_weigh_assay_CaCl2", "0.77")
    person.go("Plan")
    for key, text in (("want_g", "25"), ("pot_mL", "600"), ("supply_V", "12"), ("supply_A", "40"),
                      ("furnace_W", "1500")):  # fmt: skip
        person.fill(f"num_plan_{key}", text)
    main = page.locator("[data-testid=stMain]")
    main.get_by_text("15.3 A for 4 h").first.wait_for()  # by all five boxes
    settled(page)
    text = main.inner_text()
    for number, title in enumerate(STEPS):
        assert f"{number}. {title}" in text
    assert "for the feed" in text
    assert page.locator('.mw-picture img[alt*="The pot in section"]').bounding_box()["width"] < 700
    raw = download(page, "Run sheet (PDF)", tmp_path)
    printed = words_of(raw)
    assert raw[:5] == b"%PDF-"
    weigh = " ".join(told_at_the_terminal()["steps"][1]["do"])
    charge = re.search(r"[0-9.]+ g for the charge and [0-9.]+ g for the feed", weigh)[0]
    flake = re.search(r"weigh ([0-9.]+ g) CaCl2", weigh)[1]
    for wanted in ("61.3 A h have passed", "1500 W", "600 mL", charge, f"{flake} CaCl₂"):
        assert wanted in printed, wanted
    assert "Every figure of this sheet" not in printed
    page.get_by_text("Every figure, as an appendix").click()
    wait_for(page, lambda: "Every figure of this sheet" in words_of(download(page, "Run sheet (PDF)", tmp_path)), True)


def test_an_impossible_wish_says_why_and_what_would_open_it(page, address):
    visit(page, f"{address}/plan?v=1&m=KCl:1&metal=K&T=780", knob=False)
    main = page.locator("[data-testid=stMain]")
    main.get_by_text("No plan.").wait_for()
    text = main.inner_text()
    assert "What would open one: a lower-melting mix" in text
    assert "0. Look everything over" not in text


def test_on_a_phone_no_line_of_the_plan_is_cut(browser, address):
    context = browser.new_context(viewport={"width": 390, "height": 844})
    page = context.new_page()
    visit(page, f"{address}/plan{CARNALLITE}&want_g=25&pot_mL=600", knob=False)
    page.locator("[data-testid=stMain]").get_by_text("11. Neutralise and store").wait_for()
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    assert page.evaluate(CUT) == []
    assert page.locator('.mw-picture img[alt*="The pot in section"]').bounding_box()["width"] <= 390
    context.close()


def logger(page, address, text, columns):
    """The logger's section with a file and its columns."""
    visit(page, f"{address}/after?v=1&m=NaCl:60,CaCl2:18,MgCl2:22&metal=Mg&T=720", knob=False)
    Person(page).tap(page.get_by_text("A logger's file: charge of the run"))
    page.locator('.st-key-log_file input[type="file"]').wait_for(state="attached")
    page.locator('.st-key-log_file input[type="file"]').set_input_files(
        {"name": "run.csv", "mimeType": "text/csv", "buffer": text}
    )
    settled(page)
    for key, name in columns.items():
        entry = box(page, f"logger_log_{key}")
        entry.fill(name)
        entry.press("Enter")
        settled(page)
        wait_for(page, entry.input_value, name)


def test_a_logger_file_with_decimal_commas_and_a_gap_is_read_and_handed_on(page, address):
    """5 A for two hours, a reading a minute, twelve of them missing and told as a gap that is not counted."""
    rows = [f"{k};{710 + k % 3},5;{'5,0' if not 40 <= k < 52 else ''};4,1" for k in range(121)]
    text = "Zeit;Temp;Strom;Spannung\nmin;°C;A;V\n" + "\n".join(rows)
    logger(page, address, text.encode("cp1252"), {"time": "Zeit", "T": "Temp", "amps": "Strom", "volts": "Spannung"})
    choose(page, "logger_log_unit", "min")
    main = page.locator("[data-testid=stMain]")
    main.get_by_text("h without reading, not counted").wait_for()
    main.get_by_text("8.917 A h").wait_for()  # 107 of 120 minutes at 5 A
    page.get_by_role("button", name="Take current, time and volts over to the review").click()
    wait_for(page, lambda: box(page, "num_review_amps").input_value().startswith("5"), True)


def test_a_bad_line_of_a_logger_file_is_named(page, address):
    logger(page, address, b"t,T\n0,700\n60,hot\n120,690\n", {"time": "t", "T": "T"})
    page.locator("[data-testid=stMain]").get_by_text("line 3, column 2 (T): 'hot' is not a number").first.wait_for()
