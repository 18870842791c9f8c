"""Sections of magnesium fluoride with rare-earth chlorides in the joint update: which take part, what they move."""

import numpy as np
import pytest

from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.driving_force import Melts
from thermo.equilibrium.system.two_anions import NEIGHBOURS_SIGMA, EXCHANGE_SIGMA_J_mol, ReciprocalSystem
from thermo.fitting.joint.of_two_anions import two_anion_equations
from thermo.fitting.two_anion_error import residuals
from thermo.records.fitted import pair_fits, pair_models
from thermo.records.joint import joint_update
from thermo.records.provenance import Origin
from thermo.records.published import invariants

EQUATIONS = two_anion_equations()


def test_only_melts_that_rest_on_estimated_pairs_take_part():
    assert {own.salts for own in EQUATIONS} == {(f"{metal}Cl3", "MgF2") for metal in ("La", "Ce", "Nd")}
    for own in EQUATIONS:
        assert set(own.solids) == set(own.salts)
        owners = {owner for owner, _ in own.keys if len(owner) == 2}
        assert any(pair_fits()[owner].status == Origin.ESTIMATED for owner in owners)


def test_the_misfit_is_that_of_the_pairs_before():
    own = next(own for own in EQUATIONS if own.salts == ("LaCl3", "MgF2"))
    left = {r.solid: r.D for r in residuals() if r.melt.salts == own.salts}
    assert dict(zip(own.solids, -own.misfit, strict=True)) == pytest.approx(left, abs=20)  # others move MgF2-MgCl2


def test_gradients_are_what_a_change_of_a_pair_does():
    """MgF2-NdF3 and MgCl2-NdCl3 10 J/mol stronger; D is linear in them."""
    own = next(own for own in EQUATIONS if own.salts == ("NdCl3", "MgF2"))
    x, T = np.array([own.point.fractions]), np.array([own.point.T_K])
    for pair in (frozenset(("MgF2", "NdF3")), frozenset(("MgCl2", "NdCl3"))):
        models = {key: pair_fits()[key] for key in pair_fits()}
        n = next(k for k, (owner, term) in enumerate(own.keys) if owner == pair and str(term) == "liquid:a0")
        moved = models[pair].values.copy()
        moved[models[pair].parameters.index(own.keys[n][1])] += 10.0
        changed = models | {pair: type(models[pair])(**{**vars(models[pair]), "values": moved})}
        more, less = (ReciprocalSystem(own.salts, given).liquid(x).at(T)[0][0] for given in (changed, models))
        at = ReciprocalSystem(own.salts, models).constituents.index("MgF2")
        assert own.gradients[own.solids.index("MgF2"), n] == pytest.approx((more - less)[at] / 10, rel=1e-6)


def test_what_the_law_leaves_open_is_noise():
    """The energies of exchange and Z, each one error of both solids."""
    own = next(own for own in EQUATIONS if own.salts == ("CeCl3", "MgF2"))
    system, x = ReciprocalSystem(own.salts, pair_fits()), np.array(own.point.fractions)
    law = np.zeros((2, 2))
    rows = []
    for solid in own.solids:
        weights = np.eye(len(system.constituents))[system.constituents.index(solid)]
        by_E, by_Z = system.law_slopes(x, weights, own.point.T_K)
        sigma = np.hypot(system.formation_sigmas(), EXCHANGE_SIGMA_J_mol * system.charges)
        rows.append(np.append(by_E * sigma, by_Z * NEIGHBOURS_SIGMA))
    law = np.array(rows) @ np.array(rows).T
    rest = own.noise - law
    assert law[0, 0] > 0.5 * own.noise[0, 0]
    assert np.linalg.eigvalsh(rest).min() > 500.0**2  # temperature, place and the surface's 550 J/mol


def test_what_they_move():
    """Estimated pairs of magnesium move within their own sigma; its fitted neighbours hardly."""
    for metal in ("La", "Ce", "Nd"):
        for anion in ("F", "Cl"):
            key = frozenset((f"Mg{anion}2", f"{metal}{anion}3"))
            shift, sigma = (
                pair_models()[key].values - pair_fits()[key].values,
                np.sqrt(np.diag(pair_fits()[key].covariance)),
            )
            assert (np.abs(shift) < sigma).all()
    eutectic = invariants("MgF2", "MgCl2")[0]
    measured = frozenset(eutectic.pair)
    shift = pair_models()[measured].values - pair_fits()[measured].values
    assert (np.abs(shift) < 0.02 * np.sqrt(np.diag(pair_fits()[measured].covariance))).all()


@pytest.mark.parametrize("salts", [("MgCl2", "NdCl3"), ("NdCl3", "MgF2"), ("MgCl2", "NdCl3", "NdF3")])
def test_pairs_without_points_are_as_sure_as_the_update_leaves_them(salts):
    system = salt_system(salts)
    key = frozenset(("MgCl2", "NdCl3"))
    at = [n for n, (owner, _) in enumerate(system.keys) if owner == key]
    found = system._together[np.ix_(at, at)]
    assert found == pytest.approx(joint_update().covariance([system.keys[n] for n in at], pair_fits()[key].covariance))
    assert found[0, 0] < 0.5 * pair_fits()[key].covariance[0, 0]


def test_two_salts_with_points_carry_the_update_too():
    """Their parameters are those after it, so their covariance is; the points of the pair leave it close to its fit."""
    system = salt_system(("NaCl", "KCl"))
    key = frozenset(system.salts)
    fits = pair_fits()[key]
    found = system._together[: len(fits.parameters), : len(fits.parameters)]
    keys = [(key, parameter) for parameter in fits.parameters]
    assert found == pytest.approx(joint_update().covariance(keys, fits.covariance))
    half = Melts(system, np.array([[0.5, 0.5]]))
    solid, T_K, y = half.first_solid()
    row = np.concatenate(system.parameter_gradient(solid, half.x[0], T_K, y))[: len(fits.parameters)]
    assert row @ found @ row == pytest.approx(row @ fits.covariance @ row, rel=0.05)  # seven points hold its minimum
