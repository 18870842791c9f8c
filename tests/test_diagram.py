"""The drawings as data: spans, isotherms and names agree with the liquidus they show."""

import json
import re
from dataclasses import replace
from itertools import pairwise

import pytest

from thermo.present.diagram import density_diagram, invariant_lines, pair_diagram
from thermo.present.page_state import OPENING
from thermo.present.readouts import read_out


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
