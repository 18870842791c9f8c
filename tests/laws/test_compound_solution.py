"""Solid solutions of double salts: against the same energy minimised by scipy, slopes by differences, names."""

import numpy as np
import pytest
from scipy.optimize import minimize

from thermo.laws.compound_solution import CompoundSolution, term_name, together
from thermo.laws.solids import DoubleSolid
from thermo.records.units import R

# salts: NaF, KF, RbF, MgF2
NA, K, RB = (
    DoubleSolid(name, (at, 3), (1, 1), dH, dS)
    for name, at, dH, dS in (("NaMgF3", 0, -3000.0, 4.0), ("KMgF3", 1, -21000.0, -3.0), ("RbMgF3", 2, -18000.0, 0.0))
)
TWO = CompoundSolution(("NaMgF3", "KMgF3"), (0, 1, 3), ((0, 1, 0),), (15000.0,), (0.0,), (), (NA, K), ("Na", "K"), 0.5)
THREE = CompoundSolution(
    ("NaMgF3", "KMgF3", "RbMgF3"), (0, 1, 2, 3), ((0, 1, 0), (0, 2, 0), (1, 2, 0)), (12000.0, 16000.0, 3000.0),
    (0.0, 0.0, 0.0), (), (NA, K, RB), ("Na", "K", "Rb"), 0.5,
)  # fmt: skip
K2, RB2 = DoubleSolid("K2MgF4", (0, 2), (2, 1), -40000.0, 2.0), DoubleSolid("Rb2MgF4", (1, 2), (2, 1), -41000.0, 0.0)
LAYERS = CompoundSolution(
    ("K2MgF4", "Rb2MgF4"), (0, 1, 2), ((0, 1, 0),), (4000.0,), (0.0,), (), (K2, RB2), ("K", "Rb"), 2 / 3
)
ALL = [TWO, THREE, LAYERS]


def gain(solid: CompoundSolution, y: np.ndarray, d: np.ndarray, T_K: float) -> float:
    """Energy won by a formula of these members over the formula's number of salts, written out."""
    size = sum(solid.compounds[0].counts)
    won = 0.0
    for share, compound in zip(y, solid.compounds, strict=True):
        of_salts = sum(n * d[solid.indices.index(i)] for i, n in zip(compound.indices, compound.counts, strict=True))
        won += share * (of_salts - compound.dH + T_K * compound.dS)
    sites = round(solid.exchanged * size)
    mixed = R * T_K * float((y * np.log(y)).sum())
    mixed += sum(W * y[i] * y[j] for (i, j, _), W in zip(solid.terms, solid.a, strict=True))
    return (won - sites * mixed) / size


@pytest.mark.parametrize("solid", ALL)
def test_the_best_composition_is_that_of_the_largest_gain(solid):
    random = np.random.default_rng(2)
    for _ in range(6):
        d, T = random.normal(-5000, 3000, len(solid.indices)), float(random.uniform(1000, 1500))
        D, _, y = solid.best(d[None, :], np.zeros((1, len(d))), np.array([T]), rounds=200)

        def lost(z, d=d, T=T):
            y = np.exp(z - z.max())
            return -gain(solid, y / y.sum(), d, T)

        ends = [minimize(lost, start, method="Nelder-Mead", options={"xatol": 1e-9, "fatol": 1e-9, "maxiter": 4000})
                for start in 3 * np.eye(len(solid.formulas))]  # fmt: skip
        assert D[0] == pytest.approx(-min(end.fun for end in ends), abs=1e-3)
        assert D[0] == pytest.approx(gain(solid, y[0], d, T), abs=1e-6)


def test_worked_value():
    """Two members in balance with the melt, no interaction: half of R T ln 2."""
    ideal = CompoundSolution(TWO.formulas, TWO.indices, TWO.terms, (0.0,), (0.0,), (), TWO.compounds, TWO.cations, 0.5)
    T = np.array([1279.0])
    # driving forces of the salts that put each compound alone in balance: MgF2 at 0, each fluoride at its compound's G
    d = np.array([[NA.dH - 1279 * NA.dS, K.dH - 1279 * K.dS, 0.0]])
    D, _, y = ideal.best(d, np.zeros((1, 3)), T, rounds=50)
    assert y[0] == pytest.approx([0.5, 0.5], abs=1e-6)
    assert D[0] == pytest.approx(0.5 * R * 1279 * np.log(2), rel=1e-9)
    assert D[0] == pytest.approx(3685, abs=1)


@pytest.mark.parametrize("solid", ALL)
def test_slopes_are_those_of_the_driving_force(solid):
    random = np.random.default_rng(3)
    d, by_T, T = random.normal(-4000, 2000, len(solid.indices)), random.normal(-25, 5, len(solid.indices)), 1250.0

    def at(step: float):
        return solid.best((d + step * by_T)[None, :], by_T[None, :], np.array([T + step]), rounds=400)

    _, slope, y = at(0.0)
    difference = (at(0.5)[0] - at(-0.5)[0])[0]
    assert slope[0] == pytest.approx(difference, rel=1e-4)
    assert solid.slope(by_T, y[0]) == pytest.approx(slope[0], rel=1e-9)


@pytest.mark.parametrize("solid", ALL)
def test_energies_are_what_the_driving_force_is_made_of(solid):
    """sum y_k mu_k over the solid salts is minus the gain from d = 0."""
    y = np.random.default_rng(4).dirichlet(np.ones(len(solid.formulas)), 5)
    A, B = solid.energies(y)
    for row, own in zip(y, (y * (A + 1200.0 * B)).sum(axis=1), strict=True):
        assert own == pytest.approx(-gain(solid, row, np.zeros(len(solid.indices)), 1200.0), rel=1e-9)


def test_shares_of_salts_and_of_parameters():
    y = np.array([0.7, 0.3])
    assert TWO.shares(y) == pytest.approx([0.35, 0.15, 0.5])
    assert TWO.shares(y).sum() == pytest.approx(1.0)
    assert LAYERS.shares(np.array([0.5, 0.5])) == pytest.approx([1 / 3, 1 / 3, 1 / 3])
    assert TWO.term_share(term_name("NaMgF3", "KMgF3"), y) == pytest.approx(0.5 * 0.7 * 0.3)
    assert TWO.term_share("plain", y) == 0.0
    with pytest.raises(ValueError, match="composition is missing"):
        TWO.shares(None)


def test_a_solution_moved_in_the_list_of_salts_stays_itself():
    moved = TWO.moved(4)
    assert moved.indices == (4, 5, 7)
    assert [compound.indices for compound in moved.compounds] == [(4, 7), (5, 7)]
    assert moved.parts.tolist() == TWO.parts.tolist()


def test_names():
    assert TWO.name == TWO.label(np.array([0.5, 0.5])) == "(Na,K)MgF3"
    assert TWO.label(np.array([0.99, 0.01])) == "NaMgF3"
    assert THREE.label(np.array([0.0, 0.4, 0.6])) == "(K,Rb)MgF3"
    assert LAYERS.name == "(K,Rb)2MgF4"
    assert TWO.chief(np.array([0.2, 0.8])) == "KMgF3"
    assert together(["KMgF3", "KCaF3"], ["Mg", "Ca"]) == "K(Mg,Ca)F3"


def test_an_interaction_that_changes_with_temperature():
    """By hand for one pair of members: mu_1 = R T ln y_1 + (a + b T) y_2^2 on each of the exchanged sites."""
    a, b, T = 15000.0, -6.0, 1200.0
    solid = CompoundSolution(TWO.formulas, TWO.indices, TWO.terms, (a,), (b,), (), TWO.compounds, TWO.cations, 0.5)
    y = np.array([[0.7, 0.3]])
    A, B = solid.energies(y)
    for m, (compound, own, other) in enumerate(((NA, 0.7, 0.3), (K, 0.3, 0.7))):
        formed = (compound.dH - T * compound.dS) / 2
        mixed = 0.5 * (R * T * np.log(own) + (a + b * T) * other**2)
        assert A[0, m] + T * B[0, m] == pytest.approx(formed + mixed, rel=1e-9)


def test_a_member_of_2_percent_is_not_named():
    assert TWO.label(np.array([0.9795, 0.0205])) == "(Na,K)MgF3"
    assert TWO.label(np.array([0.9805, 0.0195])) == "NaMgF3"
