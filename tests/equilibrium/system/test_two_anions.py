"""Systems of two anions: constituents, limits of one anion, refusals, what freezes although nobody weighed it in."""

from dataclasses import replace

import numpy as np
import pytest

from thermo.equilibrium.freezing.liquidus import liquidus
from thermo.equilibrium.system.build import build_system, salt_system
from thermo.equilibrium.system.driving_force import Melts, liquidus_field
from thermo.equilibrium.system.one_anion import SaltSystem
from thermo.equilibrium.system.two_anions import ReciprocalSystem
from thermo.records.composition import from_amounts
from thermo.records.provenance import InputError
from thermo.records.ternary_terms import ternary_terms
from thermo.records.units import R


def test_the_anions_decide_which_system_is_built():
    assert isinstance(build_system(("NaCl", "KCl")), SaltSystem)
    system = build_system(("LiF", "KCl"))
    assert isinstance(system, ReciprocalSystem)
    assert system.constituents == ("LiF", "KF", "LiCl", "KCl")
    assert system.own == (0, 3)
    assert {solid.name for solid in system.solids if hasattr(solid, "name")} == set(system.constituents)


def test_a_trace_of_the_other_anion_changes_nothing():
    """NaCl-CaCl2 with a millionth of NaF: 0.05 K is what the dilution itself does, many times over."""
    plain = liquidus_field(("NaCl", "CaCl2"), np.array([[0.48, 0.52]])).T_K[0]
    traced = liquidus_field(("NaCl", "CaCl2", "NaF"), np.array([[0.48, 0.52 - 1e-6, 1e-6]])).T_K[0]
    assert traced == pytest.approx(plain, abs=0.05)


@pytest.mark.parametrize(
    ("amounts", "trace"),
    [
        ({"MgCl2": 20, "NaCl": 40, "KCl": 40}, "MgF2"),
        ({"LiCl": 58, "KCl": 42}, "KF"),
        ({"NaCl": 40, "KCl": 30, "CaCl2": 30}, "NaF"),
    ],
)
def test_a_trace_of_the_other_anion_leaves_the_band(amounts, trace):
    """The covariance after the joint update counts with two anions as with one; 1 % is the exchange's own share."""
    plain, traced = liquidus(from_amounts(amounts)), liquidus(from_amounts(amounts | {trace: 1e-6}))
    assert traced.sigma_K == pytest.approx(plain.sigma_K, rel=0.01)


BATH = ("NaCl", "KCl", "CaCl2", "CaF2")
X = np.array([[0.3, 0.3, 0.3, 0.1]])


def solid_named(system: ReciprocalSystem, name: str):
    return next(solid for solid in system.solids if getattr(solid, "name", "") == name)


def test_the_melts_of_three_salts_narrow_the_band_beside_fluoride():
    """NaCl-KCl-CaCl2 has published melts where KCaCl3 freezes: its pairs alone leave several times the variance."""
    system, without = ReciprocalSystem(BATH), ReciprocalSystem(BATH)
    without._as_fitted = False
    gradients, nothing = system.parameter_gradient(solid_named(system, "KCaCl3"), X[0], 900.0, None), np.zeros(6)
    assert system.variance(gradients, nothing) < 0.5 * without.variance(gradients, nothing)


def test_ternary_terms_move_a_driving_force_as_the_gradient_says():
    """A corner of the chlorides 1000 J higher, at the cations around chloride: linear, so any step will do."""
    system, T_K = ReciprocalSystem(BATH), 950.0
    solid, key = solid_named(system, "CaCl2"), (frozenset(BATH[:3]), "CaCl2")
    row = system.parameter_gradient(solid, X[0], T_K, None)[-1]
    terms = dict(ternary_terms())
    value, sigma = terms.get(key, (0.0, 1.0))
    fluorides, chlorides = system._parts
    forces = []
    for sign in (1, -1):
        part = SaltSystem(chlorides.salts, terms=terms | {key: (value + sign * 1000.0, sigma)})
        system.laws = replace(system.laws, parts=(fluorides, part))
        forces.append(float(Melts(system, X).driving_force(solid, np.array([T_K]))[0][0]))
    expected = row[system.term_keys.index(key)]
    assert abs(expected) > 0.01
    assert (forces[0] - forces[1]) / 2000.0 == pytest.approx(expected, rel=1e-6)


def test_the_way_of_naming_the_ions_changes_nothing():
    """Equal moles of LiF and KCl, or of LiCl and KF, are the same ions."""
    one = liquidus(from_amounts({"LiF": 1, "KCl": 1}))
    other = liquidus(from_amounts({"LiCl": 1, "KF": 1}))
    assert pytest.approx(other.T_K, abs=1e-3) == one.T_K
    assert one.first_solid == other.first_solid == "LiF"


def test_gibbs_duhem_holds_for_the_whole_melt():
    """sum n_k d mu_k = 0 along a line of compositions, in salts weighed in; 1e-3 of R T is the quotient's error."""
    names = ("NaCl", "KCl", "MgCl2", "CaF2")
    system, T, step = salt_system(names), 1000.0, 1e-6
    x = np.array([[0.3, 0.3, 0.25, 0.15]])
    for direction in ([1, -1, 0, 0], [0, 1, 0, -1], [0, 0, 1, -1]):
        shift = step * np.array([direction])
        above, below = (Melts(system, x + s * shift).potentials(T)[0, list(system.own)] for s in (1, -1))
        assert float(x[0] @ (above - below)) / (2 * step) / (R * T) == pytest.approx(0, abs=1e-3)


def test_exchange_is_told():
    """Calcium fluoride in a magnesium chloride bath freezes magnesium fluoride."""
    found = liquidus(from_amounts({"MgCl2": 45, "NaCl": 45, "CaF2": 10}))
    assert found.first_solid in ("MgF2", "NaMgF3")
    assert any("exchange ions" in note and found.first_solid in note for note in found.notes)
    assert not any("exchange" in note for note in liquidus(from_amounts({"MgCl2": 50, "MgF2": 50})).notes)


def test_salts_without_a_partner_are_refused_in_words():
    with pytest.raises(InputError, match="no data for the fluoride of Zn"):
        liquidus(from_amounts({"ZnCl2": 1, "KF": 1}))
