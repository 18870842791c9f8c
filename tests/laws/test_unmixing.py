"""Spinodal, critical point and gap of a solution of two salts against closed forms and brute force."""

import numpy as np
import pytest
from scipy.spatial import ConvexHull

from thermo.laws.mixing import PairBasis
from thermo.laws.unmixing import CriticalPoint, PairSolution, lower_hull, ties
from thermo.records.units import R

SHARES = (0.25, 0.5, 0.8, 0.95, 0.99, 0.9999)  # of the critical temperature


def random_solutions(count: int, seed: int, bent: bool = True) -> list[PairSolution]:
    """Regular (and, if bent, subregular) solutions that repel, with and without a change of the repulsion with T."""
    rng = np.random.default_rng(seed)
    found = []
    for _ in range(count):
        a0, b0 = rng.uniform(5000, 60000), rng.uniform(-8, 3)
        a1, b1 = (rng.uniform(-0.33, 0.33) * a0, rng.uniform(-1, 1)) if bent else (0.0, 0.0)
        found.append(PairSolution((a0, a1), (b0, b1)))
    return found


def top(solution: PairSolution) -> CriticalPoint:
    return max((point for point in solution.critical_points if point.upper), key=lambda point: point.T_K)


def potentials(solution: PairSolution, x: float, T_K: float) -> np.ndarray:
    """Chemical potentials of both salts by the melt's own mathematics."""
    basis = PairBasis(("A", "B"), ["one", "one"], [(0, 1, k) for k in range(len(solution.a))], "muggianu")
    fractions = np.array([[1 - x, x]])
    A, B = basis.potentials(fractions, np.array(solution.a), np.array(solution.b))
    return (R * T_K * np.log(fractions) + A + T_K * B)[0]


def test_worked_value():
    solution = PairSolution((20000.0,), (0.0,))
    (point,) = solution.critical_points
    assert point.x == pytest.approx(0.5, abs=1e-6)
    assert pytest.approx(1202.7, abs=0.05) == point.T_K
    assert solution.gaps(1000.0)[0] == pytest.approx((0.169, 0.831), abs=5e-4)


@pytest.mark.parametrize("solution", random_solutions(8, 1, bent=False), ids=str)
@pytest.mark.parametrize("share", SHARES)
def test_a_regular_gap_follows_its_closed_form(solution, share):
    """ln(y / (1 - y)) = W (2 y - 1) / R T at both ends, W = a_0 + b_0 T; critical point T = a_0 / (2 R - b_0)."""
    critical = solution.a[0] / (2 * R - solution.b[0])
    assert pytest.approx(critical, rel=1e-9) == top(solution).T_K
    T_K = share * critical
    ((l, r),) = solution.gaps(T_K)
    W = solution.a[0] + solution.b[0] * T_K
    for y in (l, r):
        assert np.log(y / (1 - y)) == pytest.approx(W * (2 * y - 1) / (R * T_K), rel=1e-6, abs=1e-9)
    assert l < 0.5 < r
    assert l + r == pytest.approx(1, abs=1e-7)
    spinodal = solution.spinodal(T_K)
    assert spinodal * (1 - spinodal) == pytest.approx(R * T_K / (2 * W), rel=1e-9)


@pytest.mark.parametrize("solution", random_solutions(12, 2), ids=str)
def test_both_salts_have_equal_potentials_at_the_ends_of_a_gap(solution):
    for share in SHARES:
        T_K = share * top(solution).T_K
        ((l, r),) = solution.gaps(T_K)
        assert potentials(solution, l, T_K) == pytest.approx(potentials(solution, r, T_K), abs=1e-4)  # J/mol


@pytest.mark.parametrize("solution", random_solutions(12, 3), ids=str)
def test_the_spinodal_lies_inside_the_gap_and_both_shrink_to_the_critical_point(solution):
    point, width = top(solution), 1.0
    for share in SHARES:
        ((l, r),) = solution.gaps(share * point.T_K)
        s, t = solution.spinodal(share * point.T_K)
        assert l < s < point.x < t < r
        assert r - l < width
        width = r - l
    assert width / (t - s) == pytest.approx(3**0.5, rel=0.03)  # at 0.9999 of the critical temperature: Landau's cubic
    assert solution.gaps(1.0001 * point.T_K) == ()


@pytest.mark.parametrize("solution", random_solutions(6, 4), ids=str)
def test_curvature_and_its_slope_vanish_at_the_critical_point(solution):
    point, h = top(solution), 1e-4
    assert solution.curvature(point.x, point.T_K) == pytest.approx(0, abs=1e-6 * R * point.T_K)
    slope = (solution.curvature(point.x + h, point.T_K) - solution.curvature(point.x - h, point.T_K)) / (2 * h)
    assert slope == pytest.approx(0, abs=1e-3 * R * point.T_K)
    assert solution.spinodal_temperature(point.x) == pytest.approx(point.T_K)


def test_derivatives_are_derivatives():
    solution, x, h = PairSolution((9000.0, -2000.0, 800.0), (1.0, 0.5, -0.3)), np.array([0.1, 0.4, 0.85]), 1e-5
    slope = (solution.energy(x + h, 900.0) - solution.energy(x - h, 900.0)) / (2 * h)
    assert solution.slope(x, 900.0) == pytest.approx(slope, rel=1e-6)
    bend = (solution.slope(x + h, 900.0) - solution.slope(x - h, 900.0)) / (2 * h)
    assert solution.curvature(x, 900.0) == pytest.approx(bend, rel=1e-6)


@pytest.mark.parametrize("solution", [PairSolution((0.0,), (0.0,)), PairSolution((-30000.0, 5000.0), (2.0, 0.0))])
def test_ideal_and_attracting_salts_never_separate(solution):
    assert solution.critical_points == ()
    assert all(solution.gaps(T_K) == () for T_K in (50.0, 300.0, 1500.0))


def test_repulsion_that_outgrows_the_entropy_unmixes_on_heating():
    """b_0 > 2 R: stable below T = -a_0 / (b_0 - 2 R) only."""
    solution = PairSolution((-10000.0,), (2 * R + 10.0,))
    (point,) = solution.critical_points
    assert not point.upper
    assert pytest.approx(1000.0) == point.T_K
    assert solution.gaps(990.0) == ()
    ((l, r),) = solution.gaps(1100.0)
    assert l < 0.5 < r


def test_a_solution_may_have_two_gaps():
    """A deep valley in the middle between two humps: one gap at each side."""
    solution = PairSolution((-20000.0, 0.0, 90000.0), (0.0, 0.0, 0.0))
    found = solution.gaps(700.0)
    assert len(found) == 2
    (l1, r1), (l2, r2) = found
    assert l1 < r1 < 0.5 < l2 < r2
    assert (l2, r2) == pytest.approx((1 - r1, 1 - l1), abs=1e-7)  # only even orders: a mirror


@pytest.mark.parametrize("solution", random_solutions(5, 5), ids=str)
def test_no_point_of_the_curve_lies_below_a_tie(solution):
    T_K, w, g_w = 0.7 * top(solution).T_K, 0.5, -6000.0
    x = np.linspace(1e-4, 1 - 1e-4, 3001)
    g = solution.energy(x, T_K)
    found = ties([solution, (w, g_w)], T_K)
    assert {tie.first for tie in found} | {tie.second for tie in found} == {0, 1}
    for tie in found:
        left = g_w if tie.first == 1 else float(solution.energy(tie.left, T_K))
        right = g_w if tie.second == 1 else float(solution.energy(tie.right, T_K))
        line = left + (x - tie.left) * (right - left) / (tie.right - tie.left)
        assert (g - line).min() > -1e-3


def test_a_solid_above_the_solution_is_in_no_tie():
    solution = PairSolution((10000.0,), (0.0,))
    assert ties([solution, (0.5, 100.0)], 900.0) == []
    (only,) = ties([solution, (0.5, 5000.0)], 450.0)
    assert (only.first, only.second) == (0, 0)
    assert (only.left, only.right) == pytest.approx(solution.gaps(450.0)[0])


def nudged(solution: PairSolution, n: int, step: float) -> PairSolution:
    """One of (a_0, a_1 ... b_0, b_1 ...) a step larger."""
    values = [*solution.a, *solution.b]
    values[n] += step
    count = len(solution.a)
    return PairSolution(tuple(values[:count]), tuple(values[count:]))


STEPS = (1.0, 1.0, 1e-3, 1e-3)


def test_the_critical_temperature_answers_the_coefficients():
    solution = PairSolution((21000.0, 3000.0), (-3.0, 0.5))
    response = solution.critical_response(top(solution))
    for n, step in enumerate(STEPS):
        up, down = (top(nudged(solution, n, sign * step)).T_K for sign in (1, -1))
        assert response[n] == pytest.approx((up - down) / (2 * step), rel=1e-3)


IDEAL_HOST = PairSolution((0.0,), (0.0,), (0.0, 9000.0))


def test_a_host_beside_the_strangers_own_crystal_holds_its_boltzmann_share():
    """Ideal but for E: y = exp(-E / R T)."""
    for T_K in (400.0, 900.0):
        (tie,) = ties([IDEAL_HOST, (1.0, 0.0)], T_K)
        assert (tie.first, tie.second, tie.right) == (0, 1, 1.0)
        assert tie.left == pytest.approx(np.exp(-9000.0 / (R * T_K)), rel=1e-7)


@pytest.mark.parametrize("T_K", [500.0, 1000.0])
def test_two_kinds_of_crystal_touch_one_line(T_K):
    """Ideal but for E_1, E_2: with p = exp(-E_2 / R T), q = exp(-E_1 / R T): l = p r and 1 - r = q (1 - l)."""
    other = PairSolution((0.0,), (0.0,), (6000.0, 0.0))
    (tie,) = ties([IDEAL_HOST, other], T_K)
    p, q = np.exp(-9000.0 / (R * T_K)), np.exp(-6000.0 / (R * T_K))
    r = (1 - q) / (1 - p * q)
    assert (tie.first, tie.second) == (0, 1)
    assert (tie.left, tie.right) == pytest.approx((p * r, r), rel=1e-7)
    assert ties([other, IDEAL_HOST], T_K)[0].left == pytest.approx(tie.left, rel=1e-9)


def test_the_energy_of_a_stranger_is_a_straight_line():
    bent = PairSolution((8000.0, 900.0), (1.0, -0.2))
    strange = PairSolution(bent.a, bent.b, (0.0, 5000.0))
    x = np.linspace(0.05, 0.95, 7)
    assert strange.energy(x, 700.0) - bent.energy(x, 700.0) == pytest.approx(5000.0 * x)
    assert strange.slope(x, 700.0) - bent.slope(x, 700.0) == pytest.approx(np.full(7, 5000.0))
    assert strange.curvature(x, 700.0) == pytest.approx(bent.curvature(x, 700.0))
    assert strange.gaps(300.0)[0] == pytest.approx(bent.gaps(300.0)[0])


@pytest.mark.parametrize("seed", range(5))
def test_the_lower_hull_is_that_of_quickhull(seed):
    rng = np.random.default_rng(seed)
    x, g = np.sort(rng.uniform(size=40)), rng.normal(size=40)
    hull = ConvexHull(np.column_stack([x, g]))
    facing_down = hull.simplices[hull.equations[:, 1] < 0]
    assert lower_hull(x, g) == sorted(set(facing_down.ravel().tolist()))


def test_the_spinodal_of_a_bent_repulsion_follows_from_its_parts():
    """By hand: G^E = x (1-x) [(a_0 + b_0 T) + (a_1 + b_1 T) (1-2x)], so its second derivative is
    -2 (a_0 + b_0 T) - 6 (a_1 + b_1 T) (1 - 2x), and T_s = x (1-x) [2 a_0 + 6 a_1 u] / (R - x (1-x) [2 b_0 + 6 b_1 u]).
    """
    a, b = (20000.0, 4000.0), (-3.0, 1.5)
    for x in (0.1, 0.35, 0.8):
        u, width = 1 - 2 * x, x * (1 - x)
        T_K = width * (2 * a[0] + 6 * a[1] * u) / (R - width * (2 * b[0] + 6 * b[1] * u))
        assert PairSolution(a, b).spinodal_temperature(x) == pytest.approx(T_K, rel=1e-12)


def test_entropy_of_mixing_and_its_slope():
    """dg/dT of the ideal part is R (x ln x + (1-x) ln(1-x)); b adds x (1-x) (b_0 + b_1 (1-2x))."""
    solution, h = PairSolution((9000.0, -2000.0), (1.0, 0.5)), 1e-3
    for x in (0.1, 0.4, 0.85):
        by_T, by_T_and_x = solution.by_T(x)
        assert by_T == pytest.approx(
            R * (x * np.log(x) + (1 - x) * np.log(1 - x)) + x * (1 - x) * (1.0 + 0.5 * (1 - 2 * x)), rel=1e-12
        )
        slopes = [float(solution.slope(x, T_K)) for T_K in (900 + h, 900 - h)]
        assert by_T_and_x == pytest.approx((slopes[0] - slopes[1]) / (2 * h), rel=1e-6)


def test_a_critical_temperature_answers_three_orders():
    """Difference quotients again, with the second order, whose bend is quadratic in 1 - 2x."""
    solution = PairSolution((21000.0, 3000.0, 1500.0), (-3.0, 0.5, -0.4))
    response = solution.critical_response(top(solution))
    for n, step in enumerate((1.0, 1.0, 1.0, 1e-3, 1e-3, 1e-3)):
        up, down = (top(nudged(solution, n, sign * step)).T_K for sign in (1, -1))
        assert response[n] == pytest.approx((up - down) / (2 * step), rel=1e-3, abs=1e-6)


@pytest.mark.parametrize(
    ("a", "b"),
    [
        ((22000.0, -6000.0), (6.0, 0.0)),
        ((22000.0, 6000.0), (6.0, 0.0)),
        ((30000.0, 9000.0, 3000.0), (7.0, 1.0, 0.0)),
        ((20000.0, 9000.0), (0.0, 8.0)),
        ((20000.0, -9000.0), (0.0, -8.0)),
    ],
)
def test_the_top_of_a_gap_is_the_highest_point_of_its_spinodal(a, b):
    """A repulsion that grows on heating and leans to one side: the largest T_s of 100 000 x by the formula, by hand."""
    x = np.linspace(1e-5, 1 - 1e-5, 100001)
    u, width = 1 - 2 * x, x * (1 - x)

    def bend(c):  # second derivatives by x of x (1-x) u^k: -2, -6 u, 2 - 12 u^2
        return c[0] * -2 + c[1] * -6 * u + (c[2] * (2 - 12 * u**2) if len(c) > 2 else 0)

    T = -bend(a) / (R / width + bend(b))
    assert pytest.approx(T.max(), rel=1e-7) == top(PairSolution(a, b)).T_K
    assert top(PairSolution(a, b)).x == pytest.approx(x[T.argmax()], abs=1e-3)


def test_orders_left_out_are_zero():
    """From terms of order 0 and 2 alone, in either order of naming."""
    found = PairSolution.from_terms({2: (500.0, 0.25), 0: (9000.0, -1.0)}, (0.0, 3.0))
    assert (found.a, found.b, found.E) == ((9000.0, 0.0, 500.0), (-1.0, 0.0, 0.25), (0.0, 3.0))
    assert PairSolution.from_terms({}) == PairSolution((0.0,), (0.0,))


def test_a_host_beside_the_crystal_of_its_first_salt_holds_its_boltzmann_share():
    """The mirror of the stranger at the other end: 1 - y = exp(-E / R T)."""
    host, T_K = PairSolution((0.0,), (0.0,), (9000.0, 0.0)), 900.0
    (tie,) = ties([host, (0.0, 0.0)], T_K)
    assert (tie.first, tie.second, tie.left) == (1, 0, 0.0)
    assert 1 - tie.right == pytest.approx(np.exp(-9000.0 / (R * T_K)), rel=1e-7)
