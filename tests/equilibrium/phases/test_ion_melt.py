"""The melt of two anions as a phase: the potentials of its salts, derivatives, the most stable composition by hand."""

from dataclasses import replace

import numpy as np
import pytest

from thermo.equilibrium.phases.balance import phase_balance
from thermo.records.units import R

T = 1000.0
NAMES = ("NaCl", "KCl", "MgCl2", "CaF2")


@pytest.fixture(scope="module")
def phases():
    return phase_balance(NAMES)


def melts(count: int) -> np.ndarray:
    """Ions of melts of Na, K, Mg, Ca with F and Cl."""
    draw = np.random.default_rng(5)
    x = np.hstack([draw.dirichlet(np.ones(4), count), draw.dirichlet(np.ones(2), count)])
    return phase_balance(NAMES).liquid.normalised(x)


def test_a_composition_is_neutral_and_its_salts_give_its_ions_back(phases):
    x = melts(6)
    assert x[:, 4:].sum(axis=1) == pytest.approx(x[:, :4] @ phases.components.z, rel=1e-12)
    assert phases.liquid.fractions(x) @ phases.components.rows == pytest.approx(phases.liquid.spread(x), rel=1e-12)
    assert phases.liquid.from_kept(phases.liquid.spread(x)) == pytest.approx(x, rel=1e-9)


def test_every_fluoride_has_the_price_of_its_row(phases):
    """mu(MF_z) = mu_M + z mu_F for every cation, not only for the one mu_F was read from."""
    x, system = melts(5), phases.system
    own = phases.liquid.potentials(x, T) @ phases.components.rows.T
    from_laws = system.fusion(tuple(range(8))).energy_and_slope(np.array([T]))[0] + phases.components.levels(T)
    from_laws = from_laws + system.liquid(phases.liquid.fractions(x)).potentials(T)
    assert own == pytest.approx(from_laws, abs=1e-5)


def test_slopes_obey_gibbs_and_duhem_and_the_answer_is_symmetric(phases):
    """w . dmu = 0 but for R T along the cations; dw/dpi is a second derivative."""
    x = melts(5)
    _, slopes = phases.liquid.potentials_and_slopes(x, T)
    w = phases.liquid.spread(x)
    assert np.einsum("ni,nij->nj", w, slopes) == pytest.approx(R * T * phases.liquid.weigh(x), abs=2.0)
    for one in x:
        answer = phases.liquid.response(one, T)
        assert answer == pytest.approx(answer.T, rel=2e-3, abs=1e-8)


def test_gradient_is_the_derivative_of_the_driving_force(phases):
    x, potentials, h = melts(1), np.array([-9e3, -8e3, -20e3, -15e3, 2e3]), 1e-6
    liquid = phases.liquid

    def force(at: np.ndarray) -> float:
        return float(liquid.energies(at, T)[0] - liquid.spread(at)[0] @ potentials)

    away = liquid.potentials(x, T) - liquid.member_potentials(potentials)
    found = liquid.gradient(x, away, np.array([[force(x)]]))[0]
    for j, step in enumerate(np.eye(5)):
        assert found[j] == pytest.approx((force(liquid.moved(x, h * step[None, :])) - force(x)) / h, rel=1e-3, abs=1.0)


def test_at_the_cheapest_composition_the_cations_are_equally_far_and_the_anion_at_its_price(phases):
    potentials = np.array([-9e3, -8e3, -20e3, -15e3, 2e3])
    x, force = phases.liquid.most_stable(melts(2), potentials, T)
    away = phases.liquid.potentials(x, T) - potentials
    assert away == pytest.approx(force[:, None] * phases.liquid.scale, abs=0.2)


def test_one_cation_by_hand():
    """NaF-NaCl as if ideal, potentials at the liquid salts' energies: half fluoride, f = -R T ln 2."""
    one = phase_balance(("NaF", "NaCl"))
    system, kind = one.system, type(one.system)

    class Ideal(kind):
        def _laws(self, exchange):
            return replace(super()._laws(exchange), anion_terms=())

    ideal = type(one)(Ideal(system.salts, system.models))
    liquid = ideal.liquid
    pure = system.fusion((0, 1)).energy_and_slope(np.array([T]))[0][0] + ideal.components.levels(T)
    potentials = np.array([pure[1], pure[0] - pure[1]])
    x, force = liquid.most_stable(liquid.normalised(np.array([[1.0, 0.2, 0.8]])), potentials, T)
    assert x[0] == pytest.approx([1.0, 0.5, 0.5], abs=1e-6)
    assert force[0] == pytest.approx(-R * T * np.log(2), abs=1e-3)


def test_a_trace_keeps_its_precision(phases):
    """mu_F falls by R T ln 10 for a tenth of the fluoride however little there is, and rises so for the chloride."""
    few = [np.array([[0.4, 0.3, 0.2, 0.1, y, 1.3 - y]]) for y in (1e-10, 1e-11)]
    rich = [np.array([[0.4, 0.3, 0.2, 0.1, 1.3 - y, y]]) for y in (1e-10, 1e-11)]
    fall, rise = (float(np.diff([phases.liquid.potentials(x, T)[0, -1] for x in pair])[0]) for pair in (few, rich))
    assert fall == pytest.approx(-R * T * np.log(10), rel=1e-6)
    assert rise == pytest.approx(R * T * np.log(10), rel=1e-6)


def test_pairs_found_from_another_melts_pairs_are_the_same(phases):
    """What is kept of the last melts saves steps only: after far-off melts of the same count, and after none."""
    liquid, x = phases.liquid, melts(12)
    for some in (x[:3], x[3:6], x[6:9]):
        liquid.forget()
        alone = liquid.potentials(some, T)
        liquid.potentials(x[9:], 700.0)
        assert liquid._last
        assert liquid.potentials(some, T) == pytest.approx(alone, abs=1e-6)
