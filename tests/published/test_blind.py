"""Published measurements that no table held when they were asked (tests/benchmarks/blind.csv), and today's answers.

The printed values are the yardstick. Of n prints, each inside the 90 % band with a chance of nine in ten, fewer than
the fifth percentile of the binomial distribution would come in one case of twenty: that many must lie inside.
Run with -s, or python -m tests.benchmarks.blind, to see the numbers.
"""

import csv

import numpy as np
import pytest
from scipy.stats import binom

from tests.benchmarks import blind

BAND, CHANCE, UNLIKELY = 1.645, 0.90, 0.05
ROWS = blind.comparisons()


def test_the_table_names_its_sources_and_what_was_answered_before():
    with blind.FILE.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) == len(ROWS)
    assert len(ROWS) >= 40  # as many as were aimed at
    for row in rows:
        assert all(row[name] for name in ("source", "locator", "note", "commit")), row
    for row in ROWS:
        assert min(row.printed_sigma, row.our_sigma) > 0, row
        assert np.isfinite(row.z(row.ours, row.our_sigma)), row
    assert len({(row["kind"], row["melt"], row["t_C"], row["asked"]) for row in rows}) == len(rows)


@pytest.mark.parametrize("kind", blind.QUESTIONS)
def test_the_bands_of_today_hold_as_many_as_they_say(kind):
    rows = blind.by_kind(ROWS)[kind]
    scores = [row.z(*blind.ask(row)) for row in rows]
    held, least = blind.inside(scores, BAND), int(binom.ppf(UNLIKELY, len(rows), CHANCE))
    print(f"\n{kind}: {held} of {len(rows)} inside the 90 % band, at least {least} asked")
    assert held >= least
