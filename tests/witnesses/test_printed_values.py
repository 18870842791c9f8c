"""Equations of one report against the tables of values that the report prints beside them.

NSRDS-NBS 61 Part IV gives density, conductance and viscosity of each melt twice: coefficients with a span, from which
our rows come, and a table of values at steps of 10 to 40 K. printed_values.csv holds the first and the last value of
such columns as they stand in the scanned text, with the salt that its heading counts. So each equation must give both
values, and its span must begin and end where the column does, within a step of the table. Where the scan lost the
blanks of a row, a value stands in the column whose own steps it continues; a value that can be read two ways is left
out, and `ends` says which of the two values is an end of its column.
"""

import csv
import math
import re
from decimal import Decimal
from pathlib import Path

import pytest

from tests.each import NOTHING, each
from tests.witnesses.tables import read_table

with Path(__file__).with_name("printed_values.csv").open(encoding="utf-8", newline="") as file:
    PRINTED = list(csv.DictReader(file))
TABLES = {"density": "density/mixtures.csv", "conductance": "conductance.csv", "viscosity": "viscosity.csv"}
Row = dict[str, str]

# the report's stated span and its own table of values part by so much, K
SPANS = {
    ("viscosity", "89", "60.6"): "the table begins 50 K above the stated span and ends 150 K above it",
    ("viscosity", "89", "89.8"): "the table ends 100 K above the stated span",
    ("conductance", "89", "10.5"): "the table begins 60 K below the stated span",
    ("conductance", "89", "21.6"): "the table begins 40 K below the stated span",
    ("conductance", "89", "35.0"): "the table begins 60 K below the stated span",
    (
        "density",
        "98",
        "19.6",
    ): "stated and tabulated from 120 K higher up in the row: the printed end is below freezing",
}


def share(row: Row, salt: str) -> float:
    """Mole fraction of a salt in a row, 0 where it has none."""
    return next((float(row[f"x{k}"]) for k in "1234" if row.get(f"salt{k}") == salt), 0.0)


def of_system(quantity: str, system: str) -> list[Row]:
    """Rows whose locator names this system of the report."""
    rows = read_table(TABLES[quantity])
    return [
        row
        for row in rows
        if (row["source"], row["origin"]) == ("janz_tomkins1981", "measured")
        and re.search(rf"\b[Ss]ystem {system}\b", row["locator"])
    ]


def ours(column: Row) -> Row:
    """The row with the equation of a printed column: same system, salts, and share of the salt counted."""
    salts, counted = set(column["salts"].split("-")), column["counted"]
    found = [
        row
        for row in of_system(column["quantity"], column["system"])
        if {row[f"salt{k}"] for k in "1234" if row.get(f"salt{k}")} == salts
        and abs(share(row, counted) - float(column["mol_pct"]) / 100) < 6e-5
    ]
    assert len(found) == 1, f"{len(found)} rows of {column['salts']} with {column['mol_pct']} mol% {counted}"
    return found[0]


def value(quantity: str, row: Row, T_K: float) -> float:
    """g/cm3, S/cm or mPa s."""
    if quantity == "density":
        return float(row["a_g_cm3"]) - float(row["b_g_cm3_K"]) * T_K
    a, b, c, d = (float(row[letter]) for letter in "abcd")
    return a * math.exp(b / T_K) if row["form"] == "arrhenius" else a + T_K * (b + T_K * (c + T_K * d))


def rounded(row: Row, T_K: float) -> float:
    """What half a unit in the last digit of every coefficient of a polynomial makes together."""
    units = [10.0 ** Decimal(row[letter]).as_tuple().exponent for letter in "abcd" if float(row[letter])]
    return sum(0.5 * unit * T_K**power for power, unit in enumerate(units))


def ends(column: Row) -> list[tuple[float, str]]:
    return [(float(column[f"{end}_K"]), column[end]) for end in ("first", "last") if column[end]]


@each(range(len(PRINTED)), compared=150)
def test_an_equation_gives_the_values_printed_beside_it(n):
    """To one unit of the last printed digit, or half of one with the rounding of every coefficient of a polynomial."""
    column = PRINTED[n]
    row = ours(column)
    for T_K, printed in ends(column):
        unit = 10.0 ** -len(printed.partition(".")[2])
        rounding = 0.5 * unit + (rounded(row, T_K) if row.get("form") == "polynomial" else 0.0)
        assert value(column["quantity"], row, T_K) == pytest.approx(float(printed), abs=max(1.02 * unit, rounding))


@each(range(len(PRINTED)), compared=150)
def test_a_span_is_that_of_the_values_printed(n):
    """Within a step of the table: it begins or ends at a whole step inside the span, or at the last one beyond."""
    column = PRINTED[n]
    if (column["quantity"], column["system"], column["mol_pct"]) in SPANS or column["ends"] == "none":
        return NOTHING
    row, step = ours(column), float(column["step_K"])
    if column["ends"] in ("both", "first"):
        assert float(row["T_lo_K"]) == pytest.approx(float(column["first_K"]), abs=step)
    if column["ends"] in ("both", "last"):
        assert float(row["T_hi_K"]) == pytest.approx(float(column["last_K"]), abs=step)
    return None


# what the report states as uncertainty of a quantity in a system, percent; by form where it states two
STATED = {
    ("conductance", "77"): 5, ("conductance", "84"): 3, ("conductance", "85"): 3, ("conductance", "87"): 2,
    ("conductance", "88"): 3, ("conductance", "89"): 3, ("conductance", "91"): 3, ("conductance", "92"): 5,
    ("conductance", "93"): 2, ("conductance", "97"): 5, ("conductance", "98"): 3, ("conductance", "100"): 10,
    ("viscosity", "85"): 10, ("viscosity", "88"): 10, ("viscosity", "89"): 10,
    ("viscosity", "90"): {"arrhenius": 25, "polynomial": 15},
    ("viscosity", "91"): 35, ("viscosity", "92"): 15, ("viscosity", "98"): 10,
}  # fmt: skip
UNCERTAIN = [(*key, n) for key in STATED for n in range(len(of_system(*key)))]


@each(UNCERTAIN, compared=100)
def test_an_uncertainty_is_that_stated_for_the_system(quantity, system, n):
    row, stated = of_system(quantity, system)[n], STATED[quantity, system]
    assert float(row["sigma_pct"]) == (stated if isinstance(stated, int) else stated[row["form"]])
