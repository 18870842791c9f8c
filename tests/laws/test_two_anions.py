"""Melts of two anions: potentials are derivatives of the energy written down plainly, limits, Gibbs-Duhem, slopes."""

import numpy as np
import pytest
import sympy

from thermo.laws import two_anions
from thermo.laws.ion_pairs import Ions, Neighbours, ions_of, neighbours
from thermo.records.units import R

RNG = np.random.default_rng(3)
Z = two_anions.NEIGHBOURS


class MadeUp:
    """A made-up system: charges, exchange energies, regular interactions beside each anion, two anion terms each."""

    def __init__(self, draw: np.random.Generator, cations: int, size: float = 1.0):
        self.z = draw.integers(1, 4, cations).astype(float)
        self.E = draw.uniform(-60e3, 60e3, cations) * self.z
        L = size * draw.uniform(-20e3, 8e3, (2, cations, cations))
        self.L = L + L.transpose(0, 2, 1)
        for anion in self.L:
            np.fill_diagonal(anion, 0.0)
        self.H = size * draw.uniform(-8e3, 8e3, (2, cations))

    def ions(self, x: np.ndarray) -> Ions:
        count = len(self.z)
        return ions_of(x, np.tile(np.arange(count), 2), np.arange(2 * count) < count, self.z)

    def around(self, ions: Ions, T_K: float) -> Neighbours:
        return neighbours(ions, np.tile(self.E / (R * T_K), (len(ions.X), 1)), Z)

    def potentials(self, x: np.ndarray, T_K: float) -> np.ndarray:
        """mu of every MF_z, then MCl_z, from the pure liquids, by the functions under test."""
        ions = self.ions(x)
        around = self.around(ions, T_K)
        beside = [X @ L - np.einsum("ni,ij,nj->n", X, L, X)[:, None] / 2
                  for X, L in zip(two_anions.local_cations(ions, around), self.L, strict=True)]  # fmt: skip
        (h0, s0), (h1, s1) = (two_anions.anion_shape(around, order) for order in (0, 1))
        h, slope = self.H[0] * h0 + self.H[1] * h1, self.H[0] * s0 + self.H[1] * s1
        felt = two_anions.interactions(ions, around, *beside, h, slope, Z)
        return R * T_K * two_anions.pair_logs(ions, around, Z) + felt

    def energy(self, moles: np.ndarray, T_K: float) -> np.ndarray:
        """G of these moles of salts (N, 2 c), the chlorides' own energies at zero: the formula of the module's text."""
        N = moles.sum(axis=1)
        ions = self.ions(moles / N[:, None])
        around = self.around(ions, T_K)
        X, q, r, b = ions.X, around.q, around.r, around.b
        g = (X * (q * self.E + q * r * (self.H[0] + self.H[1] * (q - r)))).sum(axis=1)
        g += R * T_K * (X * np.log(X)).sum(axis=1)
        g += (
            R * T_K * ions.mean_charge * (ions.fluoride * np.log(ions.fluoride) + ions.chloride * np.log(ions.chloride))
        )
        g += Z * R * T_K * (X * (q * np.log(q / b[:, None]) + r * np.log(r / (1 - b)[:, None]))).sum(axis=1)
        for share, of, L in ((b, X * q, self.L[0]), (1 - b, X * r, self.L[1])):
            local = of / share[:, None]
            g += share * np.einsum("ni,ij,nj->n", local, L, local) / 2
        return N * g


@pytest.mark.parametrize("cations", range(1, 7))
def test_potentials_are_derivatives_of_one_energy(cations):
    """Charges 1 to 3, 250 to 2600 K; central differences: 0.2 J/mol is their rounding on energies of 100 kJ."""
    for T_K in (250.0, 600.0, 1000.0, 2600.0):
        system = MadeUp(RNG, cations, 0.3 if T_K < 500 else 1.0)
        x = np.maximum(RNG.dirichlet(np.ones(2 * cations), 12), 0.01)
        x /= x.sum(axis=1, keepdims=True)
        mu = system.potentials(x, T_K) + np.concatenate([system.E, 0 * system.E])
        for k in range(2 * cations):
            step = 1e-5 * x[:, k]
            up, down = x.copy(), x.copy()
            up[:, k] += step
            down[:, k] -= step
            slope = (system.energy(up, T_K) - system.energy(down, T_K)) / (2 * step)
            assert slope == pytest.approx(mu[:, k], abs=0.2)


@pytest.mark.parametrize("cations", range(1, 7))
def test_gibbs_and_duhem(cations):
    """sum n_k dmu_k = 0 along any change of moles, traces down to 1e-12 included; in R T."""
    for T_K in (250.0, 700.0, 2600.0):
        system = MadeUp(RNG, cations)
        x = np.maximum(RNG.dirichlet(np.full(2 * cations, 0.5), 30), 1e-12)
        change = 1e-5 * RNG.normal(size=x.shape) * x
        up, down = ((x + s * change) / (x + s * change).sum(axis=1, keepdims=True) for s in (1, -1))
        rise = system.potentials(up, T_K) - system.potentials(down, T_K)
        size = (x * np.abs(rise)).sum(axis=1) + 1e-9 * R * T_K
        assert (np.abs((x * rise).sum(axis=1)) / size).max() < 2e-3


def test_equal_exchange_energies_leave_temkin_and_flood():
    """Interactions of the cations weighed by each anion's share, of the anions by each cation's: closed forms."""
    draw = np.random.default_rng(5)
    system = MadeUp(draw, 3)
    system.E = -90e3 * system.z
    x = draw.dirichlet(np.ones(6), 20)
    ions, T_K = system.ions(x), 900.0
    y, one = ions.fluoride[:, None], ions.chloride[:, None]
    g = [np.einsum("ni,ij,nj->n", ions.X, L, ions.X)[:, None] / 2 for L in system.L]
    m = [ions.X @ L - energy for L, energy in zip(system.L, g, strict=True)]
    h = y * one * (system.H[0] + system.H[1] * (2 * y - 1))
    slope = (1 - 2 * y) * (system.H[0] + system.H[1] * (2 * y - 1)) + 2 * system.H[1] * y * one
    by_y = g[0] - g[1] + (ions.X * slope).sum(axis=1, keepdims=True)
    own, ratio = y * m[0] + one * m[1] + h, system.z / ions.mean_charge[:, None]
    expected = np.hstack([own + one * ratio * by_y, own - y * ratio * by_y]) + R * T_K * two_anions.ideal_logs(ions)
    assert system.potentials(x, T_K) == pytest.approx(expected, abs=1e-6)


def test_one_cation_is_its_own_pair():
    """RT ln a(MF_z) = z RT ln Y + h + r dh/dq, whatever Z and E: derivatives of h by sympy."""
    Y, a, b = sympy.symbols("Y a b")
    h = Y * (1 - Y) * (a + b * (2 * Y - 1))
    forms = [sympy.lambdify((Y, a, b), h + share * sympy.diff(h, Y)) for share in (1 - Y, -Y)]
    draw, T_K = np.random.default_rng(6), 1100.0
    for charge in (1.0, 2.0, 3.0):
        system = MadeUp(draw, 1)
        system.z = np.array([charge])
        y = draw.uniform(0.01, 0.99, 10)
        mu = system.potentials(np.column_stack([y, 1 - y]), T_K)
        for column, (form, share) in enumerate(zip(forms, (y, 1 - y), strict=True)):
            assert mu[:, column] == pytest.approx(charge * R * T_K * np.log(share) + form(y, *system.H[:, 0]), abs=1e-6)


@pytest.mark.parametrize("T_K", [250.0, 900.0, 2600.0])
def test_one_anion_is_its_own_melt_and_a_trace_of_the_other_moves_nothing(T_K):
    """1e-12 of chloride in fluorides: 1e-5 J/mol is ten times what dilution itself does."""
    draw = np.random.default_rng(8)
    for cations in (2, 4, 6):
        system = MadeUp(draw, cations)
        X = draw.dirichlet(np.ones(cations), 10)
        of_F, of_Cl = (R * T_K * np.log(X) + X @ L - np.einsum("ni,ij,nj->n", X, L, X)[:, None] / 2 for L in system.L)
        for trace in (0.0, 1e-12):
            fluorides = np.hstack([X * (1 - trace), X * trace])
            assert system.potentials(fluorides, T_K)[:, :cations] == pytest.approx(of_F, abs=1e-5)
            chlorides = np.hstack([X * trace, X * (1 - trace)])
            assert system.potentials(chlorides, T_K)[:, cations:] == pytest.approx(of_Cl, abs=1e-5)


def test_the_slope_of_the_pairs_is_the_derivative():
    system, T_K, h = MadeUp(np.random.default_rng(9), 4), 800.0, 0.05
    ions = system.ions(np.random.default_rng(9).dirichlet(np.ones(8), 20))
    e_slope = np.tile(-system.E / (R * T_K**2), (20, 1))
    found = two_anions.pair_slopes(ions, system.around(ions, T_K), e_slope, Z)
    more, less = (two_anions.pair_logs(ions, system.around(ions, T_K + s * h), Z) for s in (1, -1))
    assert found == pytest.approx((more - less) / (2 * h), rel=1e-5, abs=1e-7)


def test_worked_value_of_the_docstring():
    """MgF2-MgCl2 half and half: a(MgF2) = 0.25, not 0.5."""
    half = ions_of(np.array([[0.5, 0.5]]), np.array([0, 0]), np.array([True, False]), np.array([2.0]))
    assert np.exp(two_anions.ideal_logs(half))[0] == pytest.approx([0.25, 0.25])


def test_a_strong_fluoride_former_keeps_its_fluoride():
    """MF in NCl, exchange -60 kJ: the whole exchange energy at infinite dilution, and ever less as pairs find pairs.

    Closed form of the first: host undisturbed, Z RT w = E_M - E_N.
    """
    system = MadeUp(np.random.default_rng(1), 2, 0.0)
    system.z, system.E, T_K = np.ones(2), np.array([-60e3, 0.0]), 1000.0
    x = np.array([[part, 0.0, 0.0, 1 - part] for part in (1e-9, 1e-2, 1e-1)])
    gamma = (system.potentials(x, T_K) - R * T_K * two_anions.ideal_logs(system.ions(x)))[:, 0]
    assert gamma[0] == pytest.approx(60e3, rel=1e-6)
    assert gamma[0] > gamma[1] + 1e3 > gamma[2] + 1e4
