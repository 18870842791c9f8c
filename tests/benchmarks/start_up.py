"""How long a user waits for one answer on the command line, against importing numpy and scipy.optimize alone.

    python -m tests.benchmarks.start_up          exit code 1 where the demand is missed

Medians of five whole processes, taking turns. Demand: at most 4 times.
"""

import statistics
import subprocess
import sys
import time

from tests.benchmarks.clock import verdict

ANSWER = [sys.executable, "-m", "thermo", "melt", "NaCl=48", "CaCl2=52", "--metal", "Na", "--at", "600", "--json"]
IMPORTS = [sys.executable, "-c", "import numpy, scipy.optimize"]
RUNS = 5


def seconds(command: list[str]) -> float:
    """Wall-clock time of one process."""
    start = time.perf_counter()
    subprocess.run(command, check=True, capture_output=True)
    return time.perf_counter() - start


def measure() -> bool:
    """Times both and prints the ratio."""
    for command in (ANSWER, IMPORTS):
        seconds(command)  # fills the file cache and writes byte code
    pairs = [(seconds(ANSWER), seconds(IMPORTS)) for _ in range(RUNS)]
    answer, imports = (statistics.median(column) for column in zip(*pairs, strict=True))
    print(f"one answer {answer:.2f} s, imports alone {imports:.2f} s")
    return verdict("times the imports", answer / imports, 4)


if __name__ == "__main__":
    sys.exit(0 if measure() else 1)
