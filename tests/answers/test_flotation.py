"""Float or sink: signs, probabilities, crossings, and what it says when it cannot tell."""

from itertools import pairwise

import numpy as np
import pytest
from scipy.stats import norm

from thermo.answers.flotation import (
    HEAVIER,
    LIKELY,
    SCAN_K,
    VERDICTS,
    difference_field,
    float_or_sink,
    verdict_of,
)
from thermo.laws.density import melt_density
from thermo.laws.metal_density import metal_density
from thermo.records.composition import from_amounts
from thermo.records.provenance import InputError
from thermo.records.substances import metals, salts
from thermo.records.units import kelvin

CARNALLITE = from_amounts({"KCl": 68, "MgCl2": 32})


def test_worked_value():
    answer = float_or_sink(from_amounts({"CaCl2": 1}), "Ca", kelvin(860))
    assert answer.state == "liquid"
    # 2.5273 - 0.000422 * 1133.15 = 2.0491 less 1.53052 - 0.000137 * 1133.15 = 1.3753
    assert answer.difference_g_cm3 == pytest.approx(2.0491 - 1.3753, abs=2e-4)
    assert answer.verdict == "floats"


def test_verdicts_and_their_edges():
    assert [verdict_of(p) for p in (0.96, 0.9, 0.5, 0.1, 0.01)] == list(VERDICTS)
    assert verdict_of(0.95) == "likely floats"
    assert verdict_of(0.80) == verdict_of(0.20) == "too close to call"
    assert verdict_of(0.05) == "likely sinks"


@pytest.mark.parametrize("t_C", [500, 640, 660, 700, 900])
def test_difference_sigma_and_probability_follow_from_the_densities(t_C):
    answer = float_or_sink(CARNALLITE, "Mg", kelvin(t_C))
    melt, own = melt_density(CARNALLITE, kelvin(t_C)), metal_density("Mg", kelvin(t_C))
    assert answer.difference_g_cm3 == pytest.approx(melt.value_g_cm3 - own.value_g_cm3, rel=1e-9)
    assert answer.sigma_g_cm3 == pytest.approx(np.hypot(melt.sigma_g_cm3, own.sigma_g_cm3), rel=1e-9)
    assert norm.ppf(answer.p_float) == pytest.approx(answer.difference_g_cm3 / answer.sigma_g_cm3, rel=1e-6)
    assert answer.verdict == verdict_of(answer.p_float)
    assert set(answer.sources) == {*melt.sources, *own.sources}


def test_difference_is_zero_at_a_crossing_and_changes_sign_as_it_says():
    answer = float_or_sink(from_amounts({"KCl": 50, "MgCl2": 50}), "Mg", kelvin(700))
    smooth = [c for c in answer.crossings if metals()["Mg"].melting_point_K != c.T_K]
    assert smooth
    for crossing in smooth:
        below, at, above = (
            float_or_sink(from_amounts({"KCl": 50, "MgCl2": 50}), "Mg", crossing.T_K + step).difference_g_cm3
            for step in (-20, 0, 20)
        )
        assert abs(at) < 1e-6
        assert (above > 0) == (crossing.above == "floats")
        assert below * above < 0


def test_crossing_band_is_sigma_over_slope():
    answer = float_or_sink(CARNALLITE, "Mg", kelvin(700))
    crossing = answer.crossings[-1]
    step = 2.0
    high, low = (float_or_sink(CARNALLITE, "Mg", crossing.T_K + s) for s in (step, -step))
    slope = (high.difference_g_cm3 - low.difference_g_cm3) / (2 * step)
    assert crossing.sigma_K == pytest.approx(high.sigma_g_cm3 / abs(slope), rel=0.02)


def test_jump_on_melting_is_a_crossing():
    """Magnesium shrinks by 3 % on freezing: solid it sinks in the 1:1 bath just below 650 deg C, liquid it floats."""
    mix = from_amounts({"KCl": 50, "MgCl2": 50})
    melts = metals()["Mg"].melting_point_K
    answer = float_or_sink(mix, "Mg", kelvin(700))
    (jump,) = [c for c in answer.crossings if melts == c.T_K]
    assert jump.above == "floats"
    assert jump.sigma_K == metals()["Mg"].melting_point_sigma_K
    assert (
        float_or_sink(mix, "Mg", melts - 0.5).difference_g_cm3
        < 0
        < float_or_sink(mix, "Mg", melts + 0.5).difference_g_cm3
    )


def test_no_crossing_where_the_gap_is_wide():
    for mix, symbol in (({"LiCl": 59, "KCl": 41}, "Li"), ({"ZnCl2": 1}, "Zn"), ({"LiCl": 59, "KCl": 41}, "Pb")):
        assert float_or_sink(from_amounts(mix), symbol, kelvin(450)).crossings == ()


@pytest.mark.parametrize("symbol", list(metals()))
def test_crossings_stay_inside_their_span_and_alternate(symbol):
    for mix in (CARNALLITE, from_amounts({"CsCl": 60, "BaCl2": 40}), from_amounts({"LiF": 1})):
        crossings = float_or_sink(mix, symbol, 600.0).crossings
        temperatures = [c.T_K for c in crossings]
        assert temperatures == sorted(temperatures)
        assert all(SCAN_K[0] <= T <= min(SCAN_K[1], metals()[symbol].boiling_point_K) for T in temperatures)
        assert all(0 < c.sigma_K <= 300 for c in crossings)
        sides = [c.above for c in crossings]
        assert all(a != b for a, b in pairwise(sides))


def test_vapour_has_no_verdict():
    answer = float_or_sink(from_amounts({"KCl": 1}), "K", kelvin(800))
    assert answer.state == "vapour"
    assert (answer.verdict, answer.metal_density, answer.difference_g_cm3, answer.p_float) == (None,) * 4
    assert "boils at 759" in answer.notes[0]
    assert answer.sources == answer.melt_density.sources


def test_too_close_says_what_would_decide():
    answer = float_or_sink(CARNALLITE, "Mg", kelvin(700))
    assert answer.verdict == "too close to call"
    text = " ".join(answer.notes)
    assert "BaCl2" in text
    assert "CaCl2" in text
    assert "poison" in text
    assert "no measurement would decide" in text  # the gap is a third of magnesium's own spread


def amounts_named(notes):
    (note,) = [n for n in notes if n.startswith("to make it likely to float")]
    words = note.replace(",", "").split()
    return {
        words[k + 2]: float(words[k]) for k, word in enumerate(words) if k + 2 < len(words) and words[k + 1] == "mol%"
    }


def test_the_addition_named_is_enough_and_just_enough():
    named = amounts_named(float_or_sink(CARNALLITE, "Mg", kelvin(700)).notes)
    assert set(named) == {HEAVIER["Cl"][0], HEAVIER["Cl"][-1]}
    for formula, percent in named.items():
        for added, enough in ((percent, True), (percent - 0.5, False)):
            mix = {"KCl": 0.68 * (100 - added), "MgCl2": 0.32 * (100 - added), formula: added}
            assert (float_or_sink(from_amounts(mix), "Mg", kelvin(700)).p_float > LIKELY) == enough


def test_the_measurement_named_would_decide():
    answer = float_or_sink(from_amounts({"SrCl2": 65, "KCl": 35}), "Sr", kelvin(800))
    assert answer.verdict == "too close to call"
    (note,) = [n for n in answer.notes if n.startswith("to decide")]
    percent = float(note.split("within ")[1].split(" %")[0])
    sigma = np.hypot(percent / 100 * answer.melt_density.value_g_cm3, answer.metal_density.sigma_g_cm3)
    # printed to 0.1 %, so P may miss 0.80 by the rounding only
    assert norm.cdf(answer.difference_g_cm3 / sigma) == pytest.approx(LIKELY, abs=0.03)


def test_sure_answers_carry_no_advice():
    notes = float_or_sink(from_amounts({"LiCl": 59, "KCl": 41}), "Li", kelvin(450)).notes
    assert not any("to decide" in n or "to make it" in n for n in notes)


def test_field_agrees_with_single_answers():
    names, fractions = ("NaCl", "KCl", "MgCl2"), np.array([[0.2, 0.4, 0.4], [0.6, 0.2, 0.2], [0.0, 1.0, 0.0]])
    T_K = np.array([900.0, 1000.0, 1400.0])
    difference, sigma = difference_field(names, fractions, "Mg", T_K)
    for k in (0, 1):
        mix = from_amounts(dict(zip(names, fractions[k].tolist(), strict=True)))
        alone = float_or_sink(mix, "Mg", float(T_K[k]))
        assert difference[k] == pytest.approx(alone.difference_g_cm3, rel=1e-9)
        assert sigma[k] == pytest.approx(alone.sigma_g_cm3, rel=1e-9)
    assert np.isnan(difference[2])  # magnesium boils at 1363 K


def test_heavier_salts_are_in_the_list_and_heaviest_first():
    for anion, names in HEAVIER.items():
        assert all(salts()[name].anion == anion for name in names)


def test_unknown_metal():
    with pytest.raises(InputError, match="Unobtainium"):
        float_or_sink(CARNALLITE, "Unobtainium", 1000.0)
