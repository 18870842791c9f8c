"""Lines of one substance against each other and against where it melts."""

import math

import numpy as np
import pytest

from tests.each import NOTHING, each
from tests.witnesses.tables import read_table

Row = dict[str, str]


def melts(name: str) -> float:
    """Melting point of a salt or metal, K."""
    for table, key in (("salts.csv", "formula"), ("metals.csv", "symbol")):
        for row in read_table(table):
            if row[key] == name:
                return float(row["melting_point_K"])
    raise KeyError(name)


def density(row: Row, T_K: float) -> float:
    """g/cm3; solids from the density at 298 K and the mean linear expansion."""
    if row.get("rho298_g_cm3"):
        return float(row["rho298_g_cm3"]) / (1 + 1e-6 * float(row["linear_expansion_per_MK"]) * (T_K - 298.15)) ** 3
    return float(row["a_g_cm3"]) - float(row["b_g_cm3_K"]) * T_K


METALS = range(len(read_table("density/metals.csv")))


def chosen(table: str, **wanted: str) -> Row:
    return next(
        r for r in read_table(table) if r["chosen"] == "yes" and all(r[key] == value for key, value in wanted.items())
    )


@each(METALS, compared=6)
def test_second_lines_of_a_metal_agree(n):
    """At both ends of the common span, within two standard deviations of both."""
    row = read_table("density/metals.csv")[n]
    other = chosen("density/metals.csv", metal=row["metal"], phase=row["phase"])
    if row["chosen"] == "yes":
        return NOTHING
    allowed = 2 * math.hypot(float(row["sigma_pct"]), float(other["sigma_pct"])) / 100
    low, high = (f(float(row[end]), float(other[end])) for f, end in ((max, "T_lo_K"), (min, "T_hi_K")))
    for T in np.linspace(low, high, 3):
        assert density(row, T) == pytest.approx(density(other, T), rel=allowed)
    return None


# cm3/mol of liquids at saturation, printed with their heats of evaporation (omicsonline.org 2157-7544-7-163, table 4)
VOLUMES = {
    "K": {800: 54.3, 900: 56.2, 1000: 58.2},
    "Rb": {700: 66.1, 800: 68.5, 900: 71.1, 1000: 73.9},
    "Cs": {700: 82.6, 800: 85.6, 900: 88.9},
}


@each([(metal, T_K) for metal, printed in VOLUMES.items() for T_K in printed], compared=10)
def test_hot_alkali_metals_have_the_volumes_printed_elsewhere(metal, T_K):
    """Within two standard deviations; beyond the end of the line, 780 K for K and Cs, with 0.15 % a hundred kelvin."""
    row = chosen("density/metals.csv", metal=metal, phase="liquid")
    beyond = max(0.0, T_K - float(row["T_hi_K"]))
    allowed = 2 * math.hypot(float(row["sigma_pct"]), 0.15 * beyond / 100) / 100
    mass = float(next(r for r in read_table("fitted/atomic_masses.csv") if r["element"] == metal)["mass_g_mol"])
    assert mass / density(row, T_K) == pytest.approx(VOLUMES[metal][T_K], rel=allowed)


@each(METALS, compared=14)
def test_a_metal_swells_a_little_when_it_melts(n):
    """By 1 to 7 % in volume; a rare earth by -1 to 2 %, and two standard deviations of both lines are allowed."""
    row = read_table("density/metals.csv")[n]
    if row["phase"] != "solid":
        return NOTHING
    liquid = chosen("density/metals.csv", metal=row["metal"], phase="liquid")
    T = melts(row["metal"])
    swells = density(row, T) / density(liquid, T) - 1
    allowed = 2 * math.hypot(float(row["sigma_pct"]), float(liquid["sigma_pct"])) / 100
    low, high = (-0.01, 0.02) if row["metal"] in ("La", "Ce", "Nd") else (0.01, 0.07)
    assert low - allowed <= swells <= high + allowed
    return None


def starts(table: str, key: str, n: int) -> tuple[Row, str] | None:
    """A row of a pure liquid that was measured, and whose it is."""
    row = read_table(table)[n]
    liquid = row.get("phase", "liquid") == "liquid" and not row.get("salt2")
    return (row, row[key]) if liquid and row["unsure"] == "no" else None


HIGHER = (("density/salts.csv", "MgF2"), ("volatility.csv", "RbF"))  # measured from 114 and 205 K above on
STARTS = [
    (table, key, n)
    for table, key in (
        ("density/metals.csv", "metal"),
        ("density/salts.csv", "salt"),
        ("conductance.csv", "salt1"),
        ("viscosity.csv", "salt1"),
        ("volatility.csv", "formula"),
    )
    for n in range(len(read_table(table)))
]


@each(STARTS, compared=50)
def test_a_line_of_a_pure_liquid_starts_near_where_it_melts(table, key, n):
    """From 10 K below to 30 K above: no liquid is measured below, and every series starts close above.

    Where a source measured from higher up, or where the tables give the undercooled liquid, the row says so.
    """
    found = starts(table, key, n)
    if found is None or found[0].get("chosen") == "no" or found[1] == "AlF3" or (table, found[1]) in HIGHER:
        return NOTHING
    row, name = found
    if "melting point" in row["caveat"] + row["locator"] or row["source"] == "janaf1998":
        return NOTHING
    assert melts(name) - 10 <= float(row["T_lo_K"]) <= melts(name) + 30
    return None
