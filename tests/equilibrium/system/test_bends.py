"""How potentials answer to composition, in closed form: against differences, by hand, where there is no such form."""

import numpy as np
import pytest

from tests.made_up import made_up_system, pair_model, random_fractions
from tests.random_mixes import random_mixes
from thermo.equilibrium.phases.balance import phase_balance
from thermo.equilibrium.system.bends import slopes_of_one
from thermo.equilibrium.system.build import salt_system
from thermo.records.units import R

T = 950.0
MIXES = random_mixes(25, seed=31)


@pytest.mark.parametrize("mix", MIXES, ids=lambda mix: "-".join(mix.salts))
def test_of_every_mixture_as_differences_of_its_potentials(mix):
    """Two melts together go by differences of 1e-5 in ln x: good to a few 1e-5 of R T."""
    for mixture in phase_balance(mix.salts).mixtures:
        x = random_fractions(1, mixture.grid.shape[1], seed=len(mix.salts))[0]
        closed = slopes_of_one(mixture.components.system, mixture.solid, x, T)
        _, differences = mixture.potentials_and_slopes(np.array([x, x]), T)
        if closed is None:
            assert "AlF3" in mix.salts
            continue
        assert closed == pytest.approx(differences[0], abs=1e-4 * R * T)


def test_worked_value():
    pair, W = ("NaCl", "KCl"), -8000.0
    found = slopes_of_one(made_up_system(pair, pair_model(*pair, liquid=((W, 0.0),))), None, np.array([0.5, 0.5]), T)
    assert found == pytest.approx(R * T * np.eye(2) + W / 4 * np.array([[-1, 1], [1, -1]]), rel=1e-12)


def test_two_anions_have_none():
    assert slopes_of_one(salt_system(("NaF", "KCl")), None, np.array([0.5, 0.5]), T) is None
