"""Dissolved alumina: dilution by oxyfluoride ions, saturation, and what freezes first. Published values elsewhere."""

from itertools import pairwise

import numpy as np
import pytest

from thermo.equilibrium.freezing.cryolite import (
    alumina_oxygen,
    alumina_saturation,
    alumina_value,
    bath_liquidus,
    oxyfluoride_ions,
)
from thermo.equilibrium.freezing.liquidus import liquidus
from thermo.records.baths import bath_composition, bath_name
from thermo.records.composition import formula_mass, from_amounts
from thermo.records.provenance import InputError, RangeError
from thermo.records.units import celsius, kelvin


def test_the_two_ions_share_the_oxygen():
    o = np.array([1e-6, 0.01, 0.1, 0.5])
    K = alumina_value("dioxygen_constant")
    r = oxyfluoride_ions(o)
    # r = r1 + r2 and o = r1 + 2 r2, so r2 = o - r and r1 = 2 r - o
    assert o - r == pytest.approx(K * (2 * r - o) ** 2, rel=1e-9)
    assert r[0] == pytest.approx(o[0], rel=1e-4)  # the first oxygen makes an ion of its own
    assert ((o / 2 < r) & (r < o)).all()


def test_oxygens_by_hand():
    # 100 g with 5 g alumina: 3 x 0.04904 mol O; 95 g cryolite is 4 x 0.45252 formulas of salt
    cryolite = bath_composition(0, {}, 5)
    by_hand = 3 * 5 / formula_mass("Al2O3") / (4 * 95 / (3 * formula_mass("NaF") + formula_mass("AlF3")))
    assert alumina_oxygen(cryolite, 5) == pytest.approx(by_hand, rel=1e-9)


@pytest.mark.parametrize("excess", [0.0, 8.0])
def test_without_alumina_it_is_the_liquidus_of_the_salts(excess):
    mix = bath_composition(excess, {"CaF2": 5.0}, 0)
    found, plain = bath_liquidus(mix), liquidus(mix)
    assert (found.T_K, found.sigma_K, found.first_solid) == (plain.T_K, plain.sigma_K, plain.first_solid)


def test_the_first_alumina_acts_as_three_particles():
    # limit of dilution: dT = -(R T^2 / H) n, three ions against one of CaF2 (one particle, same law)
    def slope(additions, alumina):
        moles = 0.01 / formula_mass("Al2O3" if alumina else "CaF2")
        T = bath_liquidus(bath_composition(0, additions, alumina), alumina).T_K
        return (bath_liquidus(bath_composition(0, {}, 0)).T_K - T) / moles

    # 0.01 mass% of CaF2 bends nothing yet; the second kind of ion takes 2 % of the alumina's oxygen
    assert slope({}, 0.01) / slope({"CaF2": 0.01}, 0.0) == pytest.approx(3, rel=0.03)


def test_alumina_lowers_less_and_less_and_widens_the_band():
    pct = np.array([0.0, 2.0, 4.0, 6.0, 8.0])
    found = [bath_liquidus(bath_composition(0, {}, w), w) for w in pct]
    steps = np.diff([f.T_K for f in found])
    assert (steps < 0).all()
    assert (np.diff(steps) > 0).all()
    assert all(a.sigma_K < b.sigma_K for a, b in pairwise(found))


def test_more_than_dissolves_freezes_as_alumina_where_it_would_dissolve():
    name = bath_name(bath_composition(0, {}, 14), 14)
    found = bath_liquidus(bath_composition(0, {}, 14), 14)
    assert found.first_solid == "Al2O3"
    assert alumina_saturation(name, found.T_K) == pytest.approx(14, rel=1e-9)
    # 0.29 mass% over the slope B w / t of the equation
    assert found.sigma_K == pytest.approx(0.29 * celsius(found.T_K) / (4.8 * 14), rel=1e-9)
    assert any("undissolved" in note for note in found.notes)


def test_saturation_of_cryolite_by_hand():
    # A = 11.9, B = 4.8 without additions; at 1000 deg C 11.9 mass%
    name = bath_name(bath_composition(0, {}, 0))
    assert alumina_saturation(name, kelvin(1000)) == pytest.approx(11.9, rel=1e-9)
    assert alumina_saturation(name, kelvin(960)) == pytest.approx(11.9 * 0.96**4.8, rel=1e-9)
    salty = bath_name(bath_composition(10, {"LiF": 2.0, "CaF2": 5.0, "MgF2": 1.0}, 0))
    A = 11.9 - 0.62 - 0.3 - 1.0 - 1.0 - 0.3 + 42 * 20 / 2020
    B = 4.8 - 0.48 + 2.2 * 2**1.5 / (10 + 2 + 1)
    assert alumina_saturation(salty, kelvin(950)) == pytest.approx(A * 0.95**B, rel=1e-9)


def test_notes_say_what_is_outside():
    cold = bath_liquidus(bath_composition(28, {"LiF": 10.0}, 2), 2)  # freezes below the 850 deg C of the span
    assert any("extrapolated" in note for note in cold.notes)
    assert any("KF" in note for note in bath_liquidus(bath_composition(5, {"KF": 3.0}, 2), 2).notes)
    assert any("excess AlF3 only" in note for note in bath_liquidus(bath_composition(-4, {}, 2), 2).notes)
    assert any("hypothetical liquid AlF3" in note for note in bath_liquidus(bath_composition(5, {}, 0)).notes)


def test_alumina_belongs_into_cryolite_baths():
    with pytest.raises(InputError, match="NaF and AlF3"):
        bath_liquidus(from_amounts({"LiF": 1, "NaF": 1}), 2.0)


@pytest.mark.parametrize("alumina", [-1.0, 21.0, 100.0, float("nan")])
def test_no_bath_holds_such_an_amount(alumina):
    with pytest.raises(InputError, match="allowed is 0 to 20"):
        bath_liquidus(bath_composition(0, {}, 0), alumina)


@pytest.mark.parametrize("additions", [{"CaF2": 60.0}, {"MgF2": 40.0}, {"LiF": 24.0}])
@pytest.mark.parametrize("alumina", [0.0, 3.0])
def test_where_the_saturation_equation_has_fallen_to_nothing_it_is_refused(additions, alumina):
    """A = 11.9 - 0.20 c - 0.30 m - 0.50 l: nothing left at 59.5 CaF2, 39.7 MgF2, 23.8 LiF."""
    mix = bath_composition(0, additions, alumina)
    with pytest.raises(RangeError, match=f"{next(iter(additions))} .*allowed are additions"):
        bath_liquidus(mix, alumina)
