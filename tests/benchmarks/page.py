"""Server time of one re-run of the page after a move, in processor time, sections closed and open.

    python -m tests.benchmarks.page          exit code 1 where the demand is missed

Median of nine moves of one salt's parts. Demand: at most 150 ms.
"""

import statistics
import sys
import time
from pathlib import Path

from streamlit.testing.v1 import AppTest

from tests.benchmarks.clock import verdict

APP = str(Path(__file__).resolve().parents[2] / "app.py")
MELTS = ("NaCl:30,CaCl2:70", "NaCl:60,CaCl2:18,MgCl2:22")
LIMIT_MS, MOVES = 150.0, 9


def median_ms(melt: str, sections: tuple[str, ...]) -> float:
    """Median milliseconds of a re-run with these sections open."""
    app = AppTest.from_file(APP, default_timeout=60)
    for name, value in {"v": "1", "m": melt, "metal": "Na"}.items():
        app.query_params[name] = value
    app.run()
    for key in sections:
        app.session_state[f"open_{key}"] = True
    app.run()
    spans = []
    for k in range(MOVES):
        app.number_input(key="part_NaCl").set_value(40.0 + k)
        start = time.process_time()
        app.run()
        spans.append(1000 * (time.process_time() - start))
    return statistics.median(spans)


def measure() -> bool:
    """Prints the median of each melt, with and without open sections."""
    met = True
    for melt in MELTS:
        for sections in ((), ("cell", "weigh")):
            print(f"{melt}, open: {' and '.join(sections) or 'nothing'}")
            met &= verdict("ms a re-run", median_ms(melt, sections), LIMIT_MS)
    return met


if __name__ == "__main__":
    sys.exit(0 if measure() else 1)
