"""The four answers of the first screen: what each says, when it warns, and when its figure is called rough."""

from dataclasses import replace

import pytest

from thermo.present.page.answers import ROUGH_K, answers, sentence
from thermo.present.page.quick_starts import START
from thermo.present.page.readouts import inside_window, into_window, read_out
from thermo.present.page.state import OPENING
from thermo.records.units import celsius

EUTECTIC = replace(OPENING, amounts=(("LiCl", 58.5), ("KCl", 41.5)), metal="Li", t_C=450.0)


def by_key(state):
    return {answer.key: answer for answer in answers(read_out(state))}


def test_a_well_measured_melt_has_its_figure_and_no_warning():
    # LiCl-KCl eutectic: 352 to 361 deg C by the sources of the pair; 58.5 mol% LiCl lies at it.
    found = by_key(EUTECTIC)
    assert 350 <= int(found["freezing"].figure.split("\u00a0")[0]) <= 363
    assert {answer.level for answer in found.values()} <= {"good", ""}
    assert found["metal"].figure == "liquid"  # lithium melts at 180.5 deg C
    assert "floats" in found["float"].figure  # 0.5 against 1.6 g/cm3


def test_a_wide_band_is_called_rough():
    # Three salts of which two pairs are estimated: nobody has measured this melt.
    wide = by_key(replace(OPENING, amounts=(("RbCl", 30.0), ("NdCl3", 40.0), ("ZnCl2", 30.0)), metal=""))["freezing"]
    out = read_out(OPENING)
    assert out.liquidus.sigma_K > ROUGH_K
    assert by_key(OPENING)["freezing"].badge.startswith("rough: ±")
    assert wide.badge.startswith("rough: ±") or wide.figure == "not known"


@pytest.mark.parametrize(
    ("changes", "key", "words"),
    [
        ({"t_C": 400.0}, "freezing", "partly frozen at 400"),
        ({"t_C": 600.0}, "metal", "not the liquid deposit wanted"),
        ({"t_C": 600.0}, "window", "600 °C is below"),
        ({"t_C": 1200.0}, "window", "1200 °C is above"),
        ({"amounts": (("LiCl", 58.5), ("KCl", 41.5)), "metal": "K", "t_C": 450.0}, "metal", "Not first to deposit"),
        ({"deposit": "solid", "amounts": (("NaCl", 100.0),)}, "window", ""),
        ({"amounts": (("NaCl", float("nan")),)}, "freezing", "amount of NaCl nan"),
    ],
)
def test_what_is_wrong_is_an_alarm_with_its_reason(changes, key, words):
    answer = by_key(replace(OPENING, **changes))[key]
    assert answer.level == "alarm"
    assert words in answer.line


def test_without_a_metal_there_are_still_four():
    found = by_key(replace(OPENING, metal=""))
    assert list(found) == ["freezing", "metal", "float", "window"]
    assert found["float"].figure == "no metal"


def test_the_sentence_is_one_and_says_all():
    text = sentence(read_out(OPENING))
    assert text.startswith("At 720 °C magnesium is liquid and floats; freezing starts at ")
    assert text.count(".") == 1
    assert "partly frozen" in sentence(read_out(replace(OPENING, t_C=300.0)))
    assert "waits" in sentence(read_out(replace(OPENING, amounts=())))


@pytest.mark.parametrize("symbol", list(START))
def test_every_quick_start_is_inside_its_own_window(symbol):
    out = read_out(START[symbol].page(symbol, OPENING))
    assert out.window.exists
    assert celsius(out.window.low_K) <= out.state.t_C <= celsius(out.window.high_K)
    assert sum(amount for _, amount in out.state.amounts) == 100


def test_into_the_window_lands_inside_it():
    cold = replace(OPENING, t_C=300.0)
    out = read_out(cold)
    target = into_window(out.window)
    assert celsius(out.window.low_K) <= target <= celsius(out.window.high_K)
    assert inside_window(cold) == target
    assert inside_window(OPENING) is None  # it may stay
    assert into_window(read_out(replace(OPENING, deposit="solid", amounts=(("NaCl", 100.0),))).window) is None
