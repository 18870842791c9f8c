"""Writes data/TRUST.md: what was tried, how often, what was found, from the figures that the trials stored.

    python -m tests.benchmarks.trust

Nothing is measured here and no figure is typed here: they come from tests/benchmarks/measured.csv, each with the date,
commit and command it was measured with. FOUND is the list of faults that the trials showed, with what became of them.
"""

from itertools import groupby
from pathlib import Path

from tests.benchmarks.measured import kept

TARGET = Path(__file__).resolve().parents[2] / "data" / "TRUST.md"
HEAD = """# What was tried

Written by `python -m tests.benchmarks.trust` from the figures that the commands below stored when they were run with
`--keep`; none is typed by hand. A + after a commit: files differed from it. The machine was shared with other work.
"""
FOUND = (
    ("a link with a number near 1.8e308", "written to ten digits it became infinite; more than 1e300 is refused"),
    (
        "`find` with zinc and caesium chloride",
        "a window was shown that rested on an unknown liquidus; now it says unknown",
    ),
    ("a reading for a run that another tab took out", "the database's own words; now: there is no such entry"),
)


def page() -> str:
    """The text of data/TRUST.md."""
    parts = [HEAD]
    for trial, rows in groupby(kept(), key=lambda row: row["trial"]):
        listed = list(rows)
        first = listed[0]
        parts.append(f"## {trial[0].upper()}{trial[1:]}\n\n`{first['command']}`, {first['date']}, {first['commit']}\n")
        parts.append("| figure | value |\n|---|---|")
        parts += [f"| {row['figure']} | {row['value']} |" for row in listed]
        parts[-1] += "\n"
    parts.append("## What the trials found\n\n| where | what, and what became of it |\n|---|---|")
    parts += [f"| {where} | {what} |" for where, what in FOUND]
    return "\n".join(parts) + "\n"


if __name__ == "__main__":
    TARGET.write_text(page(), encoding="utf-8", newline="\n")
