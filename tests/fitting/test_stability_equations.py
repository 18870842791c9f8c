"""What a diagram forbids: which conditions a made-up pair breaks, how it is active, and that derivatives are right."""

import numpy as np
import pytest

from tests.made_up import changed, invariant_row, observer, pair_model
from thermo.equilibrium.invariants.pair import pair_invariants
from thermo.fitting.pair_fit import fit_pair
from thermo.fitting.stability_equations import (
    CURVATURE_SHARE,
    CURVATURE_SIGMA,
    ActiveSet,
    EDGE_J_mol,
    equations_of,
    first_solid_conditions,
    melting_conditions,
    stability_equations,
)
from thermo.laws.mixing import REFERENCE_K

PAIR = ("KCl", "CaCl2")  # KCaCl3 melts congruently, says data/double_salts.csv


def bound(dH: float):
    return pair_model(*PAIR, ((-40000.0, 8.0), (-6000.0, 1.0)), doubles={"KCaCl3": (dH, 1.0)})


STRONG, WEAK = bound(-26000.0), bound(-1000.0)


def by_name(conditions) -> dict:
    return {condition.name: condition for condition in conditions}


def test_a_double_salt_that_melts_as_reported_breaks_nothing():
    active = ActiveSet()
    design, target = equations_of(observer(STRONG), [], active)
    assert active.conditions == set()
    assert design.shape == (0, len(STRONG.parameters))
    assert target.shape == (0,)


def test_a_double_salt_too_weak_to_reach_its_melting_point_is_active():
    active = ActiveSet()
    design, target = equations_of(observer(WEAK), [], active)
    names = {name for name in active.conditions if name[0] == "congruent"}
    assert names
    assert design.shape == (len(active.conditions), len(WEAK.parameters))
    # active means D of the other solid at its edge: the equation asks for a change of just that much
    for condition in by_name(melting_conditions(observer(WEAK), [])).values():
        if condition.name in names:
            (row,) = [k for k in range(len(design)) if np.allclose(design[k], condition.row / condition.sigma)]
            change = target[row] - design[row] @ WEAK.values
            assert change == pytest.approx((-EDGE_J_mol - condition.value) / condition.sigma)


@pytest.mark.parametrize("model", [STRONG, WEAK], ids=["strong", "weak"])
@pytest.mark.parametrize("parameter", range(6))
def test_the_derivative_follows_the_melting_point_as_it_moves(model, parameter):
    step = np.zeros(len(model.values))
    step[parameter] = 1e-3 * max(abs(model.values[parameter]), 1.0)
    there, back = (
        by_name(melting_conditions(observer(changed(model, values=model.values + s)), [])) for s in (step, -step)
    )
    for name, condition in by_name(melting_conditions(observer(model), [])).items():
        numeric = (there[name].value - back[name].value) / (2 * step[parameter])
        # second order in a step of a thousandth; T is found to 1e-4 K
        assert numeric == pytest.approx(condition.row[parameter], rel=2e-3, abs=5e-3 / step[parameter])


def test_another_solid_at_a_published_eutectic_is_seen():
    row = invariant_row(PAIR, "eutectic", 0.5, 850.0, ("KCl", "CaCl2"), x_sigma=0.01)
    (condition,) = first_solid_conditions(observer(STRONG), [row])
    assert condition.name == ("first solid", "0", "KCaCl3")
    assert condition.value > condition.edge  # KCaCl3 would freeze there
    active = ActiveSet()
    equations_of(observer(STRONG), [row], active)
    assert condition.name in active.conditions
    barred = invariant_row(PAIR, "eutectic", 0.5, 850.0, ("KCl", "CaCl2"), use="no")
    assert list(first_solid_conditions(observer(STRONG), [barred])) == []


def test_a_condition_is_released_once_and_only_once():
    active, name = ActiveSet(), ("stability", "3")
    assert not active.includes(name, 0.5)
    assert active.includes(name, -0.1)
    assert not active.includes(name, 0.5)  # not pressed against: it would pull
    assert active.includes(name, -0.1)
    assert active.includes(name, 0.5)  # a second time it stays, or the fit would go back and forth


def test_a_melt_that_would_unmix_is_active_at_its_share():
    split = pair_model("NaCl", "CsCl", ((22000.0, 0.0),))
    active = ActiveSet()
    design, target = stability_equations(observer(split), active)
    assert len(design) == len(active.conditions) > 5
    share = (target - design @ split.values) * CURVATURE_SIGMA  # by how much the share must rise
    assert (share > 0).all()
    assert len(stability_equations(observer(pair_model("NaCl", "CsCl", ((-5000.0, 0.0),))), ActiveSet())[0]) == 0
    assert CURVATURE_SHARE > 0


def test_a_fit_keeps_the_way_of_melting_that_is_on_file():
    """KF-CeF3: K3CeF6 falls apart at 675 deg C, printed without a composition; left alone it would melt at 670."""
    points = pair_invariants("KF", "CeF3")
    assert not any(p.kind == "congruent" and p.solids == ("K3CeF6",) for p in points)
    assert any(p.kind == "peritectic" and set(p.solids) == {"K3CeF6", "KCeF4"} for p in points)
    model = fit_pair("KF", "CeF3").model
    assert model.double_salts()["K3CeF6"][0] - REFERENCE_K * model.double_salts()["K3CeF6"][1] < 0
