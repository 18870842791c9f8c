"""What the browser tests do on the page: open it, read answers, drag, type, count inputs."""

import re
import time

import pytest
from playwright.sync_api import TimeoutError

SETTLED_MS = 15000
AGAIN_MS = 4000  # of one try


def settled(page):
    """Wait until the script has run."""
    page.wait_for_selector('.stApp[data-test-script-state="notRunning"]', state="attached")


def visit(page, url, knob=True):
    """Open an address and wait for the answers, and for the diagram where there is one."""
    page.goto(url)
    page.wait_for_selector("[data-answer]", timeout=60000)
    if knob:
        page.wait_for_selector(".knob", timeout=60000)
    settled(page)


def answer(page, key):
    """The large figure of one of the four answers."""
    return page.locator(f'[data-answer="{key}"] .answer span').last.inner_text()


def wait_changed(page, key, before):
    """The figure of an answer once it is another than `before`."""
    end = time.monotonic() + SETTLED_MS / 1000
    while time.monotonic() < end:
        now = answer(page, key)
        if now != before:
            page.wait_for_timeout(600)  # the last echo
            return answer(page, key)
        page.wait_for_timeout(50)
    return pytest.fail(f"{key!r} stayed at {before!r}")


def arrived(page, knob, read):
    """Wait until what the server says of a knob is where the knob stands in the browser, which is ahead of it."""
    wait_for(page, lambda: read() == float(knob.get_attribute("aria-valuenow")), True)


def keep_melt(page, name, said=None):
    """Keep the melt in the notebook under a name, and wait for what the page says of it."""
    person = Person(page)
    person.fill("keep_name", name)
    person.tap(page.locator(".st-key-keep_melt button"))
    page.get_by_text(said or f"Kept: {name}").first.wait_for()


def wait_for(page, read, wanted):
    """Wait until `read()` is `wanted`; what is asserted is waited for, so that a slow machine only takes longer."""
    end = time.monotonic() + SETTLED_MS / 1000
    while time.monotonic() < end:
        if read() == wanted:
            return
        page.wait_for_timeout(50)
    assert read() == wanted


def centre(locator):
    """The middle of an element."""
    box = locator.bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def drag(page, locator, dx, dy, steps=8):
    """Drag an element with the mouse."""
    x, y = centre(locator)
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + dx, y + dy, steps=steps)
    page.mouse.up()


def box(page, key):
    """The input of a text box by its key."""
    return page.locator(f".st-key-{key} input").first


def choose(page, key, text, wait=True):
    """The option of a list that begins with this text; then, with wait, until the script has run."""
    option = page.get_by_role("option", name=re.compile(f"^{re.escape(text)}")).first
    _until(page, lambda: opened(page, box(page, key), option).click(timeout=AGAIN_MS))
    if wait:
        settled(page)


def pick(page, key, text, done):
    """An entry of a list found by typing its words, until `done` is there: a page drawn anew closes the list."""

    def once():
        if not done.is_visible():
            box(page, key).fill(text)
            page.get_by_role("option").filter(has_text=text).first.click(timeout=AGAIN_MS)
        done.wait_for(timeout=AGAIN_MS)

    _until(page, once)
    settled(page)


def _until(page, act):
    """Do something once more where an element went away under it."""
    end = time.monotonic() + 2 * SETTLED_MS / 1000
    while time.monotonic() < end:
        try:
            return act()
        except TimeoutError:
            page.keyboard.press("Escape")
    return act()


def opened(page, opener, inside):
    """What a list holds once it is open; it is opened again where it closed, as it does while a page moves."""
    opener.scroll_into_view_if_needed()
    end = time.monotonic() + SETTLED_MS / 1000
    while time.monotonic() < end:
        if not inside.is_visible():
            opener.click()
        try:
            inside.wait_for(timeout=1000)
            page.wait_for_timeout(150)
        except TimeoutError:
            continue
        if inside.is_visible():
            return inside
    return pytest.fail("the list does not stay open")


def amounts(page):
    """Amounts in the boxes, in their order, all read at one moment."""
    texts = page.locator('[class*="st-key-part_"] input').evaluate_all("all => all.map(e => e.value)")
    return [float(text.replace(",", ".")) for text in texts]


class Person:
    """Somebody at the page whose inputs are counted: a tap, a choice, a box filled are one each."""

    def __init__(self, page):
        self.page, self.inputs = page, 0

    def tap(self, locator):
        """One tap."""
        locator.click()
        self.inputs += 1
        settled(self.page)
        self.page.wait_for_timeout(250)

    def fill(self, key, text):
        """A box filled."""
        entry = box(self.page, key)
        entry.fill(text)
        entry.press("Enter")
        self.inputs += 1
        settled(self.page)
        self.page.wait_for_timeout(250)

    def start(self, symbol):
        """A quick start: the list opened, a metal chosen."""
        self.tap(self.page.locator(".st-key-pop_start button"))
        self.tap(self.page.locator(f".st-key-start_{symbol} button"))

    def go(self, name):
        """Another page."""
        self.tap(self.page.locator(".st-key-nav a", has_text=name).first)
