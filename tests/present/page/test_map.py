"""The marker of the coldest melt near the knob stands where the card says so in words."""

from dataclasses import replace

from thermo.present.page.cards import cards
from thermo.present.page.map import _aside, coldest_near
from thermo.present.page.readouts import read_out
from thermo.present.page.state import OPENING
from thermo.present.words.written import pretty


def freezing_lines(out):
    return next(card for card in cards(out) if card.title.startswith("Starts to freeze")).details


def test_the_coldest_melt_near_is_the_one_that_the_card_names():
    # LiCl-KCl-MgCl2 beside its eutectic (323 deg C at 55-40-5, Morishita et al. 1995)
    out = read_out(replace(OPENING, amounts=(("LiCl", 50.0), ("KCl", 40.0), ("MgCl2", 10.0)), basis="mol"))
    near = coldest_near(out)
    assert near is not None
    (line,) = (line for line in freezing_lines(out) if line.startswith("coldest melt within 3 mol%"))
    assert all(f"{pretty(f)} {share:.1f}" in line for f, share in near.mole_percent.items())
    own = out.composition.mole_percent
    assert all(abs(near.mole_percent[f] - own[f]) <= 3.0 + 1e-6 for f in own)


def test_no_marker_where_the_card_has_no_line():
    for amounts in ((("NaCl", 100.0),), (("LiF", 1.0), ("SrF2", 1.0), ("AlF3", 1.0))):  # one salt; a congruent compound
        out = read_out(replace(OPENING, amounts=amounts, basis="mol"))
        said = any(line.startswith("coldest melt within") for line in freezing_lines(out))
        assert (coldest_near(out) is not None) == said


def test_a_measured_start_that_lies_off_the_curve_says_so():
    # NaCl-LiF 50-50 freezes at 699.9 deg C (Blander 1962, ORNL-3293 Table 11), 20 K above the curve computed here;
    # NaCl-CaCl2 beside its eutectic lies on its curve.
    off = read_out(replace(OPENING, amounts=(("NaCl", 50.0), ("LiF", 50.0)), basis="mol"))
    on = read_out(replace(OPENING, amounts=(("NaCl", 48.0), ("CaCl2", 52.0)), basis="mol"))
    assert abs(off.liquidus.T_K - off.liquidus.computed.T_K) > 10
    assert _aside(off.liquidus) == " (measured)"
    assert _aside(on.liquidus) == _aside(None) == ""
