"""The operating window: which limits bind, what clashes, and the vessels."""

import pytest

from thermo.answers.bath_vapour import bath_pressure
from thermo.answers.evidence.start_of_freezing import start_of_freezing
from thermo.answers.window import ATMOSPHERES, operating_window
from thermo.answers.window_limits import MARGIN_K, SALT_VAPOUR_PA
from thermo.laws.volatility import metal_pressure
from thermo.records.composition import from_amounts
from thermo.records.provenance import InputError, read_table, sources
from thermo.records.substances import metals, salts
from thermo.records.units import celsius, kelvin
from thermo.records.vessels import vessel_named, vessels

CARNALLITE = from_amounts({"KCl": 68, "MgCl2": 32})
CARNALLITE_LIQUIDUS_K = kelvin(433.0)


def binding(window):
    return {limit.side: limit.kind for limit in window.limits if limit.binding}


def test_pure_sodium_chloride():
    """Between the melting point of NaCl, 801 deg C, and the boiling point of sodium, 883 deg C (CRC)."""
    window = operating_window(from_amounts({"NaCl": 1}), salts()["NaCl"].melting_point_K, 0.5, "Na", superheat_K=0)
    assert window.exists
    assert celsius(window.low_K) == pytest.approx(801, abs=1)
    assert celsius(window.high_K) == pytest.approx(883, abs=1)
    assert binding(window) == {"low": "liquidus", "high": "boiling"}
    assert "801 to 883" in window.explanation
    assert "liquid" in window.explanation
    (soft,) = window.advice
    assert metal_pressure("Na", soft.T_K) == pytest.approx(10132.5, rel=1e-4)
    assert not soft.binding


def test_potassium_in_pure_chloride_has_no_window_and_says_why():
    window = operating_window(from_amounts({"KCl": 1}), salts()["KCl"].melting_point_K, 0.5, "K", "liquid")
    assert not window.exists
    assert window.low_K > window.high_K
    assert binding(window) == {"low": "liquidus", "high": "boiling"}
    for words in ("No window", "801", "759", "boiling point of potassium", "lower-melting mix, liquidus below 729"):
        assert words in window.explanation


@pytest.mark.parametrize("deposit", ["liquid", "solid", None])
def test_deposit_decides_which_limit_the_melting_point_sets(deposit):
    window = operating_window(CARNALLITE, CARNALLITE_LIQUIDUS_K, 3.0, "Mg", deposit)
    melts = metals()["Mg"].melting_point_K
    kinds = {limit.kind: limit for limit in window.limits}
    if deposit == "liquid":
        assert window.low_K == melts + MARGIN_K
        assert "Magnesium deposits liquid." in window.explanation
    elif deposit == "solid":
        assert window.high_K == melts - MARGIN_K
        assert "Magnesium deposits solid." in window.explanation
    else:
        assert {"melting", "freezing"}.isdisjoint(kinds)
        assert "solid below 650 deg C and liquid above" in window.explanation


def test_exactly_two_limits_bind_and_they_are_the_ends():
    window = operating_window(CARNALLITE, CARNALLITE_LIQUIDUS_K, 3.0, "Mg", "liquid", vessel="mild steel")
    ends = {limit.side: limit.T_K for limit in window.limits if limit.binding}
    assert sum(limit.binding for limit in window.limits) == 2
    assert ends == {"low": window.low_K, "high": window.high_K}
    assert window.low_K == max(limit.T_K for limit in window.limits if limit.side == "low")
    assert window.high_K == min(limit.T_K for limit in window.limits if limit.side == "high")


def test_superheat_moves_the_low_end_only():
    low, high = (
        operating_window(CARNALLITE, CARNALLITE_LIQUIDUS_K, 3.0, "Mg", superheat_K=superheat) for superheat in (10, 60)
    )
    assert high.low_K - low.low_K == pytest.approx(50)
    assert high.high_K == low.high_K


def test_salt_vapour_binds_for_zinc_chloride():
    mix = from_amounts({"ZnCl2": 1})
    window = operating_window(mix, salts()["ZnCl2"].melting_point_K, 7.0, "Zn", "liquid")
    assert binding(window) == {"low": "melting", "high": "salt vapour"}
    assert bath_pressure(mix, window.high_K) == pytest.approx(SALT_VAPOUR_PA, rel=1e-4)
    # zinc melts at 419.5 deg C; ZnCl2 smokes visibly from about 450-500 deg C
    assert celsius(window.low_K) == pytest.approx(439.5, abs=0.2)
    assert 450 < celsius(window.high_K) < 520
    assert any("ZnCl2" in limit.reason for limit in window.limits)


def test_vessel_and_atmosphere():
    inert, air = (
        operating_window(CARNALLITE, CARNALLITE_LIQUIDUS_K, 3.0, "Mg", "liquid", vessel="graphite", atmosphere=gas)
        for gas in ("inert", "air")
    )
    assert inert.exists
    assert not air.exists
    assert binding(air)["high"] == "vessel"
    assert "inert gas" in air.explanation
    assert "a vessel that stands 670" in air.explanation
    assert any("air over the bath" in note for note in air.cautions)
    bare = operating_window(CARNALLITE, CARNALLITE_LIQUIDUS_K, 5.0, "Mg", atmosphere="air")  # no vessel named
    assert any("air over the bath" in note for note in bare.cautions)


@pytest.mark.parametrize("name", ["borosilicate glass", "fused silica", "alumina", "porcelain", "mullite"])
def test_fluorides_eat_oxide_vessels(name):
    window = operating_window(from_amounts({"LiF": 61, "NaF": 39}), kelvin(649), 3.0, vessel=name)
    assert "dissolved by molten fluorides" in window.cautions[0]
    chloride = operating_window(CARNALLITE, CARNALLITE_LIQUIDUS_K, 3.0, vessel=name)
    assert not any("dissolved by" in note for note in chloride.cautions)


def test_impossible_wishes_name_both_limits():
    solid = operating_window(from_amounts({"NaCl": 1}), salts()["NaCl"].melting_point_K, 0.5, "Mg", "solid")
    assert not solid.exists
    assert "taking the metal liquid" in solid.explanation
    pot = operating_window(CARNALLITE, CARNALLITE_LIQUIDUS_K, 3.0, "Mg", "liquid", vessel="pyrex")
    assert not pot.exists
    assert "magnesium" in pot.explanation
    assert "borosilicate glass" in pot.explanation
    rare = operating_window(from_amounts({"ZnCl2": 1}), salts()["ZnCl2"].melting_point_K, 7.0, "Nd", "liquid")
    assert not rare.exists
    assert "less of the volatile salt" in rare.explanation
    assert "alloy" in rare.explanation


def test_a_window_narrower_than_its_doubt_says_so():
    boils = metals()["K"].boiling_point_K
    window = operating_window(from_amounts({"KCl": 1}), boils - 35, 20.0, "K", superheat_K=30)
    assert window.exists
    assert window.sigma_low_K == 20.0
    assert "may not exist" in window.explanation
    sharp = operating_window(from_amounts({"KCl": 1}), boils - 35, 0.5, "K", superheat_K=30)
    assert "may not exist" not in sharp.explanation


def test_without_a_metal():
    window = operating_window(CARNALLITE, CARNALLITE_LIQUIDUS_K, 3.0)
    assert {limit.kind for limit in window.limits} == {"liquidus", "salt vapour"}
    assert window.advice == window.cautions == ()


def test_an_unknown_start_of_freezing_sets_no_lower_end():
    """Nothing else limits a bath from below: no window; a liquid deposit does, and the doubt is said."""
    open_below = operating_window(CARNALLITE, None, 500.0)
    assert (open_below.exists, open_below.low_K, open_below.words) == (False, None, "lower end not known")
    assert "liquidus" not in {limit.kind for limit in open_below.limits}
    liquid = operating_window(CARNALLITE, None, 500.0, "Mg", "liquid")
    assert liquid.low_K == operating_window(CARNALLITE, 300.0, 3.0, "Mg", "liquid").low_K
    assert liquid.sigma_low_K == 0
    assert "is not known: it may be above the lower end" in liquid.explanation


def test_a_vessel_is_held_against_both_anions():
    """A trace of chloride named first must not hide what fluorides do to silica."""
    bath = from_amounts({"NaCl": 5, "LiF": 60, "NaF": 35})
    told = operating_window(bath, kelvin(649), 3.0, vessel="fused silica").cautions
    assert any("dissolved by molten fluorides" in line for line in told)


def test_vessel_names():
    assert vessel_named("Mild-Steel") is vessel_named("iron") is vessels()["mild steel"]
    assert vessel_named("QUARTZ").name == "fused silica"
    with pytest.raises(InputError, match="graphite"):
        vessel_named("grafite")


def test_vessel_table():
    rows = read_table("vessels.csv")
    assert len(rows) == len(vessels()) == 17
    for row in rows:
        assert row["source"] in sources()
        assert row["caveat"]
        assert float(row["air_limit_C"]) <= float(row["inert_limit_C"])
        assert row["fluorides"]
        assert row["chlorides"]
    words = [word for row in rows for word in (row["vessel"], *row["aliases"].split("; ")) if word]
    assert len(words) == len(set(words))


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"deposit": "gas", "symbol": "Mg"}, "liquid and solid"),
        ({"deposit": "liquid"}, "name the metal"),
        ({"superheat_K": -5.0}, "0 to 500"),
        ({"superheat_K": float("nan")}, "0 to 500"),
        ({"atmosphere": "argon"}, " and ".join(ATMOSPHERES)),
        ({"vessel": "cheese"}, "cheese"),
        ({"symbol": "Xx"}, "Xx"),
    ],
)
def test_bad_input(wrong, words):
    with pytest.raises(InputError, match=words):
        operating_window(CARNALLITE, CARNALLITE_LIQUIDUS_K, 3.0, **wrong)


# Rows of data/ternary.csv: one freezes hotter than computed, the other colder. LiCl-KCl-NdCl3, saddle with K3NdCl6
# (Zhang 1989); LiCl-KCl-MgCl2 (Morishita et al. 1995)
@pytest.mark.parametrize(
    ("amounts", "t_C"),
    [({"LiCl": 55.7, "KCl": 33.2, "NdCl3": 11.1}, 460), ({"LiCl": 55, "KCl": 40, "MgCl2": 5}, 323)],
    ids=["hotter", "colder"],
)
def test_a_published_melt_sets_the_low_end_hot_or_cold(amounts, t_C):
    melt = from_amounts(amounts)
    start = start_of_freezing(melt)
    window = operating_window(melt, start.T_K, start.sigma_K)
    assert binding(window)["low"] == "published"
    assert celsius(window.low_K) == pytest.approx(t_C + 30, abs=0.1)
    assert window.sigma_low_K == start.sigma_K
    assert f"0.0 mol% away, {t_C} deg C + 30 K superheat" in window.explanation


def test_a_published_pair_has_been_weighed_by_its_fit():
    """LiF-NaF: 659 deg C published, kept at low weight beside 649-652; it does not raise the window."""
    window = operating_window(from_amounts({"LiF": 60.4, "NaF": 39.6}), kelvin(648.0), 2.0)
    assert binding(window)["low"] == "liquidus"
