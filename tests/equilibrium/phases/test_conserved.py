"""Components on freezing: salts of one anion, ions of two; levels of the solid salts; a set of salts for any mix."""

import numpy as np
import pytest

from tests.made_up import random_fractions
from thermo.equilibrium.phases.balance import phase_balance
from thermo.equilibrium.phases.conserved import IonComponents, SaltComponents, conserved
from thermo.equilibrium.system.build import salt_system
from thermo.laws.formation import formation_gibbs
from thermo.laws.gibbs import fusion_gibbs
from thermo.records.composition import from_amounts

FOUR = ("NaCl", "KCl", "MgCl2", "CaF2")


def components(names: tuple[str, ...]):
    return phase_balance(names).components


def test_one_anion_keeps_its_salts():
    found = conserved(salt_system(("NaCl", "CaCl2")))
    assert isinstance(found, SaltComponents)
    assert (found.rows == np.eye(2)).all()
    assert (found.levels(900.0) == 0).all()


def test_worked_value_of_the_docstring():
    for amounts in ({"LiF": 1, "KCl": 1}, {"LiCl": 1, "KF": 1}):
        mix = from_amounts(amounts)
        assert phase_balance(mix.salts).mix(mix) == pytest.approx([0.5, 0.5, 0.5], abs=1e-15)


def test_the_same_ions_are_one_set_of_phases_however_they_are_named():
    assert phase_balance(("LiF", "KCl")) is phase_balance(("KF", "LiCl", "KCl"))
    assert isinstance(components(FOUR), IonComponents)


def test_levels_give_the_energy_of_every_exchange():
    """2 NaF + MgCl2 = 2 NaCl + MgF2 in the solid, against formation energies: E is taken as a line, good to 0.2 kJ."""
    found, T = components(FOUR), 900.0
    names = found.system.constituents
    level = dict(zip(names, found.levels(T), strict=True))
    solid = {f: formation_gibbs(f, T) - fusion_gibbs(f, T) for f in names}

    def exchange(of: dict[str, float]) -> float:
        return 2 * of["NaCl"] + of["MgF2"] - 2 * of["NaF"] - of["MgCl2"]

    assert exchange(level) == pytest.approx(exchange(solid), abs=200)


def test_some_salts_make_up_any_mix():
    found = components(FOUR)
    for x in random_fractions(50, len(found.rows)):
        mix = x @ found.rows
        start = found.start(mix)
        amounts = np.linalg.solve(found.rows[start].T, mix)
        assert amounts.min() > -1e-12
        assert amounts @ found.rows[start] == pytest.approx(mix, abs=1e-12)
