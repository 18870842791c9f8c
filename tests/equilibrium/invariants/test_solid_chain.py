"""What a pair's solids do without melt: decomposition temperatures and gaps with closed forms."""

import numpy as np
import pytest

from tests.made_up import changed, made_up_system, pair_model
from thermo.equilibrium.invariants.solid_chain import SolidChain, pair_solution
from thermo.equilibrium.system.one_anion import SaltSystem
from thermo.laws.solid_solution import SolutionSolid
from thermo.laws.unmixing import PairSolution
from thermo.records.units import R

A, B = "KCl", "MgCl2"


def chain(*models, salts=(A, B)) -> SolidChain:
    return SolidChain(made_up_system(salts, *models))


def names(found: SolidChain, key) -> tuple[str, ...]:
    return tuple(found.solids[n].name for n in key)


def test_two_pure_salts_share_one_line_at_every_temperature():
    found = chain(pair_model(A, B))
    (line,) = found.lines(400.0)
    assert (line.left, line.right) == (0.0, 1.0)
    (stretch,), changes = found.history(300.0, 900.0)
    assert (stretch.low_K, stretch.high_K, stretch.closes, changes) == (300.0, 900.0, False, ())


@pytest.mark.parametrize(("dH", "dS", "stable_above"), [(-12000.0, -20.0, False), (12000.0, 20.0, True)])
def test_a_double_salt_falls_apart_at_dH_over_dS(dH, dS, stable_above):
    found = chain(pair_model(A, B, doubles={"KMgCl3": (dH, dS)}))
    stretches, (change,) = found.history(300.0, 900.0)
    assert pytest.approx(dH / dS, abs=1e-3) == change.T_K
    assert change.stable_above is stable_above
    assert names(found, change.solids) == (A, "KMgCl3", B)
    assert change.xs == (0.0, 0.5, 1.0)
    whole = next(s for s in stretches if names(found, s.solids) == (A, B))
    assert (whole.high_K if stable_above else whole.low_K) == change.T_K


def test_a_double_salt_falls_apart_into_its_neighbours():
    """K2MgCl4 = KCl + KMgCl3: dH of the reaction 4 kJ, dS 5 J/K, so 800 K."""
    found = chain(pair_model(A, B, doubles={"KMgCl3": (-30000.0, 0.0), "K2MgCl4": (-34000.0, -5.0)}))
    _, (change,) = found.history(300.0, 1000.0)
    assert pytest.approx(800.0, abs=1e-3) == change.T_K
    assert names(found, change.solids) == (A, "K2MgCl4", "KMgCl3")


def test_two_changes_between_two_levels_are_both_found():
    """Levels are 12.5 K apart; K2MgCl4 leaves the chain at 800 K, KMgCl3 at 803 K."""
    doubles = {"KMgCl3": (-30000.0, -30000.0 / 803.0), "K2MgCl4": (-34000.0, -5.0 - 30000.0 / 803.0)}
    _, changes = chain(pair_model(A, B, doubles=doubles)).history(300.0, 1500.0)
    assert [change.T_K for change in changes] == pytest.approx([800.0, 803.0], abs=1e-2)


def test_a_gap_closes_at_its_critical_point():
    found = chain(pair_model("NaCl", "KCl", solid=((14000.0, 0.0),)), salts=("NaCl", "KCl"))
    (stretch,), changes = found.history(400.0, 1100.0)
    assert stretch.closes
    assert stretch.high_K == pytest.approx(14000.0 / (2 * R), rel=1e-9)
    assert changes == ()
    assert found.lines(900.0) == ()


def test_a_double_salt_within_a_solid_solution_touches_it_on_both_sides():
    model = pair_model("LiCl", "CaCl2", solid=((15000.0, 0.0),), doubles={"LiCaCl3": (-3000.0, 0.0)})
    found = chain(model, salts=("LiCl", "CaCl2"))
    first, second = found.lines(600.0)
    assert first.right == second.left == 0.5
    assert first.left == pytest.approx(1 - second.right, abs=1e-7)  # a regular solution is a mirror
    (mixing,) = found.mixings.values()
    x = first.left
    assert mixing.energy(x, 600.0) + (0.5 - x) * mixing.slope(x, 600.0) == pytest.approx(-1500.0, abs=1e-4)


@pytest.mark.parametrize("salts", [("NaCl", "KCl"), ("KCl", "NaCl")])
def test_the_solution_keeps_its_bend_whichever_salt_is_named_first(salts):
    system = SaltSystem(salts, {frozenset(salts): pair_model("NaCl", "KCl", solid=((20000.0, -8.0), (2000.0, 0.3)))})
    (solid,) = (s for s in system.solids if isinstance(s, SolutionSolid))
    sign = 1 if salts == ("NaCl", "KCl") else -1
    assert pair_solution(solid) == PairSolution((20000.0, sign * 2000.0), (-8.0, sign * 0.3))
    y = np.array([[0.7, 0.3]])
    A, B = solid.excess_potentials(y)
    excess = float((y * (A + 700.0 * B)).sum())
    assert pair_solution(solid).excess(0.3, 700.0) == pytest.approx(excess)


HOSTED = pair_model("LiCl", "MgCl2", hosts={"LiCl": (7000.0, 3000.0, -20.0, 500.0)})
EACH = pair_model("LiCl", "CaCl2", hosts={"LiCl": (8000.0, 4000.0, 5.0), "CaCl2": (6000.0, 3000.0)},
                  doubles={"LiCaCl3": (-800.0, 1.0)})  # fmt: skip
SHARED = pair_model("NaCl", "KCl", solid=((21000.0, -3.0), (3000.0, 0.5)))


def test_a_host_and_the_crystal_of_its_stranger_share_one_line():
    found = chain(HOSTED, salts=HOSTED.salts)
    (line,) = found.lines(800.0)
    assert names_of(found, line) == [("LiCl", "MgCl2"), "MgCl2"]
    (mixing,) = found.mixings.values()
    x = line.left
    assert mixing.energy(x, 800.0) + (1 - x) * mixing.slope(x, 800.0) == pytest.approx(0.0, abs=1e-4)
    assert line.right == 1.0


def names_of(found: SolidChain, line) -> list:
    solids = [found.solids[n] for n in line.solids]
    return [s.formulas if isinstance(s, SolutionSolid) else s.name for s in solids]


def test_a_double_salt_stands_between_two_kinds_of_crystal():
    found = chain(EACH, salts=EACH.salts)
    first, second = found.lines(500.0)
    assert names_of(found, first)[1] == names_of(found, second)[0] == "LiCaCl3"
    assert 0 < first.left < 0.5 < second.right < 1


CASES = [
    pytest.param(HOSTED, 800.0, 0, id="host beside a pure salt"),
    pytest.param(EACH, 500.0, 0, id="host beside a double salt"),
    pytest.param(pair_model("LiCl", "CaCl2", hosts={"LiCl": (8000.0, 4000.0, 5.0),
                 "CaCl2": (6000.0, 3000.0)}), 700.0, 0, id="two kinds of crystal"),
    pytest.param(SHARED, 700.0, 0, id="two sides of one solution"),
]  # fmt: skip


@pytest.mark.parametrize(("model", "T_K", "at"), CASES)
def test_ends_answer_every_parameter_and_the_temperature(model, T_K, at):
    """Lines found again with each parameter, and T, moved a little."""
    found = chain(model, salts=model.salts)
    line = found.lines(T_K)[at]

    def ends(values, T: float = T_K) -> np.ndarray:
        moved = chain(changed(model, values=values), salts=model.salts).lines(T)[at]
        return np.array([moved.left, moved.right])

    def shares(shift: float) -> np.ndarray:
        places = [(found.solids[n], x + shift) for n, x in zip(line.solids, (line.left, line.right), strict=True)]
        return np.array([[solid.share(model.salts, name, T_K, np.array([1 - x, x])) for name in model.parameters]
                         for solid, x in places])  # fmt: skip

    moves = found.end_moves(line, T_K, shares(0.0), (shares(1e-5) - shares(-1e-5)) / 2e-5)
    for n, value in enumerate(model.values):
        step = max(1e-3 * abs(value), 1e-3) * np.eye(len(model.values))[n]
        expected = (ends(model.values + step) - ends(model.values - step)) / (2 * step[n])
        assert moves[:, n] == pytest.approx(expected, rel=1e-3, abs=1e-12), model.parameters[n]
    expected = (ends(model.values, T_K + 0.1) - ends(model.values, T_K - 0.1)) / 0.2
    assert found.end_moves_by_T(line, T_K) == pytest.approx(expected, rel=1e-3, abs=1e-12)
