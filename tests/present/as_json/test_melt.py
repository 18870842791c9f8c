"""Answers as dictionaries: they say what the records say, rounded, and nothing else."""

import json
from itertools import pairwise

import pytest

from thermo.answers.melt import describe_melt
from thermo.answers.window import operating_window
from thermo.laws.density import density_span
from thermo.present.as_json.melt import (
    composition_json,
    melt_json,
    rounded,
    salts_json,
    window_json,
)
from thermo.records.composition import from_amounts
from thermo.records.provenance import cite
from thermo.records.units import celsius, kelvin

DOWNS = from_amounts({"NaCl": 48, "CaCl2": 52})


@pytest.fixture(scope="module")
def answer():
    return describe_melt(DOWNS, "Na", kelvin(600))


@pytest.fixture(scope="module")
def found(answer):
    return json.loads(json.dumps(melt_json(answer), allow_nan=False))


def test_rounded_leaves_unknown_unknown():
    assert rounded(None, 2) is None
    assert rounded(1.23456, 2) == 1.23
    assert type(rounded(2, 1)) is float


def test_percentages_sum_and_convert():
    """58.5 mol% LiCl with KCl is 44.49 mass% (formula masses 42.39 and 74.55 g/mol)."""
    found = composition_json(from_amounts({"LiCl": 58.5, "KCl": 41.5}))
    assert found["mass_percent"]["LiCl"] == pytest.approx(44.49, abs=0.005)  # half the last digit quoted
    for basis in ("mole_percent", "mass_percent"):
        assert sum(found[basis].values()) == pytest.approx(100, abs=2e-4)  # four decimals a salt


def test_melt_repeats_the_record(answer, found):
    assert found["liquidus"]["T_C"] == pytest.approx(celsius(answer.liquidus.T_K), abs=0.005)
    assert found["liquidus"]["first_solid"] == answer.liquidus.first_solid
    assert found["density"]["T_C"] == pytest.approx(600.0)
    assert found["density"]["melt_g_cm3"] == pytest.approx(answer.density.value_g_cm3, abs=5e-5)
    verdict = answer.float_or_sink
    assert found["float_or_sink"]["verdict"] == verdict.verdict
    assert found["float_or_sink"]["p_float"] == pytest.approx(verdict.p_float, abs=5e-5)
    assert found["metal"]["state"] == verdict.state
    assert found["sources"] == cite(answer.sources)
    assert found["cautions"] == list(answer.cautions)


def test_difference_is_melt_minus_metal(found):
    """Each of the three is printed to 1e-4."""
    own = found["density"]["melt_g_cm3"] - found["metal"]["density_g_cm3"]
    assert found["float_or_sink"]["difference_g_cm3"] == pytest.approx(own, abs=1.5e-4)


def test_crossings_come_with_their_side():
    """Magnesium in KCl-MgCl2 changes side more than once: crossings in order of temperature, sides in turn."""
    found = melt_json(describe_melt(from_amounts({"KCl": 68, "MgCl2": 32}), "Mg", kelvin(700)))
    crossings = found["float_or_sink"]["crossings_C"]
    assert len(crossings) > 1
    assert [c["T_C"] for c in crossings] == sorted(c["T_C"] for c in crossings)
    assert all({a["above"], b["above"]} == {"floats", "sinks"} for a, b in pairwise(crossings))
    assert all(c["sigma_K"] >= 0 for c in crossings)


def test_what_deposits_is_repeated_from_the_record():
    """A bath of sodium with magnesium chloride asked for each metal, and a melt that holds none of it."""
    bath = from_amounts({"MgCl2": 20, "NaCl": 80})
    for symbol in ("Na", "Mg"):
        answer = describe_melt(bath, symbol, kelvin(700))
        found, own = melt_json(answer), answer.order.couple(symbol)
        assert (found["above_all"] is not None) == (symbol == "Na")
        assert found["deposits"]["first_metal"] == "Mg"
        assert found["deposits"]["gap_V"] == pytest.approx(own.gap_V, abs=5e-5)
        assert found["deposits"]["margin_V"] == pytest.approx(answer.order.margin_V, abs=5e-5)
    foreign = melt_json(describe_melt(DOWNS, "Pb", kelvin(600)))
    assert foreign["deposits"]["gap_V"] is None


def test_without_a_metal_there_is_no_metal():
    found = melt_json(describe_melt(DOWNS))
    assert not {"metal", "float_or_sink"} & set(found)


def test_a_vapour_is_null_where_nothing_is_known():
    found = melt_json(describe_melt(from_amounts({"NaCl": 1}), "Na", kelvin(900)))
    assert found["metal"] == {"symbol": "Na", "state": "vapour", "density_g_cm3": None, "sigma_g_cm3": None}
    unknown = {k: v for k, v in found["float_or_sink"].items() if k != "crossings_C"}
    assert set(unknown.values()) == {None}


def test_window_marks_the_two_limits_that_bind():
    found = window_json(operating_window(DOWNS, 780.0, 3.0, "Na", vessel="mild steel", atmosphere="air"))
    binding = {limit["side"]: limit["T_C"] for limit in found["limits"] if limit["binding"]}
    assert binding == {"low": found["low_C"], "high": found["high_C"]}
    assert found["low_C"] == pytest.approx(780.0 + 30 - 273.15, abs=0.05)
    assert found["cautions"]


def test_no_window_keeps_its_limits_and_says_why():
    """Solid sodium (below 78 deg C) out of a bath that melts near 500."""
    found = window_json(operating_window(DOWNS, 780.0, 3.0, "Na", deposit="solid"))
    assert found["exists"] is False
    assert found["low_C"] > found["high_C"]
    assert "What would open one" in found["explanation"]


def test_density_span_is_that_of_the_line():
    row = next(s for s in salts_json()["salts"] if s["formula"] == "NaCl")
    assert row["density_span_C"] == pytest.approx([celsius(T) for T in density_span("NaCl")], abs=0.5)
