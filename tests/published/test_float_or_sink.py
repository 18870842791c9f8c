"""Float or sink and windows against what is seen in practice and against worked cases.

Practice: K&O = Kirk-Othmer, Ullmann, Strelets 1977, Kipouros & Sadoway 1987, Emley 1966, patents; a row marked
(memory) was recalled, not read again. Run with -s for the table.
"""

import pytest

from thermo.answers.flotation import float_or_sink
from thermo.answers.window import operating_window
from thermo.laws.metal_density import metal_density
from thermo.records.composition import from_amounts
from thermo.records.substances import metals, salts
from thermo.records.units import celsius, kelvin

UP, DOWN = {"floats", "likely floats"}, {"sinks", "likely sinks"}
CLOSE = "too close to call"


def named(value) -> str:
    """A parameter as the end of a test's name; sets in order, since their own order changes from run to run."""
    return str(sorted(value) if isinstance(value, set) else value)[:40]


SEEN = [
    # metal, melt in mol%, deg C, what is allowed, where seen
    ("Li", {"LiCl": 59, "KCl": 41}, 450, {"floats"}, "ladled from the surface; Ullmann (memory)"),
    ("Li", {"LiF": 46.5, "NaF": 11.5, "KF": 42}, 600, {"floats"}, "density ORNL/TM-2006/12"),
    ("Na", {"NaCl": 48, "CaCl2": 52}, 600, {"floats"}, "collected from the top; Downs cell, checked"),
    ("Na", {"NaCl": 57.9, "CaCl2": 42.1}, 600, {"floats"}, "two-salt Downs bath; Sittig 1956"),
    ("Na", {"NaCl": 51.3, "CaCl2": 25.1, "BaCl2": 23.6}, 600, {"floats"}, "three-salt Downs bath; K&O (memory)"),
    ("Rb", {"RbCl": 1}, 680, {"floats"}, "Bredig 1964 (memory)"),
    ("Ca", {"CaCl2": 1}, 860, {"floats"}, "touch cathode raised at the bath surface, checked"),
    ("Ca", {"CaCl2": 1}, 850, {"floats"}, "1.376 against 2.053 of CRC"),
    ("Ca", {"CaCl2": 79.2, "KCl": 20.8}, 800, {"floats"}, "solid, pasty calcium floats; Ullmann (memory)"),
    ("Sr", {"SrCl2": 1}, 900, UP, "touch cathode; Ullmann (memory). CRC's 6.98 for strontium is tin's"),
    ("Sr", {"SrCl2": 65.3, "KCl": 34.7}, 800, UP | {CLOSE}, "floats thinly (memory, unsure)"),
    ("Ba", {"BaCl2": 1}, 980, {"sinks"}, "no floating layer; K&O (memory)"),
    ("Ba", {"BaCl2": 45, "KCl": 55}, 800, {"sinks"}, "sinks or disperses"),
    ("Mg", {"NaCl": 72.5, "CaCl2": 12.7, "MgCl2": 14.8}, 700, {"floats"}, "Dow bath; Kipouros & Sadoway 1987"),
    ("Mg", {"NaCl": 72, "CaCl2": 10, "MgCl2": 18}, 720, {"floats"}, "25/15/60 wt% bath, 700-750 deg C"),
    (
        "Mg",
        {"MgCl2": 8.4, "CaCl2": 28.9, "NaCl": 41.2, "KCl": 21.5},
        750,
        {"floats"},
        "older four-salt bath; Strelets 1977 (memory)",
    ),
    (
        "Mg",
        {"MgCl2": 7.3, "KCl": 9.3, "NaCl": 71, "CaCl2": 12.5},
        725,
        {"floats"},
        "10/10/60/20 wt%; J. Electrochem. 14(2), checked",
    ),
    ("Mg", {"MgCl2": 7.7, "KCl": 73.6, "NaCl": 18.8}, 690, {CLOSE, *UP}, "floats marginally; Strelets 1977 (memory)"),
    ("Mg", {"MgCl2": 47.3, "KCl": 48.3, "BaCl2": 4.3}, 720, UP, "flux made to settle below the metal; Emley 1966"),
    ("Mg", {"KCl": 50, "MgCl2": 50}, 700, {CLOSE, *UP}, "not much lighter than the bath, BaCl2 added; checked"),
    ("Mg", {"KCl": 68, "MgCl2": 32}, 700, {CLOSE, "likely sinks"}, "four sources between 1.52 and 1.66; never sure"),
    ("Mg", {"NaCl": 58, "MgCl2": 42}, 700, {"floats"}, "1.68 at 700 deg C, ORNL/TM-2006/69 (memory)"),
    ("Mg", {"MgCl2": 1}, 750, {"floats"}, "CRC lines"),
    ("Mg", {"LiCl": 59, "KCl": 41}, 700, {"sinks"}, "light baths patented to collect metal below (memory)"),
    ("Mg", {"LiCl": 80, "MgCl2": 20}, 700, DOWN | {CLOSE}, "the same idea, nearer to even"),
    ("Al", {"NaCl": 50, "KCl": 50}, 750, {"sinks"}, "remelting flux lies on the metal; foundry practice"),
    ("Zn", {"ZnCl2": 1}, 450, {"sinks"}, "beads collect below; school demonstration"),
    ("Zn", {"ZnCl2": 42.6, "KCl": 32.5, "NaCl": 24.9}, 500, {"sinks"}, "common practice"),
    ("Pb", {"LiCl": 59, "KCl": 41}, 500, {"sinks"}, "liquid-metal cathode below; common practice"),
    ("La", {"LaCl3": 40, "KCl": 60}, 930, {"sinks"}, "Hirschhorn 1968 (memory)"),
    ("Ce", {"CeCl3": 40, "KCl": 60}, 850, {"sinks"}, "mischmetal cells; Hirschhorn 1968 (memory)"),
    ("Nd", {"NdF3": 38.6, "LiF": 61.4}, 1050, {"sinks"}, "crucible under the cathode; checked"),
]


@pytest.mark.parametrize(("symbol", "mix", "t_C", "allowed", "where"), SEEN, ids=named)
def test_practice(symbol, mix, t_C, allowed, where):
    answer = float_or_sink(from_amounts(mix), symbol, kelvin(t_C))
    print(
        f"{symbol} {answer.state} in {mix} at {t_C}: {answer.verdict}, {answer.difference_g_cm3:+.3f} +- "
        f"{answer.sigma_g_cm3:.3f} g/cm3, P {answer.p_float:.2f} ({where})"
    )
    assert answer.verdict in allowed


def test_aluminium_sinks_in_cryolite():
    """Hall cell, 960 deg C: aluminium 2.302, bath 2.102 g/cm3, 0.2 apart (plant figure; +-0.03 for its additives)."""
    answer = float_or_sink(from_amounts({"NaF": 75, "AlF3": 25}), "Al", kelvin(960))
    assert answer.verdict == "sinks"
    # pure cryolite, without the alumina and fluorides of the plant bath, is 0.03 heavier
    assert answer.difference_g_cm3 == pytest.approx(-0.17, abs=0.03)


def test_worked_baths():
    """Additive handbook volumes give +0.11, +0.038 (0.03) and -0.06; the measured mixing moves each by up to 0.025."""
    dow = float_or_sink(from_amounts({"MgCl2": 25, "CaCl2": 15, "NaCl": 60}, "mass"), "Mg", kelvin(720))
    assert dow.verdict == "floats"
    assert dow.melt_density.value_g_cm3 == pytest.approx(1.68, abs=0.03)
    mixed = float_or_sink(from_amounts({"MgCl2": 20, "NaCl": 40, "KCl": 40}, "mass"), "Mg", kelvin(690))
    assert mixed.difference_g_cm3 == pytest.approx(0.038, abs=0.03)
    light = float_or_sink(from_amounts({"MgCl2": 20, "LiCl": 70, "KCl": 10}, "mass"), "Mg", kelvin(700))
    assert light.verdict in DOWN
    assert light.difference_g_cm3 == pytest.approx(-0.06, abs=0.03)


def test_cerium_nodules_sink():
    """73/12/15 wt% CeF3/BaF2/LiF at 850 deg C: nodules slid off the cathode and sank (Bureau of Mines practice)."""
    mix = from_amounts({"CeF3": 73, "BaF2": 12, "LiF": 15}, "mass")
    assert mix.mole_percent["LiF"] == pytest.approx(56.86, abs=0.1)
    answer = float_or_sink(mix, "Ce", kelvin(850))
    assert (answer.state, answer.verdict) == ("liquid", "sinks")
    assert answer.melt_density.value_g_cm3 == pytest.approx(4.0, abs=0.15)  # 2 sigma of the extrapolated lines


@pytest.mark.parametrize(
    ("symbol", "mix", "t_C", "state"),
    [
        ("Nd", {"NdF3": 47.4, "LiF": 52.6}, 1050, "liquid"),
        ("Nd", {"LiCl": 59, "KCl": 41}, 450, "solid"),
        ("Zn", {"ZnCl2": 1}, 330, "solid"),
        ("Zn", {"ZnCl2": 1}, 450, "liquid"),
        ("K", {"KCl": 1}, 800, "vapour"),
    ],
)
def test_state_of_the_deposit(symbol, mix, t_C, state):
    assert float_or_sink(from_amounts(mix), symbol, kelvin(t_C)).state == state


def test_metal_densities_quoted_with_the_cases():
    # CRC gives 1.376 for calcium at 850; lithium about 0.49 at 450, strontium about 2.35 at 900 (2 sigma = 3 %)
    assert metal_density("Ca", kelvin(850)).value_g_cm3 == pytest.approx(1.376, abs=0.003)
    assert metal_density("Li", kelvin(450)).value_g_cm3 == pytest.approx(0.49, abs=0.005)
    assert metal_density("Sr", kelvin(900)).value_g_cm3 == pytest.approx(2.35, rel=0.03)


def test_magnesium_margin_of_the_patented_bath():
    """US 4495037 A keeps a CaCl2-free MgCl2-NaCl-KCl bath 0.02-0.10 g/cm3 above magnesium: there are such mixes."""
    shares = [(m, n) for m in range(10, 61, 10) for n in range(0, 91 - m, 10)]
    mixes = [from_amounts({"MgCl2": m, "NaCl": n, "KCl": 100 - m - n}) for m, n in shares]
    inside = [mix for mix in mixes if 0.02 <= float_or_sink(mix, "Mg", kelvin(700)).difference_g_cm3 <= 0.10]
    assert 0 < len(inside) < len(mixes)


def test_window_of_pure_sodium_chloride():
    """801 to 883 deg C (CRC melting point of NaCl, boiling point of sodium); 3 K."""
    window = operating_window(from_amounts({"NaCl": 1}), salts()["NaCl"].melting_point_K, 0.5, "Na", superheat_K=0)
    assert celsius(window.low_K) == pytest.approx(801, abs=3)
    assert celsius(window.high_K) == pytest.approx(883, abs=3)


def test_no_window_for_potassium_in_its_chloride():
    """KCl melts at 771, potassium boils at 759 deg C (CRC): no cell makes potassium this way."""
    melts = salts()["KCl"].melting_point_K
    assert melts > metals()["K"].boiling_point_K
    window = operating_window(from_amounts({"KCl": 1}), melts, 0.5, "K", superheat_K=0)
    assert not window.exists
    assert "boiling point of potassium" in window.explanation
    assert "lower-melting mix" in window.explanation
