"""Laws every mixture keeps: potentials as derivatives, Gibbs-Duhem, pure limits, symmetry, edges of a triangle."""

import numpy as np
import pytest
import sympy

from tests.made_up import random_fractions
from thermo.laws import mixing_derivatives
from thermo.laws.mixing import METHODS, REFERENCE_K, PairBasis, preference_strength, triple_potentials
from thermo.records.units import R

SALTS = ("NaCl", "KCl", "MgCl2", "CaCl2")
GROUPS = ("alkali", "alkali", "alkaline earth", "alkaline earth")
TERMS = [(i, j, k) for i in range(4) for j in range(i + 1, 4) for k in range(4)]
SIZES = np.random.default_rng(5).normal(0, 10000, len(TERMS))  # J/mol, any numbers will do


def excess_energy(n: np.ndarray, method: str) -> float:
    """Extensive excess Gibbs energy of the amounts n (mol), written out from the published formulas, J."""
    x = n / n.sum()
    total = 0.0
    for (i, j, k), size in zip(TERMS, SIZES, strict=True):
        s_i, s_j = x[i], x[j]
        if method == "group" and GROUPS[i] != GROUPS[j]:
            s_i = sum(x[m] for m in range(4) if GROUPS[m] == GROUPS[i])
            s_j = sum(x[m] for m in range(4) if GROUPS[m] == GROUPS[j])
        u = s_i - s_j if method == "muggianu" else (s_i - s_j) / (s_i + s_j)
        total += size * x[i] * x[j] * u**k
    return total * n.sum()


@pytest.mark.parametrize("method", METHODS)
def test_potentials_are_the_derivatives_of_the_energy(method):
    basis = PairBasis(SALTS, GROUPS, TERMS, method)
    x = random_fractions(20, 4)
    ours, _ = basis.potentials(x, SIZES, np.zeros(len(TERMS)))
    for row, potentials in zip(x, ours, strict=True):
        for i in range(4):
            step = 1e-5 * np.eye(4)[i]
            slope = (excess_energy(row + step, method) - excess_energy(row - step, method)) / 2e-5
            # central difference: error step^2 / 6 times the third derivative, about 1e-10 / x^2 of the energy
            assert potentials[i] == pytest.approx(slope, rel=1e-5, abs=1e-5 * np.abs(SIZES).max())


@pytest.mark.parametrize("method", METHODS)
def test_gibbs_duhem(method):
    """sum x_i dmu_i = 0 along any direction."""
    basis = PairBasis(SALTS, GROUPS, TERMS, method)
    x, b = random_fractions(30, 4), np.zeros(len(TERMS))
    direction = random_fractions(30, 4, seed=2) - x
    step = 1e-5
    up, down = (basis.potentials(x + sign * step * direction, SIZES, b)[0] for sign in (1, -1))
    slope = (up - down) / (2 * step)
    balance = (x * slope).sum(axis=1)
    assert np.all(np.abs(balance) < 1e-6 * np.abs(slope).max(axis=1))


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize("order", range(4))
def test_gibbs_duhem_of_a_binary_in_symbols(order, method):
    """The generated derivatives accept symbols: with x_1 + x_2 = 1, x_1 mu_1' + x_2 mu_2' is zero identically."""
    x = sympy.Symbol("x", positive=True)
    u, kind = 2 * x - 1, "muggianu" if method == "muggianu" else "group"
    assert getattr(mixing_derivatives, f"{kind}_difference")(x, 1 - x).equals(u)
    slope = order * u ** (order - 1) if order else sympy.Integer(0)
    rest, by_x_i, by_x_j, by_s_i, by_s_j = getattr(mixing_derivatives, f"{kind}_pair")(
        x, 1 - x, x, 1 - x, u**order, slope
    )
    mu = rest + by_x_i + by_s_i, rest + by_x_j + by_s_j
    assert sympy.cancel(x * sympy.diff(mu[0], x) + (1 - x) * sympy.diff(mu[1], x)) == 0
    assert sympy.cancel(x * mu[0] + (1 - x) * mu[1] - x * (1 - x) * (2 * x - 1) ** order) == 0


@pytest.mark.parametrize("method", METHODS)
def test_a_nearly_pure_salt_has_its_own_potential(method):
    """mu_i - mu_i(pure) goes with the square of the distance from the pure salt (Raoult's law)."""
    basis = PairBasis(SALTS, GROUPS, TERMS, method)
    for i in range(4):
        far, near = ((1 - d) * np.eye(4)[i] + d * np.ones(4) / 4 for d in (1e-3, 1e-4))
        A, _ = basis.potentials(np.stack([far, near, np.eye(4)[i]]), SIZES, np.zeros(len(TERMS)))
        assert A[1, i] / A[0, i] == pytest.approx(0.01, rel=0.02)
        assert abs(A[2, i]) < 1e-9 * np.abs(SIZES).max()


@pytest.mark.parametrize("method", METHODS)
def test_corners_and_edges_are_finite(method):
    basis = PairBasis(SALTS, GROUPS, TERMS, method)
    x = np.array([[1.0, 0, 0, 0], [0, 0, 0, 1.0], [0.5, 0.5, 0, 0], [0, 0, 0.3, 0.7], [0, 0.4, 0, 0.6]])
    assert np.isfinite(basis.matrix(x)).all()


@pytest.mark.parametrize("method", METHODS)
def test_the_edge_of_a_triangle_is_the_binary(method):
    ternary = PairBasis(SALTS[:3], GROUPS[:3], [(0, 1, 2), (0, 2, 1), (1, 2, 3)], method)
    sizes, b = np.array([3000.0, -20000.0, 9000.0]), np.zeros(3)
    for (i, j), term, order in (((0, 1), 0, 2), ((0, 2), 1, 1), ((1, 2), 2, 3)):
        x = np.zeros((7, 3))
        x[:, i] = np.linspace(0.05, 0.95, 7)
        x[:, j] = 1 - x[:, i]
        binary = PairBasis((SALTS[i], SALTS[j]), (GROUPS[i], GROUPS[j]), [(0, 1, order)], method)
        alone, _ = binary.potentials(x[:, [i, j]], sizes[[term]], np.zeros(1))
        within, _ = ternary.potentials(x, sizes, b)
        assert within[:, [i, j]] == pytest.approx(alone, rel=1e-9, abs=1e-9 * np.abs(sizes).max())


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize("order", range(4))
def test_swapping_the_salts_changes_only_the_sign_of_odd_terms(order, method):
    x = np.column_stack([np.linspace(0, 1, 9), 1 - np.linspace(0, 1, 9)])
    one = PairBasis(("NaCl", "MgCl2"), ("alkali", "alkaline earth"), [(0, 1, order)], method).matrix(x)
    other = PairBasis(("MgCl2", "NaCl"), ("alkaline earth", "alkali"), [(0, 1, order)], method).matrix(x[:, ::-1])
    assert other[:, ::-1] == pytest.approx((-1) ** order * one, abs=1e-12)


def test_in_a_binary_all_methods_agree():
    x = np.column_stack([np.linspace(0.01, 0.99, 9), 1 - np.linspace(0.01, 0.99, 9)])
    terms = [(0, 1, k) for k in range(4)]
    found = [PairBasis(SALTS[1:3], GROUPS[1:3], terms, method).matrix(x) for method in METHODS]
    assert found[1] == pytest.approx(found[0], abs=1e-12)
    assert found[2] == pytest.approx(found[0], abs=1e-12)


def test_two_salts_of_a_group_that_behave_alike_count_as_one():
    """What groups are for (Toop): split a salt in two and nothing changes; Kohler does not keep this."""
    x = random_fractions(10, 3)
    merged = np.column_stack([x[:, 0] + x[:, 1], x[:, 2]])
    for order in range(4):
        one = PairBasis(("a", "c"), ("alkali", "other"), [(0, 1, order)]).matrix(merged)[:, :, 0]
        split = PairBasis(("a", "b", "c"), ("alkali", "alkali", "other"), [(0, 2, order), (1, 2, order)])
        two = split.matrix(x).sum(axis=2)
        assert two[:, 0] == pytest.approx(one[:, 0], abs=1e-12)
        assert two[:, 2] == pytest.approx(one[:, 1], abs=1e-12)
    kohler = PairBasis(("a", "b", "c"), ("alkali", "alkali", "other"), [(0, 2, 3), (1, 2, 3)], "kohler")
    assert np.abs(kohler.matrix(x).sum(axis=2)[:, 2] - one[:, 1]).max() > 0.01


def test_worked_value():
    basis = PairBasis(("LiCl", "KCl"), ("alkali", "alkali"), [(0, 1, 0)])
    x = np.array([[0.5, 0.5]])
    A, B = basis.potentials(x, np.array([-12000.0]), np.array([0.0]))
    assert A[0] == pytest.approx([-3000.0, -3000.0], rel=1e-12)
    assert (x * A).sum() == pytest.approx(-3000.0, rel=1e-12)
    assert not B.any()


def test_temperature_coefficients_are_kept_apart():
    basis = PairBasis(SALTS, GROUPS, TERMS)
    x = random_fractions(5, 4)
    A, B = basis.potentials(x, SIZES, 2 * SIZES)
    assert pytest.approx(2 * A, rel=1e-12) == B
    assert pytest.approx(basis.matrix(x) @ SIZES, rel=1e-9) == A


def test_an_unknown_method_is_refused():
    with pytest.raises(ValueError, match=r"'quadratic': allowed are group, kohler, muggianu"):
        PairBasis(SALTS, GROUPS, TERMS, "quadratic")


def test_the_term_of_three_salts_is_a_derivative_and_vanishes_on_the_edges():
    x = random_fractions(10, 4)

    def energy(n):
        return np.prod(n[[0, 1, 3]]) / n.sum() ** 2

    ours = triple_potentials(x, 0, 1, 3)
    for row, potentials in zip(x, ours, strict=True):
        slopes = [(energy(row + d) - energy(row - d)) / 2e-5 for d in 1e-5 * np.eye(4)]
        assert potentials == pytest.approx(slopes, rel=1e-6, abs=1e-9)
    edge = np.array([[0.3, 0.7, 0.0, 0.0]])
    assert not triple_potentials(edge, 0, 1, 3)[0, :2].any()
    assert not triple_potentials(edge, 0, 2, 3).any()


def test_the_balance_term_is_a_derivative_and_vanishes_on_the_section_of_all_cryolites():
    """Two alkali fluorides, another salt, AlF3: excess counts against a third of both alkalis together."""
    x = random_fractions(10, 4)

    def energy(n):
        total = n.sum()
        return n[0] * n[2] * n[3] * (n[3] - (n[0] + n[1]) / 3) / total**3  # moles times x x x (x - x / 3)

    ours = triple_potentials(x, 0, 2, 3, alkalis=(0, 1))
    for row, potentials in zip(x, ours, strict=True):
        slopes = [(energy(row + d) - energy(row - d)) / 2e-5 for d in 1e-5 * np.eye(4)]
        assert potentials == pytest.approx(slopes, rel=1e-6, abs=1e-9)
    section = np.array([[0.3, 0.3, 0.2, 0.2]])
    assert section @ triple_potentials(section, 0, 2, 3, alkalis=(0, 1))[0] == pytest.approx(0, abs=1e-15)


def test_the_preference_starts_as_second_order_and_saturates():
    """-c w^2 / R T for a weak preference, -w for a strong one, the same whichever neighbour is preferred."""
    c, weak, strong = 0.1, 500.0, 1e6
    assert preference_strength(weak, c) == pytest.approx(-c * weak**2 / (R * REFERENCE_K), rel=1e-3)
    assert preference_strength(strong, c) == pytest.approx(-strong, rel=1e-6)
    assert preference_strength(-20000.0, c) == preference_strength(20000.0, c) < 0
    assert preference_strength(0.0, c) == 0


def test_a_melt_does_not_care_in_what_company_it_is_computed():
    """Blocks of melts give each melt the potentials that it has alone."""
    basis = PairBasis(SALTS, GROUPS, TERMS)
    x = random_fractions(2500, 4)
    together, _ = basis.potentials(x, SIZES, SIZES)
    for n in (0, 1023, 1024, 2499):
        assert basis.potentials(x[[n]], SIZES, SIZES)[0][0] == pytest.approx(together[n], rel=1e-12, abs=1e-7)


@pytest.mark.parametrize("method", METHODS)
def test_one_melt_in_plain_numbers_is_the_array_of_it(method):
    """One number a + i b through the same derivatives; on an edge and with a salt alone too."""
    basis, b = PairBasis(SALTS, GROUPS, TERMS, method), SIZES[::-1] / 1000
    rows = basis.rows(SIZES, b)
    for row in [*random_fractions(10, 4), np.array([0.3, 0.7, 0.0, 0.0]), np.array([0.0, 0.0, 1.0, 0.0])]:
        A, B = basis.potentials(row[None, :], SIZES, b)
        found = [0j] * 4
        rest = basis.add_to(found, row.tolist(), rows)
        total = np.array(found) + rest
        assert total.real == pytest.approx(A[0], rel=1e-12, abs=1e-7)
        assert total.imag == pytest.approx(B[0], rel=1e-12, abs=1e-10)
        assert basis.matrix(row[None, :])[0] == pytest.approx(
            basis.matrix(np.array([row, row]))[1], rel=1e-12, abs=1e-12
        )
    assert basis.rows(np.zeros(len(TERMS)), np.zeros(len(TERMS))) == []


def test_one_term_alone_is_its_column_of_all():
    """Each term against the derivative of its own energy, n x_i x_j (x_i - x_j)^k of a melt of two."""
    basis = PairBasis(("a", "b"), ["one", "one"], [(0, 1, k) for k in range(4)], "muggianu")
    x = random_fractions(6, 2)
    for term in range(4):

        def energy(n, k=term):
            return n.prod() / n.sum() * ((n[0] - n[1]) / n.sum()) ** k

        alone = basis.term_potentials(x, term)
        for row, potentials in zip(x, alone, strict=True):
            slopes = [(energy(row + d) - energy(row - d)) / 2e-5 for d in 1e-5 * np.eye(2)]
            assert potentials == pytest.approx(slopes, rel=1e-6, abs=1e-8)  # truncation of the quotients


@pytest.mark.parametrize("method", METHODS)
def test_second_derivatives_by_differences_of_the_energy(method):
    """G^E of the module's text at fractions that need not sum to 1, by central differences of 1e-4 (good to 1e-6)."""
    basis, b, T_K = PairBasis(SALTS, GROUPS, TERMS, method), SIZES[::-1] / 1000, 900.0
    x, step = np.array([0.2, 0.3, 0.1, 0.4]), 1e-4

    def energy(v: np.ndarray) -> float:
        total = 0.0
        for (i, j, k), size, by_T in zip(TERMS, SIZES, b, strict=True):
            s_i, s_j = (v[list(side)].sum() for side in basis._sides[basis.pairs.index((i, j))])
            u = s_i - s_j if method == "muggianu" else (s_i - s_j) / (s_i + s_j)
            total += v[i] * v[j] * (size + by_T * T_K) * u**k
        return total

    unit = step * np.eye(4)
    expected = [
        [(energy(x + a + c) - energy(x + a - c) - energy(x - a + c) + energy(x - a - c)) / (4 * step**2) for a in unit]
        for c in unit
    ]
    found = basis.bends(x, basis.table(SIZES, b), T_K)
    assert found == pytest.approx(np.array(expected), rel=1e-5, abs=0.1)
    assert found == pytest.approx(found.T, rel=1e-12)


def test_a_weak_preference_in_numbers():
    """c = 0.1 and w = 500 J/mol: -w tanh(c w / R T_0) with T_0 = 900 K is -500 * 0.0066817 = -3.3409 J/mol."""
    assert preference_strength(500.0, 0.1) == pytest.approx(-3.3409, abs=1e-4)
