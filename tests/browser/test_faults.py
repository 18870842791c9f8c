"""What a person sees on the page when something breaks: disk full, an entry gone, a table cut, a policy that holds."""

import shutil

import pytest

from tests.browser.actions import Person, keep_melt, visit
from tests.browser.session import ROOT, served_page
from tests.own_disk import filled, small_disk

pytestmark = pytest.mark.browser


def test_a_full_disk_is_said_and_nothing_is_lost(browser, tmp_path):
    with small_disk(tmp_path / "disk") as disk, served_page(disk / "notebook.sqlite3") as address:
        page = browser.new_page()
        visit(page, f"{address}/notebook")
        keep_melt(page, "before")
        with filled(disk):
            keep_melt(page, "while full", "the disk is full; nothing was changed")
            assert page.get_by_text("Traceback").count() == 0
        keep_melt(page, "after")
        words = page.locator(".stApp").inner_text()
        assert "before" in words
        page.close()


def test_what_another_tab_took_out_is_said_to_be_gone(browser, tmp_path):
    with served_page(tmp_path / "notebook.sqlite3") as address:
        one = browser.new_page()
        visit(one, f"{address}/notebook")
        person = Person(one)
        keep_melt(one, "bath 4")
        two = browser.new_page()
        visit(two, f"{address}/notebook")
        Person(two).tap(two.locator(".st-key-entry_remove button"))
        two.get_by_text("Taken out: entry 1").wait_for()
        person.tap(one.locator(".st-key-entry_remove button"))
        one.get_by_text("no entry 1").first.wait_for()
        for tab in (one, two):
            assert tab.get_by_text("Traceback").count() == 0
            tab.close()


def test_a_table_that_was_cut_is_named_in_one_line(browser, tmp_path):
    """A copy of the program with one table cut: the page opens and says which file, not where in the program."""
    copy = tmp_path / "copy"
    for name in ("thermo", "data", ".streamlit"):
        shutil.copytree(ROOT / name, copy / name, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(ROOT / "app.py", copy)
    table = copy / "data" / "density" / "salts.csv"
    table.write_bytes(table.read_bytes()[:-30])
    with served_page(tmp_path / "notebook.sqlite3", root=copy) as address:
        page = browser.new_page()
        page.goto(address)
        page.get_by_text("data/density/salts.csv: cut off in line").first.wait_for(timeout=60000)
        assert page.get_by_text("Traceback").count() == 0
        page.close()


def test_nothing_is_fetched_from_or_sent_to_another_server(browser, address):
    """The server's policy holds in the browser: other addresses are refused, and no page may frame it."""
    page = browser.new_page()
    visit(page, address)
    other = address.replace("127.0.0.1", "localhost")
    asked = "async url => { try { await fetch(url); return 'fetched' } catch (error) { return 'refused' } }"
    assert page.evaluate(asked, f"{address}/_stcore/health") == "fetched"
    assert page.evaluate(asked, f"{other}/_stcore/health") == "refused"
    page.set_content(f'<iframe src="{address}" onload="window.seen = true"></iframe>')
    page.wait_for_timeout(1500)
    assert page.frames[-1].locator(".stApp").count() == 0
    page.close()
