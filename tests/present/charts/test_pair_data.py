"""The drawings as data: spans, isotherms and names agree with the liquidus they show."""

import json
import re
from dataclasses import replace
from itertools import pairwise

import pytest

from thermo.equilibrium.invariants.section import section
from thermo.present.charts.pair_data import density_diagram, drawable, invariant_lines, pair_diagram
from thermo.present.page.cards import cards
from thermo.present.page.readouts import read_out
from thermo.present.page.sources import table_rows
from thermo.present.page.state import OPENING
from thermo.records.substances import shares_an_ion


def test_a_pair_is_covered_from_end_to_end():
    figure = pair_diagram("NaCl", "CaCl2", 600.0)
    strip = figure["strip"]
    assert strip[0]["from"] == 0
    assert strip[-1]["to"] == 100
    assert all(a["to"] == b["from"] for a, b in pairwise(strip))
    assert all(a["label"] != b["label"] for a, b in pairwise(strip))
    curve = figure["curves"][0]
    assert len(curve["points"]) == len(curve["sigma"])
    lows = [y for _, y in curve["points"]]
    assert figure["y"]["low"] < min(lows)
    assert figure["y"]["high"] > max(lows)
    json.dumps(figure)


def test_the_temperature_is_always_on_the_axis():
    for t_C in (150.0, 700.0, 1400.0):
        axis = pair_diagram("NaCl", "CaCl2", t_C)["y"]
        assert axis["low"] < t_C < axis["high"]


def test_the_metal_melting_point_is_drawn_only_when_near():
    assert [rule["at"] for rule in pair_diagram("NaCl", "CaCl2", 600.0, ("magnesium", 650.0))["rules"]] == [650.0]
    assert pair_diagram("NaCl", "CaCl2", 600.0, ("mercury", -39.0))["rules"] == []


def test_every_mark_has_its_line():
    marks = pair_diagram("KCl", "MgCl2", 600.0)["marks"]
    lines = invariant_lines("KCl", "MgCl2")
    assert len(marks) == len(lines) > 1
    for mark, line in zip(marks, lines, strict=True):
        assert line.startswith(f"{mark['label']}: ")
        printed = float(re.search(r"([\d.]+) mol%", line).group(1))
        assert printed == pytest.approx(mark["x"], abs=0.06)  # rounded to 0.1 there, to 0.01 here


def test_the_id_follows_the_content():
    assert pair_diagram("NaCl", "CaCl2", 600.0)["id"] == pair_diagram("NaCl", "CaCl2", 601.0)["id"]  # same axis
    assert pair_diagram("NaCl", "CaCl2", 600.0)["id"] != pair_diagram("CaCl2", "NaCl", 600.0)["id"]


def test_the_density_chart_marks_the_working_temperature_and_the_freezing_start():
    out = read_out(OPENING)
    figure = density_diagram(out.chart, OPENING.t_C)
    assert figure["x"]["low"] < OPENING.t_C < figure["x"]["high"]
    assert any("starts to freeze" in rule["label"] for rule in figure["rules"])
    assert {curve["label"] for curve in figure["curves"]} == {"melt", "magnesium"}
    json.dumps(figure)


def test_a_boiling_metal_leaves_the_chart_below_its_boiling_point():
    out = read_out(replace(OPENING, metal="Na", t_C=1000.0))
    figure = density_diagram(out.chart, 1000.0)
    assert figure["x"]["high"] < 884  # sodium boils at 883 deg C
    assert figure["handles"][0]["words"] == ["{value} °C"]


def test_where_freezing_is_unknown_the_line_is_open():
    """CsCl-ZnCl2 from 40 to 84 mol%: nothing is known to freeze above the end of the search, -23 deg C."""
    figure = pair_diagram("CsCl", "ZnCl2", 400.0)
    curve = figure["curves"][0]
    middle = [(y, s) for (x, y), s in zip(curve["points"], curve["sigma"], strict=True) if 45 <= x <= 80]
    assert middle
    assert all(y is None and s is None for y, s in middle)
    assert {y is None for _, y in (curve["points"][0], curve["points"][-1])} == {False}
    assert all(y is None or y > 0 for _, y in curve["points"])
    assert "not known" in [span["label"] for span in figure["strip"]]
    assert "not known" in figure["handles"][0]["unknown"]
    assert any("not known" in line for line in invariant_lines("CsCl", "ZnCl2"))
    json.dumps(figure, allow_nan=False)
    assert all(y is not None for _, y in pair_diagram("NaCl", "CaCl2", 600.0)["curves"][0]["points"])


def test_the_read_outs_of_such_a_melt_name_no_freezing_temperature():
    out = read_out(replace(OPENING, amounts=(("CsCl", 50.0), ("ZnCl2", 50.0)), metal="Zn", t_C=480.0))
    assert not any("starts to freeze" in label for _, label in out.chart.rules)
    assert {limit.kind for limit in out.window.limits}.isdisjoint({"liquidus"})
    told = " ".join(" ".join((card.answer, *card.details)) for card in cards(out))
    assert "-23" not in told
    assert "not known: it may be above the lower end" in told
    assert not any("freezing starts" in row["quantity"] for row in table_rows(out))
    bare = read_out(replace(OPENING, amounts=(("CsCl", 50.0), ("ZnCl2", 50.0)), metal="", t_C=480.0))
    assert (bare.window.exists, bare.window.low_K) == (False, None)
    assert next(card for card in cards(bare) if card.title.startswith("Run")).answer == "lower end not known"


def test_the_section_of_two_anions_is_drawn_with_its_lowest_point():
    """LiF-KCl: one mark, at the published 714 to 719 deg C (Gabcova 1976, Peschl 1978) within 15, where it is computed.

    Its composition against print: tests/published/test_two_anions_published.
    """
    figure = pair_diagram("LiF", "KCl", 750.0)
    (mark,) = figure["marks"]
    assert mark["y"] == pytest.approx(716, abs=15)
    assert mark["x"] == pytest.approx(100 * section("LiF", "KCl").lowest.fractions[1], abs=0.1)
    points = figure["curves"][0]["points"]
    assert points[0][1] == pytest.approx(848.3, abs=0.5)
    assert points[-1][1] == pytest.approx(771, abs=1.0)
    assert min(t for _, t in points) == pytest.approx(mark["y"], abs=0.5)
    lines = invariant_lines("LiF", "KCl")
    assert len(lines) == 2
    assert "stable pair" in lines[-1]
    assert "turn into" in invariant_lines("LiCl", "KF")[-1]


def test_which_salts_have_a_diagram():
    assert drawable(("LiF", "KCl"))
    assert drawable(("LiF", "NaCl", "KCl"))
    assert not drawable(("LiF",))
    assert shares_an_ion("LiF", "LiCl")
    assert not shares_an_ion("LiF", "KCl")
