"""What the bounds exclude a search must not find, and what forms they must not exclude."""

import numpy as np
import pytest

from tests.made_up import made_up_system, pair_model
from tests.random_mixes import random_mixes, reciprocal_mixes
from thermo.equilibrium.phases.balance import PhaseBalance, phase_balance
from thermo.equilibrium.phases.mixture import TOLERANCE
from thermo.equilibrium.phases.part import Part
from thermo.equilibrium.system.driving_force import liquidus_field
from thermo.records.units import R

MIXES = [*random_mixes(20, seed=17), *reciprocal_mixes(4, seed=17, largest=4)]


def parts_of(phases, balance) -> list[Part]:
    return [Part(phases.kind(p), p.own, p.amount) for p in balance.phases]


@pytest.mark.parametrize("mix", MIXES, ids=lambda mix: "-".join(mix.salts))
def test_what_is_excluded_is_not_found_by_a_search_from_all_of_a_grid(mix):
    """At a balance every closed mixture is searched from its three lowest grid points: nothing below -1e-4 J/mol.

    The same at potentials raised by 0.2 R T of one component, where something may form: then it is named or left open.
    """
    phases = phase_balance(mix.salts)
    held = phases.mix(mix)
    top = float(liquidus_field(mix.salts, mix.array[None, :]).T_K[0])
    closed = 0
    for T in (top + 10, top - 20, 0.85 * top):
        balance = phases.at(held, T)
        for raised in (None, 0, len(held) - 1):
            potentials = balance.potentials.copy()
            if raised is not None:
                potentials[raised] += 0.2 * R * T
            parts = parts_of(phases, balance) if raised is None else []
            forms, left = phases.bounds.look(parts, potentials, T, len(phases.mixtures))
            if raised is None:
                assert forms is None
            for kind, mixture in enumerate(phases.mixtures):
                starts = mixture.starts(mixture.grid_gains(potentials, T), [], T, np.inf)
                lowest = mixture.most_stable(starts, potentials, T)[1].min()
                if kind not in left and forms is None:
                    closed += 1
                    assert lowest > -1e-4
                elif lowest < -1e-4:
                    assert forms is not None or kind in left
    assert closed or not any(m.solid for m in phases.mixtures)


def test_a_solid_that_forms_is_named_with_its_composition():
    """NaCl-CaCl2 10/90 all liquid 20 K below its liquidus: CaCl2 forms, by Newton's slope 20 K times its entropy."""
    phases, mix, T = phase_balance(("NaCl", "CaCl2")), np.array([0.1, 0.9]), 990.0
    mu = phases.liquid.potentials(mix[None, :], T)[0]
    forms, left = phases.bounds.look([Part(0, mix, 1.0)], mu, T, 1)
    assert left == []
    assert forms.x == pytest.approx([0.0, 1.0])
    assert mu[1] > TOLERANCE


def test_a_melt_that_is_not_there_is_left_to_a_search():
    phases, mix = phase_balance(("NaCl", "KCl")), np.array([0.5, 0.5])
    solids = phases.at(mix, 700.0)
    _, left = phases.bounds.look(parts_of(phases, solids), solids.potentials, 700.0, len(phases.mixtures))
    assert left == [len(phases.mixtures) - 1]


def test_a_melt_with_a_second_hollow_is_not_closed():
    """W = 3 R T: beside one of the two liquids alone, the other lies behind a hill."""
    pair, T = ("NaCl", "KCl"), 1200.0
    phases = PhaseBalance(made_up_system(pair, pair_model(*pair, liquid=((3 * R * T, 0.0),))))
    x = np.array([0.0707, 0.9293])
    mu = phases.liquid.potentials(x[None, :], T)[0]
    _, left = phases.bounds.look([Part(len(phases.mixtures) - 1, x, 1.0)], mu, T, len(phases.mixtures))
    assert left == [len(phases.mixtures) - 1]
