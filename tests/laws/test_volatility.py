"""Vapour pressures of salts, melts and metals."""

import janaf
import numpy as np
import pytest

from thermo.laws.volatility import (
    melt_pressure,
    metal_pressure,
    metal_vapour,
    most_volatile,
    salt_pressure,
    salt_vapour,
    temperature_at_pressure,
)
from thermo.records.composition import from_amounts
from thermo.records.provenance import InputError, RangeError, read_table, sources
from thermo.records.substances import metals, salts

ATM = 101325.0
SUM_B = -1059966.93212  # pinned: a changed row is a changed answer
# NIST-JANAF tables: liquid, gas monomer, gas dimer
JANAF_SALTS = {
    "NaCl": ("Cl-054", "Cl-056", "Cl-098"),
    "KCl": ("Cl-037", "Cl-039", "Cl-091"),
    "MgCl2": ("Cl-094", "Cl-096", "Cl-150"),
    "NaF": ("F-034", "F-036", "F-082"),
}
JANAF_METALS = {"Na": ("Na-003", "Na-005"), "Mg": ("Mg-003", "Mg-005"), "K": ("K-003", "K-005")}


def log_K(index):
    frame = janaf.Table(index).df
    T, values = frame["T(K)"].to_numpy(), frame["log Kf"].to_numpy()
    keep = (T > 300) & np.isfinite(values)
    return dict(zip(T[keep].tolist(), values[keep].tolist(), strict=True))


def test_worked_value():
    assert salt_pressure("NaCl", 1273.15) == pytest.approx(1182, rel=2e-3)  # 10**(10.1597 - 9023.9 / 1273.15)


@pytest.mark.parametrize("formula", JANAF_SALTS)
def test_salts_agree_with_the_free_energies_of_the_tables(formula):
    """p = 10^(log K(g) - log K(l)) bar for the monomer and 10^(log K(g2) - 2 log K(l)) for the dimer."""
    liquid, gas, dimer = (log_K(index) for index in JANAF_SALTS[formula])
    law = salt_vapour(formula)
    common = sorted(T for T in set(liquid) & set(gas) & set(dimer) if law.T_lo_K <= T <= law.T_hi_K)
    assert len(common) >= 5
    for T in common:
        bar = 10 ** (gas[T] - liquid[T]) + 10 ** (dimer[T] - 2 * liquid[T])
        # a straight line in 1/T over 600 K leaves up to 0.04 in the logarithm (rms 0.01-0.02)
        assert np.log10(law.pressure(T)) == pytest.approx(np.log10(1e5 * bar), abs=0.045)


@pytest.mark.parametrize("symbol", JANAF_METALS)
def test_metals_agree_with_the_free_energies_of_the_tables(symbol):
    liquid, gas = (log_K(index) for index in JANAF_METALS[symbol])
    law = metal_vapour(symbol, metals()[symbol].melting_point_K + 1)
    common = sorted(T for T in set(liquid) & set(gas) if law.T_lo_K <= T <= law.T_hi_K)
    assert len(common) >= 4
    for T in common:
        # straight line over 600 K, as above; Cp of the liquid bends it
        assert np.log10(law.pressure(T)) == pytest.approx(np.log10(1e5) + gas[T] - liquid[T], abs=0.06)


@pytest.mark.parametrize("symbol", ["Li", "Na", "K", "Rb", "Cs", "Mg", "Ca", "Sr", "Zn", "Al"])
def test_metals_boil_where_the_handbook_says(symbol):
    boils = temperature_at_pressure(lambda T: metal_pressure(symbol, T), ATM)
    # 0.1 in log10 p (the two evaluations differ by that) is 2 % in T at Trouton's slope of 4.6 T_b in log10
    assert boils == pytest.approx(metals()[symbol].boiling_point_K, rel=0.025)


@pytest.mark.parametrize("formula", [f for f, s in salts().items() if s.boiling_point_K and f != "AlF3"])
def test_salts_boil_where_the_list_of_salts_says(formula):
    boils = temperature_at_pressure(lambda T: salt_pressure(formula, T), ATM)
    # the factor of one standard deviation, turned into kelvin by the slope, twice; 1 % for the straight line
    law = salt_vapour(formula)
    slope = (np.log(law.pressure(boils + 1)) - np.log(law.pressure(boils - 1))) / 2
    band = 2 * np.log(law.sigma_factor) / slope + 0.01 * boils
    assert boils == pytest.approx(salts()[formula].boiling_point_K, abs=band)


@pytest.mark.parametrize("formula", list(salts()))
def test_every_salt_has_a_pressure_that_rises(formula):
    T_K = np.linspace(300, 3000, 50)
    assert (np.diff(np.log(salt_pressure(formula, T_K))) > 0).all()


@pytest.mark.parametrize("symbol", list(metals()))
def test_every_metal_has_a_pressure_that_rises(symbol):
    pressures = [metal_pressure(symbol, T) for T in np.linspace(300, 3000, 50)]
    assert (np.diff(np.log(pressures)) > 0).all()


@pytest.mark.parametrize("symbol", ["Ca", "Sr", "Ba", "Zn", "Al"])
def test_solid_and_liquid_meet_at_the_melting_point(symbol):
    melts = metals()[symbol].melting_point_K
    solid, liquid = metal_vapour(symbol, melts - 0.01), metal_vapour(symbol, melts + 0.01)
    gap = np.log(solid.pressure(melts) / liquid.pressure(melts))
    # two evaluations, 1984 and 1998, each with its own factor; twice their combined spread
    assert abs(gap) < 2 * np.hypot(np.log(solid.sigma_factor), np.log(liquid.sigma_factor))


def test_melt_is_the_ideal_sum():
    mix = from_amounts({"NaCl": 30, "ZnCl2": 70})
    expected = 0.3 * salt_pressure("NaCl", 900) + 0.7 * salt_pressure("ZnCl2", 900)
    assert melt_pressure(mix, 900) == pytest.approx(expected, rel=1e-12)
    assert melt_pressure(from_amounts({"NaCl": 1, "KCl": 0}), 1100) == salt_pressure("NaCl", 1100)
    assert most_volatile(mix, 900) == "ZnCl2"


@pytest.mark.parametrize("pressure", [1.0, 1000.0, ATM])
def test_inverse(pressure):
    T_K = temperature_at_pressure(lambda T: salt_pressure("KCl", T), pressure)
    assert salt_pressure("KCl", T_K) == pytest.approx(pressure, rel=1e-5)


def test_older_measurements_agree_within_their_factors():
    """Naryshkin 1939 (ORNL-1252 p. 27) at 1173 K against the tables: within twice the two factors together."""
    older = [row for row in read_table("volatility.csv") if row["source"] == "ornl1252"]
    assert len(older) == 4
    for row in older:
        gap = np.log(10 ** (float(row["A"]) + float(row["B_K"]) / 1173.15) / salt_pressure(row["formula"], 1173.15))
        factors = float(row["sigma_factor"]), salt_vapour(row["formula"]).sigma_factor
        assert abs(gap) < 2 * np.hypot(*np.log(factors))


def test_report_values():
    """ORNL-4415 p. 11 at 1000 deg C: LiF 0.47, CsF 76 mmHg; ORNL-3791 uses 0.61 for LiF."""
    torr = 133.322
    assert 0.47 * torr / 1.15 < salt_pressure("LiF", 1273.15) < 0.61 * torr * 1.15
    # JANAF fit with its factor of 1.3
    assert salt_pressure("CsF", 1273.15) == pytest.approx(76 * torr, rel=0.3)


def test_caveats_and_errors():
    assert any("extrapolated" in note for note in salt_vapour("NaCl").caveats(800))
    assert salt_vapour("NaCl").caveats(1200) == ()
    assert any("unsure" in note for note in salt_vapour("LaCl3").caveats(1500))
    with pytest.raises(InputError, match="NaCk"):
        salt_pressure("NaCk", 1000)
    with pytest.raises(RangeError, match="not reached"):
        temperature_at_pressure(lambda T: salt_pressure("NaCl", T), 1e12)


def test_table_is_complete_and_traceable():
    rows = read_table("volatility.csv")
    assert len(rows) == 63
    assert sum(float(row["B_K"]) for row in rows) == pytest.approx(SUM_B, rel=1e-6)
    for row in rows:
        assert row["source"] in sources()
        assert row["locator"]
        assert row["provenance"] in {"checked", "memory"}
