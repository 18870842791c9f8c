"""Solid solutions: driving forces against closed forms and against a general minimiser."""

from math import comb

import numpy as np
import pytest
from scipy.optimize import minimize

from thermo.laws.solid_solution import SolutionSolid, simplex_grid
from thermo.records.parameters import HOSTED, SHARED, Parameter
from thermo.records.units import R

WEAK = SolutionSolid(("LiCl", "NaCl"), (0, 1), ((0, 1, 0), (0, 1, 1)), (6000.0, 1500.0), (-1.5, 0.4))
SPLIT = SolutionSolid(("NaCl", "KCl"), (0, 1), ((0, 1, 0), (0, 1, 1)), (24000.0, -2000.0), (-4.0, 0.5))
HOST = SolutionSolid(("LiCl", "MgCl2"), (0, 1), ((0, 1, 0), (0, 1, 1)), (3000.0, 900.0), (-1.0, 0.3), ((1, 7000.0),))
TRIO_TERMS = ((0, 1, 0), (0, 2, 0), (0, 2, 1), (1, 2, 0))
TRIO = SolutionSolid(
    ("CaCl2", "SrCl2", "BaCl2"), (0, 1, 2), TRIO_TERMS, (3000.0, 7000.0, -1200.0, 4000.0), (0, -1, 0, 0.5)
)
TURNING = SolutionSolid(  # where steps towards the best composition turn
    ("CaCl2", "SrCl2", "BaCl2"),
    (0, 1, 2),
    ((0, 1, 0), (0, 2, 0), (1, 2, 0)),
    (9000.0, 30000.0, 12000.0),
    (0.0, 0.0, 0.0),
)


def excess(solid: SolutionSolid, y: np.ndarray, T_K: float) -> float:
    """Excess Gibbs energy from the formula of the module, J/mol."""
    total = 0.0
    for (i, j, k), a, b in zip(solid.terms, solid.a, solid.b, strict=True):
        total += y[i] * y[j] * (a + b * T_K) * (y[i] - y[j]) ** k
    return total + sum(y[member] * energy for member, energy in solid.strangers)


def gain(solid: SolutionSolid, y: np.ndarray, d: np.ndarray, T_K: float) -> float:
    """Driving force at composition y, from the formula of the module, J/mol."""
    return float(y @ d - R * T_K * np.sum(y * np.log(y)) - excess(solid, y, T_K))


def best_by_scipy(solid: SolutionSolid, d: np.ndarray, T_K: float) -> float:
    """Largest gain over y by a general minimiser from several starts, y written as a softmax."""
    members = len(d)

    def loss(z):
        w = np.exp(z - z.max())
        return -gain(solid, np.maximum(w / w.sum(), 1e-300), d, T_K)

    starts = [np.zeros(members), *(4 * np.eye(members)), *(-3 * np.eye(members))]
    return max(-minimize(loss, start, method="BFGS", options={"gtol": 1e-7}).fun for start in starts)


@pytest.mark.parametrize(
    "solid", [WEAK, SPLIT, TRIO, HOST], ids=["weak", "with a gap", "three members", "with a stranger"]
)
def test_the_best_composition_is_the_one_a_general_minimiser_finds(solid):
    random = np.random.default_rng(3)
    d = random.normal(0, 8000, (12, len(solid.formulas)))
    T = random.uniform(600, 1200, 12)
    y = solid.refine(solid.grid_start(d, T), d, T, rounds=300)
    D, _ = solid.driving_force(y, d, T)
    for row in range(12):
        # BFGS stops at a gradient of 1e-7 of the energy unit; 0.01 J/mol is 0.0004 K
        assert D[row] == pytest.approx(best_by_scipy(solid, d[row], T[row]), rel=1e-6, abs=0.01)


def test_near_the_critical_point_haste_comes_further_than_plain_steps():
    """The critical temperature of this solution is 1000 K; 2 % above it plain steps shrink by 2 % each."""
    solid = SolutionSolid(("NaCl", "KCl"), (0, 1), ((0, 1, 0),), (2 * R * 1000.0,), (0.0,))
    d, T, start = np.array([[40.0, 0.0]]), np.array([1020.0]), np.array([[0.4, 0.6]])
    best = solid.refine(start, d, T, rounds=5000)
    hastened, plain = solid.refine(start, d, T, 10, hasten=True), solid.refine(start, d, T, 20)
    assert np.abs(hastened - best).max() < 0.1 * np.abs(plain - best).max()
    assert solid.refine(best, d, T, 3, hasten=True) == pytest.approx(best, abs=1e-9)


@pytest.mark.parametrize("solid", [WEAK, SPLIT, TRIO, TURNING, HOST])
def test_haste_never_ends_lower_than_it_began(solid):
    """Steps that turn are not carried on: D after haste is at least that of the best grid composition."""
    random = np.random.default_rng(8)
    d, T = random.normal(0, 3000, (150, len(solid.formulas))), random.uniform(600, 1100, 150)
    start = solid.refine(solid.grid_start(d, T), d, T, 2)
    for rounds in (1, 2, 3):
        hastened = solid.refine(start, d, T, rounds, hasten=True)
        # 1e-6 J/mol is rounding
        assert (solid.driving_force(hastened, d, T)[0] >= solid.driving_force(start, d, T)[0] - 1e-6).all()


def test_an_ideal_solution_has_a_closed_form():
    ideal = SolutionSolid(("LiCl", "NaCl"), (0, 1), ((0, 1, 0),), (0.0,), (0.0,))
    d, T = np.array([[3000.0, -4000.0], [0.0, 0.0]]), np.array([800.0, 1000.0])
    y = ideal.refine(ideal.grid_start(d, T), d, T, rounds=1)
    weights = np.exp(d / (R * T[:, None]))
    assert y == pytest.approx(weights / weights.sum(axis=1, keepdims=True), rel=1e-9)
    D, _ = ideal.driving_force(y, d, T)
    assert pytest.approx(R * T * np.log(weights.sum(axis=1)), rel=1e-9) == D
    # worked value of the module: R * 1000 K * ln 2
    assert D[1] == pytest.approx(5763, abs=0.5)


@pytest.mark.parametrize(
    "solid", [WEAK, SPLIT, TRIO, HOST], ids=["weak", "with a gap", "three members", "with a stranger"]
)
def test_the_closed_form_of_the_excess_potentials_is_the_derivative(solid):
    y = np.random.default_rng(4).dirichlet(np.ones(len(solid.formulas)), 15)
    A, B = solid.excess_potentials(y)
    general = solid.basis.matrix(y)
    assert pytest.approx(general @ np.array(solid.a) + solid.lattice_energies, rel=1e-9, abs=1e-6) == A
    assert pytest.approx(general @ np.array(solid.b), rel=1e-9, abs=1e-9) == B
    mean = (y * (A + 900.0 * B)).sum(axis=1)
    assert mean == pytest.approx([excess(solid, row, 900.0) for row in y], rel=1e-9)


@pytest.mark.parametrize("solid", [WEAK, TRIO, HOST], ids=["weak", "three members", "with a stranger"])
def test_the_slope_needs_no_derivative_of_the_composition(solid):
    """Envelope theorem: D is at its maximum in y, so dD/dT at fixed d is that at fixed y."""
    d = np.array([[2000.0, -1000.0, 500.0][: len(solid.formulas)]])

    def D(T_K):
        T = np.array([T_K])
        return solid.driving_force(solid.refine(solid.grid_start(d, T), d, T, 300), d, T)

    slope = (D(801.0)[0] - D(799.0)[0]) / 2
    assert D(800.0)[1] == pytest.approx(slope, rel=1e-4)


def test_below_its_critical_temperature_a_solution_has_two_sides():
    """A symmetric solution unmixes below A / 2R: y and 1 - y are equally good, and `near` keeps one of them."""
    regular = SolutionSolid(("NaCl", "KCl"), (0, 1), ((0, 1, 0),), (20000.0,), (0.0,))
    critical, d = 20000.0 / (2 * R), np.zeros((1, 2))
    cold, warm = np.array([0.8 * critical]), np.array([1.05 * critical])
    sides = [regular.refine(regular.grid_start(d, cold, near), d, cold, 400)[0] for near in (0, 1)]
    assert sides[0][0] > 0.8
    assert sides[1] == pytest.approx(sides[0][::-1], rel=1e-6)
    # the textbook condition of a symmetric gap
    assert np.log(sides[0][0] / sides[0][1]) == pytest.approx(2 * critical / cold[0] * (2 * sides[0][0] - 1), rel=1e-6)
    together = regular.refine(regular.grid_start(d, warm, 0), d, warm, 4000)[0]
    assert together == pytest.approx([0.5, 0.5], abs=1e-6)


def test_a_member_absent_from_the_melt_is_absent_from_the_solid():
    d, T = np.array([[1000.0, -1e6]]), np.array([900.0])
    y = WEAK.refine(WEAK.grid_start(d, T), d, T, 4)
    assert y[0, 1] < 1e-20
    assert WEAK.driving_force(y, d, T)[0][0] == pytest.approx(1000.0, rel=1e-6)


def test_a_stranger_dissolves_against_its_energy_in_the_host():
    """Beside its own pure crystal (d = 0) an otherwise ideal host holds y = exp(-E / R T) of it."""
    ideal = SolutionSolid(("LiCl", "MgCl2"), (0, 1), ((0, 1, 0),), (0.0,), (0.0,), ((1, 7000.0),))
    T = np.array([843.0])
    y = np.exp(-7000.0 / (R * T[0]))
    d = np.array([[R * T[0] * np.log(1 - y), 0.0]])  # a melt in which LiCl has the potential it has in this solid
    found = ideal.refine(ideal.grid_start(d, T), d, T, rounds=1)
    assert found[0] == pytest.approx([1 - y, y], rel=1e-9)
    assert ideal.driving_force(found, d, T)[0][0] == pytest.approx(0, abs=1e-6)


@pytest.mark.parametrize(("members", "steps"), [(1, 5), (2, 9), (3, 8), (4, 5), (5, 4), (6, 3)])
def test_the_grid_has_every_composition_once(members, steps):
    grid = simplex_grid(members, steps)
    assert grid.shape == ((1, 1) if members == 1 else (comb(steps + members - 1, steps), members))
    assert grid.sum(axis=1) == pytest.approx(1, rel=1e-12)
    assert grid.min() >= 0
    assert len(np.unique(grid.round(9), axis=0)) == len(grid)


def test_its_composition_must_be_known_to_weigh_it():
    """None, which pure and double salts may have, would count as no crystal at all."""
    with pytest.raises(ValueError, match="LiCl, NaCl: its composition is missing"):
        WEAK.shares(None)


@pytest.mark.parametrize("solid", [WEAK, HOST, TRIO], ids=lambda solid: solid.name)
def test_the_slope_of_one_composition_is_that_of_the_best(solid):
    members, T = len(solid.formulas), np.array([900.0])
    forces, slopes = np.linspace(300.0, -200.0, members)[None, :], np.linspace(-24.0, -20.0, members)[None, :]
    _, slope, y = solid.best(forces, slopes, T, rounds=30)
    assert solid.slope(slopes[0], y[0]) == pytest.approx(slope[0], rel=1e-12)


def test_labels_name_what_is_in_the_solid():
    assert SPLIT.label(np.array([0.5, 0.5])) == "(Na,K)Cl"
    assert SPLIT.label(np.array([0.99, 0.01])) == "NaCl"
    assert TRIO.label(np.array([0.3, 0.7, 0.0])) == "(Ca,Sr)Cl2"
    mirrored = SolutionSolid(("KCl", "NaCl"), (0, 1), ((0, 1, 0),), (0.0,), (0.0,))
    assert mirrored.label(np.array([0.5, 0.5])) == "(Na,K)Cl"
    uneven = SolutionSolid(("LiCl", "MgCl2"), (0, 1), ((0, 1, 0),), (0.0,), (0.0,))
    assert uneven.label(np.array([0.6, 0.4])) == "(LiCl,MgCl2)"
    assert HOST.label(np.array([0.6, 0.4])) == HOST.label(np.array([0.4, 0.6])) == "LiCl(MgCl2)"
    assert HOST.label(np.array([0.99, 0.01])) == HOST.chief(np.array([0.3, 0.7])) == "LiCl"
    assert TRIO.chief(np.array([0.3, 0.6, 0.1])) == "SrCl2"


def test_energies_with_an_interaction_that_changes_with_temperature():
    """By hand for two members: mu_1 = R T ln y_1 + (a + b T) y_2^2."""
    solid, y, T = (
        SolutionSolid(("NaCl", "KCl"), (0, 1), ((0, 1, 0),), (18000.0,), (-5.0,)),
        np.array([[0.7, 0.3]]),
        900.0,
    )
    A, B = solid.energies(y)
    W = 18000.0 - 5.0 * T
    expected = [R * T * np.log(0.7) + W * 0.09, R * T * np.log(0.3) + W * 0.49]
    assert (A + T * B)[0] == pytest.approx(expected, rel=1e-12)


def test_the_grid_lies_as_close_as_it_says():
    """Between two points of y = sin^2 half way at the steepest place, pi / 2 s apart for s steps of two members."""
    for solid in (WEAK, TRIO):
        y, _ = solid.grid
        random = np.random.default_rng(8).dirichlet(np.ones(y.shape[1]), 3000)
        apart = np.abs(random[:, None, :] - y[None, :, :]).sum(axis=2).min(axis=1).max()
        assert apart <= solid.grid_step
    steps = len(WEAK.grid[0]) - 1
    assert WEAK.grid_step == pytest.approx(np.pi / (2 * steps), rel=1e-12)
    y = np.sort(WEAK.grid[0][:, 0])  # sin^2 from a quarter turn on by pi / 2 s: half of sin(pi / s)
    assert np.diff(y).max() == pytest.approx(np.sin(np.pi / steps) / 2, rel=1e-6)


def test_the_grid_reaches_both_ends_and_the_middle():
    y = np.sort(WEAK.grid[0][:, 0])
    assert y[0] == pytest.approx(1e-6, rel=1e-3)
    assert 1 - y[-1] == pytest.approx(1e-6, rel=1e-3)
    assert np.abs(y - 0.5).min() < 1e-12


def test_what_an_ideal_solution_misses_on_the_grid():
    """D bends by at most pi^2 R T along u, and a point of the grid is half a step 1 / 2 s off: (pi / 2 s)^2 / 2 in R T,
    which is met near the middle; the law states twice that, for interactions.
    """
    ideal, T, steps = SolutionSolid(("NaCl", "KCl"), (0, 1), (), (), ()), 1000.0, len(WEAK.grid[0]) - 1
    d = np.linspace(0, 20000, 4001)
    forces, hot = np.column_stack([d, 0 * d]), np.full(len(d), T)
    on_grid = ideal.driving_force(ideal.grid_start(forces, hot), forces, hot)[0]
    missed = np.log1p(np.exp(-d / (R * T))) + (d - on_grid) / (R * T)
    bound = (np.pi / (2 * steps)) ** 2 / 2
    assert 0.9 * bound < missed.max() <= bound * (1 + 1e-9)
    assert ideal.missed_by_grid == pytest.approx(2 * bound, rel=1e-12)


def test_a_grid_start_on_a_members_side_has_at_least_half_of_it():
    forces, T = np.array([[0.0, 30000.0], [30000.0, 0.0]]), np.array([900.0, 900.0])
    for near in (0, 1):
        assert SPLIT.grid_start(forces, T, near)[1 - near, near] >= 0.5
        there = SPLIT.grid_start(np.zeros((1, 2)), T[:1], near)[0]
        assert there[near] >= 0.5
    attracted = SolutionSolid(("NaCl", "KCl"), (0, 1), ((0, 1, 0),), (-20000.0,), (0.0,))
    for near in (0, 1):
        assert attracted.grid_start(np.zeros((1, 2)), T[:1], near)[0] == pytest.approx([0.5, 0.5])


def test_forces_beyond_any_salt_overflow_nothing():
    y = SPLIT.refine(np.array([[0.5, 0.5]]), np.array([[8e6, 7.9e6]]), np.array([500.0]), 3)
    assert np.isfinite(y).all()
    assert y.sum() == pytest.approx(1, rel=1e-12)


def test_phases_of_a_pair_and_how_its_terms_count():
    """Shared by two natives, hosted by the one whose crystal it is; dG of a term k is y_i y_j (y_i - y_j)^k."""
    assert WEAK.phase_of(("LiCl", "NaCl")) == SHARED
    assert HOST.phase_of(("LiCl", "MgCl2")) == f"{HOSTED}LiCl"
    assert WEAK.phase_of(("LiCl", "KCl")) is None
    y = np.array([0.8, 0.2])
    for order in (0, 1, 2):
        term = Parameter(SHARED, f"a{order}")
        assert WEAK.share(("LiCl", "NaCl"), term, 900.0, y) == pytest.approx(0.8 * 0.2 * 0.6**order, rel=1e-12)
        by_T = Parameter(SHARED, f"b{order}")
        assert WEAK.share(("LiCl", "NaCl"), by_T, 900.0, y) == pytest.approx(900 * 0.16 * 0.6**order, rel=1e-12)


def test_a_solution_moved_in_the_list_of_salts_stays_itself():
    assert WEAK.moved(3).indices == (3, 4)
    assert WEAK.moved(3).formulas == WEAK.formulas


def test_a_member_of_2_percent_is_not_named():
    assert SPLIT.label(np.array([0.9795, 0.0205])) == "(Na,K)Cl"
    assert SPLIT.label(np.array([0.9805, 0.0195])) == "NaCl"
