"""Energies of compounds of three salts: by hand in an ideal melt, at their own temperatures, and their errors."""

import numpy as np
import pytest

from tests.made_up import changed, pair_model
from thermo.equilibrium.freezing.liquidus import liquidus
from thermo.equilibrium.freezing.solidus import solidus
from thermo.equilibrium.invariants.lowest import lowest
from thermo.equilibrium.phases.balance import PhaseBalance
from thermo.equilibrium.system.driving_force import Melts, driving_slope
from thermo.equilibrium.system.one_anion import SaltSystem
from thermo.fitting import compound_fit
from thermo.fitting.agreement import disagreements
from thermo.fitting.compound_fit import fit_energy, fitted_energies
from thermo.laws.gibbs import fusion_gibbs
from thermo.laws.solids import TripleSolid
from thermo.records.composition import from_amounts
from thermo.records.fitted import pair_models
from thermo.records.parameters import Parameter
from thermo.records.provenance import DATA
from thermo.records.triple_salts import TripleSalt, triple_energies, triple_salts
from thermo.records.units import R

MIX = from_amounts({"LiF": 1, "CaF2": 1, "AlF3": 1})


def made_up_compound(T_K: float) -> TripleSalt:
    counts = {"LiCl": 1, "NaCl": 2, "CaCl2": 1}
    return TripleSalt("made up", counts, "congruent", T_K, 4.0, "", "", "")


def test_by_hand_in_an_ideal_melt():
    """Where all is molten: sum z_i (R T ln z_i + energy of melting_i), a mole of salts."""
    names, z, T_K = ("LiCl", "NaCl", "CaCl2"), np.array([0.25, 0.5, 0.25]), 1100.0
    ideal = {frozenset(p): pair_model(*p) for p in (names[:2], names[1:], names[::2])}
    energy = fit_energy(made_up_compound(T_K), ideal, ())
    by_hand = sum(x * (R * T_K * np.log(x) + fusion_gibbs(f, T_K)) for x, f in zip(z, names, strict=True))
    assert energy.energy_J_mol / 4 == pytest.approx(by_hand, abs=0.01)  # rounding of a balance settled to 1e-5 J/mol
    # melting takes the salts' entropies of melting and of mixing
    entropy = -sum(x * (R * np.log(x) + (fusion_gibbs(f, T_K + 0.5) - fusion_gibbs(f, T_K - 0.5)))
                   for x, f in zip(z, names, strict=True))  # fmt: skip
    assert energy.sigma_J_mol == pytest.approx(4 * 4.0 * entropy, rel=1e-3)
    half = {key: value for key, value in energy.answers.items() if key[0] == frozenset(names[:2])}
    assert half[frozenset(names[:2]), Parameter("liquid", "a0")] == pytest.approx(4 * 0.25 * 0.5)
    assert half[frozenset(names[:2]), Parameter("liquid", "b0")] == pytest.approx(4 * 0.25 * 0.5 * T_K)


def test_a_mix_that_is_solid_there_gives_no_energy():
    assert fit_energy(made_up_compound(400.0), pair_models(), ()) is None


@pytest.mark.parametrize("formula", [e.formula for e in triple_energies() if triple_salts()[e.formula].T_K is not None])
def test_each_forms_at_the_temperature_published(formula):
    compound = triple_salts()[formula]
    found = solidus(from_amounts(dict(compound.stoichiometry)))
    assert found.solids == (formula,)
    assert pytest.approx(compound.T_K, abs=0.1) == found.T_K  # energies are written to six digits


def test_congruent_melting_is_as_sure_as_the_thermometer():
    """The errors of the melt cancel: its energy came from that melt."""
    found = liquidus(MIX)
    assert found.first_solid == "LiCaAlF6"
    assert found.sigma_K == pytest.approx(4.0, rel=0.01)


def compound_of(system: SaltSystem) -> TripleSolid:
    """The one compound of three salts in a system."""
    (solid,) = (s for s in system.solids if isinstance(s, TripleSolid))
    return solid


def freezing_K(system: SaltSystem, x: np.ndarray) -> float:
    """Where the system's compound is in balance with the melt x (n,)."""
    return float(Melts(system, x[None, :]).solid_temperature(compound_of(system))[0][0])


def test_an_error_of_a_pair_moves_melt_and_compound_together():
    """sigma of the liquidus beside the compound against a refit with one parameter changed."""
    mix = from_amounts({"LiF": 1.3, "CaF2": 1, "AlF3": 1})
    key, models, compound = frozenset(("CaF2", "AlF3")), pair_models(), triple_salts()["LiCaAlF6"]
    sure = {
        k: changed(m, covariance=0 * m.covariance, fusion_response=0 * m.fusion_response) for k, m in models.items()
    }
    at = models[key].parameters.index(Parameter("liquid", "a1"))

    def with_change(step: float) -> SaltSystem:
        values, covariance = models[key].values.copy(), np.zeros_like(models[key].covariance)
        values[at] += step
        covariance[at, at] = 100.0**2
        moved = sure | {key: changed(sure[key], values=values, covariance=covariance)}
        return SaltSystem(mix.salts, moved, terms={}, compounds=fitted_energies([compound], moved, {}))

    up, down = (freezing_K(with_change(step), mix.array) for step in (100.0, -100.0))
    system = with_change(0.0)
    T_K, solid = freezing_K(system, mix.array), compound_of(system)
    force = np.sqrt(system.variance(system.parameter_gradient(solid, mix.array, T_K, None), np.zeros(3)))
    slope = -driving_slope(Melts(system, mix.array[None, :]), solid, T_K, None)
    assert force / slope == pytest.approx(abs(up - down) / 2, rel=0.02)


def test_a_compound_is_a_solid_of_larger_systems_too():
    four = PhaseBalance(SaltSystem(("KF", "LiF", "CaF2", "AlF3")))
    assert "LiCaAlF6" in {getattr(s, "name", "") for s in four.fixed}
    assert "NaCaAlF6" in solidus(from_amounts({"NaF": 33, "CaF2": 33, "AlF3": 33, "LiF": 1})).solids


def test_compounds_without_an_energy_are_named_as_missing():
    found = solidus(from_amounts({"CsCl": 50, "NaCl": 25, "LaCl3": 25}))
    assert any("Cs2NaLaCl6" in note for note in found.notes)


def test_without_the_compound_the_last_melt_would_be_colder():
    mix = from_amounts({"NaF": 50, "CaF2": 10, "AlF3": 40})
    found, without = solidus(mix), solidus(mix, SaltSystem(mix.salts, compounds=()))
    assert "NaCaAlF6" in found.solids
    assert "NaCaAlF6" not in without.solids
    assert without.T_K < found.T_K
    assert "NaCaAlF6" in lowest(mix.salts).solids


def test_the_files_are_what_the_generator_writes():
    for name, text in compound_fit.regenerate().items():
        assert disagreements(name, (DATA / name).read_text(encoding="utf-8"), text) == []


def test_answers_that_are_only_rounding_are_left_out():
    """Of LiSrAlF6 the odd terms of LiF-AlF3 cancel exactly: what is left of them depends on the processor."""
    for energy in fitted_energies(triple_salts().values()):
        shares = [*energy.answers.values(), *energy.melt.values()]
        assert min(abs(share) for share in shares) > 1000 * compound_fit.ABSENT, energy.formula
