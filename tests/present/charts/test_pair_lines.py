"""The full diagram as data: honest JSON, lines where the laws have them, labels that have room."""

import json

import numpy as np
import pytest

from tests.each import each
from thermo.equilibrium.freezing.liquidus import liquidus
from thermo.equilibrium.invariants.pair import pair_curve
from thermo.equilibrium.invariants.subsolidus import pair_solids
from thermo.present.charts.pair_lines import diagram_lines, known_curve
from thermo.records.composition import from_amounts
from thermo.records.provenance import InputError
from thermo.records.units import celsius

PAIRS = [("NaCl", "KCl"), ("LiF", "NaF"), ("MgCl2", "CaCl2"), ("KCl", "MgCl2"), ("LiCl", "KCl"), ("LiCl", "CaCl2"),
         ("NaCl", "CsCl"), ("CaF2", "BaF2"), ("KF", "NdF3"), ("CaF2", "CaCl2"), ("NaCl", "ZnCl2")]  # fmt: skip


def looks(a: str, b: str) -> list[str]:
    return [line["look"] for line in diagram_lines(a, b)["lines"]]


@each(PAIRS)
def test_everything_is_plain_json_inside_the_diagram(a, b):
    found = diagram_lines(a, b)
    assert json.loads(json.dumps(found, allow_nan=False)) == found
    assert set(found) == {"x_unit", "y_unit", "lines", "areas", "fields", "marks", "notes"}
    hottest = celsius(pair_curve(a, b).T_K.max())
    for line in found["lines"] + found["areas"]:
        assert len(line["points"]) >= 2
        assert all(0 <= x <= 100 for x, _ in line["points"])
        assert line["status"] in ("fitted", "estimated")
        if line["look"] != "liquid-gap":
            assert max(t for _, t in line["points"]) <= hottest + 0.1
    for line in found["lines"]:
        if line["look"] == "gap" and "sigma_x" in line:
            assert len(line["sigma_x"]) == len(line["points"])
    for field in found["fields"]:
        assert field["width"] > 0
        assert field["low"] < field["high"]
        assert 0 <= field["x"] <= 100


def test_a_complete_solution_has_one_solidus_and_one_closed_gap():
    assert looks("NaCl", "KCl") == ["solidus", "gap"]
    gap = diagram_lines("NaCl", "KCl")["lines"][1]
    top = max(gap["points"], key=lambda point: point[1])
    assert top == pytest.approx([39, 506], abs=1)  # the worked value
    assert gap["sigma_t"] > 0
    assert gap["sigma_x"][gap["points"].index(top)] is None  # a flat top has no width of its own


def test_a_split_solution_has_two_of_each_and_a_horizontal_between():
    found = diagram_lines("LiF", "NaF")
    assert looks("LiF", "NaF") == ["solidus", "solidus", "gap", "gap", "horizontal"]
    first, second, left, right, horizontal = (line["points"] for line in found["lines"])
    assert first[-1] == pytest.approx(horizontal[0], abs=0.05)
    assert second[0] == pytest.approx(horizontal[1], abs=0.05)
    assert left[-1] == pytest.approx(horizontal[0], abs=0.05)
    assert right[0] == pytest.approx(horizontal[1], abs=0.05)
    (area,) = found["areas"]
    assert area["look"] == "gap"


def test_double_salts_stand_upright_and_horizontals_lie():
    for line in diagram_lines("KCl", "MgCl2")["lines"]:
        (x1, t1), (x2, t2) = line["points"]
        if line["look"] == "double":
            assert x1 == x2
            assert t1 < t2
        else:
            assert line["look"] == "horizontal"
            assert t1 == t2
            assert x1 < x2


def test_a_solution_beside_a_double_salt_has_sides():
    found = diagram_lines("LiCl", "CaCl2")
    beside = [line for line in found["lines"] if line["look"] == "gap" and "|" in line["label"]]
    assert len(beside) == 2
    assert all("sigma_x" not in line for line in beside)


def test_a_host_has_one_solidus_and_one_limit_beside_a_pure_salt():
    assert looks("LiF", "MgF2") == ["solidus", "gap", "horizontal"]
    found = diagram_lines("LiF", "MgF2")
    solidus, limit, horizontal = found["lines"]
    assert solidus["points"][-1] == pytest.approx(horizontal["points"][0], abs=0.05)
    assert limit["points"][-1] == pytest.approx(horizontal["points"][0], abs=0.05)
    assert limit["sigma_x"][-1] > 0
    fields = [field["label"] for field in found["fields"]]
    assert {"melt + LiF", "melt + MgF₂", "LiF + MgF₂"} <= set(fields)
    assert len(fields) == len(set(fields))


def test_words_name_solids_and_temperatures():
    labels = [line["label"] for line in diagram_lines("NaCl", "CsCl")["lines"]]
    assert any(label.startswith("CsCl changes form (alpha to beta)") and "470" in label for label in labels)
    labels = [line["label"] for line in diagram_lines("KCl", "MgCl2")["lines"]]
    assert any("K₂MgCl₄ + KMgCl₃" in label and "±" in label for label in labels)
    fields = [field["label"] for field in diagram_lines("KCl", "MgCl2")["fields"]]
    assert "KMgCl₃ + MgCl₂" in fields
    assert "melt + KCl" in fields


def test_marks_are_numbered_like_the_invariants():
    marks = diagram_lines("KCl", "MgCl2")["marks"]
    points = pair_curve("KCl", "MgCl2").invariants
    assert [mark["label"] for mark in marks] == [str(n) for n in range(1, len(points) + 1)]
    assert [mark["t"] for mark in marks] == pytest.approx([celsius(p.T_K) for p in points], abs=0.06)


def test_estimated_gaps_are_marked_and_noted():
    found = diagram_lines("MgCl2", "CaCl2")
    assert {line["status"] for line in found["lines"] if line["look"] == "gap"} == {"estimated"}
    assert any("estimated" in note for note in found["notes"])
    assert pair_solids("NaCl", "KCl").gap_status == "fitted"
    assert {line["status"] for line in diagram_lines("NaCl", "KCl")["lines"]} == {"fitted"}


def test_notes_use_the_degree_sign():
    assert not any("deg C" in note for a, b in PAIRS for note in diagram_lines(a, b)["notes"])


def test_what_is_no_pair_is_refused():
    with pytest.raises(InputError):
        diagram_lines("NaCl", "KF")


@pytest.mark.parametrize("percent", [5, 30, 38, 60, 84, 95])
def test_the_curve_is_open_where_the_melt_itself_is_unknown(percent):
    curve, found = known_curve("RbCl", "ZnCl2"), liquidus(from_amounts({"RbCl": 100 - percent, "ZnCl2": percent}))
    at = int(np.abs(curve.x_second - percent / 100).argmin())
    assert found.known == np.isfinite(curve.T_K[at]) == np.isfinite(curve.sigma_K[at])
    if found.known:
        assert curve.T_K[at] == pytest.approx(found.T_K, abs=0.05)
