"""The liquidus solver: ideal melts, ends, edges, scalar root finding, blocks, extreme compositions."""

import numpy as np
import pytest
from scipy.optimize import brentq

from tests.each import each
from tests.made_up import made_up_system, pair_model, random_fractions
from thermo.equilibrium.system import driving_force as module
from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.driving_force import (
    HIGHEST_K,
    LOWEST_K,
    Melts,
    driving_slope,
    liquidus_field,
)
from thermo.equilibrium.system.solids import solid_weights
from thermo.laws.gibbs import fusion_gibbs
from thermo.laws.solid_solution import SolutionSolid, simplex_grid
from thermo.laws.solids import DoubleSolid
from thermo.records.fitted import pair_models
from thermo.records.substances import salt, salts
from thermo.records.units import R

TRIANGLES = [
    ("LiF", "NaF", "KF"),
    ("NaCl", "KCl", "MgCl2"),
    ("LiCl", "NaCl", "KCl"),
    ("NaCl", "CaCl2", "MgCl2"),
    ("CaCl2", "SrCl2", "BaCl2"),
]


def names(value) -> str:
    return "-".join(value)


def driving_force(melts: Melts, solid, T_K: float) -> float:
    """D of one solid in the first melt at T, found afresh (the best of all starts for a solution), J/mol."""
    T, count = np.array([T_K]), len(melts.system.salts)
    if not isinstance(solid, SolutionSolid):
        D = melts.salt_forces(T, tuple(range(count)))[0][0] @ solid_weights(solid, count, None)
        return float(D - solid.energy_and_slope(T)[0][0]) if isinstance(solid, DoubleSolid) else float(D)
    forces = melts.salt_forces(T, solid.indices)[0]
    found = []
    for near in range(len(solid.formulas)):
        y = solid.refine(solid.grid_start(forces, T, near), forces, T, 80)
        found.append(float(solid.driving_force(y, forces, T)[0][0]))
    return max(found)


def scalar_liquidus(system, x: np.ndarray) -> float:
    """Liquidus of one melt by scipy's scalar root finder, K."""
    melts = Melts(system, x[None, :])
    found = []
    for solid in system.solids:
        if driving_force(melts, solid, LOWEST_K) <= 0:
            found.append(LOWEST_K)
        else:
            found.append(brentq(lambda T, s=solid: driving_force(melts, s, T), LOWEST_K, HIGHEST_K, xtol=1e-6))
    return max(found)


@pytest.mark.parametrize("formula", salts())
def test_a_single_salt_is_a_melt(formula):
    found = liquidus_field((formula,), np.ones((1, 1)))
    # fitted Gibbs functions balance within 0.05 K of the tabulated melting point (their own tests hold them to it)
    assert found.T_K[0] == pytest.approx(salt(formula).melting_point_K, abs=0.05)
    assert found.solids[found.solid_index[0]] == formula


@pytest.mark.parametrize("salts_", [("LiCl", "KCl"), ("NaF", "CaF2"), ("KCl", "MgCl2")], ids=names)
def test_an_ideal_melt_follows_schroeder_and_van_laar(salts_):
    """R T ln x_i = -G(fusion, T), root by scipy on the pure salts' own functions."""
    system = made_up_system(salts_)
    x = np.array([[0.9, 0.1], [0.55, 0.45], [0.2, 0.8]])
    found = liquidus_field(salts_, x, system)
    for row, T in zip(x, found.T_K, strict=True):
        alone = [brentq(lambda T, f=f, x_i=x_i: R * T * np.log(x_i) + fusion_gibbs(f, T), 200, 2000, xtol=1e-9)
                 for f, x_i in zip(salts_, row, strict=True)]  # fmt: skip
        assert pytest.approx(max(alone), abs=1e-3) == T


@each(pair_models().values())
def test_the_liquidus_of_every_pair_ends_at_the_melting_points(model):
    found = liquidus_field(model.salts, np.eye(2))
    expected = [salt(f).melting_point_K for f in model.salts]
    assert pytest.approx(expected, abs=0.05) == found.T_K


@pytest.mark.parametrize("triangle", TRIANGLES, ids=names)
def test_one_vectorised_call_equals_scalar_root_finding(triangle):
    x = random_fractions(9, 3, seed=7)
    system = salt_system(triangle)
    found = liquidus_field(triangle, x)
    alone = np.array([scalar_liquidus(system, row) for row in x])
    # steps of 1e-4 K; a side of a solid solution may be missed by 1 J/mol, 0.05 K
    assert pytest.approx(alone, abs=0.05) == found.T_K
    assert np.median(np.abs(found.T_K - alone)) < 1e-3


@pytest.mark.parametrize("triangle", TRIANGLES, ids=names)
def test_on_the_liquidus_one_solid_is_in_balance_and_none_forms(triangle):
    x = random_fractions(25, 3, seed=8)
    system = salt_system(triangle)
    found = liquidus_field(triangle, x)
    for row, T, first in zip(x, found.T_K, found.solid_index, strict=True):
        melts = Melts(system, row[None, :])
        D = [driving_force(melts, solid, T) for solid in system.solids]
        assert abs(D[first]) < 2.0  # J/mol; entropies of fusion of 20 to 40 J/(mol K) make that 0.1 K
        assert max(D) < 2.0


@pytest.mark.parametrize(
    "triangle",
    TRIANGLES,
    ids=names,
)
def test_the_edge_of_a_triangle_is_the_pair(triangle):
    for i, j in ((0, 1), (0, 2), (1, 2)):
        pair = np.column_stack([np.linspace(0, 1, 13), 1 - np.linspace(0, 1, 13)])
        x = np.zeros((13, 3))
        x[:, [i, j]] = pair
        alone = liquidus_field((triangle[i], triangle[j]), pair)
        assert pytest.approx(alone.T_K, abs=0.05) == liquidus_field(triangle, x).T_K


@pytest.mark.parametrize("triangle", TRIANGLES, ids=names)
def test_a_trace_of_a_third_salt_hardly_matters(triangle):
    """No step between an edge and the melts beside it: 1e-7 of a salt lowers a liquidus by about 1e-4 K."""
    x = np.array([[0.7, 0.3, 0.0], [0.7, 0.0, 0.3], [0.0, 0.4, 0.6]])
    beside = np.where(x == 0, 1e-7, x) / (1 + 1e-7)
    assert pytest.approx(liquidus_field(triangle, x).T_K, abs=0.05) == liquidus_field(triangle, beside).T_K


def test_the_order_of_the_salts_changes_nothing():
    x = random_fractions(20, 3, seed=9)
    one = liquidus_field(("NaCl", "KCl", "MgCl2"), x)
    other = liquidus_field(("MgCl2", "NaCl", "KCl"), x[:, [2, 0, 1]])
    assert pytest.approx(one.T_K, abs=1e-3) == other.T_K


def test_block_by_block_equals_all_at_once(monkeypatch):
    x = random_fractions(50, 3, seed=10)
    whole = liquidus_field(("LiCl", "NaCl", "KCl"), x)
    monkeypatch.setattr(module, "BLOCK", 7)
    parts = liquidus_field(("LiCl", "NaCl", "KCl"), x)
    assert pytest.approx(whole.T_K, abs=1e-3) == parts.T_K
    assert (parts.solid_index == whole.solid_index).all()


def test_the_answer_for_a_melt_does_not_depend_on_its_company():
    x = random_fractions(30, 3, seed=11)
    together = liquidus_field(("LiF", "NaF", "KF"), x).T_K
    alone = [liquidus_field(("LiF", "NaF", "KF"), row[None, :]).T_K[0] for row in x]
    assert together == pytest.approx(alone, abs=0.05)


@pytest.mark.parametrize("interaction", [-200000.0, -60000.0, 40000.0])
def test_temperatures_stay_inside_the_limits_for_any_interaction(interaction):
    """Newton's rule alone would leave for negative temperatures; scipy's root finder cannot."""
    system = made_up_system(("LiCl", "KCl"), pair_model("LiCl", "KCl", ((interaction, 20.0), (interaction / 3, -9.0))))
    x = np.column_stack([np.linspace(0, 1, 21), 1 - np.linspace(0, 1, 21)])
    melts = Melts(system, x)
    for solid in system.solids:
        T, _ = melts.solid_temperature(solid)
        assert np.all((T >= LOWEST_K) & (T <= HIGHEST_K))
    for row in x[1:-1:4]:
        alone = scalar_liquidus(system, row)
        assert liquidus_field(("LiCl", "KCl"), row[None, :], system).T_K[0] == pytest.approx(alone, abs=1e-3)


def test_degenerate_compositions():
    x = np.array([[1.0, 0, 0], [1 - 1e-12, 1e-12, 0], [1e-300, 1 - 1e-15, 1e-15], [0.5, 0.5 - 1e-14, 1e-14], [0, 0, 1]])
    found = liquidus_field(("NaCl", "CaCl2", "MgCl2"), x)
    assert np.isfinite(found.T_K).all()
    expected = [salt(f).melting_point_K for f in ("NaCl", "NaCl", "CaCl2", "MgCl2")]
    assert found.T_K[[0, 1, 2, 4]] == pytest.approx(expected, abs=0.1)


def test_no_composition_at_all():
    found = liquidus_field(("NaCl", "KCl"), np.empty((0, 2)))
    assert found.T_K.shape == (0,)


def test_an_absent_salt_never_freezes():
    system = salt_system(("LiCl", "KCl"))
    melts = Melts(system, np.array([[1.0, 0.0]]))
    T, _ = melts.solid_temperature(system.solids[1])
    assert T[0] == LOWEST_K


def test_a_double_salt_melts_congruently_at_its_own_composition():
    """A made-up stable KMgCl3: top of its own curve at 50 mol%, first solid there."""
    model = pair_model("KCl", "MgCl2", ((-40000.0, 0.0),), doubles={"KMgCl3": (-25000.0, 0.0)})
    system = made_up_system(("KCl", "MgCl2"), model)
    x = np.linspace(0.4, 0.6, 41)
    found = liquidus_field(("KCl", "MgCl2"), np.column_stack([1 - x, x]), system)
    assert {found.solids[i] for i in found.solid_index} == {"KMgCl3"}
    assert x[found.T_K.argmax()] == pytest.approx(0.5, abs=1e-9)
    # a stronger double salt melts higher: dT/d(dH per mole of salts) = -1/S
    melts = Melts(system, np.array([[0.5, 0.5]]))
    (double,) = (s for s in system.solids if isinstance(s, DoubleSolid))
    T = melts.solid_temperature(double)[0][0]
    stronger = pair_model("KCl", "MgCl2", ((-40000.0, 0.0),), doubles={"KMgCl3": (-25100.0, 0.0)})
    rise = Melts(made_up_system(("KCl", "MgCl2"), stronger), melts.x).solid_temperature
    expected = 50.0 / -driving_slope(melts, double, T, None)
    (double,) = (s for s in made_up_system(("KCl", "MgCl2"), stronger).solids if isinstance(s, DoubleSolid))
    assert rise(double)[0][0] - T == pytest.approx(expected, rel=0.01)


def test_an_ideal_solid_solution_gives_the_lens():
    """Both phases ideal: x_i(solid) = x_i(liquid) exp(G_fus,i / R T), and the solid fractions sum to 1."""
    model = pair_model("NaCl", "KCl", solid=((0.0, 0.0),))
    system = made_up_system(("NaCl", "KCl"), model)
    x = np.array([[0.8, 0.2], [0.5, 0.5], [0.1, 0.9]])
    found = liquidus_field(("NaCl", "KCl"), x, system)
    for row, T in zip(x, found.T_K, strict=True):

        def excess(T, row=row):
            fusion = [fusion_gibbs(f, T) for f in ("NaCl", "KCl")]
            return float(row @ np.exp(np.array(fusion) / (R * T)) - 1)

        assert pytest.approx(brentq(excess, 900, 1200, xtol=1e-9), abs=2e-3) == T


@pytest.mark.parametrize("triangle", TRIANGLES, ids=names)
def test_the_slope_is_the_derivative_of_the_driving_force(triangle):
    system = salt_system(triangle)
    melts = Melts(system, np.array([[0.4, 0.35, 0.25]]))
    for solid in system.solids:
        T, y = melts.solid_temperature(solid)
        up, down = (driving_force(melts, solid, T[0] + step) for step in (0.5, -0.5))
        slope = driving_slope(melts, solid, float(T[0]), None if y is None else y[0])
        assert slope == pytest.approx(up - down, rel=0.01)
        assert slope < 0


@pytest.mark.parametrize("side", [0, 1])
def test_a_side_of_a_solution_is_never_above_the_whole(side):
    system = salt_system(("NaCl", "KCl"))
    (solid,) = (s for s in system.solids if isinstance(s, SolutionSolid))
    melts = Melts(system, np.column_stack([np.linspace(0, 1, 21), 1 - np.linspace(0, 1, 21)]))
    whole, _ = melts.solid_temperature(solid)
    part, _ = melts.solid_temperature(solid, side)
    assert np.all(part <= whole + 0.05)


def test_potentials_are_those_of_the_activities():
    """R T ln x plus the excess: at one temperature `potentials` and `excess_potentials` say the same."""
    system, x = salt_system(("NaCl", "KCl", "MgCl2")), random_fractions(6, 3)
    ideal = R * 1000.0 * np.log(x)
    expected = ideal + system.excess_potentials(x, 1000.0)
    assert Melts(system, x).potentials(1000.0) == pytest.approx(expected, rel=1e-9)


def test_solids_are_named_before_their_composition_is_known():
    assert [s.name for s in salt_system(("LiCl", "NaCl", "KCl")).solids] == ["(Li,Na,K)Cl"]
    assert [s.name for s in salt_system(("LiF", "CaF2")).solids] == ["LiF", "CaF2"]


def test_the_field_is_smooth_except_where_the_first_solid_changes():
    """Neighbours on a 1 % grid differ by less than the steepest liquidus of these salts allows (60 K per mol%)."""
    x = simplex_grid(3, 100)
    found = liquidus_field(("NaCl", "KCl", "MgCl2"), x)
    T = {tuple(np.rint(100 * row).astype(int)): value for row, value in zip(x, found.T_K, strict=True)}
    steps = [abs(value - T[a + 1, b - 1, c]) for (a, b, c), value in T.items() if b > 0]
    assert max(steps) < 60


def test_a_newton_step_below_the_floor_does_not_come_back_to_it_for_ever():
    """SrF2 from a strongly bonding melt: the step from above falls below the floor, where the solid still forms."""
    system = made_up_system(("CsF", "SrF2"), pair_model("CsF", "SrF2", ((-40619.5, 13.5398),)))
    x = np.linspace(0.18, 0.20, 81)
    strontium = next(solid for solid in system.solids if solid.name == "SrF2")
    T, _ = Melts(system, np.stack([1 - x, x], axis=1)).solid_temperature(strontium)
    assert np.abs(np.diff(T)).max() < 30  # 0.025 mol% apart; the fault jumped by 1200 K
