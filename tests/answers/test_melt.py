"""One melt put together: single salts, which metals float where, consistency of the parts, what is said in words."""

import pytest

from thermo.answers.melt import describe_melt
from thermo.laws.density import melt_density
from thermo.records.composition import Composition, from_amounts
from thermo.records.fitted import pair_models
from thermo.records.provenance import InputError, sources
from thermo.records.substances import metals, salts
from thermo.records.units import kelvin
from thermo.records.vessels import vessel_named

DOWNS = from_amounts({"NaCl": 48, "CaCl2": 52})

# What every operator of such a cell sees (common practice, no source): where the metal collects.
SEEN = [
    ({"LiCl": 58.5, "KCl": 41.5}, "mol", "Li", 450, "floats"),
    ({"NaCl": 48, "CaCl2": 52}, "mol", "Na", 600, "floats"),
    ({"CaCl2": 100}, "mol", "Ca", 860, "floats"),
    ({"MgCl2": 25, "CaCl2": 15, "NaCl": 60}, "mass", "Mg", 720, "floats"),
    ({"MgCl2": 20, "LiCl": 70, "KCl": 10}, "mass", "Mg", 700, "sinks"),  # the light bath, magnesium on the floor
    ({"ZnCl2": 50, "KCl": 50}, "mol", "Zn", 500, "sinks"),
    ({"NdF3": 87.5, "LiF": 12.5}, "mass", "Nd", 1050, "sinks"),
    ({"CeF3": 73, "BaF2": 12, "LiF": 15}, "mass", "Ce", 850, "sinks"),
    ({"NaCl": 50, "KCl": 50}, "mol", "Pb", 700, "sinks"),
    ({"NaCl": 50, "KCl": 50}, "mol", "Al", 700, "sinks"),
]


# AlF3 sublimes: alone it is no melt, and its density is refused
@pytest.mark.parametrize("formula", [formula for formula in salts() if formula != "AlF3"])
def test_a_single_salt_freezes_at_its_melting_point(formula):
    """The liquidus is found where G(liquid) = G(solid), the melting point is data: 0.1 K is the solver's own step."""
    answer = describe_melt(from_amounts({formula: 1}))
    assert abs(answer.liquidus.T_K - salts()[formula].melting_point_K) < 0.1
    assert answer.liquidus.sigma_K == pytest.approx(salts()[formula].melting_point_sigma_K, rel=0.01)
    assert answer.liquidus.first_solid == formula
    assert answer.window.low_K == pytest.approx(answer.liquidus.T_K + 30)


@pytest.mark.parametrize(("amounts", "basis", "symbol", "t_C", "side"), SEEN)
def test_where_the_metal_goes(amounts, basis, symbol, t_C, side):
    found = describe_melt(from_amounts(amounts, basis), symbol, kelvin(t_C)).float_or_sink
    assert found.verdict in (side, f"likely {side}")
    assert (found.difference_g_cm3 > 0) == (side == "floats")


def test_parts_agree_with_each_other():
    answer = describe_melt(DOWNS, "Na", kelvin(600))
    assert answer.float_or_sink.melt_density == answer.density == melt_density(DOWNS, kelvin(600))
    assert answer.window.low_K == pytest.approx(answer.liquidus.T_K + 30)
    assert answer.window.sigma_low_K == answer.liquidus.sigma_K
    assert set(answer.sources) <= set(sources())
    assert len(set(answer.sources)) == len(answer.sources)
    assert len(set(answer.notes)) == len(answer.notes)
    assert "local codes" in answer.cautions[-1]


def test_order_of_salts_and_absent_salts_change_nothing():
    one = describe_melt(from_amounts({"NaCl": 48, "CaCl2": 52, "KCl": 0}), "Na", kelvin(600))
    two = describe_melt(from_amounts({"CaCl2": 52, "NaCl": 48}), "Na", kelvin(600))
    assert one.composition.salts == ("NaCl", "CaCl2")
    assert abs(one.liquidus.T_K - two.liquidus.T_K) < 1e-3
    assert one.float_or_sink.difference_g_cm3 == pytest.approx(two.float_or_sink.difference_g_cm3, rel=1e-9)


def test_a_trace_of_salt_changes_next_to_nothing():
    """1e-9 of KCl in NaCl: R T^2 / H_fus times 1e-9 is far below a microkelvin."""
    pure = describe_melt(from_amounts({"NaCl": 1}))
    trace = describe_melt(from_amounts({"NaCl": 1, "KCl": 1e-9}))
    assert abs(trace.liquidus.T_K - pure.liquidus.T_K) < 1e-3
    assert trace.density.value_g_cm3 == pytest.approx(pure.density.value_g_cm3, rel=1e-6)


def test_without_a_temperature_the_superheat_is_said():
    answer = describe_melt(DOWNS, superheat_K=50.0)
    assert abs(answer.T_K - answer.liquidus.T_K - 50) < 1e-6
    assert any("liquidus plus 50 K" in note for note in answer.notes)
    assert answer.float_or_sink is None


def test_below_the_liquidus_is_said():
    frozen = describe_melt(DOWNS, "Na", kelvin(450))
    assert any("frozen" in note for note in frozen.notes)
    assert not any("frozen" in note for note in describe_melt(DOWNS, "Na", kelvin(600)).notes)


def test_a_metal_that_is_in_no_salt_is_said():
    foreign = describe_melt(DOWNS, "Pb", kelvin(600))
    assert any("no salt of this melt contains Pb" in note for note in foreign.notes)
    assert not any("contains Na" in note for note in describe_melt(DOWNS, "Na", kelvin(600)).notes)


def test_a_metal_that_another_comes_before_is_said_first():
    """NIST-JANAF at 1000 K: liquid MgCl2 takes 2.50 V, NaCl 3.28 V; sodium never comes from a bath that holds both.

    Ideal mixing leaves 0.74 V of that; NaCl binds MgCl2, so less, but 0.4 would want an activity coefficient of e^-8.
    """
    bath = from_amounts({"MgCl2": 20, "NaCl": 80})
    late, early = describe_melt(bath, "Na", kelvin(700)), describe_melt(bath, "Mg", kelvin(700))
    assert late.above_all.startswith("Na is not the first to deposit: Mg comes 0.")
    assert 0.4 < late.order.couple("Na").gap_V < 0.74
    assert late.notes[0] == late.above_all
    assert late.order.couple("Na").gap_V == pytest.approx(early.order.margin_V)
    assert early.above_all == ""
    assert describe_melt(bath).order is None


def test_a_metal_vapour_has_no_verdict():
    """Sodium boils at 883 deg C (data/metals.csv), above the melting point of NaCl."""
    answer = describe_melt(from_amounts({"NaCl": 1}), "Na", kelvin(900))
    assert answer.float_or_sink.state == "vapour"
    assert answer.float_or_sink.verdict is None
    assert answer.density.value_g_cm3 > 1


def test_an_estimated_pair_is_carried_to_the_notes():
    """A pair that nobody measured: status, note, and a band that no rule of thumb could beat (5 K)."""
    a, b = next(model.salts for model in pair_models().values() if model.status == "estimated")
    guessed = describe_melt(from_amounts({a: 50, b: 50})).liquidus
    assert guessed.status == "estimated"
    assert any(f"{a}-{b}" in note for note in guessed.notes)
    assert guessed.sigma_K > 5
    assert describe_melt(DOWNS).liquidus.status == "fitted"


def test_a_solid_and_a_liquid_deposit_of_magnesium_exclude_each_other():
    """Magnesium melts at 650 deg C: liquid above 670, solid below 630, so the two windows do not touch."""
    melt = from_amounts({"KCl": 68, "MgCl2": 32})
    liquid = describe_melt(melt, "Mg", deposit="liquid").window
    solid = describe_melt(melt, "Mg", deposit="solid").window
    assert liquid.exists
    assert solid.exists
    assert solid.high_K < metals()["Mg"].melting_point_K < liquid.low_K


def test_a_vessel_bounds_the_window():
    pot = vessel_named("mild steel")
    bounded = describe_melt(DOWNS, vessel="mild steel", atmosphere="air").window
    assert bounded.high_K == pot.air_limit_K
    assert describe_melt(DOWNS).window.high_K > bounded.high_K


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"symbol": "Xx"}, "'Xx'"),
        ({"symbol": "Na", "deposit": "gas"}, "liquid and solid"),
        ({"deposit": "solid"}, "name the metal"),
        ({"superheat_K": -1.0}, "0 to 500"),
        ({"vessel": "cheese"}, "'cheese'"),
        ({"atmosphere": "steam"}, "air and inert"),
    ],
)
def test_refusals(change, message):
    with pytest.raises(InputError, match=message):
        describe_melt(DOWNS, **change)


def test_composition_of_one_salt_is_a_melt():
    answer = describe_melt(Composition(("NaCl",), (1.0,)), "Na", kelvin(850))
    assert answer.float_or_sink.verdict == "floats"


def test_a_melt_of_unknown_freezing_is_shown_where_it_is_surely_liquid():
    answer = describe_melt(from_amounts({"CsCl": 16, "ZnCl2": 84}), superheat_K=30.0)
    assert pytest.approx(salts()["CsCl"].melting_point_K + 30) == answer.T_K
    assert any("highest melting point" in note for note in answer.notes)
