"""Double salts in the vapour: the law by hand, and that it vanishes with either salt."""

import numpy as np
import pytest

from thermo.laws.vapour_complexes import complex_pressures, complexes, pair_pressure
from thermo.laws.volatility import salt_pressure
from thermo.records.provenance import Origin


def test_the_law_by_hand():
    """c a_i a_j sqrt(p_i p_j) of the stored numbers."""
    one, T_K = complexes()["KCl", "MgCl2"], 1300.0
    found = complex_pressures({"KCl": np.log(0.12), "MgCl2": np.log(0.11)}, T_K)[one]
    c = np.exp(one.constant + one.slope_K * (1 / T_K - 1 / one.centre_K))
    by_hand = c * 0.12 * 0.11 * np.sqrt(salt_pressure("KCl", T_K) * salt_pressure("MgCl2", T_K))
    assert found == pytest.approx(by_hand, rel=1e-12)


def test_it_needs_both_salts():
    assert complex_pressures({"KCl": 0.0, "CaCl2": 0.0}, 1300.0) == {}
    trace = complex_pressures({"KCl": 0.0, "MgCl2": -50.0}, 1300.0)
    assert max(trace.values()) < 1e-12 * pair_pressure(("KCl", "MgCl2"), 1300.0)


def test_measured_pairs_are_surer_than_the_rest():
    for one in complexes().values():
        assert (one.origin is Origin.FITTED) == (one.salts[0] in ("NaCl", "KCl"))
        assert (one.sigma_ln_c(one.centre_K) < 0.5) == (one.origin is Origin.FITTED)


@pytest.mark.parametrize("T_K", [900.0, 1100.0, 1500.0])
def test_far_from_the_rows_it_is_less_sure(T_K):
    one = complexes()["KCl", "MgCl2"]
    assert one.sigma_ln_c(T_K) > one.sigma_ln_c(one.centre_K)


def test_the_molecule_rises_less_steeply_than_the_salts():
    """It is bound: KMgCl3(g) costs less heat than its two salts apart, so slope > 0 in ln of the ratio against 1/T."""
    assert complexes()["KCl", "MgCl2"].slope_K > 2 * complexes()["KCl", "MgCl2"].slope_sigma_K
