"""Numbers and formulas in words."""

import pytest

from thermo.present.words.written import NO_BREAK, degrees, percent_of_chance, plain, pretty, shares, signed_density


@pytest.mark.parametrize(
    ("formula", "written"),
    [
        ("CaCl2", "CaCl₂"),
        ("K2SrCl4", "K₂SrCl₄"),
        ("MgCl2.6H2O", "MgCl₂·6H₂O"),
        ("ZnCl2.1.5H2O", "ZnCl₂·1.5H₂O"),
        ("(Na,K)Cl", "(Na,K)Cl"),
        ("NaCl", "NaCl"),
    ],
)
def test_digits_that_count_atoms_are_lowered(formula, written):
    assert pretty(formula) == written


def test_degrees_never_print_a_band_of_zero():
    assert degrees(273.15 + 503, 4.4) == "503 ± 4 °C".replace(" ", NO_BREAK)
    assert degrees(273.15 + 503, 0.2) == "503 ± 1 °C".replace(" ", NO_BREAK)
    assert degrees(273.15 + 503) == "503 °C".replace(" ", NO_BREAK)


def test_a_margin_has_its_sign():
    assert signed_density(0.0873, 0.022) == "+0.087 ± 0.022 g/cm³"
    assert signed_density(-0.0873, 0.022) == "−0.087 ± 0.022 g/cm³"


@pytest.mark.parametrize(
    ("p", "words"), [(0.5, "50 %"), (0.9999, "more than 99 %"), (1e-6, "less than 1 %"), (0.99, "99 %")]
)
def test_no_chance_is_certain(p, words):
    assert percent_of_chance(p) == words


def test_lines_use_the_degree_sign():
    assert plain("boils at 883 deg C, 1.5 g/cm3") == "boils at 883 °C, 1.5 g/cm³"
    assert shares({"NaCl": 48.0, "CaCl2": 52.04}) == "NaCl 48.0 / CaCl₂ 52.0"


@pytest.mark.parametrize(
    ("notation", "written"),
    [
        ("KMgCl3 melts at 487 deg C.", "KMgCl₃ melts at 487 °C."),
        ("(NaCl-CaCl2: 500 +- 4 deg C)", "(NaCl-CaCl₂: 500 ± 4 °C)"),
        ("water of MgCl2.6H2O, LiCl.H2O and ZnCl2.1.5H2O.", "water of MgCl₂·6H₂O, LiCl·H₂O and ZnCl₂·1.5H₂O."),
        ("Table2 of ORNL2548, vol. 2.1, doi:10.1007/BF0265", "Table2 of ORNL2548, vol. 2.1, doi:10.1007/BF0265"),
        ("first (Na,K)MgF3, then (K,Rb)2MgF4.", "first (Na,K)MgF₃, then (K,Rb)₂MgF₄."),
        ("0.5 A/cm2, 20 cm2, 45 m3/min", "0.5 A/cm², 20 cm², 45 m³/min"),
    ],
)
def test_the_plain_notation_is_set_and_nothing_else(notation, written):
    assert plain(notation) == written
