"""Materials judged: limits, melts, metals; tables complete; refusals."""

import pytest

from thermo.answers.materials import VERDICTS, judge_materials, materials
from thermo.answers.window import operating_window
from thermo.laws.oxide_stability import oxides
from thermo.records.composition import from_amounts
from thermo.records.provenance import InputError, read_table, sources
from thermo.records.substances import metals
from thermo.records.units import kelvin
from thermo.records.vessels import vessels

DISSOLVED = [
    ("nickel 200", "Mg", 700),
    ("Inconel 600", "Mg", 700),
    ("304 stainless steel", "Mg", 700),
    ("316 stainless steel", "Mg", 700),
    ("mild steel", "Zn", 500),
    ("mild steel", "Al", 720),
    ("mild steel", "Nd", 1050),
    ("nickel 200", "Li", 450),
]
CHLORIDES = from_amounts({"MgCl2": 20, "NaCl": 40, "KCl": 40}, "mass")
FLUORIDES = from_amounts({"LiF": 46.5, "NaF": 11.5, "KF": 42})


def judged(melt, symbol, t_C, atmosphere="inert"):
    return {found.name: found for found in judge_materials(melt, symbol, kelvin(t_C), atmosphere)}


def test_every_vessel_is_judged_and_every_word_is_known():
    assert set(vessels()) <= set(materials())
    for material in materials().values():
        assert set(material.roles) <= {"vessel", "cathode", "anode", "sleeve", "lining"}
        assert set(material.oxides) <= set(oxides())
        assert material.air_limit_K > 500
    assert {row["source"] for row in read_table("materials.csv")} <= set(sources())


def test_vessel_rows_take_their_limits_from_the_vessel_table():
    for row in read_table("materials.csv"):
        filled = [row[key] for key in ("air_limit_C", "inert_limit_C", "chlorides", "fluorides")]
        assert all(filled) != (row["material"] in vessels()), row["material"]


def test_magnesium_in_chlorides():
    found = judged(CHLORIDES, "Mg", 700)
    assert found["alumina"].verdict == "unfit"
    assert any("reduces Al2O3" in reason for reason in found["alumina"].reasons)
    assert found["fused silica"].verdict == "unfit"
    assert found["magnesia"].verdict == "fits"
    assert found["graphite"].verdict == "fits"
    assert found["mild steel"].verdict == "with care"
    assert found["nickel 200"].verdict == found["Inconel 600"].verdict == "unfit"
    assert found["304 stainless steel"].verdict == found["316 stainless steel"].verdict == "unfit"
    assert any("chlorine" in reason for reason in found["mild steel"].reasons)


@pytest.mark.parametrize(("pot", "symbol", "t_C"), DISSOLVED)
def test_a_pot_that_dissolves_in_the_metal_is_unfit_and_closes_the_window(pot, symbol, t_C):
    """Mg-Ni melts from 507 deg C (eutectic of the two), iron dissolves in zinc, aluminium and neodymium."""
    melt = from_amounts({"LiCl": 59, "KCl": 41})
    assert judged(melt, symbol, t_C)[pot].verdict == "unfit"
    found = operating_window(melt, kelvin(400), 5.0, symbol, "liquid", vessel=pot)
    assert not found.exists
    assert any(limit.binding and "unfit" in limit.reason for limit in found.limits)
    assert "a vessel that the metal leaves alone" in found.explanation


def test_steel_holds_magnesium_and_calcium_and_a_solid_deposit_only_wants_care():
    assert judged(CHLORIDES, "Mg", 700)["mild steel"].verdict == "with care"
    assert judged(CHLORIDES, "Nd", 600)["mild steel"].verdict == "with care"
    assert judged(CHLORIDES, "Nd", 700)["mild steel"].verdict == "unfit"


def test_without_a_metal_nothing_is_reduced():
    found = judged(CHLORIDES, None, 700)
    assert found["alumina"].verdict == "fits"
    assert found["alumina"].exchanges == ()


def test_fluorides_dissolve_oxides():
    found = judged(FLUORIDES, None, 600)
    assert all(found[name].verdict == "unfit" for name in ("alumina", "fused silica", "porcelain", "zirconia"))
    assert found["graphite"].verdict == "fits"
    assert found["nickel 200"].verdict == "fits"


def test_air_burns_graphite():
    assert judged(CHLORIDES, "Mg", 700, "air")["graphite"].verdict == "unfit"
    assert judged(CHLORIDES, "Mg", 700, "inert")["graphite"].verdict == "fits"


def test_sodium_eats_silica_though_the_oxide_would_stand():
    found = judged(from_amounts({"NaCl": 48, "CaCl2": 52}), "Na", 600)["fused silica"]
    assert found.verdict == "unfit"
    assert found.exchanges[0].verdict == "stands"
    assert any("silicates" in reason for reason in found.reasons)


def test_order_is_by_verdict():
    order = [VERDICTS.index(found.verdict) for found in judge_materials(CHLORIDES, "Ca", kelvin(850))]
    assert order == sorted(order)
    assert {1, 2} <= set(order)


@pytest.mark.parametrize("symbol", sorted(metals()))
def test_every_metal_can_be_judged(symbol):
    assert len(judge_materials(CHLORIDES, symbol, kelvin(750))) == len(materials())


def test_refusals():
    with pytest.raises(InputError, match="atmosphere"):
        judge_materials(CHLORIDES, "Mg", 900.0, "nitrogen")
    with pytest.raises(InputError, match="metal"):
        judge_materials(CHLORIDES, "Xx", 900.0)
