"""Every speed that is asked for in one table: what, asked, found, met; each row from the benchmark that measures it.

    python -m tests.benchmarks.speed             the short run, some four minutes, without a browser
    python -m tests.benchmarks.speed --all       with the page (wants `chromium`), in full: half an hour

Rows of one kind (triangles, sizes) are one row, the worst of them. Exit code 1 where a demand is missed. A busy machine
makes single figures soft: what is compared takes turns where it can.
"""

import re
import subprocess
import sys

from rich.console import Console
from rich.table import Table

SHORT = [["start_up"], ["kernel"], ["lowest", "8"], ["freezing", "30"], ["liquidus"], ["workers"], ["refitting"]]
LONG = [["start_up"], ["kernel"], ["lowest"], ["freezing"], ["liquidus"], ["many_melts"], ["workers"], ["refitting"],
        ["page"], ["drag"]]  # fmt: skip
LINE = re.compile(r"^ +(.+): (\S+) \((at most|at least) (\S+) wanted\) (met|MISSED)$")
Row = tuple[str, str, float, str, float]  # benchmark, what, found, at most or at least, asked


def rows(words: list[str]) -> list[Row]:
    """What one benchmark prints, run as a process of its own."""
    command = [sys.executable, "-m", f"tests.benchmarks.{words[0]}", *words[1:]]
    run = subprocess.run(command, capture_output=True, text=True)
    found = [match for line in run.stdout.splitlines() if (match := LINE.match(line))]
    said = [line for line in run.stdout.splitlines() if "no C compiler" in line]
    if not found or run.returncode not in (0, 1):
        said.append(f"{words[0]}: {run.stderr.strip()[-300:]}")
    for line in said:
        print(line, file=sys.stderr)
    return [(words[0], m[1], float(m[2]), m[3], float(m[4])) for m in found]


def worst(found: list[Row]) -> list[Row]:
    """One row for each demand, the worst of those that say the same."""
    kinds: dict[tuple, list[Row]] = {}
    for row in found:
        kinds.setdefault((row[0], row[1], row[3], row[4]), []).append(row)
    return [max(same, key=lambda row: row[2] if row[3] == "at most" else -row[2]) for same in kinds.values()]


def measure(benchmarks: list[list[str]]) -> bool:
    """Prints the table; whether all is met."""
    table = Table("benchmark", "what", "asked", "found", "")
    met = True
    for words in benchmarks:
        for name, what, value, way, limit in worst(rows(words)):
            good = value <= limit if way == "at most" else value >= limit
            met &= good
            table.add_row(name, what, f"{way} {limit:g}", f"{value:.3g}", "met" if good else "MISSED")
    Console(width=110).print(table)
    return met


if __name__ == "__main__":
    sys.exit(0 if measure(LONG if "--all" in sys.argv else SHORT) else 1)
