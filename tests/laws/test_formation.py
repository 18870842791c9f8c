"""Formation Gibbs energies: consistency with their own parts; published values are in tests/published."""

import numpy as np
import pytest

from thermo.laws.elements import gas_is_stable
from thermo.laws.formation import (
    decomposition_voltage,
    formation_enthalpy,
    formation_gibbs,
    formation_row,
    formation_rows,
    formation_sigma,
    thermoneutral_voltage,
    voltages,
)
from thermo.laws.gibbs import fusion_gibbs
from thermo.records.provenance import InputError, sources
from thermo.records.substances import salt, salts
from thermo.records.units import F


def test_every_salt_has_a_row_whose_source_resolves():
    assert set(formation_rows()) == set(salts())
    assert {row.source for row in formation_rows().values()} <= set(sources())
    assert all(row.dHf298_J_mol < 0 < row.sigma_J_mol for row in formation_rows().values())


@pytest.mark.parametrize("formula", list(salts()))
def test_liquid_less_crystal_is_fusion(formula):
    T = np.array([700.0, 1000.0, 1300.0])
    difference = formation_gibbs(formula, T) - formation_gibbs(formula, T, "stable", "crystal")
    assert difference == pytest.approx(fusion_gibbs(formula, T), abs=1e-6)


def test_enthalpy_at_room_temperature_is_the_row():
    # At 298.15 K the enthalpies of all reference states are zero by definition; 298.2 K keeps inside the fitted span.
    for formula in ("NaCl", "MgCl2", "LaCl3", "CaF2"):
        found = formation_enthalpy(formula, 298.2, "condensed", "crystal")
        assert found == pytest.approx(formation_row(formula).dHf298_J_mol, abs=30.0)


def test_gibbs_helmholtz():
    # d(G/T)/d(1/T) = H, here by central difference over 2 K.
    for formula, T in (("NaCl", 1100.0), ("MgCl2", 1000.0), ("NdCl3", 1200.0)):
        low, high = T - 1, T + 1
        slope = formation_gibbs(formula, high, "condensed") / high - formation_gibbs(formula, low, "condensed") / low
        assert slope / (1 / high - 1 / low) == pytest.approx(formation_enthalpy(formula, T, "condensed"), rel=1e-5)


def test_stable_takes_the_lower_voltage():
    T = np.linspace(900.0, 1500.0, 61)
    for formula in ("KCl", "NaCl", "MgCl2"):
        both = np.minimum(voltages(formula, T, "condensed"), voltages(formula, T, "gas"))
        assert voltages(formula, T) == pytest.approx(both)


def test_state_of_the_metal_is_named():
    assert decomposition_voltage("KCl", 1100.0).metal_state == "gas"
    assert decomposition_voltage("KCl", 1000.0).metal_state == "condensed"
    assert decomposition_voltage("LaCl3", 1900.0).metal_state == "condensed"
    assert bool(gas_is_stable("K", 1100.0))


def test_spread_is_that_of_formation_and_fusion():
    row = formation_row("NaCl")
    at_melting = decomposition_voltage("NaCl", salt("NaCl").melting_point_K)
    assert at_melting.sigma_V == pytest.approx(row.sigma_J_mol / F, rel=0.01)
    # The spread of CsCl's heat of fusion (0.5 kJ/mol) must show far from its melting point.
    assert formation_sigma("CsCl", 1400.0) > formation_sigma("CsCl", 918.0)


def test_undercooled_salt_is_said():
    assert any("undercooled" in text for text in decomposition_voltage("NaCl", 900.0).caveats)
    assert not any("undercooled" in text for text in decomposition_voltage("NaCl", 1100.0).caveats)


def test_thermoneutral_exceeds_decomposition():
    # Formation has negative entropy (a gas disappears), so -dH > -dG.
    for formula in salts():
        assert thermoneutral_voltage(formula, 1000.0) > decomposition_voltage(formula, 1000.0).value_V


def test_unknown_words():
    with pytest.raises(InputError, match="did you mean NaCl"):
        formation_gibbs("NaCll", 1000.0)
    with pytest.raises(InputError, match="stable, condensed, gas"):
        formation_gibbs("NaCl", 1000.0, "plasma")
    with pytest.raises(InputError, match="liquid, crystal"):
        formation_gibbs("NaCl", 1000.0, "stable", "glass")


@pytest.mark.parametrize("formula", ["NaCl", "MgCl2", "LaCl3"])
def test_a_voltage_is_minus_the_energy_over_the_charge(formula):
    """E = -dG / z F, by hand; taking a salt apart costs volts, so E > 0."""
    found, charge = decomposition_voltage(formula, 1100.0), salt(formula).charge
    assert found.value_V > 0
    assert found.value_V == pytest.approx(-float(formation_gibbs(formula, 1100.0)) / (charge * 96485.33), rel=1e-6)
    assert found.value_V == pytest.approx(float(voltages(formula, 1100.0)), rel=1e-12)
    assert found.sigma_V == pytest.approx(float(formation_sigma(formula, 1100.0)) / (charge * 96485.33), rel=1e-6)
