"""Answers as dictionaries: they say what the records say, rounded, and nothing else."""

import json
from itertools import pairwise

import pytest

from thermo.answers.melt import describe_melt
from thermo.answers.window import operating_window
from thermo.equilibrium.invariants.lowest import lowest
from thermo.equilibrium.invariants.pair import pair_invariants
from thermo.laws.density import density_span
from thermo.present.as_json.melt import (
    composition_json,
    invariant_json,
    lowest_json,
    melt_json,
    pair_json,
    rounded,
    salts_json,
    window_json,
)
from thermo.records.composition import Composition, from_amounts
from thermo.records.fitted import pair_models
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


def test_pair_signs_follow_the_order_asked_for():
    model = pair_models()[frozenset(("KCl", "MgCl2"))]
    for a, b in (("KCl", "MgCl2"), ("MgCl2", "KCl")):
        found = pair_json(a, b, pair_invariants(a, b), model)
        assert found["pair"] == [a, b]
        for entry in found["interactions"]:
            stored = model.terms("liquid")[entry["k"]]
            sign = -1 if (a, b) != model.salts and entry["k"] % 2 else 1
            assert (entry["a_J_mol"], entry["b_J_mol_K"]) == pytest.approx(
                tuple(sign * value for value in stored), abs=5e-4
            )
        assert {d["formula"] for d in found["double_salts"]} == set(model.double_salts())


def test_pair_quotes_its_fit_and_sources():
    model = pair_models()[frozenset(("LiCl", "KCl"))]
    found = pair_json("LiCl", "KCl", pair_invariants("LiCl", "KCl"), model)
    assert found["fit"] == {"points": model.points, "rms_K": rounded(model.rms_K, 2)}
    assert found["sources"] == cite(model.sources)


def test_invariant_solids_are_names():
    (point,) = pair_invariants("NaCl", "KCl")
    found = invariant_json(point)
    assert found["solids"] == ["(Na,K)Cl"]
    assert sum(found["mole_percent"].values()) == pytest.approx(100, abs=0.01)


def test_lowest_repeats_the_invariant():
    point = lowest(("LiCl", "KCl"))
    found = lowest_json(point, Composition(point.salts, point.fractions))
    assert found["T_C"] == pytest.approx(celsius(point.T_K), abs=0.005)
    assert found["mole_percent"]["LiCl"] == pytest.approx(100 * point.fractions[0], abs=1e-4)
    assert sorted(found["solids"]) == ["KCl", "LiCl"]
    assert found["status"] == "fitted"


def test_density_span_is_that_of_the_line():
    row = next(s for s in salts_json()["salts"] if s["formula"] == "NaCl")
    assert row["density_span_C"] == pytest.approx([celsius(T) for T in density_span("NaCl")], abs=0.5)
