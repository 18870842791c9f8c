"""Figures that the trials measured, kept with date and commit until the same trial is run again.

tests/benchmarks/measured.csv: one figure a row. `keep` replaces the rows of one trial. data/TRUST.md is written from it
(tests/benchmarks/trust.py), so that it holds nothing that was not measured.
"""

import csv
import subprocess
from collections.abc import Mapping
from datetime import UTC, datetime
from pathlib import Path

FILE = Path(__file__).with_name("measured.csv")
COLUMNS = ("trial", "figure", "value", "date", "commit", "command")


def kept() -> list[dict[str, str]]:
    """All figures, in the order of the trials."""
    if not FILE.exists():
        return []
    with FILE.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def commit() -> str:
    """The commit that is checked out, with a + where files differ from it."""
    words = ["git", "describe", "--always", "--dirty=+", "--abbrev=9"]
    return subprocess.run(words, cwd=FILE.parent, capture_output=True, text=True, check=True).stdout.strip()


def keep(trial: str, command: str, figures: Mapping[str, object]) -> None:
    """Store the figures of one trial in place of its earlier ones."""
    today = datetime.now(UTC).date().isoformat()
    rows = [row for row in kept() if row["trial"] != trial]
    values = [(trial, name, str(value), today, commit(), command) for name, value in figures.items()]
    rows += [dict(zip(COLUMNS, row, strict=True)) for row in values]
    with FILE.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, COLUMNS, lineterminator="\n")
        writer.writeheader()
        writer.writerows(sorted(rows, key=lambda row: row["trial"]))
