"""The triangle as data: isotherms, borders and names agree with the liquidus they show."""

import json

import numpy as np
import pytest

from thermo.equilibrium.invariants.lowest import lowest
from thermo.equilibrium.system.driving_force import liquidus_field
from thermo.present.charts.triangle_data import known_field, luminance, triangle_diagram, triangle_grid
from thermo.records.units import celsius

TRIO = ("NaCl", "CaCl2", "MgCl2")


@pytest.fixture(scope="module")
def triangle():
    return triangle_diagram(TRIO)


def area(ring):
    x, y = np.array(ring).T
    return abs(np.sum(x * np.roll(y, -1) - y * np.roll(x, -1))) / 2


def test_the_grid_is_every_whole_step_once():
    fractions, places = triangle_grid(10)
    assert len(fractions) == 11 * 12 // 2
    assert fractions.sum(axis=1) == pytest.approx(1)
    assert fractions.min() == 0
    assert len({tuple(place) for place in places}) == len(places)


def test_the_fills_tile_the_triangle(triangle):
    total = sum(area(fill["rings"][0]) - sum(area(hole) for hole in fill["rings"][1:]) for fill in triangle["fills"])
    assert total == pytest.approx(100 * 100 / 2, rel=0.01)  # coordinates are printed to 0.1 %


def test_an_isotherm_lies_at_its_temperature(triangle):
    gaps = []
    for contour in triangle["contours"]:
        second, third = np.array(contour["points"]).T / 100
        field = liquidus_field(TRIO, np.column_stack([1 - second - third, second, third]).clip(0, 1))
        gaps += list(np.abs(celsius(np.asarray(field.T_K)) - float(contour["label"])))
    # A 2 % step of a slope of some 8 K per percent, cut straight: a few kelvin, more at the corners.
    assert np.median(gaps) < 3
    assert np.quantile(gaps, 0.95) < 10


def test_the_lowest_point_is_the_lowest(triangle):
    at = np.array(triangle["lowest"]["at"])
    assert at.sum() == pytest.approx(100, abs=0.03)
    grid = liquidus_field(TRIO, triangle_grid()[0])
    label = float(triangle["lowest"]["label"].split()[1])
    assert label <= celsius(np.asarray(grid.T_K)).min() + 1


def test_published_melts_are_marked_once_each():
    # 385 deg C at 29.4-25.8-44.7: AIP Conf. Proc. 2126 (2019)
    marks = triangle_diagram(("NaCl", "KCl", "MgCl2"))["published"]
    mark = next(mark for mark in marks if mark["at"] == [29.4, 25.8, 44.7])
    assert mark["label"] == "385"
    assert "AIP Conf. Proc. 2126" in mark["source"]
    # 46.5-11.5-42: 454 deg C (Bergman & Dergunov 1941), 462 (Janz & Tomkins 1981)
    (mark,) = triangle_diagram(("KF", "LiF", "NaF"))["published"]
    assert (mark["at"], mark["label"]) == ([42.0, 46.5, 11.5], "454–462")
    assert mark["source"].count("°C, ") == 2
    assert triangle_diagram(TRIO)["published"] == []  # only a temperature was published


def test_regions_are_named_where_that_solid_comes_first(triangle):
    assert triangle["regions"]
    names = {"NaCl": "NaCl", "CaCl₂": "CaCl2", "MgCl₂": "MgCl2"}
    for region in triangle["regions"]:
        field = liquidus_field(TRIO, np.array([region["at"]]) / 100)
        found = field.solids[int(field.solid_index[0])]
        assert names.get(region["label"], found) == found


def test_no_border_is_drawn_twice(triangle):
    points = [tuple(point) for border in triangle["borders"] for point in border[1:-1]]
    assert len(points) > 20
    assert len(set(points)) > 0.95 * len(points)  # ends may meet where three fields do


def test_where_nothing_is_known_to_freeze_the_triangle_is_open():
    """Along CsCl-ZnCl2 the search ends at -23 deg C: no colour, no contour, and its name is "not known"."""
    figure = triangle_diagram(("CsCl", "ZnCl2", "LiCl"))
    json.dumps(figure, allow_nan=False)
    covered = sum(area(ring) for fill in figure["fills"] for ring in fill["rings"][:1])
    assert covered < 0.99 * area([[0, 0], [100, 0], [0, 100]])
    t_C, first, solids = known_field(("CsCl", "ZnCl2", "LiCl"), np.array([[0.4, 0.6, 0.0], [0.0, 0.0, 1.0]]))
    assert np.isnan(t_C[0])
    assert t_C[1] > 600  # LiCl melts at 610 deg C
    assert [solids[k] for k in first] == ["not known", "LiCl"]


def test_held_salts_are_part_of_every_melt_of_the_triangle():
    from thermo.equilibrium.freezing.liquidus import liquidus
    from thermo.records.composition import from_amounts
    from thermo.records.units import celsius

    corners, held = ("NaCl", "CaCl2", "MgCl2"), (("KCl", 0.2),)
    fractions, _ = triangle_grid(4)
    whole = np.column_stack([0.8 * fractions, np.full(len(fractions), 0.2)])
    t_C, _, _ = known_field((*corners, "KCl"), whole)
    alone = liquidus(from_amounts({"NaCl": 80.0, "KCl": 20.0}))
    assert t_C[0] == pytest.approx(celsius(alone.T_K), abs=0.5)  # the first corner is the pair NaCl-KCl
    drawing = triangle_diagram(corners, held)
    assert drawing["held"] == "% of these three; held: KCl 20.0"
    assert drawing["lowest"] is None
    assert drawing["published"] == []


def test_two_anions_have_a_triangle_too():
    drawing = triangle_diagram(("LiF", "NaCl", "KCl"))
    assert drawing["fills"]
    assert {region["label"] for region in drawing["regions"]}


def test_the_scale_ends_where_no_cell_runs():
    drawing = triangle_diagram(("NaF", "AlF3", "CaF2"))
    labels = [float(step["label"]) for step in drawing["legend"]]
    assert max(labels) <= 1300
    assert len(labels) >= 4


def test_a_published_melt_says_its_sources():
    drawing = triangle_diagram(("NaCl", "KCl", "MgCl2"))
    # 44.7 MgCl2 / 25.8 KCl / 29.4 NaCl and others stand in data/ternary.csv, each with its source
    assert all("°C, " in mark["source"] for mark in drawing["published"])
    assert drawing["published"]


def test_a_triangle_of_two_anions_has_its_lowest_point():
    """LiF-NaCl-KCl: 613 deg C (Peschl & Malinovsky 1978, checked), within 15 K, where it is computed.

    Its composition against print: tests/published/test_two_anions_published.
    """
    names = ("LiF", "NaCl", "KCl")
    found = triangle_diagram(names)
    assert found["lowest"]["at"] == pytest.approx([100 * x for x in lowest(names).fractions], abs=0.1)
    assert float(found["lowest"]["label"].split()[1]) == pytest.approx(613, abs=15)
    assert {region["label"] for region in found["regions"]} == {"(Li,Na,K)F", "(Li,Na,K)Cl"}


def test_isotherms_are_written_in_the_ink_that_stands_out():
    # WCAG 2.2 asks 3:1 of a line that carries meaning, here against the colours on both of its sides.
    drawing = triangle_diagram(("NaCl", "CaCl2", "MgCl2"))
    colours = [step["colour"] for step in drawing["legend"]]
    place = {step["label"]: k for k, step in enumerate(drawing["legend"])}
    for contour in drawing["contours"]:
        k = place[contour["label"]]
        ink = luminance(contour["ink"])
        for side in (colours[k - 1], colours[k]):
            bright, dim = sorted((ink, luminance(side)), reverse=True)
            assert (bright + 0.05) / (dim + 0.05) >= 3, contour["label"]
    assert {contour["ink"] for contour in drawing["contours"]} == {"#ffffff", "#000000"}
