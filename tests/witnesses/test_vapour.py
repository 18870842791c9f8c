"""Vapour pressures against the free energies of the tables, and second equations against the first.

p of each molecule is 10^(log Kf(gas) - n log Kf(condensed)) bar; they add up.
"""

import math

import numpy as np
import pytest

from tests.each import NOTHING, each
from tests.records.test_substances import VAPOURS
from tests.witnesses.janaf_tables import at, column
from tests.witnesses.tables import read_table

# (condensed, {number of formulas in the molecule: gas}); of metals the liquid and the monomer
TABLES = VAPOURS | {
    "AlF3": ("Al-041", {1: "Al-044", 2: "Al-087"}),
    **{metal: (f"{metal}-003", {1: f"{metal}-005"}) for metal in ("Li", "Na", "K", "Mg", "Ba", "Al", "Zn", "Pb")},
    **{metal: (f"{metal}-004", {1: f"{metal}-006"}) for metal in ("Ca", "Sr")},
}
FILE = "volatility.csv"
ROWS = range(len(read_table(FILE)))


def line(row: dict[str, str], T_K: float) -> float:
    """log10 p/Pa of a row."""
    A, B, C, D = (float(row[name]) for name in ("A", "B_K", "C", "D_per_K"))
    if row["log_base"] == "e":
        return (A + B / T_K + C * math.log(T_K) + D * T_K) / math.log(10)
    return A + B / T_K + C * math.log10(T_K) + D * T_K


def of_tables(formula: str, T_K: float) -> float:
    """log10 p/Pa over the condensed phase."""
    condensed, gases = TABLES[formula]
    own = at(condensed, "log Kf", T_K)
    return 5 + math.log10(sum(10 ** (at(gas, "log Kf", T_K) - n * own) for n, gas in gases.items()))


@each(ROWS, compared=27)
def test_pressures_follow_from_the_tables(n):
    """At the tables' own temperatures within the span; a straight line in 1/T over 600 K leaves 0.045 in log10."""
    row = read_table(FILE)[n]
    if row["source"] != "janaf1998":
        return NOTHING
    gas = TABLES[row["formula"]][1][1]
    inside = [T for T in column(gas, "log Kf")[0] if float(row["T_lo_K"]) <= T <= float(row["T_hi_K"])]
    assert len(inside) >= 4
    for T in inside:
        assert line(row, T) == pytest.approx(of_tables(row["formula"], T), abs=0.045)
    return None


def first(row: dict[str, str]) -> dict[str, str]:
    """The chosen row of the same substance and phase."""
    same = ("formula", "kind", "phase")
    return next(r for r in read_table(FILE) if r["chosen"] == "yes" and all(r[k] == row[k] for k in same))


@each(ROWS, compared=10)
def test_a_second_equation_agrees_with_the_chosen_one(n):
    """Over the span that both have, within two standard deviations of both factors."""
    row = read_table(FILE)[n]
    if row["chosen"] == "yes":
        return NOTHING
    other = first(row)
    low = max(float(row["T_lo_K"]), float(other["T_lo_K"]))
    high = min(float(row["T_hi_K"]), float(other["T_hi_K"]))
    if low > high:  # the spans lie beside each other: in the gap
        low = high = (low + high) / 2
    allowed = 2 * np.hypot(*(math.log10(float(r["sigma_factor"])) for r in (row, other)))
    for T in np.linspace(low, high, 5):
        assert line(row, T) == pytest.approx(line(other, T), abs=allowed)
    return None


@each(ROWS, compared=10)
def test_crystal_and_liquid_have_one_pressure_where_they_melt(n):
    """Two evaluations at the melting point; of metals whose line for the liquid reaches there."""
    row = read_table(FILE)[n]
    if row["phase"] != "solid" or row["kind"] != "metal":
        return NOTHING
    melts = next(float(r["melting_point_K"]) for r in read_table("metals.csv") if r["symbol"] == row["formula"])
    liquid = next(r for r in read_table(FILE) if r["formula"] == row["formula"] and r["phase"] == "liquid")
    allowed = 2 * np.hypot(*(math.log10(float(r["sigma_factor"])) for r in (row, liquid)))
    assert line(row, melts) == pytest.approx(line(liquid, melts), abs=allowed)
    return None


@each(ROWS, compared=45)
def test_a_line_ends_near_the_boiling_point(n):
    """At most 12 % past it: lines of metals are printed on beyond 1 atm; at the boiling point p is 1 atm."""
    row = read_table(FILE)[n]
    table, key = ("salts.csv", "formula") if row["kind"] == "salt" else ("metals.csv", "symbol")
    boils = next(r["boiling_point_K"] for r in read_table(table) if r[key] == row["formula"])
    if not boils or row["phase"] == "solid":
        return NOTHING
    assert float(row["T_hi_K"]) <= 1.12 * float(boils)
    if row["chosen"] == "yes" and float(row["T_hi_K"]) > 0.8 * float(boils):  # others end far below
        # 0.1 is the difference of two evaluations; twice the factor of one standard deviation where that is more
        allowed = max(0.1, 2 * math.log10(float(row["sigma_factor"])))
        assert line(row, float(boils)) == pytest.approx(math.log10(101325.0), abs=allowed)
    return None
