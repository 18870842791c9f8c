"""Answers as text: the dictionary's own numbers, words where something is unknown, nothing hidden."""

import pytest

from thermo.answers.evidence.melts import coldest
from thermo.answers.melt import describe_melt
from thermo.equilibrium.invariants.lowest import lowest
from thermo.equilibrium.invariants.pair import pair_invariants
from thermo.present.as_json.melt import melt_json, salts_json
from thermo.present.as_json.pair import lowest_json, pair_json
from thermo.present.command_line.closing import WIDTH
from thermo.present.command_line.text import lowest_text, melt_text, pair_text, percent_table, salts_text, table
from thermo.records.composition import Composition, from_amounts
from thermo.records.fitted import pair_models
from thermo.records.provenance import sources
from thermo.records.published import ternary_points
from thermo.records.substances import metals, salts
from thermo.records.units import kelvin

DOWNS = from_amounts({"NaCl": 48, "CaCl2": 52})


def pair_found(a: str, b: str) -> dict:
    return pair_json(a, b, pair_invariants(a, b), pair_models()[frozenset((a, b))])


def test_table_columns_line_up():
    lines = table([["salt", "mol%"], ["CaCl2", "7"], ["LiF", "12.5"]]).splitlines()
    assert lines == ["salt   mol%", "CaCl2  7", "LiF    12.5"]


def test_percent_table_has_both_bases():
    found = {"mole_percent": {"LiCl": 58.5}, "mass_percent": {"LiCl": 44.49}}
    assert percent_table(found).splitlines()[1].split() == ["LiCl", "58.50", "44.49"]


def test_salts_text_names_everything_and_what_is_unknown():
    text = salts_text(salts_json())
    words = set(text.replace(",", " ").split())
    assert set(salts()) | set(metals()) <= words
    (line,) = (line for line in text.splitlines() if line.startswith("LaCl3 "))
    assert "unknown" in line  # no boiling point on file


def test_melt_text_repeats_the_numbers():
    found = melt_json(describe_melt(DOWNS, "Na", kelvin(600)))
    text = melt_text(found)
    assert f"starts to freeze  {found['liquidus']['T_C']:.0f} +- {found['liquidus']['sigma_K']:.0f} deg C" in text
    assert f"{found['density']['melt_g_cm3']:.3f} +- " in text
    assert "Na liquid" in text
    assert "floats (melt minus metal +" in text
    window = found["window"]
    assert f"run between       {window['preferred_low_C']:.0f} and {window['preferred_high_C']:.0f} deg C (" in text
    assert f"possible {window['low_C']:.0f} and {window['high_C']:.0f} deg C" in text
    unfolded = " ".join(text.split())
    for entry in (*found["cautions"], *found["notes"]):
        assert f"- {entry}" in unfolded
    short = {source.cite(): source.short for source in sources().values()}
    for citation in found["sources"]:
        assert short[citation] in unfolded
    assert f"sources ({len({short[one] for one in found['sources']})};" in text
    assert max(len(line) for line in text.splitlines()) <= WIDTH  # folded between words


def test_sinking_metal_has_a_negative_difference():
    text = melt_text(melt_json(describe_melt(from_amounts({"ZnCl2": 50, "KCl": 50}), "Zn", kelvin(500))))
    assert "sinks (melt minus metal -" in text


@pytest.mark.parametrize(
    ("amounts", "symbol", "top", "line"),
    [
        ({"MgCl2": 20, "NaCl": 80}, "Na", "Na is not the first to deposit: Mg", "Not first to deposit: Mg"),
        ({"NaCl": 50, "KCl": 50}, "Li", "No salt of this melt contains Li", "Na first; Li is not in this melt"),
        ({"CaCl2": 1}, "Ca", "salt ", "nothing but Ca can deposit"),
        ({"MgCl2": 20, "NaCl": 80}, "Mg", "salt ", "Deposits first, 0."),
    ],
)
def test_what_deposits_is_said_and_leads_where_it_is_another_metal(amounts, symbol, top, line):
    found = melt_json(describe_melt(from_amounts(amounts), symbol, kelvin(860)))
    text = melt_text(found).splitlines()
    assert text[0].startswith(top)
    assert any(row.startswith(f"deposits          {line}") for row in text)
    assert (found["above_all"] is None) == (top == "salt ")


def test_vapour_is_said_without_numbers():
    text = melt_text(melt_json(describe_melt(from_amounts({"NaCl": 1}), "Na", kelvin(900))))
    (line,) = (line for line in text.splitlines() if line.startswith("metal  "))
    assert line.split() == ["metal", "Na", "vapour"]
    assert "float or sink" not in text
    assert "None" not in text


def test_no_window_tells_the_clash():
    text = melt_text(melt_json(describe_melt(DOWNS, "Na", deposit="solid")))
    assert "no window         No window: the bath must be above" in text
    assert "run between" not in text


def test_vessel_cautions_and_advice_are_printed():
    found = melt_json(describe_melt(DOWNS, "Na", vessel="mild steel", atmosphere="air"))
    text = melt_text(found)
    assert all(caution in text for caution in found["window"]["cautions"])


def test_pair_text_has_a_row_for_every_point():
    found = pair_found("KCl", "MgCl2")
    text = pair_text(found)
    assert text.startswith("KCl-MgCl2: fitted, ")
    for point in found["invariants"]:
        (line,) = (line for line in text.splitlines() if f"  {point['T_C']:.1f} " in line)
        assert line.startswith(point["kind"])
        assert " + ".join(point["solids"]) in line
    assert "mixing term" not in text
    terms = pair_text(found, terms=True)
    assert terms.count("mixing term") == len(found["interactions"])
    assert all(d["formula"] + " from its salts: enthalpy" in terms for d in found["double_salts"])


def test_estimated_pair_says_that_nothing_was_measured():
    a, b = next(model.salts for model in pair_models().values() if model.status == "estimated")
    found = pair_found(a, b)
    text = pair_text(found)
    assert f"{a}-{b}: estimated" in text
    assert found["note"] in text
    assert "root mean square" not in text


@pytest.mark.parametrize("names", [("LiCl", "KCl"), ("NaCl", "KCl")])
def test_lowest_text_is_short_and_complete(names):
    point = lowest(names)
    found = lowest_json(point, Composition(point.salts, point.fractions))
    text = lowest_text(found)
    assert f"melts at {found['T_C']:.1f} +- {found['sigma_K']:.1f} deg C ({point.kind}, {point.status})" in text
    assert all(name in text for name in (*names, *point.solids))


def test_published_melts_stand_below_the_computed_ones():
    text = melt_text(melt_json(describe_melt(from_amounts({"NaCl": 30, "KCl": 20, "MgCl2": 50}))))
    assert "\npublished         396 +- 5 deg C (eutectic, 0.0 mol% away; " in text
    for names, words in (
        (("NaCl", "KCl", "MgCl2"), "MgCl2=50.85;"),
        (("LiF", "MgF2", "CaF2"), "without a composition"),
    ):
        point = lowest(names)
        published = coldest(ternary_points(*names))
        found = lowest_json(point, Composition(point.salts, point.fractions), published)
        assert words in lowest_text(found).split("\npublished ")[1].splitlines()[0]


def test_an_unknown_start_of_freezing_is_no_number():
    found = melt_json(describe_melt(from_amounts({"CsCl": 52, "ZnCl2": 48}), T_K=800.0))
    assert found["liquidus"]["T_C"] is None
    assert "starts to freeze  unknown" in melt_text(found)
