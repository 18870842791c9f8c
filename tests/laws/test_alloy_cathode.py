"""Metals in liquid hosts: published volts come back, and nothing is guessed where none were published."""

import math

import pytest

from thermo.laws.alloy_cathode import alloy_rows, alloy_shift
from thermo.records.cell_practice import hosts
from thermo.records.provenance import sources
from thermo.records.substances import metals
from thermo.records.units import F, R, kelvin


def test_rows_name_known_metals_hosts_and_sources():
    for row in alloy_rows():
        assert row.metal in metals()
        assert row.host in hosts()
        assert row.source in sources()
        assert row.kind in ("emf", "log gamma", "unread")


@pytest.mark.parametrize(
    ("symbol", "host", "x", "t_C", "volts"),
    [
        ("Ca", "Bi", 0.4, 700, 0.77),
        ("Ca", "Mg", 0.01, 737, 0.306),
        ("Sr", "Pb", 0.07, 600, 0.759),
        ("Nd", "Fe", 0.05, 850, 0.13),
        ("Sr", "Sn", 0.02, 527, 0.886),
        ("Mg", "Al", 0.1, 800, 0.112),
    ],
)
def test_printed_points(symbol, host, x, t_C, volts):
    """Kim 2012: 0.77 V; Newhouse 2013: a = 8.8e-4 at 1010 K; Sr-Pb 2018: a = 1.72e-9 at 873 K; Kawaguchi & Nohira 2021:
    0.31 - 0.18 V; Smith 2020: a = 6.9e-12 at 800 K; Al-Mg: a = 0.88 x at 1073 K.
    """
    assert alloy_shift(symbol, host, x, kelvin(t_C)).value_V == pytest.approx(volts, abs=0.001)


def test_printed_activities_are_the_volts_of_the_rows():
    assert -R * 1010 / (2 * F) * math.log(8.8e-4) == pytest.approx(0.306, abs=0.001)
    assert -R * 873 / (2 * F) * math.log(1.72e-9) == pytest.approx(0.759, abs=0.001)
    assert -R * 800 / (2 * F) * math.log(6.9e-12) == pytest.approx(0.886, abs=0.001)
    assert -R * 1073 / (2 * F) * math.log(0.88 * 0.1) == pytest.approx(0.112, abs=0.001)


def test_two_laboratories_agree_on_neodymium_with_iron():
    """Nagai 2011, Nd2Fe17 from liquid neodymium at 1373 to 1473 K, carried to 1123 K, beside 0.13 V of Kawaguchi &
    Nohira 2021: within 21000 J (0.036 V) and two printed decimals (0.014 V), solid and liquid neodymium 0.004 V apart.
    """
    carried = (238000 - 130 * 1123) / (6 * F)
    assert carried == pytest.approx(0.13, abs=0.036 + 0.014 + 0.004)
    assert pytest.approx(alloy_shift("Nd", "Fe", 0.05, 1423.0).value_V, abs=0.001) == (238000 - 130 * 1423) / (6 * F)


def test_the_row_nearest_in_temperature_speaks():
    """Bismuth at 500 and at 600 deg C: log gamma -13.00 and about -14 for cerium."""
    cold, hot = (alloy_shift("Ce", "Bi", 0.01, kelvin(t_C)) for t_C in (510, 590))
    assert cold.value_V == pytest.approx(-R * kelvin(510) / (3 * F) * math.log(10) * (-13.0 - 2), rel=1e-9)
    assert hot.value_V == pytest.approx(-R * kelvin(590) / (3 * F) * math.log(10) * (-14.0 - 2), rel=1e-9)
    assert hot.sigma_V > cold.sigma_V


def test_neodymium_in_aluminium_by_its_activity_coefficient():
    """Electrochim. Acta 54 (2008) 280: log gamma = 9.81 - 17134/T from 973 to 1073 K."""
    T_K, x = 1023.15, 0.01
    ln_a = math.log(10) * (9.81 - 17134 / T_K) + math.log(x)
    assert alloy_shift("Nd", "Al", x, T_K).value_V == pytest.approx(-R * T_K / (3 * F) * ln_a, rel=1e-9)


def test_between_two_points_it_falls_with_the_amount():
    values = [alloy_shift("Ca", "Mg", x, kelvin(720)).value_V for x in (0.02, 0.1, 0.5)]
    assert values == sorted(values, reverse=True)


@pytest.mark.parametrize(
    ("symbol", "host", "x", "t_C", "why"),
    [
        ("Na", "Sn", 0.1, 650, "nothing published"),
        ("Ca", "Sn", 0.1, 800, "its numbers are not in these tables"),
        ("Nd", "Fe", 0.05, 700, "deg C only"),
        ("Ca", "Bi", 0.4, 1000, "deg C only"),
        ("Ca", "Bi", 0.9, 700, "mole fractions 0.32 to 0.56 only"),
        ("Nd", "Al", 0.3, 750, "mole fractions 0 to 0.05 only"),
    ],
)
def test_what_was_not_published_is_not_guessed(symbol, host, x, t_C, why):
    found = alloy_shift(symbol, host, x, kelvin(t_C))
    assert found.value_V is None
    assert why in found.text
    assert "at most that of the pure metal" in found.text


def test_between_two_far_points_the_spread_has_a_judgement_of_50_mV():
    """Ca in Mg: 0.306 +- 0.020 V at 1 and 0.003 +- 0.002 V at 80 mol%."""
    found = alloy_shift("Ca", "Mg", 0.1, kelvin(737))
    assert found.sigma_V == pytest.approx(math.hypot(0.02, 0.05), rel=1e-9)


def test_published_volts_reach_100_K():
    """Ca in Bi was measured at 700 deg C."""
    assert alloy_shift("Ca", "Bi", 0.4, kelvin(799)).value_V is not None
    assert alloy_shift("Ca", "Bi", 0.4, kelvin(801)).value_V is None


@pytest.mark.parametrize(("t_C", "known"), [(601, True), (799, True), (599, False), (801, False)])
def test_a_measurement_speaks_for_100_K_either_side(t_C, known):
    """The limit that the law states, about calcium with bismuth at 700 deg C."""
    assert (alloy_shift("Ca", "Bi", 0.4, kelvin(t_C)).value_V is not None) is known


def test_between_two_points_the_spread_holds_the_interpolation_as_well():
    """Calcium in magnesium between 1 and 80 mol%: 0.02 V of the point and 0.05 V (a judgement) of the way between."""
    found = alloy_shift("Ca", "Mg", 0.2, kelvin(737))
    share = math.log(0.2 / 0.01) / math.log(0.80 / 0.01)
    assert found.value_V == pytest.approx(0.306 + share * (0.0027 - 0.306), rel=1e-9)
    assert found.sigma_V == pytest.approx(math.hypot(0.02, 0.05), rel=1e-9)
