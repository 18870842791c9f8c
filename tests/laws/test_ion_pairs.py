"""The balance of cation-anion pairs: its two conditions, closed forms, traces, extremes, the answer to a change."""

import numpy as np
import pytest
from scipy.special import expit

from thermo.laws import ion_pairs
from thermo.laws.ion_pairs import Ions, _in_turn, _newton, _Sums, _together, ions_of, neighbours
from thermo.records.units import R

RNG = np.random.default_rng(7)
TEMPERATURES = (250.0, 500.0, 900.0, 1400.0, 2600.0)


def melts(count: int, cations: int, charges: np.ndarray, smallest: float = 1e-12) -> Ions:
    """Random melts; a third with shares of an anion down to `smallest`."""
    X = np.maximum(RNG.dirichlet(np.full(cations, 0.6), count), 1e-12)
    share = np.where(RNG.random(count) < 0.3, 10 ** RNG.uniform(np.log10(smallest), 0, count), RNG.random(count))
    share = np.clip(share, smallest, 1 - 1e-9)
    flip = RNG.random(count) < 0.5
    return Ions(X / X.sum(axis=1, keepdims=True), *np.where(flip, [share, 1 - share], [1 - share, share]), charges)


def misses(ions: Ions, found) -> tuple[np.ndarray, np.ndarray]:
    """How far the two conditions are from holding, as differences of logits."""
    fluoride, chloride = ((ions.z * ions.X * share).sum(axis=1) for share in (found.q, found.r))
    beside = (ions.X * found.q).sum(axis=1), (ions.X * found.r).sum(axis=1)
    return np.log(fluoride / chloride) - np.log(ions.fluoride / ions.chloride), np.log(beside[0] / beside[1]) - found.t


@pytest.mark.parametrize("T_K", TEMPERATURES)
@pytest.mark.parametrize("cations", range(1, 7))
def test_both_conditions_hold(cations, T_K):
    """Charges 1 to 3, exchange energies as far apart as Mg and Cs (60 kJ a charge either way), traces to 1e-12."""
    for _ in range(6):
        z = RNG.integers(1, 4, cations).astype(float)
        e = RNG.uniform(-60e3, 60e3, cations) * z / (R * T_K)
        ions = melts(60, cations, z)
        found = neighbours(ions, np.tile(e, (60, 1)), RNG.uniform(2.5, 6.0))
        assert np.abs(misses(ions, found)).max() < 1e-8


def test_two_alike_cations_by_the_quadratic_of_the_textbook():
    """Charge 1, two cations: n_AF n_BCl / (n_ACl n_BF) = exp(-(e_A - e_B) / Z) (Guggenheim 1952), solved as such."""
    X, Y, e, Z = 0.3, 0.45, np.array([-9.0, 2.0]), 4.0
    K = np.exp(-(e[0] - e[1]) / Z)
    # n_AF = y: y (1 - X - Y + y) = K (X - y) (Y - y)
    y = np.roots([1 - K, 1 - X - Y + K * (X + Y), -K * X * Y])
    y = float(y[(y > 0) & (y < min(X, Y))][0])
    found = neighbours(Ions(np.array([[X, 1 - X]]), np.array([Y]), np.array([1 - Y]), np.ones(2)), e[None, :], Z)
    assert found.q[0] == pytest.approx([y / X, (Y - y) / (1 - X)], rel=1e-9)


def test_worked_value_of_the_docstring():
    ions = Ions(np.array([[0.5, 0.5]]), np.array([0.5]), np.array([0.5]), np.ones(2))
    found = neighbours(ions, np.array([[0.0, 7.0]]), 3.5)
    assert found.w[0] == pytest.approx([-1.0, 1.0])
    assert found.q[0] == pytest.approx([0.731, 0.269], abs=5e-4)


def test_alike_cations_share_the_anions_evenly():
    z = np.array([1.0, 2.0, 3.0])
    ions = melts(40, 3, z)
    found = neighbours(ions, np.tile(-7.0 * z, (40, 1)), 3.5)
    assert found.q == pytest.approx(np.repeat(ions.fluoride[:, None], 3, axis=1), rel=1e-9)


def test_an_exact_match_of_charges_in_the_cold():
    """As much fluoride as the cation that loves it can hold, 250 K: the flat place where steps run away."""
    z = np.array([2.0, 1.0, 1.0])
    X = np.maximum(RNG.dirichlet(np.ones(3), 30), 1e-3)
    X /= X.sum(axis=1, keepdims=True)
    share = z[0] * X[:, 0] / (X @ z)
    ions = Ions(X, share, 1 - share, z)
    e = np.tile(np.array([-120e3, -10e3, 0.0]) / (R * 250.0), (30, 1))
    assert np.abs(misses(ions, neighbours(ions, e, 3.5))).max() < 1e-7


def test_where_it_started_does_not_matter():
    z, e = np.array([2.0, 1.0, 3.0, 1.0]), np.array([-30.0, -9.0, -20.0, 4.0])
    ions = melts(50, 4, z)
    cold = neighbours(ions, np.tile(1.3 * e, (50, 1)), 3.5)
    again = neighbours(ions, np.tile(e, (50, 1)), 3.5, (cold.t, cold.theta))
    alone = neighbours(ions, np.tile(e, (50, 1)), 3.5)
    assert again.q == pytest.approx(alone.q, rel=1e-8)
    assert again.r == pytest.approx(alone.r, rel=1e-8)


def test_the_answer_is_the_derivative():
    """Central differences: 1e-6 is their truncation."""
    z, e, rate = np.array([2.0, 1.0, 3.0]), np.array([-30.0, -9.0, -20.0]), np.array([0.7, -0.4, 1.1])
    ions = melts(30, 3, z, 1e-4)
    h = 1e-4
    more, here, less = (neighbours(ions, np.tile(e + k * h * rate, (30, 1)), 3.5) for k in (1, 0, -1))
    t, theta = here.answer(ions, np.tile(rate, (30, 1)), 3.5)
    assert t == pytest.approx((more.t - less.t) / (2 * h), rel=1e-5, abs=1e-6)
    assert theta == pytest.approx((more.theta - less.theta) / (2 * h), rel=1e-5, abs=1e-6)


def test_ions_of_salts():
    """0.5 LiF, 0.3 CaCl2, 0.2 CaF2: half lithium, half calcium, 0.9 of 1.5 anions fluoride."""
    ions = ions_of(
        np.array([[0.5, 0.3, 0.2]]), np.array([0, 1, 1]), np.array([True, False, True]), np.array([1.0, 2.0])
    )
    assert ions.X[0] == pytest.approx([0.5, 0.5])
    assert (ions.fluoride[0], ions.chloride[0]) == pytest.approx((0.6, 0.4))
    assert ions.mean_charge[0] == pytest.approx(1.5)


@pytest.mark.parametrize("z", [(1.0, 2.0, 3.0), (2.0, 1.0), (1.0, 1.0, 1.0)])
def test_a_step_from_beside_the_balance_leads_back(z):
    """Newton's rule: a step of 1e-5 beside the root is undone but for its square, so to 1e-3 of itself."""
    z, beside = np.array(z), 1e-5
    e = np.tile(RNG.uniform(-20.0, 5.0, len(z)) * z, (40, 1))
    ions, alike = melts(40, len(z), z, 1e-3), bool((z == 1).all())
    found = neighbours(ions, e, 3.5)
    off = beside * RNG.choice([-1, 1], (2, 40)) * [[0.0 if alike else 1.0], [1.0]]  # with equal charges t is known
    back = _newton(_Sums(ions, e, 3.5), wanted(ions), found.t + off[0], found.theta + off[1], alike)
    assert np.broadcast_to(back[0], 40) == pytest.approx(-off[0], abs=1e-3 * beside)
    assert back[1] == pytest.approx(-off[1], abs=1e-3 * beside)


@pytest.mark.parametrize("z", [(1.0, 2.0, 3.0), (2.0, 1.0), (1.0, 1.0, 1.0)])
def test_both_ways_find_the_same_balance(z):
    """Both unknowns at once, which needs no help in a melt that is not extreme, and one after the other.

    Steps end at 1e-9; theta is as flat as a hundredth of that where little of one anion is left.
    """
    z = np.array(z)
    e = np.tile(RNG.uniform(-20.0, 5.0, len(z)) * z, (40, 1))
    ions, alike = melts(40, len(z), z, 1e-3), bool((z == 1).all())
    start = -np.einsum("nc,nc->n", ions.X, e) / ions.mean_charge
    t, theta, left = _together(_Sums(ions, e, 3.5), wanted(ions), wanted(ions), start, alike)
    assert not len(left)
    in_turn = _in_turn(ions, e, 3.5, wanted(ions), wanted(ions), alike)
    assert in_turn[0] == pytest.approx(t, abs=1e-6)
    assert in_turn[1] == pytest.approx(theta, abs=1e-5)


def wanted(ions: Ions) -> np.ndarray:
    """The logit of the share of fluoride."""
    return np.log(ions.fluoride / ions.chloride)


@pytest.mark.parametrize("z", [(1.0, 2.0, 3.0), (2.0, 1.0)])
def test_steps_double_the_digits(z, monkeypatch):
    """Halving a bracket of 20 down to 1e-9 takes 34 rounds; Newton's rule inside it takes the square of the miss each
    time. Of a melt of two or three ions that is not extreme a dozen rounds are ample.
    """
    z = np.array(z)
    e = np.tile(np.linspace(-20.0, 5.0, len(z)) * z, (40, 1))
    ions, asked = melts(40, len(z), z, 1e-3), []
    monkeypatch.setattr(ion_pairs, "expit", lambda *given, **named: (asked.append(1), expit(*given, **named))[1])
    low, high = -(e / z).max(axis=1), -(e / z).min(axis=1)
    ion_pairs._theta(ions.X, z, e, 3.5, wanted(ions), 0.5 * (low + high), low, high)
    assert len(asked) / 2 <= 12  # two a round
