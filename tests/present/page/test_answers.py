"""The four answers of the first screen: what each says, when it warns, and when its figure is called rough."""

from dataclasses import replace

import pytest

from thermo.present.page.answers import ROOM, ROUGH_K, answers, sentence
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


def test_a_freezing_start_within_its_own_doubt_is_not_called():
    """NaCl-LiF 50-50 freezes at 699.9 deg C (Blander 1962, ORNL-3293): a bath held there is not molten for sure."""
    salt = replace(OPENING, amounts=(("NaCl", 50.0), ("LiF", 50.0)), metal="Li")
    start = read_out(salt).liquidus
    start_C = celsius(start.T_K)
    for away, level, words in (
        (0.0, "open", "too close to call"),
        (2 * start.sigma_K + 1, "good", "K below"),
        (-2 * start.sigma_K - 1, "alarm", "partly frozen"),
    ):
        out = read_out(replace(salt, t_C=round(start_C + away, 1)))
        answer = next(a for a in answers(out) if a.key == "freezing")
        assert answer.level == level
        assert words in answer.line
        assert ("too close to call" in sentence(out)) == (level == "open")


def test_a_metal_that_comes_second_is_not_praised_in_the_sentence():
    # Barium and sodium chloride at 760 deg C: sodium first by 0.3 V (NIST-JANAF: 3.21 V against 3.5 V).
    text = sentence(read_out(replace(OPENING, amounts=(("BaCl2", 40.0), ("NaCl", 60.0)), metal="Ba", t_C=760.0)))
    assert "but sodium deposits before it" in text
    assert "deposits before it" not in sentence(read_out(OPENING))


def test_a_metal_that_is_in_no_salt_of_the_melt_is_an_alarm():
    out = read_out(replace(OPENING, amounts=(("NaCl", 48.0), ("CaCl2", 52.0)), metal="Li", t_C=600.0))
    found = next(answer for answer in answers(out) if answer.key == "metal")
    assert (found.level, found.line) == ("alarm", "no salt of this melt holds Li")
    assert "no salt of this melt holds it" in sentence(out)


def test_heavier_and_lighter_are_said_in_words():
    # At 720 deg C magnesium is 1.57 g/cm3 and this bath 1.75; neodymium 6.7 in a fluoride bath of about 4.
    assert by_key(OPENING)["float"].line.endswith("lighter")
    fluoride = replace(OPENING, amounts=(("NdF3", 47.4), ("LiF", 52.6)), metal="Nd", t_C=1050.0)
    assert by_key(fluoride)["float"].line.endswith("heavier")


@pytest.mark.parametrize(
    ("amounts", "metal", "t_C"),
    [
        ((("CsCl", 70.0), ("ZnCl2", 30.0)), "Zn", 480.0),  # its start of freezing is not known
        ((("AlF3", 40.0), ("NaCl", 60.0)), "Al", 700.0),  # no data at all
        ((("AlF3", 60.0), ("NaF", 40.0)), "Al", 900.0),  # no density
        ((("NaCl", 100.0),), "Zn", 700.0),  # zinc boils at 907 deg C
        ((("CaF2", 100.0),), "Na", 600.0),  # sodium boils 500 K below where this melts
        ((("NaCl", 50.0), ("LiF", 50.0)), "Li", 700.0),
    ],
)
def test_a_reason_is_never_cut_in_the_middle(amounts, metal, t_C):
    for answer in answers(read_out(replace(OPENING, amounts=amounts, metal=metal, t_C=t_C))):
        for text in (answer.line, answer.brief):
            assert "…" not in text
            assert len(text) <= ROOM
        if answer.level == "alarm":
            assert answer.line


def test_inside_a_window_whose_freezing_start_is_unknown_has_its_if():
    found = by_key(replace(OPENING, amounts=(("CsCl", 70.0), ("ZnCl2", 30.0)), metal="Zn", t_C=480.0))["window"]
    assert "if the melt is liquid" in found.line


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
