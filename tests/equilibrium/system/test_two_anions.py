"""Systems of two anions: constituents, limits of one anion, refusals, what freezes although nobody weighed it in."""

import numpy as np
import pytest

from thermo.equilibrium.freezing.liquidus import liquidus
from thermo.equilibrium.system.build import build_system, salt_system
from thermo.equilibrium.system.driving_force import Melts, liquidus_field
from thermo.equilibrium.system.one_anion import SaltSystem
from thermo.equilibrium.system.two_anions import ReciprocalSystem
from thermo.records.composition import from_amounts
from thermo.records.provenance import InputError
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
