"""Laws of what is weighed, deposited and floated, for any melt and metal: balances close, verdicts follow."""

import math

import pytest
from hypothesis import strategies as st

from tests.each import NOTHING
from tests.properties.any_melt import OF_ANION, SYMBOLS, melts, one_anion, tried
from thermo.answers.cell import hours_for
from thermo.answers.drift import Bath
from thermo.answers.finder import Wish, find_melts
from thermo.answers.flotation import VERDICTS, float_or_sink
from thermo.answers.melt import describe_melt
from thermo.answers.weighing import melt_from_bottles, weigh_out
from thermo.answers.window import operating_window
from thermo.laws.density import melt_density, salt_density
from thermo.laws.faraday import charge_Ah, current_efficiency, halogen, metal_g, salt_g_per_Ah
from thermo.records.composition import Composition, anions, from_amounts
from thermo.records.hydrates import hydrates_of
from thermo.records.provenance import InputError, RangeError
from thermo.records.substances import metals, salt, salts
from thermo.records.vessels import vessels

TEMPERATURES = st.floats(700.0, 1400.0)  # K
WITH_METAL = [f for anion in ("Cl", "F") for f in OF_ANION[anion] if salt(f).cation in metals()]


@tried(100, melt=melts())
def test_grams_and_moles_are_the_same_melt(melt):
    again = from_amounts(melt.mass_percent, "mass")
    assert again.fractions == pytest.approx(melt.fractions, rel=1e-9)


@tried(60, melt=one_anion(), T_K=TEMPERATURES, pick=st.integers(0, 99))
def test_density_knows_no_order_and_no_trace(melt, T_K, pick):
    try:
        one = melt_density(melt, T_K)
    except (InputError, RangeError):
        return NOTHING
    turned = melt_density(Composition(melt.salts[::-1], melt.fractions[::-1]), T_K)
    assert turned.value_g_cm3 == pytest.approx(one.value_g_cm3, rel=1e-12)
    assert turned.sigma_g_cm3 == pytest.approx(one.sigma_g_cm3, rel=1e-9)
    pool = [f for f in OF_ANION[salt(melt.salts[0]).anion] if f not in melt.salts]
    more = dict(zip(melt.salts, melt.fractions, strict=True)) | {pool[pick % len(pool)]: 1e-9}
    found = melt_density(from_amounts(more), T_K)
    assert found.value_g_cm3 == pytest.approx(one.value_g_cm3, rel=1e-7)
    assert found.sigma_g_cm3 == pytest.approx(one.sigma_g_cm3, rel=1e-3)
    if len(melt.salts) == 1:
        assert one.value_g_cm3 == pytest.approx(salt_density(melt.salts[0], T_K).value_g_cm3, rel=1e-12)
    return None


@tried(60, melt=melts(), symbol=st.sampled_from(SYMBOLS), T_K=TEMPERATURES)
def test_the_verdict_follows_from_the_densities(melt, symbol, T_K):
    """P = Phi(d / sigma), written here with the error function; thresholds as the README prints them."""
    try:
        found = float_or_sink(melt, symbol, T_K)
    except (InputError, RangeError):
        return NOTHING
    if found.margin is None:
        return NOTHING
    d, sigma, p = found.difference_g_cm3, found.sigma_g_cm3, found.p_float
    assert p == pytest.approx(0.5 * math.erfc(-d / sigma / math.sqrt(2)), abs=1e-9)
    steps = [p > 0.95, 0.95 >= p > 0.80, 0.80 >= p >= 0.20, 0.20 > p >= 0.05, p < 0.05]
    assert found.verdict == VERDICTS[steps.index(True)]
    for crossing in found.crossings:
        above = float_or_sink(melt, symbol, min(crossing.T_K + 0.5, metals()[symbol].boiling_point_K - 1e-3))
        assert (above.difference_g_cm3 > 0) == (crossing.above == "floats")
    return None


@tried(60, melt=one_anion(), start_K=st.floats(500.0, 1500.0), symbol=st.sampled_from([None, *SYMBOLS]),
       deposit=st.sampled_from([None, "liquid", "solid"]), superheat_K=st.floats(0.0, 100.0),
       vessel=st.sampled_from([None, *sorted(vessels())]))  # fmt: skip
def test_the_ends_of_a_window_are_limits(melt, start_K, symbol, deposit, superheat_K, vessel):
    deposit = deposit if symbol else None
    wishes = (symbol, deposit, superheat_K, vessel)
    found = operating_window(melt, start_K, 5.0, *wishes)
    low = max(limit.T_K for limit in found.limits if limit.side == "low")
    high = min(limit.T_K for limit in found.limits if limit.side == "high")
    assert (found.low_K, found.high_K, found.exists) == (low, high, low < high)
    assert {limit.T_K for limit in found.limits if limit.binding} == {low, high}
    assert found.low_K >= start_K + superheat_K - 1e-9
    if deposit == "liquid":
        assert found.low_K >= metals()[symbol].melting_point_K
    if deposit == "solid":
        assert found.high_K <= metals()[symbol].melting_point_K
    hotter = operating_window(melt, start_K + 10.0, 5.0, *wishes)
    assert found.low_K <= hotter.low_K <= found.low_K + 10.0 + 1e-9  # a hotter liquidus never opens a window
    assert found.holds(low) == found.holds(high) == found.exists


@tried(60, melt=melts(), total_g=st.floats(1.0, 1e5), picks=st.lists(st.integers(0, 9), min_size=6, max_size=6),
       assay=st.floats(0.6, 1.0))  # fmt: skip
def test_a_weigh_out_closes(melt, total_g, picks, assay):
    choices = [[None, *(hydrate.label for hydrate in hydrates_of(formula))] for formula in melt.salts]
    chosen = [names[pick % len(names)] for names, pick in zip(choices, picks, strict=False)]
    bottles = {formula: label for formula, label in zip(melt.salts, chosen, strict=True) if label}
    first = bottles.get(melt.salts[0], melt.salts[0])
    try:
        found = weigh_out(melt, total_g, bottles, {first: assay})
    except InputError:  # a bottle that brings more of another salt than the mix holds
        return NOTHING
    assert sum(found.anhydrous_g.values()) == pytest.approx(total_g, rel=1e-9)
    driven = sum(found.driven_g.values())
    assert sum(found.weigh_g.values()) == pytest.approx(total_g + found.water_g + driven + found.other_g, rel=1e-9)
    again = melt_from_bottles(found.weigh_g, {first: assay})
    for formula, share in melt.mole_percent.items():
        assert again.mole_percent.get(formula, 0.0) == pytest.approx(share, rel=1e-6, abs=1e-9)
    return None


@tried(100, symbol=st.sampled_from(SYMBOLS), grams=st.floats(0.1, 1e4), amps=st.floats(0.1, 1e3),
       efficiency=st.floats(0.05, 1.0))  # fmt: skip
def test_faraday_there_and_back(symbol, grams, amps, efficiency):
    charge = charge_Ah(amps, hours_for(symbol, grams, amps, efficiency))
    assert metal_g(symbol, charge, efficiency) == pytest.approx(grams, rel=1e-9)
    assert current_efficiency(symbol, grams, charge).value == pytest.approx(efficiency, rel=1e-9)


@tried(60, formula=st.sampled_from([f for f, s in sorted(salts().items()) if s.cation in metals()]),
       charge=st.floats(0.1, 1e4))  # fmt: skip
def test_what_a_charge_takes_apart_is_metal_and_halogen(formula, charge):
    """Lavoisier: salt consumed = metal + halogen."""
    parts = metal_g(salt(formula).cation, charge) + halogen(salt(formula).anion, charge).g
    assert salt_g_per_Ah(formula) * charge == pytest.approx(parts, rel=1e-6)


@tried(60, melt=melts(), bath_g=st.floats(10.0, 1e4), share=st.floats(0.01, 0.95), pick=st.integers(0, 9),
       efficiency=st.floats(0.1, 1.0))  # fmt: skip
def test_a_bath_in_use_keeps_its_other_ions(melt, bath_g, share, pick, efficiency):
    symbol = salt(melt.salts[pick % len(melt.salts)]).cation
    if symbol not in metals():
        return NOTHING
    bath = Bath(melt, symbol, bath_g, efficiency)
    charge = share * bath.exhausted_Ah
    before, after = ions(melt, bath_g), ions(bath.composition(charge), bath.mass_g(charge))
    anion = salt(bath.formula).anion
    kept = [ion for ion in before if ion not in (symbol, anion)]
    assert {ion: after[ion] for ion in kept} == pytest.approx({ion: before[ion] for ion in kept}, rel=1e-9)
    lost = bath_g - bath.mass_g(charge)
    useful = charge * efficiency
    assert lost == pytest.approx(metal_g(symbol, useful) + halogen(anion, useful).g, rel=1e-6)
    return None


def ions(melt: Composition, mass_g: float) -> dict[str, float]:
    """Moles of every ion in so many grams of a melt."""
    moles = mass_g / melt.mean_formula_mass
    found = dict.fromkeys((*(salt(f).cation for f in melt.salts), *anions(melt.salts)), 0.0)
    for formula, x in zip(melt.salts, melt.fractions, strict=True):
        found[salt(formula).cation] += x * moles
        found[salt(formula).anion] += x * moles * salt(formula).charge
    return found


@tried(8, least=0.5, formula=st.sampled_from(WITH_METAL), picks=st.lists(st.integers(0, 99), min_size=2, max_size=2),
       over_K=st.floats(20.0, 250.0))  # fmt: skip
def test_what_is_found_says_the_same_when_asked_by_itself(formula, picks, over_K):
    """Searched for at some way over the metal's or the coldest pure salt's melting point, so that mostly some are."""
    symbol = salt(formula).cation
    pool = [f for f in OF_ANION[salt(formula).anion] if f != formula]
    names = tuple(dict.fromkeys([formula, *(pool[pick % len(pool)] for pick in picks)]))
    T_K = max(metals()[symbol].melting_point_K, min(salt(f).melting_point_K for f in names) - 150.0) + over_K
    found = find_melts(Wish(symbol, names, 2, T_K)).melts
    for melt in found:
        alone = describe_melt(melt.composition, symbol, melt.T_K)
        assert pytest.approx(melt.liquidus.T_K, abs=0.01) == alone.liquidus.T_K
        assert pytest.approx(melt.liquidus.sigma_K, rel=1e-3, abs=0.01) == alone.liquidus.sigma_K
        assert alone.float_or_sink.verdict == melt.flotation.verdict
        one, other = alone.float_or_sink.p_float, melt.flotation.p_float  # None of a vapour
        assert one == (other if other is None else pytest.approx(other, rel=1e-9))
        assert alone.window.exists == melt.window.exists
        assert list(alone.window.span_K or ()) == pytest.approx(list(melt.window.span_K or ()), abs=0.01)
        assert melt.liquidus.T_K <= melt.T_K + 0.01
    return None if found else NOTHING
