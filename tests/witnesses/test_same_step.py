"""One step of drying stands in several bottles of data/drying_steps.csv: it must say the same in each.

A step is one where source, place there and what to do agree. Water that is left where a lower hydrate is named is the
water of that hydrate, and of a step after which the bottle "weighs what the dihydrate should" it is two.
"""

from collections import defaultdict

import pytest

from tests.each import NOTHING, each
from tests.witnesses.tables import read_table

Row = dict[str, str]
SAME = ("T_C", "time_h", "water_left_mol", "nh4cl_g_per_g")


def steps(*columns: str) -> dict[tuple[str, ...], list[Row]]:
    """Rows that agree in these columns."""
    found = defaultdict(list)
    for row in read_table("drying_steps.csv"):
        found[tuple(row[column] for column in columns)].append(row)
    return {words: rows for words, rows in found.items() if len(rows) > 1}


def salt(row: Row) -> str:
    return row["bottle"].split(".")[0]


BY_WORDS = steps("source", "locator", "cover", "do", "until", "caveat")


@each(range(len(BY_WORDS)), compared=8)
def test_one_step_says_the_same_in_every_bottle(n):
    """Fluorides that are baked for a day, rare-earth chlorides, the last hours of calcium chloride and others."""
    rows = list(BY_WORDS.values())[n]
    for column in SAME:
        if not (column == "time_h" and len({salt(row) for row in rows}) == 1):  # more water in the bottle takes longer
            assert len({row[column] for row in rows}) == 1, f"{column}: {sorted({row[column] for row in rows})}"


LAST = sorted({salt(row) for row in read_table("drying_steps.csv")})


@each(LAST, compared=4)
def test_bottles_of_one_salt_end_in_one_step(salt_named):
    """Whatever hydrate it was, the last step of a salt of one source has one temperature and time."""
    rows = [row for row in read_table("drying_steps.csv") if salt(row) == salt_named and "." in row["bottle"]]
    last = {row["bottle"]: row for row in rows}.values()  # the later step stands below
    sources = {row["source"] for row in last}
    if len(last) < 2 or len(sources) > 1:
        return NOTHING
    assert len({(row["T_C"], row["time_h"]) for row in last}) == 1
    return None


def test_water_left_is_that_of_the_hydrate_named():
    """Carnallite that weighs what the dihydrate should; CaCl2.6H2O melts at 30 and 45 deg C down to the dihydrate."""
    named = {(row["bottle"], row["step"]): row for row in read_table("drying_steps.csv")}
    waters = {row["bottle"]: float(row["water"]) for row in read_table("hydrates.csv")}
    assert "dihydrate" in named["KMgCl3.6H2O", "1"]["until"]
    assert float(named["KMgCl3.6H2O", "1"]["water_left_mol"]) == 2
    assert "45 C" in named["CaCl2.6H2O", "1"]["locator"]
    assert float(named["CaCl2.6H2O", "1"]["T_C"]) == 45
    assert float(named["CaCl2.6H2O", "1"]["water_left_mol"]) == pytest.approx(waters["CaCl2.2H2O"])
