"""A liquidus point lies on the curve of its own solid: through its neighbours, and in balance with that solid.

Neighbours: a polynomial in composition through the other points of one source, pair and solid; points at an end of
their series have a neighbour on one side only and are left out. Balance: sections whose end member is a compound
(data/liquidus_sections.csv), written as melts of their salts.
"""

from collections import defaultdict
from pathlib import Path

import numpy as np
import pytest

from tests.each import NOTHING, each
from tests.witnesses.tables import read_table
from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.driving_force import Melts
from thermo.fitting.two_anion_error import solid_called
from thermo.records.composition import from_amounts
from thermo.records.data_folder import DATA

Row = dict[str, str]
LEAST = 4  # other points that a curve needs
MANY, HIGHER, LOWER = 8, 3, 2  # degree of the curve: a cubic through so many others, else a parabola
SIGMAS = 3.0  # one point of a smooth series is allowed three of its own standard deviations, and two kelvin of rounding
ROUNDING_K = 2.0


def series() -> dict[tuple[str, str, str], list[Row]]:
    """Points by pair, solid and source, in the order of composition."""
    found = defaultdict(list)
    for path in sorted((Path(DATA) / "liquidus").glob("*.csv")):
        for row in read_table(f"liquidus/{path.name}"):
            found[path.stem, row["solid"], row["source"]].append(row)
    for row in read_table("liquidus_sections.csv"):
        found[f"{row['salt_a']}-{row['salt_b']}", row["solid"], row["source"]].append(row)
    known = {key: [row for row in rows if row["unsure"] == "no"] for key, rows in found.items() if key[1]}
    return {key: sorted(rows, key=lambda r: float(r["x_b"])) for key, rows in known.items() if len(rows) > LEAST}


CASES = [(key, n) for key, rows in series().items() for n in range(1, len(rows) - 1)]
# 15 to 52 K off: this branch scatters by more than its rows state (ORNL-3594 says so of its quenches)
SCATTERED = ("LiF-AlF3", "AlF3", "ornl3594")
BENT = (("NaF-MgF2", "NaF", "ornl2799"), 3)  # the fourth of five, the curve bends most there


@each([case for case in CASES if case[0] != SCATTERED and case != BENT], compared=40)
def test_a_liquidus_point_lies_between_its_neighbours(key, n):
    lies_between(key, n)


@pytest.mark.xfail(
    reason="off by 5.3 K, 0.3 K more than allowed: four others do not fix how the curve bends", strict=True
)
def test_a_point_that_does_not():
    lies_between(*BENT)


def lies_between(key: tuple[str, str, str], n: int) -> None:
    rows = series()[key]
    x, T = (np.array([float(row[name]) for row in rows]) for name in ("x_b", "T_C"))
    others = np.arange(len(rows)) != n
    degree = HIGHER if others.sum() >= MANY else LOWER
    curve = np.polyval(np.polyfit(x[others] - x[n], T[others], degree), 0.0)
    assert T[n] == pytest.approx(curve, abs=SIGMAS * float(rows[n]["T_sigma_K"]) + ROUNDING_K)


COMPOUNDS = {f"{alkali}3AlF6": {f"{alkali}F": 3.0, "AlF3": 1.0} for alkali in ("Li", "Na", "K")}
SURFACE_J_mol = 350.0  # how far one surface of several fluorides may lie from its points (fitting/joint)
SECTIONS = range(len(read_table("liquidus_sections.csv")))


# of CaF2 beside K3AlF6 (ORNL-3594): the cubic terms that also hold NaF-KF-AlF3 leave its two points too hot
MISSED = {19: "off by -1109 J/mol (31 K)", 20: "off by -929 J/mol (27 K)"}


@each([n for n in SECTIONS if n not in MISSED], compared=28)
def test_a_point_of_a_section_is_in_balance_with_its_solid(n):
    """Driving force within two standard deviations: the row's own temperature, and a surface of several salts."""
    if read_table("liquidus_sections.csv")[n]["unsure"] == "yes":
        return NOTHING
    in_balance(n)
    return None


@pytest.mark.parametrize("n", MISSED, ids=MISSED.values())
@pytest.mark.xfail(reason="CaF2 beside K3AlF6: named with sizes in MISSED", strict=True)
def test_points_of_a_section_that_are_not(n):
    in_balance(n)


def in_balance(n: int) -> None:
    row = read_table("liquidus_sections.csv")[n]
    x = float(row["x_b"])
    amounts: dict[str, float] = defaultdict(float)
    for formula, share in ((row["salt_a"], 1 - x), (row["salt_b"], x)):
        for salt, count in COMPOUNDS.get(formula, {formula: 1.0}).items():
            amounts[salt] += share * count
    melt = from_amounts(amounts)
    system = salt_system(melt.salts)
    solid, near = solid_called(system, row["solid"])
    at_K = np.array([float(row["T_C"]) + 273.15])
    D, slope = Melts(system, np.array([melt.fractions])).driving_force(solid, at_K, near=near)[:2]
    allowed = 2 * np.hypot(SURFACE_J_mol, float(slope[0]) * float(row["T_sigma_K"]))
    assert abs(float(D[0])) <= allowed, f"{float(D[0]):.0f} J/mol of {allowed:.0f}"
