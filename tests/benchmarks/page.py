"""What a person waits for after a knob's move, against an empty page's re-run, and the weight of a first visit.

    python -m tests.benchmarks.page          exit code 1 where a demand is missed

In a browser, wall time from a key on the temperature's knob (or in the empty page's one box) to the changed text, in
turns on two servers with the same settings, so that the machine's load cancels. Demands: the median of every page with
two, three and six salts, and of six with every section open, at most RATIO times the empty page's; a first visit at
most VISIT_MB.
"""

import shutil
import statistics
import subprocess
import sys
import time
from contextlib import ExitStack, contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.benchmarks.clock import verdict
from tests.browser.session import ROOT, chromium, free_port, served_page, wait_until_served
from thermo.present.page.sections import PAGES

SALTS = ("NaCl", "CaCl2", "MgCl2", "KCl", "LiCl", "SrCl2")
RATIO, VISIT_MB, MOVES, WAIT_MS = 3.0, 2.0, 7, 20000
EMPTY = """import streamlit as st
text = st.text_input("a", key="a")
st.html(f"<p id=said>{text}</p>")
"""


@contextmanager
def empty_page(settings: Path | None = None):
    """A Streamlit page with one box and one line, served; settings: a .streamlit folder, else Streamlit's own."""
    with TemporaryDirectory() as folder:
        script = Path(folder) / "empty.py"
        script.write_text(EMPTY)
        if settings is not None:
            shutil.copytree(settings, Path(folder) / ".streamlit")
        port = free_port()
        command = [sys.executable, "-m", "streamlit", "run", str(script), "--server.port", str(port)]
        command += ["--server.headless", "true", "--browser.gatherUsageStats", "false"]
        server = subprocess.Popen(command, cwd=folder, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        try:
            wait_until_served(f"http://127.0.0.1:{port}")
            yield f"http://127.0.0.1:{port}"
        finally:
            server.terminate()
            server.wait(timeout=20)


def moved_ms(page, t_C: int) -> float:
    """From a key on the temperature's knob to the new temperature in the metal's box."""
    knob = page.locator(".st-key-axis .knob")
    knob.focus()
    start = time.perf_counter()
    knob.press("ArrowRight")
    page.locator('[data-answer="metal"] h2', has_text=f"{t_C} °C").wait_for(timeout=WAIT_MS)
    return 1000 * (time.perf_counter() - start)


def empty_ms(page, k: int) -> float:
    """From Enter in the empty page's box to its text."""
    box = page.locator("input")
    box.fill(f"text {k}")
    start = time.perf_counter()
    box.press("Enter")
    page.locator("#said", has_text=f"text {k}").wait_for(timeout=WAIT_MS)
    return 1000 * (time.perf_counter() - start)


def measure() -> bool:
    """Prints the ratio of every page and the weight of the first visit."""
    met = True
    with ExitStack() as open_now:
        folder = Path(open_now.enter_context(TemporaryDirectory()))
        address = open_now.enter_context(served_page(folder / "notebook.sqlite3"))
        bare = open_now.enter_context(empty_page(ROOT / ".streamlit"))
        browser = open_now.enter_context(chromium())
        met &= verdict("MB of a first visit", visit_MB(browser, address), VISIT_MB)
        empty = browser.new_page()
        empty.goto(bare)
        empty.wait_for_selector("input")
        for key, page in PAGES.items():
            for count in (2, 3, 6):
                met &= _ratio(browser, address, key, page.address, count, empty)
            if any(section.closed for section in page.sections):
                met &= _ratio(browser, address, f"{key}, all open", page.address, 6, empty, every=True)
    return met


def _ratio(browser, address: str, key: str, path: str, count: int, empty, every: bool = False) -> bool:
    melt = ",".join(f"{salt}:{20 + k}" for k, salt in enumerate(SALTS[:count]))
    page = browser.new_page(viewport={"width": 1280, "height": 800})
    page.goto(f"{address}/{path}?v=1&m={melt}&metal=Mg&T=720")
    page.wait_for_selector(".st-key-axis .knob", timeout=60000)
    page.wait_for_timeout(1500)
    if every:
        _open_all(page)
    moved_ms(page, 721), empty_ms(empty, 99)
    pairs = [(moved_ms(page, 722 + k), empty_ms(empty, k)) for k in range(MOVES)]
    page.close()
    full, bare = (statistics.median(side) for side in zip(*pairs, strict=True))
    print(f"{key}, {count} salts: {full:.0f} ms against {bare:.0f}")
    return verdict("times an empty page", full / bare, RATIO)


def _open_all(page) -> None:
    """Open every closed section and wait until the script has run."""
    heads = page.locator(".st-key-content summary")
    for k in range(heads.count()):
        heads.nth(k).click()
        page.wait_for_timeout(400)
        page.wait_for_selector('.stApp[data-test-script-state="notRunning"]', state="attached", timeout=90000)
    page.wait_for_timeout(1500)


def visit_MB(browser, address: str) -> float:
    """Bytes over the wire of a first visit, as the browser counts them."""
    page = browser.new_context().new_page()
    session = page.context.new_cdp_session(page)
    session.send("Network.enable")
    total = []
    session.on("Network.loadingFinished", lambda event: total.append(event["encodedDataLength"]))
    session.on("Network.webSocketFrameReceived", lambda event: total.append(len(event["response"]["payloadData"])))
    page.goto(address)
    page.wait_for_selector(".knob", timeout=60000)
    page.wait_for_timeout(2000)
    page.context.close()
    return sum(total) / 1e6


if __name__ == "__main__":
    sys.exit(0 if measure() else 1)
