"""Solids along the liquidus: closed forms for ideal pairs, balances of three phases, and sigma by brute force."""

from itertools import pairwise

import numpy as np
import pytest
from scipy.optimize import brentq

from tests.made_up import ExactSalts, changed, made_up_system, pair_model
from thermo.equilibrium.invariants.pair import pair_invariants
from thermo.equilibrium.invariants.sigma import balance_sigma
from thermo.equilibrium.invariants.solidus_curve import SolidusCurve, composed
from thermo.equilibrium.system.build import salt_system
from thermo.laws.gibbs import fusion_gibbs
from thermo.laws.solid_solution import SolutionSolid
from thermo.laws.unmixing import PairSolution
from thermo.records.fitted import pair_models
from thermo.records.units import R

FREEZING_TWO = [("LiCl", "KCl"), ("NaCl", "CaCl2"), ("KCl", "MgCl2"), ("LiF", "NaF"), ("NaF", "KF"), ("MgF2", "CaF2")]


def ideal_eutectic(a: str, b: str) -> tuple[float, float]:
    """x of b and T where both pure salts freeze from an ideal melt: R T ln x_i = -fusion_i(T), summed to one."""

    def surplus(T_K: float) -> float:
        return sum(np.exp(-fusion_gibbs(f, T_K) / (R * T_K)) for f in (a, b)) - 1

    T_K = brentq(surplus, 400.0, 1000.0)
    return float(np.exp(-fusion_gibbs(b, T_K) / (R * T_K))), T_K


@pytest.mark.parametrize(("a", "b"), [("NaCl", "CaCl2"), ("LiCl", "KCl"), ("KCl", "NaCl")])
def test_an_ideal_pair_has_its_ideal_eutectic(a, b):
    (meeting,) = SolidusCurve(made_up_system((a, b), pair_model(a, b))).meetings()
    assert (meeting.x, meeting.T_K) == pytest.approx(ideal_eutectic(a, b), rel=1e-7)
    assert meeting.kind == "eutectic"
    assert meeting.shares == (0.0, 1.0)


def test_an_ideal_solution_in_both_phases_has_the_lens_of_its_fusion_energies():
    """y_i / x_i = exp(fusion_i / R T), so 1 = sum x_i exp(fusion_i / R T)."""
    curve = SolidusCurve(made_up_system(("KCl", "RbCl"), pair_model("KCl", "RbCl", solid=((0.0, 0.0),))))
    for i in (80, 300, 700):
        T_K, x = curve.T[i], curve.x[i]
        ratio = [np.exp(fusion_gibbs(f, T_K) / (R * T_K)) for f in ("KCl", "RbCl")]
        assert (1 - x) * ratio[0] + x * ratio[1] == pytest.approx(1, abs=1e-7)
        assert curve.y[i] == pytest.approx(x * ratio[1], rel=1e-5)
    assert curve.meetings() == []


@pytest.mark.parametrize(("a", "b"), FREEZING_TWO)
def test_the_meetings_are_the_invariants_of_the_pair(a, b):
    """Two codes for one thing: crossing of two curves there, one balance of three phases here."""
    invariants = [p for p in pair_invariants(a, b) if p.kind in ("eutectic", "peritectic")]
    meetings = SolidusCurve(salt_system((a, b))).meetings()
    assert [m.kind for m in meetings] == [p.kind for p in invariants]
    for meeting, point in zip(meetings, invariants, strict=True):
        assert pytest.approx(point.T_K, abs=0.05) == meeting.T_K  # the curves' solutions are settled to 0.03 K
        assert meeting.x == pytest.approx(point.fractions[1], abs=2e-4)


def melt_and_solid_potentials(system, meeting) -> list[float]:
    """mu of both salts in the melt less those in each solid solution, J/mol."""
    x, T = meeting.x, np.array([meeting.T_K])
    logs = R * meeting.T_K * np.log([1 - x, x])
    excess = system.excess_potentials(np.array([[1 - x, x]]), meeting.T_K)[0]
    fusion = system.fusion((0, 1)).energy_and_slope(T)[0][0]
    left = []
    for solid, share in zip(meeting.solids, meeting.shares, strict=True):
        y = np.array([[1 - share, share]])
        A, B = solid.excess_potentials(y)
        left += list(logs + excess + fusion - R * meeting.T_K * np.log(y[0]) - A[0] - meeting.T_K * B[0])
    return left


@pytest.mark.parametrize("bend", [0.0, 3000.0, -3000.0])
@pytest.mark.parametrize(("a", "b"), [("NaCl", "KCl"), ("RbCl", "KCl"), ("LiF", "NaF")])
def test_three_phases_of_a_split_solution_are_in_balance(a, b, bend):
    system = made_up_system((a, b), pair_model(a, b, solid=((26000.0, 0.0), (bend, 0.0))))
    (meeting,) = SolidusCurve(system).meetings()
    assert melt_and_solid_potentials(system, meeting) == pytest.approx([0.0] * 4, abs=0.02)
    solution = PairSolution((26000.0, bend), (0.0, 0.0))
    assert meeting.shares == pytest.approx(solution.gaps(meeting.T_K)[0], abs=1e-6)


def test_a_peritectic_with_both_sides_of_the_gap_on_one_side_of_the_middle_is_found():
    """A bent solid solution whose gap lies wholly below 50 mol%, and a melt outside both solids."""
    solution = PairSolution((14760.0, 5265.0), (0.0, 0.0))
    model = pair_model("RbF", "CaF2", solid=((14760.0, 0.0), (5265.0, 0.0)))
    (meeting,) = SolidusCurve(made_up_system(("RbF", "CaF2"), model)).meetings()
    assert meeting.kind == "peritectic"
    assert meeting.x < meeting.shares[0] < meeting.shares[1] < 0.5
    assert meeting.shares == pytest.approx(solution.gaps(meeting.T_K)[0], abs=1e-6)


def test_a_pair_that_never_freezes_together_has_a_gap_in_the_list():
    """An attraction of 200 kJ/mol: no solid forms above the lower limit of the laws."""
    system = made_up_system(("NaCl", "CaCl2"), pair_model("NaCl", "CaCl2", liquid=((-200000.0, 0.0),)))
    assert SolidusCurve(system).meetings() == [None]


@pytest.mark.parametrize(("a", "b"), [("LiCl", "KCl"), ("LiF", "NaF"), ("MgCl2", "CaCl2"), ("KCl", "SrCl2")])
def test_sigma_of_a_horizontal_is_what_the_parameters_do_to_it(a, b):
    """Each parameter moved by a tenth of its own sigma and the balance solved again; exact pure salts."""
    models = pair_models()
    model, key = models[frozenset((a, b))], frozenset((a, b))
    steps = 0.1 * np.sqrt(np.diag(model.covariance))

    def temperatures(values: np.ndarray) -> np.ndarray:
        return np.array(
            [m.T_K for m in SolidusCurve(ExactSalts((a, b), {key: changed(model, values=values)})).meetings()]
        )

    moves = []
    for n, step in enumerate(steps):
        nudge = np.where(np.arange(len(steps)) == n, step, 0.0)
        moves.append((temperatures(model.values + nudge) - temperatures(model.values - nudge)) / (2 * step))
    variance = np.einsum("im,ij,jm->m", moves, model.covariance, moves)
    found = [m.sigma_K for m in SolidusCurve(ExactSalts((a, b))).meetings()]
    assert found == pytest.approx(np.sqrt(variance), rel=0.02)


def test_sigma_without_uncertainty_is_zero():
    system = ExactSalts(("NaCl", "CaCl2"), {frozenset(("NaCl", "CaCl2")): pair_model("NaCl", "CaCl2")})
    (meeting,) = SolidusCurve(system).meetings()
    solids = [composed(*end) for end in zip(meeting.solids, meeting.shares, strict=True)]
    melt = np.array([1 - meeting.x, meeting.x])
    assert balance_sigma(system, melt, meeting.T_K, solids, melt) == 0.0


def test_runs_cover_the_whole_range():
    curve = SolidusCurve(salt_system(("KCl", "MgCl2")))
    runs = curve.runs()
    assert runs[0].start == 0
    assert runs[-1].stop == len(curve.x) - 1
    assert all(after.start == before.stop + 1 for before, after in pairwise(runs))
    assert not any(isinstance(run.solid, SolutionSolid) for run in runs)
