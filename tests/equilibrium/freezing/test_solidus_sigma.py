"""The spread of a solidus: what the last liquid turns into, and whether it answers to parameters as it should."""

import numpy as np
import pytest

from tests.made_up import changed
from thermo.equilibrium.freezing.liquidus import liquidus
from thermo.equilibrium.freezing.solidus import solidus
from thermo.equilibrium.freezing.solidus_sigma import solidus_sigma, uptakes
from thermo.equilibrium.phases.balance import phase_balance
from thermo.equilibrium.system.one_anion import SaltSystem
from thermo.records.composition import from_amounts
from thermo.records.fitted import pair_models
from thermo.records.parameters import Parameter


@pytest.mark.parametrize("amounts", [{"LiCl": 1, "NaCl": 2, "KCl": 3}, {"NaCl": 80, "KCl": 5, "CaCl2": 15}])
def test_sigma_answers_to_a_parameter_as_the_solidus_does(amounts):
    """d(solidus)/d(a_0) of one pair from two runs, against sigma when a_0 is all that is uncertain."""
    mix = from_amounts(amounts)
    key = frozenset(mix.salts[-2:])
    models = pair_models()

    def with_change(J_mol: float, sigma: float) -> SaltSystem:
        values = models[key].values.copy()
        at = models[key].parameters.index(Parameter("liquid", "a0"))
        values[at] += J_mol
        covariance = np.zeros((len(values), len(values)))
        covariance[at, at] = sigma**2
        sure = {
            k: changed(m, covariance=0 * m.covariance, fusion_response=0 * m.fusion_response) for k, m in models.items()
        }
        pairs = sure | {key: changed(sure[key], values=values, covariance=covariance)}
        return _SureSystem(mix.salts, pairs, preference=0.0, terms={})

    up, down = (solidus(mix, with_change(step, 0.0)).T_K for step in (50.0, -50.0))
    found = solidus(mix, with_change(0.0, 100.0))
    assert found.sigma_K == pytest.approx(abs(up - down), rel=0.02)


class _SureSystem(SaltSystem):
    """Salts known exactly and no error of the model: one parameter alone is uncertain."""

    def fusion_errors(self, solid, T_K, y):
        """None."""
        return np.zeros(len(self.salts))

    def model_variance(self, solid, x, T_K, y):
        """None."""
        return 0.0


def test_sigma_of_one_solid_is_that_of_the_liquidus():
    """A pure salt's first crystal and last liquid are one balance."""
    mix = from_amounts({"KCl": 1, "MgCl2": 1})
    phases = phase_balance(mix.salts)
    found, start = solidus(mix), liquidus(mix)
    solids = phases.at(mix.array, found.T_K - 0.01, liquid=False).solids
    sigma = solidus_sigma(phases, solids, mix.array, found.T_K)
    assert sigma == pytest.approx(start.sigma_K, rel=1e-3)


def last_balance(amounts: dict[str, float]):
    """Mix, its phases, solidus and the solids just below."""
    mix = from_amounts(amounts)
    phases, found = phase_balance(mix.salts), solidus(mix)
    return mix, phases, found, phases.at(mix.array, found.T_K - 0.01, liquid=False).solids


@pytest.mark.parametrize(
    "amounts",
    [
        {"LiCl": 58, "KCl": 42},
        {"NaCl": 80, "KCl": 20},
        {"LiCl": 1, "NaCl": 2, "KCl": 3},
        {"NaCl": 40, "KCl": 20, "MgCl2": 40},
    ],
    ids=["eutectic", "one solid solution", "two solutions of three salts", "two compounds of three salts"],
)
def test_the_solids_take_up_the_whole_last_liquid(amounts):
    _, phases, found, solids = last_balance(amounts)
    x = np.array(found.last_liquid)
    taken = sum(u.more * u.phase.composition + u.shift for u in uptakes(phases, solids, x, found.T_K))
    assert taken == pytest.approx(x, abs=1e-6)


def test_at_a_binary_eutectic_each_solid_takes_its_own_salt():
    _, phases, found, solids = last_balance({"LiCl": 30, "KCl": 70})
    x = np.array(found.last_liquid)
    more = {u.phase.solid.name: u.more for u in uptakes(phases, solids, x, found.T_K)}
    assert more == pytest.approx({"LiCl": x[0], "KCl": x[1]}, rel=1e-9)
