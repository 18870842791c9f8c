"""A solid solution in plain numbers: its steps and driving forces against the arrays, and what bounds them."""

import numpy as np
import pytest

from thermo.laws.compound_solution import CompoundSolution
from thermo.laws.one_solution import OneSolution, one_solution
from thermo.laws.solid_solution import SolutionSolid, simplex_grid
from thermo.laws.solids import DoubleSolid
from thermo.records.units import R

IDEAL = SolutionSolid(("NaCl", "KCl"), (0, 1), (), (), ())
BENT = SolutionSolid(("NaCl", "KCl"), (0, 2), ((0, 1, 0), (0, 1, 1)), (9000.0, -1500.0), (3.0, 1.0))
GUEST = SolutionSolid(
    ("LiCl", "NaCl", "MgCl2"), (0, 1, 2), ((0, 1, 0), (0, 2, 0), (1, 2, 0)), (6000.0, -4000.0, 9e4), (0.0,) * 3,
    ((2, 7000.0),),
)  # fmt: skip
FOUR = SolutionSolid(
    ("LiF", "NaF", "KF", "RbF"), (0, 1, 2, 3),
    tuple((i, j, k) for i in range(4) for j in range(i + 1, 4) for k in (0, 1)),
    tuple(1000.0 * v for v in (8, 1, 15, -2, 22, 0, 6, 1, 9, 0, -3, 2)), tuple(0.3 * v for v in range(12)),
)  # fmt: skip
ALL = [IDEAL, BENT, GUEST, FOUR]
PEROVSKITES = CompoundSolution(
    ("NaMgF3", "KMgF3"), (0, 1, 3), ((0, 1, 0),), (14000.0,), (0.0,), (),
    (DoubleSolid("NaMgF3", (0, 3), (1, 1), -3000.0, 4.0), DoubleSolid("KMgF3", (1, 3), (1, 1), -21000.0, -3.0)),
    ("Na", "K"), 0.5,
)  # fmt: skip


def random_forces(solid: SolutionSolid, count: int) -> tuple[np.ndarray, np.ndarray]:
    """Driving forces (count, m) of members, J/mol, and temperatures."""
    rng = np.random.default_rng(3)
    return rng.normal(0, 8000, (count, len(solid.indices))), rng.uniform(500, 1500, count)


def test_worked_value():
    D, _, y = OneSolution(IDEAL).step([0.5, 0.5], [0.0, 0.0], 1000.0)
    assert pytest.approx(5763, abs=0.5) == D
    assert y == pytest.approx([0.5, 0.5])


@pytest.mark.parametrize("solid", ALL, ids=lambda solid: "-".join(solid.formulas))
def test_a_step_is_the_step_of_the_arrays(solid):
    one = OneSolution(solid)
    for d, T in zip(*random_forces(solid, 30), strict=True):
        _, _, start = one.start(d.tolist(), T)
        assert start == pytest.approx(solid.grid_start(d[None, :], np.array([T]))[0])
        y = one.step(start, d.tolist(), T)[2]
        assert y == pytest.approx(solid.refine(np.array([start]), d[None, :], np.array([T]), 1)[0], rel=1e-9)


@pytest.mark.parametrize("solid", ALL, ids=lambda solid: "-".join(solid.formulas))
def test_at_its_best_composition_D_and_slope_are_those_of_the_arrays(solid):
    one = OneSolution(solid)
    forces, T = random_forces(solid, 200)
    best, own, y = solid.best(forces, np.zeros_like(forces), T, None, None, 100)
    settled = np.abs(solid.refine(y, forces, T, 1) - y).max(axis=1) < 1e-9
    assert settled.mean() > 0.9
    for d, T_K, D, slope, at in zip(forces[settled], T[settled], best[settled], own[settled], y[settled], strict=True):
        found, by_T, _ = one.step(at.tolist(), d.tolist(), float(T_K))
        assert found == pytest.approx(D, abs=1e-4)
        assert by_T == pytest.approx(slope, abs=1e-5)


@pytest.mark.parametrize("solid", ALL, ids=lambda solid: "-".join(solid.formulas))
def test_the_best_lies_between_the_grid_and_both_bounds(solid):
    one = OneSolution(solid)
    forces, T = random_forces(solid, 1000)
    best, _, _ = solid.best(forces, np.zeros_like(forces), T, None, None, 100)
    everything = np.zeros((len(T), 3 if solid is BENT else forces.shape[1]))  # BENT leaves out the second salt
    everything[:, list(solid.indices)] = forces
    for d, of_all, T_K, D in zip(forces, everything.tolist(), T.tolist(), best.tolist(), strict=True):
        grid = one.start(d.tolist(), T_K)[0]
        assert grid <= D + 1e-6
        assert grid + one.missed * R * T_K >= D
        assert one.most(of_all, T_K) >= D - 1e-9


def test_a_solution_of_double_salts_is_that_of_the_arrays():
    """Step, driving force, slope and bounds from the forces of the salts; slope at forces that stay."""
    one, solid = one_solution(PEROVSKITES), PEROVSKITES
    rng = np.random.default_rng(5)
    forces, T = rng.normal(-5000, 3000, (200, 3)), rng.uniform(900, 1500, 200)
    best, own, y = solid.best(forces, np.zeros_like(forces), T, None, None, 100)
    settled = np.abs(solid.refine(y, solid.member_forces(forces, T), T, 1) - y).max(axis=1) < 1e-9
    assert settled.mean() > 0.9
    for d, T_K, D, slope, at in zip(forces[settled], T[settled], best[settled], own[settled], y[settled], strict=True):
        found, by_T, _ = one.step(at.tolist(), d.tolist(), float(T_K))
        assert (found, by_T) == (pytest.approx(D, abs=1e-4), pytest.approx(slope, abs=1e-5))
        assert one.salts_in(at.tolist()) == pytest.approx(solid.shares(at).tolist())
        grid = one.start(d.tolist(), float(T_K))[0]
        assert grid <= D + 1e-6
        assert grid + one.missed * R * T_K >= D
        assert one.most([d[0], d[1], 0.0, d[2]], float(T_K)) >= D - 1e-9


@pytest.mark.parametrize("solid", [*ALL, PEROVSKITES], ids=lambda solid: "-".join(solid.formulas))
def test_potentials_are_those_of_the_arrays(solid):
    one = one_solution(solid)
    for y in np.random.default_rng(4).dirichlet(np.ones(len(solid.formulas)), 20):
        A, B = solid.energies(y[None, :])
        assert one.potentials(y.tolist(), 900.0) == pytest.approx((A + 900.0 * B)[0].tolist(), rel=1e-12, abs=1e-8)


@pytest.mark.parametrize("solid", [*ALL, PEROVSKITES], ids=lambda solid: "-".join(solid.formulas))
def test_the_highest_D_is_that_of_a_much_finer_grid(solid):
    """D on up to 2e4 compositions: none is higher than `highest` says, or than `enough` where it says nothing.

    `enough` lies at random beside the grid's best. The fine grid's best is lower than the top by its own coarseness.
    """
    one, rng = one_solution(solid), np.random.default_rng(9)
    count = len(solid.formulas)
    y = np.clip(simplex_grid(count, {2: 2000, 3: 150, 4: 40}[count]), 1e-9, None)
    A, B = solid.energies(y / y.sum(axis=1, keepdims=True))
    unsettled = 0
    for d, T in zip(*random_forces(solid, 60), strict=True):
        of_salts = solid.of_members(d[:, None])[:, 0]
        best = float((y @ of_salts - np.einsum("ij,ij->i", y, A + T * B)).max())
        enough = best + rng.normal(0, 300)
        found = one.highest(d.tolist(), float(T), enough)
        if found is None:
            unsettled += 1
            continue
        D, at = found
        if not at:
            assert best <= enough
            continue
        assert best - 1e-3 <= D
        assert best + 0.05 * R * T >= D
        assert sum(at) == pytest.approx(1.0, abs=1e-12)
    assert unsettled < 6


def test_what_is_known_is_left_out():
    """W = 3 R T, both sides alike: without the surroundings of one the other is found, without both nothing."""
    T = 1000.0
    one = OneSolution(SolutionSolid(("NaCl", "KCl"), (0, 1), ((0, 1, 0),), (3 * R * T,), (0.0,)))
    sides = [np.array([0.0707, 0.9293]), np.array([0.9293, 0.0707])]
    D, at = one.highest([0.0, 0.0], T, 0.0, sides[:1])
    assert at == pytest.approx(sides[1], abs=1e-4)
    assert D > 0
    assert one.highest([0.0, 0.0], T, 200.0, sides) == (-np.inf, [])


def two(a: float, b: float = 0.0, order: int = 0, guests=()) -> OneSolution:
    """Two members with one interaction."""
    return OneSolution(SolutionSolid(("NaCl", "KCl"), (0, 1), ((0, 1, order),), (a,), (b,), guests))


@pytest.mark.parametrize(
    ("a", "b"), [(-20000.0, 0.0), (-20000.0, 5.0), (-5000.0, -4.0), (9000.0, 0.0), (9000.0, -20.0)]
)
def test_the_bound_is_met_by_two_alike_members_that_attract(a, b):
    """At equal forces half and half is best: R T ln 2 - (a + b T) / 4; members that repel add nothing to the bound."""
    T = 1000.0
    expected = R * T * np.log(2) + max(0.0, -(a + b * T)) / 4
    assert two(a, b).most([0.0, 0.0], T) == pytest.approx(expected, rel=1e-12)
    if a + b * T <= 0:
        assert two(a, b).step([0.5, 0.5], [0.0, 0.0], T)[0] == pytest.approx(expected, rel=1e-12)


def test_a_term_of_first_order_may_attract_on_either_side():
    """(x_1 - x_2) a has both signs and is at most |a| of the even one, whichever way a points."""
    for a in (8000.0, -8000.0):
        assert two(a, order=1).most([0.0, 0.0], 1000.0) == pytest.approx(R * 1000.0 * np.log(2) + 2000.0, rel=1e-12)
        assert two(0.0, a / 1000.0, 1).most([0.0, 0.0], 1000.0) == pytest.approx(R * 1000.0 * np.log(2) + 2000.0)


def test_a_stranger_costs_its_energy():
    """Ideal but for E of the second: D = R T ln(e^(d_1 / R T) + e^((d_2 - E) / R T)), which is the bound itself."""
    one, T, d, E = two(0.0, guests=((1, 7000.0),)), 900.0, [1500.0, 4000.0], 7000.0
    expected = R * T * np.log(np.exp(d[0] / (R * T)) + np.exp((d[1] - E) / (R * T)))
    assert one.most(d, T) == pytest.approx(expected, rel=1e-12)
    assert one.step([0.5, 0.5], d, T)[0] == pytest.approx(expected, rel=1e-12)


def test_the_start_on_a_members_side_has_at_least_half_of_it():
    """Equal forces and attraction: the best is half and half, which lies on both sides."""
    one = two(-20000.0)
    for near in (0, 1):
        assert one.start([0.0, 0.0], 1000.0, near)[2] == pytest.approx([0.5, 0.5])
        there = one.start([0.0, 9000.0] if near == 0 else [9000.0, 0.0], 1000.0, near)[2]
        assert there[near] == pytest.approx(0.5)  # the other one is wanted: as little as the side allows
    free = one.start([0.0, 9000.0], 1000.0)[2]
    assert free[1] > 0.5


@pytest.mark.parametrize("solid", ALL, ids=lambda solid: "-".join(solid.formulas))
def test_the_slope_of_the_start_is_that_of_the_grid_point(solid):
    """At forces that stay D of one point of the grid is straight in T: a difference of 2 mK has no truncation."""
    one, h = OneSolution(solid), 1e-3
    for d, T in zip(*random_forces(solid, 20), strict=True):
        (up, _, y), (down, _, z), (_, slope, _) = (one.start(d.tolist(), T + k * h) for k in (1, -1, 0))
        if y == z:
            assert slope == pytest.approx((up - down) / (2 * h), rel=1e-5, abs=1e-5)
