"""Newton's rule for given phases: exact balance, phases used up, potentials that nothing fixes stay."""

import numpy as np
import pytest

from thermo.equilibrium.phases.balance import phase_balance
from thermo.equilibrium.phases.candidates import Pool
from thermo.equilibrium.phases.newton import exact_balance, unspanned
from thermo.equilibrium.phases.part import Part


def kind(phases, name: str) -> int:
    return len(phases.mixtures) + next(k for k, s in enumerate(phases.fixed) if s.name == name)


def test_salt_and_melt_settle_to_the_lever_rule():
    phases, T, mix = phase_balance(("NaCl", "CaCl2")), 820.0, np.array([0.3, 0.7])
    parts = [Part(kind(phases, "CaCl2"), np.array([0.0, 1.0]), 0.2), Part(0, np.array([0.4, 0.6]), 0.8)]
    found, potentials, _ = exact_balance(
        phases.mixtures, parts, mix, np.array([-3e3, 0.0]), T, phases.fixed_energies(T)
    )
    solid, melt = found
    assert solid.amount + melt.amount == pytest.approx(1.0, abs=1e-12)
    assert melt.amount * melt.x[0] == pytest.approx(0.3, abs=1e-9)
    assert phases.liquid.potentials(melt.x[None, :], T)[0] == pytest.approx(potentials, abs=1e-4)
    assert potentials[1] == pytest.approx(0.0, abs=1e-9)


def test_a_phase_that_is_used_up_leaves():
    phases, T, mix = phase_balance(("NaCl", "CaCl2")), 1000.0, np.array([0.3, 0.7])
    parts = [Part(kind(phases, "CaCl2"), np.array([0.0, 1.0]), 0.0), Part(0, mix.copy(), 1.0)]
    found, *_ = exact_balance(phases.mixtures, parts, mix, np.array([-3e3, 0.0]), T, phases.fixed_energies(T))
    assert [part.kind for part in found] == [0]
    assert found[0].amount == pytest.approx(1.0, abs=1e-12)


def test_prices_that_the_solids_leave_open_stay():
    """(Na,K)Cl with KF's ions elsewhere: of Na, K, F the solid solution fixes two potentials."""
    phases, T = phase_balance(("NaCl", "KCl", "NaF")), 800.0
    solid = next(k for k, m in enumerate(phases.mixtures) if m.solid and set(m.solid.formulas) == {"NaCl", "KCl"})
    parts = [Part(solid, np.array([0.5, 0.5]), 1.0)]
    assert unspanned(phases.mixtures, parts) == pytest.approx(np.array([[0.0, 0.0, 1.0]]), abs=1e-12)
    mix, start = np.array([0.3, 0.7, 0.0]), np.array([-4e3, -4e3, 12345.0])
    _, potentials, _ = exact_balance(phases.mixtures, parts, mix, start, T, phases.fixed_energies(T))
    assert potentials[2] == pytest.approx(12345.0, abs=1e-6)


def test_candidates_stand_in_the_order_of_their_kinds():
    phases = phase_balance(("NaCl", "CaCl2"))
    pool, solids = Pool(phases, 900.0, True), Pool(phases, 900.0, False)
    assert len(pool.energies) == len(pool.columns) == len(pool.kinds)
    assert len(solids.energies) == len(pool.energies) - len(phases.liquid.grid)
    start, stop = pool.blocks[-1]
    assert (pool.kinds[start:stop] == len(phases.mixtures) - 1).all()
    assert pool.energies[start:stop] == pytest.approx(phases.liquid.grid_energies(900.0))
    pool.add(0, np.array([[0.5, 0.5]]), np.array([-1.0]))
    assert (pool.kinds[-1], pool.energies[-1]) == (0, -1.0)


def test_phases_that_are_one_and_the_same_are_taken_together():
    """Two halves of one solid solution: apart, their amounts could be anything that adds up to one."""
    phases, T, mix = phase_balance(("NaCl", "KCl")), 800.0, np.array([0.4, 0.6])
    parts = [Part(0, np.array([0.4, 0.6]), 0.3), Part(0, np.array([0.4 + 1e-9, 0.6 - 1e-9]), 0.7)]
    (found,), _, _ = exact_balance(phases.mixtures, parts, mix, np.zeros(2), T, phases.fixed_energies(T))
    assert found.amount == pytest.approx(1.0, abs=1e-12)


def test_an_answer_from_elsewhere_leads_to_the_same_balance():
    """That of 40 K above, where the melt is another: more steps, the same end to 1e-9."""
    phases, mix = phase_balance(("NaCl", "CaCl2")), np.array([0.3, 0.7])
    solid, start = kind(phases, "CaCl2"), np.array([-3e3, 0.0])

    def balanced(T: float, answer=None):
        parts = [Part(solid, np.array([0.0, 1.0]), 0.2), Part(0, np.array([0.4, 0.6]), 0.8)]
        return exact_balance(phases.mixtures, parts, mix, start, T, phases.fixed_energies(T), answer)

    *_, answer = balanced(860.0)
    (own, potentials, _), (far, far_potentials, _) = balanced(820.0), balanced(820.0, answer)
    assert [p.amount for p in far] == pytest.approx([p.amount for p in own], abs=1e-9)
    assert far[1].x == pytest.approx(own[1].x, abs=1e-9)
    assert far_potentials == pytest.approx(potentials, abs=1e-5)
