"""Edges in small: the coldest point is that of the pair, the scale is shared, an open part is left open."""

import re

import numpy as np
import pytest

from thermo.present.charts.edges import HOTTEST_C, EdgeLine, edge_line, edge_picture, edge_span


def line(*t_C):
    return EdgeLine(("NaCl", "KCl"), np.linspace(0, 100, len(t_C)), np.array(t_C, dtype=float))


def test_the_coldest_point_of_a_measured_pair_is_its_eutectic():
    # LiCl-KCl: 352 to 361 deg C at 40 to 42 mol% KCl by the sources of the pair; printed to 1 deg C and 1 %.
    t_C, percent = re.search(r">(\d+) °C, (\d+) %<", edge_picture(edge_line("LiCl", "KCl"), (300.0, 800.0))).groups()
    assert 350 <= int(t_C) <= 363
    assert 39 <= int(percent) <= 43


def test_the_span_is_round_and_holds_every_line():
    assert edge_span([line(801, 650, 770), line(801, 354, 610)]) == (300.0, 900.0)
    assert edge_span([line(900, 2200)]) == (900.0, HOTTEST_C)
    assert edge_span([line(np.nan, np.nan)]) == (0.0, HOTTEST_C)


def test_where_freezing_is_not_known_the_line_is_open():
    whole = edge_picture(line(800, 700, 600, 700, 800), (500.0, 900.0))
    broken = edge_picture(line(800, 700, np.nan, 700, 800), (500.0, 900.0))
    assert len(re.findall(r"<path d=.M[^>]*stroke-width", whole)) == 1
    assert len(re.findall(r"<path d=.M[^>]*stroke-width", broken)) == 2
    assert "°C" not in edge_picture(line(np.nan, np.nan), (500.0, 900.0))


def test_a_lower_temperature_stands_lower():
    def height(span):
        return float(re.search(r'<path d="M[\d.]+,([\d.]+)l6', edge_picture(line(800, 600, 800), span)).group(1))

    assert height((500.0, 900.0)) == pytest.approx(
        108 - 22 - 6, abs=0.2
    )  # a quarter up the 88 px, less the diamond's 6
    assert height((300.0, 900.0)) < height((500.0, 900.0))
