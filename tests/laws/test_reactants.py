"""Gibbs functions of steam, oxides and hydroxides against the tables they come from; reactions and refusals."""

import janaf
import numpy as np
import pytest

from thermo.fitting.agreement import disagreements
from thermo.fitting.gibbs import reactants as reactants_fit
from thermo.fitting.gibbs.reactants import TABLES
from thermo.laws.reactants import (
    all_species,
    reaction_gibbs,
    reaction_sigma,
    species_gibbs,
    species_sigma,
    species_sources,
)
from thermo.records.provenance import DATA, InputError, RangeError, read_table, sources
from thermo.records.substances import metals


def table_rows(index: str) -> list[tuple[float, float]]:
    """(T in K, G in J/mol from the elements at 298.15 K) of a NIST-JANAF table, 298.15 to 2000 K."""
    cells = [line.split("\t") for line in janaf.Table(index).raw.splitlines()[2:]]
    rows = [row for row in cells if len(row) >= 7 and 298 < float(row[0]) <= 2000]
    # "0." stands in the enthalpy column of an element in its reference state
    formation = 1000 * float(next(row[5] for row in rows if float(row[0]) == 298.15))
    return [(float(row[0]), formation - float(row[0]) * float(row[3])) for row in rows if row[3].strip()]


@pytest.mark.parametrize("species", sorted(TABLES))
def test_follows_its_table(species):
    # 20 J/mol: four decimals of -[G-H]/T make 1 J/mol, a polynomial with at most four Cp terms the rest
    for T, G in table_rows(TABLES[species]):
        if all_species()[species].highest_K >= T:
            assert species_gibbs(species, T) == pytest.approx(G, abs=20), T


def test_file_is_what_the_generator_writes():
    text = (DATA / "fitted/gibbs/reactants.csv").read_text(encoding="utf-8")
    assert disagreements("reactants.csv", text, reactants_fit.regenerate()["fitted/gibbs/reactants.csv"]) == []


@pytest.mark.parametrize("row", read_table("gibbs/reactants_handbook.csv"), ids=lambda row: row["species"])
def test_handbook_species_start_at_their_entropy_and_enthalpy(row):
    T, step = 298.15, 0.01
    G = species_gibbs(row["species"], np.array([T, T + step, T + 2 * step]))
    entropy = -(-3 * G[0] + 4 * G[1] - G[2]) / (2 * step)
    assert G[0] == pytest.approx(float(row["dHf298_J_mol"]) - T * float(row["S298_J_mol_K"]), abs=0.01)
    assert entropy == pytest.approx(float(row["S298_J_mol_K"]), abs=0.01)


@pytest.mark.parametrize("species", sorted(all_species()))
def test_continuous_where_phases_meet(species):
    for T in all_species()[species].gibbs.breaks:
        below, above = species_gibbs(species, T - 1e-6), species_gibbs(species, T + 1e-6)
        assert above - below == pytest.approx(0, abs=20), T  # two phases share G at their transition


def test_every_row_has_a_known_source():
    rows = [*read_table("fitted/gibbs/reactants.csv"), *read_table("gibbs/reactants_handbook.csv")]
    assert {row["source"] for row in rows} <= set(sources())
    assert {row["origin"] for row in rows} <= {"measured", "fitted", "estimated"}


def test_reaction_is_products_less_reactants():
    counts = {"MgCl2": -1, "H2O": -1, "MgO": 1, "HCl": 2}
    T = np.array([600.0, 900.0, 1200.0])
    by_hand = (
        species_gibbs("MgO", T) + 2 * species_gibbs("HCl", T) - species_gibbs("MgCl2", T) - species_gibbs("H2O", T)
    )
    assert reaction_gibbs(counts, T) == pytest.approx(by_hand, rel=1e-12)
    reverse = {formula: -count for formula, count in counts.items()}
    assert reaction_gibbs(reverse, T) == pytest.approx(-by_hand, rel=1e-12)


def test_sigma_adds_in_squares():
    assert reaction_sigma({"MgO": 1, "HCl": 2}) == pytest.approx(1000 * 5**0.5)
    assert reaction_sigma({"MgO": 1, "Mg": -1, "O2": -0.5}) >= species_sigma("MgO")


def test_salt_changes_form_at_its_melting_point():
    # the stable form has the lower G: no kink upwards on heating, so G is concave across melting of NaCl
    T = np.array([1071.8, 1073.8, 1075.8])
    G = species_gibbs("NaCl", T)
    assert G[0] + G[2] - 2 * G[1] < -0.5


@pytest.mark.parametrize("symbol", sorted(metals()))
def test_every_metal_has_a_function(symbol):
    assert np.isfinite(species_gibbs(symbol, 1000.0))
    assert species_sources(symbol)


def test_refusals():
    with pytest.raises(InputError, match="Xx2O3"):
        species_gibbs("Xx2O3", 1000.0)
    with pytest.raises(RangeError, match=r"298\.15 to 2000 K"):
        species_gibbs("MgO", 2500.0)
    with pytest.raises(RangeError):
        species_gibbs("MgO", np.array([500.0, np.nan]))
