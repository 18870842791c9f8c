"""The property tests with many more cases, counted: ten times as many by one command.

    python -m tests.benchmarks.properties [--times 10] [--keep]        exit code 1 where a law fails

Runs tests/properties as the suite does, with MELTWRIGHT_TRIALS set, and reads the counts that each law prints: cases
drawn, and those that had anything to compare.
"""

import argparse
import os
import re
import subprocess
import sys

from tests.benchmarks.asking import ROOT
from tests.benchmarks.measured import keep

COUNTS = re.compile(r"^(test_\w+): (\d+) drawn, (\d+) compared$", re.MULTILINE)
OUTCOME = re.compile(r"^(?:=+ )?(\d+ (?:passed|failed).*?) in [\d.]+", re.MULTILINE)


def run(times: int) -> tuple[dict[str, str], bool]:
    """Figures by law, and whether all held."""
    words = [sys.executable, "-m", "pytest", "-q", "-s", "-n", "0", "tests/properties"]
    done = subprocess.run(
        words, cwd=ROOT, env=os.environ | {"MELTWRIGHT_TRIALS": str(times)}, capture_output=True, text=True
    )
    print("\n".join(line for line in done.stdout.splitlines() if line.startswith(("E  ", "FAILED"))))
    counts = [(name, int(drawn), int(compared)) for name, drawn, compared in COUNTS.findall(done.stdout)]
    outcome = OUTCOME.findall(done.stdout)
    figures = {
        "laws": outcome[-1] if outcome else done.stdout[-200:],
        "cases": f"{sum(drawn for _, drawn, _ in counts)} drawn, {sum(same for *_, same in counts)} compared",
    }
    for name, drawn, compared in counts:
        words = name.removeprefix("test_").replace("_", " ")
        figures[words] = f"{drawn} drawn, {compared} compared"
    return figures, done.returncode == 0


if __name__ == "__main__":
    parser = argparse.ArgumentParser()
    parser.add_argument("--times", type=int, default=10)
    parser.add_argument("--keep", action="store_true")
    asked = parser.parse_args()
    found, good = run(asked.times)
    for figure, value in found.items():
        print(f"{figure}: {value}")
    if asked.keep:
        keep("property tests", f"python -m tests.benchmarks.properties --times {asked.times} --keep", found)
    sys.exit(0 if good else 1)
