"""Published baths with alumina: taken apart into salts, and in the lead where one lies near."""

import numpy as np
import pytest

from thermo.answers.bath import bath_start
from thermo.answers.evidence.with_alumina import baths_with_alumina, measured_with_alumina
from thermo.equilibrium.freezing.cryolite import bath_liquidus
from thermo.records.composition import formula_mass, from_amounts
from thermo.records.provenance import RangeError
from thermo.records.units import celsius

BATHS = [row for row in baths_with_alumina() if {"NaF", "AlF3"} <= set(row.salts)]


def weighed(row):
    """The salts of a published bath, and its alumina in mass%."""
    moles = dict(zip(row.salts, row.fractions, strict=True))
    alumina = moles.pop("Al2O3") / 3 * formula_mass("Al2O3")
    return from_amounts(moles), 100 * alumina / (alumina + sum(n * formula_mass(f) for f, n in moles.items()))


def test_a_bath_named_by_its_compounds_is_taken_apart():
    """58.4 Na3AlF6, 7.4 Al2O3, 34.2 CaF2: 175.2 NaF, 58.4 AlF3, and 22.2 oxygens of alumina."""
    row = next(row for row in BATHS if row.source == "janz_tomkins1981" and "CaF2" in row.salts)
    shares = dict(zip(row.salts, row.fractions, strict=True))
    total = 3 * 58.4 + 58.4 + 34.2 + 3 * 7.4
    expected = {"NaF": 3 * 58.4 / total, "CaF2": 34.2 / total, "AlF3": 58.4 / total, "Al2O3": 3 * 7.4 / total}
    assert shares == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("row", BATHS, ids=lambda row: f"{'-'.join(row.salts)} {celsius(row.T_K):.0f}")
def test_a_published_bath_leads_at_its_own_composition(row):
    salts, alumina_pct = weighed(row)
    try:
        found, rests_on = bath_start(salts, alumina_pct)
    except RangeError as error:
        pytest.skip(str(error))
    assert rests_on == "measured"
    assert abs(found.T_K - row.T_K) < found.sigma_K  # neighbours of other laboratories pull by less than their spread
    assert found.sigma_K < 12


def test_a_bath_with_other_alumina_is_not_near():
    """3 mol% from the nearest on, a measured bath says nothing; 4.8 mass% alumina are 8 mol% of oxygen."""
    salts, alumina_pct = weighed(next(row for row in BATHS if "CaF2" in row.salts))
    assert measured_with_alumina(salts, alumina_pct).weight == pytest.approx(1.0)
    assert measured_with_alumina(salts, 0.01) is None
    far = from_amounts({"NaF": 70, "AlF3": 30})
    assert measured_with_alumina(far, 3.0) is None
    assert np.isclose(bath_start(far, 3.0)[0].T_K, bath_liquidus(far, 3.0).T_K)


@pytest.mark.parametrize("row", BATHS, ids=lambda row: f"{'-'.join(row.salts)} {celsius(row.T_K):.0f}")
def test_the_band_of_the_laws_alone_holds_the_published_bath(row):
    """The equation of saturation ends at 850 deg C: below, its band must reach to where baths were seen to freeze."""
    salts, alumina_pct = weighed(row)
    try:
        found = bath_liquidus(salts, alumina_pct)
    except RangeError as error:
        pytest.skip(str(error))
    assert abs(found.T_K - row.T_K) < 2 * np.hypot(found.sigma_K, row.T_sigma_K)
