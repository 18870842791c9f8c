"""Numbers of our tables against general reference tables that come as packages: CRC, Alcock et al. 1984, NIST-JANAF.

The packages `chemicals` and `janaf` carry these tables; rows that name them as their source must repeat them, rows from
elsewhere must lie within two standard deviations.
"""

import re
from functools import cache

import chemicals
import numpy as np
import periodictable
import pytest
from chemicals import heat_capacity, vapor_pressure, volume

from tests.each import NOTHING, each
from tests.witnesses.janaf_tables import at, marks
from tests.witnesses.tables import read_table

ELEMENTS = {"Al": "aluminum", "Cs": "cesium"}  # names by which the package knows them


def cas(formula: str) -> str:
    """Registry number of an element or compound."""
    if re.fullmatch(r"[A-Z][a-z]?", formula):
        return chemicals.CAS_from_any(ELEMENTS.get(formula) or getattr(periodictable, formula).name)
    return chemicals.CAS_from_any(formula)


@cache
def crc_standard():
    """Enthalpy of formation, entropy and heat capacity at 298.15 K of the CRC Handbook."""
    return heat_capacity.CRC_standard_data


def crc(formula: str, column: str) -> float | None:
    """A value of that table for the solid, J/mol or J/(mol K)."""
    try:
        value = crc_standard().loc[cas(formula)][column]
    except (KeyError, ValueError):
        return None
    return None if np.isnan(value) else float(value)


def numbered(table: str) -> list[int]:
    return list(range(len(read_table(table))))


@each(numbered("formation.csv"), compared=24)
def test_enthalpies_of_formation_of_the_crc_handbook(n):
    row = read_table("formation.csv")[n]
    handbook = crc(row["formula"], "Hfs")
    if handbook is None:
        return NOTHING
    assert float(row["dHf298_J_mol"]) == pytest.approx(
        handbook, abs=0.5 if row["source"] == "crc" else 2 * float(row["sigma_J_mol"])
    )
    return None


@each([n for n in numbered("formation.csv") if read_table("formation.csv")[n]["source"] == "janaf1998"], compared=16)
def test_enthalpies_of_formation_of_the_tables_named(n):
    """The crystal's NIST-JANAF table prints it to 0.001 kJ/mol."""
    row = read_table("formation.csv")[n]
    (index,) = re.findall(r"\b[A-Z][a-z]?-\d{3}\b", row["locator"])
    assert float(row["dHf298_J_mol"]) == pytest.approx(1000 * at(index, "delta-f H", 298.15), abs=0.6)


FROM_JANAF = [n for n in numbered("salts.csv") if read_table("salts.csv")[n]["source"] == "janaf1998"]


@each(FROM_JANAF, compared=17)
def test_salts_melt_where_and_with_the_heat_their_tables_say(n):
    """Both tables mark one temperature; there the enthalpies of liquid and crystal differ by the heat of fusion."""
    row = read_table("salts.csv")[n]
    crystal, liquid = re.findall(r"\b[A-Z][a-z]?-\d{3}\b", row["locator"])[:2]
    melts = float(row["melting_point_K"])
    for index in (crystal, liquid):
        (marked,) = [T for T, words in marks(index) if words.endswith("LIQUID") and "GLASS" not in words]
        assert melts == pytest.approx(marked, abs=0.05)
    heat = 1000 * (at(liquid, "delta-f H", melts) - at(crystal, "delta-f H", melts))
    if row["fusion_source"] == "janaf1998":
        assert float(row["fusion_enthalpy_J_mol"]) == pytest.approx(heat, abs=90)  # between rows 100 K apart


STANDARD = [("gibbs/handbook.csv", "formula"), ("gibbs/reactants_handbook.csv", "species")]
ROWS = [(table, key, n) for table, key in STANDARD for n in numbered(table)]


@each(ROWS, compared=5)
def test_entropies_of_the_crc_handbook(table, key, n):
    row = read_table(table)[n]
    handbook = crc(row[key], "S0s")
    if handbook is None:
        return NOTHING
    assert float(row["S298_J_mol_K"]) == pytest.approx(handbook, abs=0.051)  # printed to 0.1
    return None


@each([case for case in ROWS if case[0].startswith("gibbs/reactants")], compared=2)
def test_reactants_have_the_enthalpies_of_the_crc_handbook(table, key, n):
    row = read_table(table)[n]
    handbook = crc(row[key], "Hfs")
    if handbook is None:
        return NOTHING
    assert float(row["dHf298_J_mol"]) == pytest.approx(handbook, abs=51)  # printed to 0.1 kJ
    return None


@each(numbered("gibbs/elements_handbook.csv"), compared=3)
def test_elements_start_at_the_crc_entropy_and_heat_capacity(n):
    row = read_table("gibbs/elements_handbook.csv")[n]
    if not row["S298_J_mol_K"]:
        return NOTHING
    cp = float(row["Cp_a_J_mol_K"]) + 298.15 * float(row["Cp_b_J_mol_K2"])
    assert float(row["S298_J_mol_K"]) == pytest.approx(crc(row["element"], "S0s"), abs=0.051)
    assert cp == pytest.approx(crc(row["element"], "Cps"), abs=0.1)  # a straight line, and a print to 0.1
    assert float(row["T_lo_K"]) == 298.15
    return None


@each(numbered("gibbs/elements_handbook.csv"), compared=3)
def test_elements_melt_where_and_with_the_heat_the_list_of_metals_says(n):
    row = read_table("gibbs/elements_handbook.csv")[n]
    if row["phase"] != "liquid":
        return NOTHING
    metal = next(metal for metal in read_table("metals.csv") if metal["symbol"] == row["element"])
    assert float(row["T_lo_K"]) == pytest.approx(float(metal["melting_point_K"]), abs=1.5)  # Hultgren et al. and CRC
    assert float(row["transition_enthalpy_J_mol"]) == pytest.approx(float(metal["fusion_enthalpy_J_mol"]), abs=0.5)
    return None


LIQUIDS = [
    (table, key, n)
    for table, key in (("density/salts.csv", "salt"), ("density/metals.csv", "metal"))
    for n in numbered(table)
    if read_table(table)[n]["source"] == "crc" and read_table(table)[n]["origin"] == "measured"
]


@each(LIQUIDS, compared=30)
def test_densities_repeat_the_crc_handbook(table, key, n):
    """rho(Tm) - k (T - Tm) in kg/m3, from the melting point to Tmax; printed to 0.1 of k and 1 kg/m3."""
    row = read_table(table)[n]
    handbook = volume.rho_data_CRC_inorg_l.loc[cas(row[key])]
    assert 1e6 * float(row["b_g_cm3_K"]) == pytest.approx(1000 * handbook["k"], abs=0.6)
    at_melting = float(row["a_g_cm3"]) - float(row["b_g_cm3_K"]) * handbook["Tm"]
    assert 1000 * at_melting == pytest.approx(handbook["rho"], abs=0.6)


@each(LIQUIDS, compared=30)
def test_densities_hold_where_the_crc_handbook_says(table, key, n):
    """From the melting point to Tmax."""
    row, handbook = read_table(table)[n], volume.rho_data_CRC_inorg_l.loc[cas(read_table(table)[n][key])]
    assert float(row["T_lo_K"]) == pytest.approx(handbook["Tm"], abs=0.5)
    assert float(row["T_hi_K"]) == pytest.approx(handbook["Tmax"], abs=0.5)


ALCOCK = [n for n in numbered("volatility.csv") if read_table("volatility.csv")[n]["source"] == "alcock1984"]


@each(ALCOCK, compared=20)
def test_vapour_equations_repeat_alcock(n):
    row = read_table("volatility.csv")[n]
    liquid = row["phase"] == "liquid"
    table = vapor_pressure.Psat_data_Alcock_elements if liquid else vapor_pressure.Psub_data_Alcock_elements
    handbook = table.loc[cas(row["formula"])]
    for ours, theirs in (
        ("A", "A"),
        ("B_K", "B"),
        ("C", "C"),
        ("D_per_K", "D"),
        ("T_lo_K", "Tmin"),
        ("T_hi_K", "Tmax"),
    ):
        assert float(row[ours]) == pytest.approx(float(handbook[theirs]), rel=1e-5, abs=1e-9)
    assert row["log_base"] == "e"


@each(numbered("host_metals.csv"))
def test_host_metals_melt_where_the_crc_handbook_says(n):
    row = read_table("host_metals.csv")[n]
    assert float(row["melting_point_C"]) == pytest.approx(chemicals.Tm(cas(row["host"])) - 273.15, abs=0.5)  # to 1 K
    # recalled, of the liquid some way above its melting point: it lies up to 3 % below that of the table
    at_melting = volume.rho_data_CRC_inorg_l.loc[cas(row["host"])]["rho"] / 1000
    assert 0.97 * at_melting <= float(row["density_g_cm3"]) <= at_melting


@each([n for n in numbered("density/metals.csv") if read_table("density/metals.csv")[n]["rho298_g_cm3"]], compared=10)
def test_solid_metals_have_the_density_of_the_elements(n):
    """Densities of the elements as package periodictable lists them, within our own two standard deviations."""
    row = read_table("density/metals.csv")[n]
    listed = getattr(periodictable, row["metal"]).density
    assert float(row["rho298_g_cm3"]) == pytest.approx(listed, rel=2 * float(row["sigma_pct"]) / 100)


SOLIDS = [n for n in numbered("density/metals.csv") if read_table("density/metals.csv")[n]["phase"] == "solid"]


@each(SOLIDS, compared=14)
def test_solid_metals_are_described_from_room_temperature_to_melting(n):
    row = read_table("density/metals.csv")[n]
    metal = next(metal for metal in read_table("metals.csv") if metal["symbol"] == row["metal"])
    assert float(row["T_lo_K"]) == 298.15
    assert float(row["T_hi_K"]) == pytest.approx(float(metal["melting_point_K"]), abs=0.01)
