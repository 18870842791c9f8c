"""The bath against charge: mass balance, freezing, verdicts, refusals."""

import pytest

from thermo.answers.drift import Bath, bath_drift, consumed_salt, freezing_charge, verdict_changes
from thermo.equilibrium.freezing.liquidus import liquidus
from thermo.laws.faraday import halogen, metal_g
from thermo.records.composition import from_amounts
from thermo.records.provenance import InputError

LITHIUM = from_amounts({"LiCl": 30, "KCl": 30}, "mass")


@pytest.fixture(scope="module")
def drift():
    return bath_drift(LITHIUM, "Li", 723.15, 60.0, 10.0)


def test_mass_balance(drift):
    # What leaves the bath is the metal and the halogen, nothing else.
    for point in drift.points[1:]:
        left = point.bath_g + metal_g("Li", point.charge_Ah) + halogen("Cl", point.charge_Ah).g
        assert left == pytest.approx(60.0, rel=1e-9)


def test_the_other_salt_stays(drift):
    masses = [p.bath_g * p.composition.mass_percent["KCl"] / 100 for p in drift.points]
    assert masses == pytest.approx([30.0] * len(masses), rel=1e-9)


def test_efficiency_slows_the_drift(drift):
    half = bath_drift(LITHIUM, "Li", 723.15, 60.0, 10.0, efficiency=0.5, points=2)
    full = next(p for p in drift.points if p.charge_Ah == pytest.approx(5.0))
    assert half.points[-1].composition.fractions == pytest.approx(full.composition.fractions)


def test_freezing_is_where_the_liquidus_is_the_bath_temperature(drift):
    bath = Bath(LITHIUM, "Li", 60.0)
    temperature = liquidus(bath.composition(drift.freezes.charge_Ah)).T_K
    assert temperature == pytest.approx(723.15, abs=0.05)
    assert drift.freezes.solid == "KCl"
    assert [p.frozen for p in drift.points] == [p.charge_Ah > drift.freezes.charge_Ah for p in drift.points]
    assert any("starts to freeze" in note for note in drift.notes)


def test_spread_of_the_freezing_charge(drift):
    # One sigma of charge changes the liquidus by one sigma of the liquidus.
    bath = Bath(LITHIUM, "Li", 60.0)
    here = liquidus(bath.composition(drift.freezes.charge_Ah))
    later = liquidus(bath.composition(drift.freezes.charge_Ah + drift.freezes.sigma_Ah))
    rise = later.T_K - here.T_K
    assert rise == pytest.approx(here.sigma_K, rel=0.05)


def test_frozen_from_the_start():
    bath = Bath(from_amounts({"KCl": 90, "LiCl": 10}), "Li", 60.0)
    assert freezing_charge(bath, 800.0).charge_Ah == 0.0


def test_a_bath_that_never_freezes():
    # Above the melting points of both salts nothing can freeze.
    drift = bath_drift(LITHIUM, "Li", 1100.0, 60.0, 10.0, points=3)
    assert drift.freezes is None
    assert any("does not start to freeze" in note for note in drift.notes)


def test_voltage_rises_as_the_salt_goes(drift):
    volts = [p.E_V for p in drift.points]
    assert volts == sorted(volts)


def test_feed_holds_the_bath(drift):
    # Per A h: one mole of LiCl for one mole of electrons, 42.39 / 26.80 = 1.582 g.
    assert drift.feed_g_per_Ah == pytest.approx(1.582, rel=1e-3)
    assert 10.0 * drift.feed_g_per_Ah == pytest.approx(60.0 - drift.points[-1].bath_g, rel=1e-9)


def test_exhaustion(drift):
    # 30 g of LiCl hold 0.7077 mol, 18.97 A h.
    assert drift.exhausted_Ah == pytest.approx(18.97, abs=0.01)
    with pytest.raises(InputError, match=r"the bath holds 30 g, enough for 18\.97 A h"):
        bath_drift(LITHIUM, "Li", 723.15, 60.0, 30.0)


def test_verdict_changes_are_in_order():
    bath = Bath(from_amounts({"MgCl2": 20, "NaCl": 40, "KCl": 40}, "mass"), "Mg", 500.0)
    changes = verdict_changes(bath, "Mg", 963.15)
    charges = [c.charge_Ah for c in changes]
    assert charges == sorted(charges)
    assert all(c.before != c.after for c in changes)
    assert all(0 < c < bath.exhausted_Ah for c in charges)


def test_vapour_has_no_verdict():
    assert verdict_changes(Bath(from_amounts({"KCl": 100}), "K", 100.0), "K", 1100.0) == ()


def test_starving_cathode_is_said():
    bath = from_amounts({"MgCl2": 10, "NaCl": 45, "KCl": 45}, "mass")
    drift = bath_drift(bath, "Mg", 1073.15, 500.0, 10.0, points=2)
    assert any("starves" in note for note in drift.notes)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("Mg", 723.15, 60.0, 1.0), "allowed: Li, K"),
        (("Li", 723.15, 0.0, 1.0), "mass of the bath"),
        (("Li", 723.15, 60.0, -1.0), "charge -1"),
        (("Li", 723.15, 60.0, 1.0, 2.0), "current efficiency 2"),
    ],
)
def test_refusals(arguments, words):
    with pytest.raises(InputError, match=words):
        bath_drift(LITHIUM, *arguments)


def test_consumed_salt():
    assert consumed_salt(LITHIUM, "K") == "KCl"
