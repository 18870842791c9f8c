"""Molar volumes of measured melts: the worked value, both files, both ends of a line."""

import numpy as np
import pytest

from thermo.fitting.volume_points import additive_volume, points
from thermo.laws.density import salt_line
from thermo.records.composition import formula_mass
from thermo.records.provenance import read_table


def test_worked_value():
    """50 mol% NaCl in KCl, rho = 2.1314 - 0.0005679 T: 66.497 / 1.5351 = 43.32 cm3/mol at 1050 K."""
    half = np.array([0.5, 0.5])
    (row,) = (
        r for r in read_table("density/mixtures.csv") if (r["a_g_cm3"], r["b_g_cm3_K"]) == ("2.1314", "0.0005679")
    )
    found = [p for p in points() if p.row == read_table("density/mixtures.csv").index(row)]
    assert sorted(p.T_K for p in found) == sorted({float(row["T_lo_K"]), float(row["T_hi_K"])})
    for p in found:
        volume = 66.497 / (2.1314 - 0.0005679 * p.T_K)
        assert p.fractions == pytest.approx(half)
        assert p.additive + p.excess == pytest.approx(volume, rel=1e-4)  # printed digits of the masses
    assert pytest.approx(43.32, abs=0.005) == 66.497 / (2.1314 - 0.0005679 * 1050)


def test_additive_volume_of_one_salt_is_its_own():
    own = formula_mass("KCl") / salt_line("KCl").density(1100.0)
    assert additive_volume(("KCl", "NaCl"), np.array([1.0, 0.0]), 1100.0) == pytest.approx(own, rel=1e-12)


def test_every_row_has_a_number_of_its_own_and_excesses_stay_as_printed():
    first = len(read_table("density/mixtures.csv"))
    printed = read_table("density/mixing_volume.csv")
    direct = [p for p in points() if p.row >= first]
    assert direct
    for p in direct:
        assert p.excess == float(printed[p.row - first]["excess_cm3_mol"])
        assert float(printed[p.row - first]["T_K"]) == p.T_K
