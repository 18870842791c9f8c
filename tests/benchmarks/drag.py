"""How long a user waits for the answer to a move of the knob, browser work included.

    python -m tests.benchmarks.drag          exit code 1 where the demand is missed; wants `chromium` on the path

Clocked in the browser, from the knob's message to the last part of the page that answers it; median of ten moves.
Demand: at most a second, which keeps the train of thought (Nielsen 1993). The server's own share: the benchmark `page`.
"""

import statistics
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.benchmarks.clock import verdict
from tests.browser.session import chromium, served_page

PAIR = "/?v=1&m=NaCl:30,CaCl2:70&basis=mol&metal=Na&T=820&deposit=liquid"
MOVES, LIMIT_MS = 10, 1000.0
STOPWATCH = """
window.traffic = [];
const Plain = window.WebSocket;
window.WebSocket = class extends Plain {
  constructor(...given) {
    super(...given);
    this.addEventListener("message", () => window.traffic.push(["came", performance.now()]));
  }
  send(data) {
    window.traffic.push(["sent", performance.now()]);
    super.send(data);
  }
};
"""


def answer_times(traffic: list) -> list[float]:
    """Milliseconds from each message of the page to the last one that came back before the next."""
    sent = [i for i, (kind, _) in enumerate(traffic) if kind == "sent"]
    spans = []
    for i, following in zip(sent, [*sent[1:], len(traffic)], strict=True):
        back = [t for _, t in traffic[i + 1 : following]]
        if len(back) > 5:  # fewer: the run was cut short by the next move
            spans.append(back[-1] - traffic[i][1])
    return spans


def median_ms(page, url: str, handle: str) -> float:
    """Median wait for the answer to a move of this knob."""
    page.add_init_script(STOPWATCH)
    page.goto(url)
    knob = page.locator(f'.knob[data-handle="{handle}"]').first
    knob.wait_for(timeout=60000)
    page.wait_for_timeout(3000)  # the first run is over
    page.evaluate("window.traffic.length = 0")
    for k in range(MOVES):
        way = 14 if k % 2 else -14
        knob.scroll_into_view_if_needed()
        box = knob.bounding_box()
        x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        page.mouse.move(x, y)
        page.mouse.down()
        page.mouse.move(x + (0 if handle == "t_C" else way), y + (0 if handle == "x" else way), steps=2)
        page.mouse.up()
        page.wait_for_timeout(800)
    return statistics.median(answer_times(page.evaluate("window.traffic")))


def measure() -> bool:
    """Prints the median wait of each knob."""
    met = True
    with (
        TemporaryDirectory() as folder,
        served_page(Path(folder) / "notebook.sqlite3") as address,
        chromium() as browser,
    ):
        for query, handle in (("", "shares"), (PAIR, "x"), (PAIR, "t_C")):
            page = browser.new_page(viewport={"width": 1280, "height": 1100})
            met &= verdict(f"ms to answer a move of {handle}", median_ms(page, address + query, handle), LIMIT_MS)
            page.close()
    return met


if __name__ == "__main__":
    sys.exit(0 if measure() else 1)
