"""Page, command line, run sheet, JSON and public names show one record of a melt: the same sources and notes."""

import json
from dataclasses import replace

import pytest

import thermo
from tests.random_mixes import random_mixes, reciprocal_mixes
from thermo.answers.melt import Refused, describe_melt
from thermo.present.as_json.melt import melt_json
from thermo.present.command_line.main import main
from thermo.present.page.readouts import read_out
from thermo.present.page.sources import notes_of, sources_of
from thermo.present.page.state import OPENING
from thermo.present.paper.sheet import run_sheet, sheet_json
from thermo.records.composition import from_amounts
from thermo.records.provenance import sources
from thermo.records.published import ternary_points
from thermo.records.substances import metals, salts
from thermo.records.units import celsius, kelvin

PUBLISHED = [
    dict(zip(row.salts, row.fractions, strict=True))
    for row in ternary_points()
    if row.fractions and set(row.salts) <= set(salts())
]
DRAWN = [dict(mix.mole_percent) for mix in (*random_mixes(12, 71, 5), *reciprocal_mixes(3, 72, 3))]
NO_DENSITY = {"AlF3": 60.0, "NaF": 40.0}  # above 50 mol% AlF3 nothing was measured


def differing(amounts, symbol, t_C):
    """Where one melt's sources or notes differ between the five; the words of what differs."""
    state = replace(OPENING, amounts=tuple(amounts.items()), metal=symbol or "", t_C=t_C, deposit="either")
    out = read_out(state)
    answer = describe_melt(state.composition().present, symbol, kelvin(t_C))
    found, sheet = melt_json(answer), sheet_json(run_sheet(answer))
    page = {"sources": out.sources, "notes": list(out.notes)}
    wrong = [f"{amounts}: {key} of the page" for key in page if page[key] != found[key]]
    wrong += [f"{amounts}: {key} of the sheet" for key in page if sheet[key] != found[key]]
    named = thermo.Melt(amounts).at(t_C, symbol).as_dict()
    wrong += [f"{amounts}: {key} of the public name" for key in page if named[key] != found[key]]
    shown = {sources()[row.source].cite() for row in out.published}
    return wrong + [f"{amounts}: {line} not in the page's list" for line in shown - set(sources_of(out))]


def all_differing(mixes):
    wanted = [None, *metals()]
    asked = ((mix, wanted[k % len(wanted)], 450 + 7.0 * (k % 80)) for k, mix in enumerate(mixes))
    return [line for question in asked for line in differing(*question)]


@pytest.mark.parametrize("first", range(2))
def test_sources_and_notes_agree_for_published_melts(first):
    rows = PUBLISHED[first::8]
    assert len(rows) > 15
    assert all_differing(rows) == []


def test_sources_and_notes_agree_for_any_melt():
    assert all_differing([*DRAWN, NO_DENSITY, {"NaCl": 1.0}]) == []


def test_the_command_line_prints_the_record(capsys):
    words = ["NaCl=30", "KCl=20", "MgCl2=50"]
    answer = describe_melt(from_amounts({"NaCl": 30, "KCl": 20, "MgCl2": 50}), "Mg", kelvin(720))
    assert main(["melt", *words, "--metal", "Mg", "--at", "720", "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == json.loads(json.dumps(melt_json(answer)))
    assert main(["melt", *words, "--metal", "Mg", "--at", "720"]) == 0
    text = " ".join(capsys.readouterr().out.split())  # a terminal folds its lines
    assert [line for line in melt_json(answer)["notes"] if " ".join(line.split()) not in text] == []
    named = [sources()[key].short for key in answer.sources]  # by author and year; whole with --json
    assert [name for name in named if " ".join(name.split()) not in text] == []


def test_what_the_page_adds_is_the_soft_limits_alone():
    out = read_out(replace(OPENING, amounts=(("NaCl", 48.0), ("CaCl2", 52.0)), metal="Na", t_C=600.0))
    assert notes_of(out)[: len(out.notes)] == list(out.notes)
    assert len(notes_of(out)) == len(out.notes) + len(out.window.advice)


def test_a_part_that_refuses_leaves_the_others():
    answer = describe_melt(from_amounts(NO_DENSITY), "Al", kelvin(1000))
    assert isinstance(answer.density, Refused)
    assert "50 mol%" in answer.density.reason
    found = melt_json(answer)
    assert found["density"]["melt_g_cm3"] is found["float_or_sink"]["verdict"] is None
    # 2.377 g/cm3 at its melting point and 0.00031 g/cm3 less a kelvin (Assael et al. 2006, from memory): 2.27 at 1000
    assert found["metal"]["density_g_cm3"] == pytest.approx(2.27, abs=0.03)
    assert found["liquidus"]["T_C"] == pytest.approx(celsius(answer.liquidus.T_K), abs=0.01)
    assert set(found["refused"]) == {"density", "float_or_sink"}
    assert set(found["refused"].values()) <= set(found["notes"])
    out = read_out(replace(OPENING, amounts=tuple(NO_DENSITY.items()), metal="Al", t_C=1000.0))
    assert out.liquidus == answer.liquidus
    assert out.flotation is None
    assert out.messages["flotation"] == answer.density.reason


def test_the_page_does_not_wait_for_the_solidus():
    out = read_out(replace(OPENING, amounts=(("NaCl", 47.25), ("CaCl2", 52.75))))
    assert "solidus" not in vars(out.melt)
    assert out.notes
    assert "solidus" in vars(out.melt)
