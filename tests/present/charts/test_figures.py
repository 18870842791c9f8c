"""The drawings to keep: right signature, units on the axes, the same bytes each time."""

import warnings
from dataclasses import replace

import pytest
from matplotlib.figure import Figure

from thermo.present.charts.figures import density_figure, pair_figure, png, triangle_figure, window_figure
from thermo.present.page.downloads import drawings
from thermo.present.page.readouts import read_out
from thermo.present.page.state import OPENING


@pytest.fixture(scope="module")
def pair():
    return read_out(replace(OPENING, amounts=(("NaCl", 48.0), ("CaCl2", 52.0)), metal="Na", t_C=600.0))


@pytest.fixture(scope="module")
def trio():
    return read_out(OPENING)


def test_each_state_offers_what_it_can_show(pair, trio):
    assert [label.split()[0] for label, _, _ in drawings(pair)] == ["Phase", "Density", "Window"]
    assert [label.split()[0] for label, _, _ in drawings(trio)] == ["Triangle", "Density", "Window"]
    wrong = read_out(replace(OPENING, amounts=(("ZnCl2", 1.0), ("LiF", 1.0))))
    assert list(drawings(wrong)) == []


def test_every_drawing_is_a_png(pair, trio):
    for out in (pair, trio):
        for _, name, draw in drawings(out):
            assert name.endswith(".png")
            with warnings.catch_warnings():
                warnings.simplefilter("error")  # a missing glyph is a warning
                picture = png(draw())
            assert picture.startswith(b"\x89PNG")
            assert len(picture) > 10000


def test_axes_carry_their_units(pair):
    axes = pair_figure("NaCl", "CaCl2", 600.0).axes[0]
    assert axes.get_ylabel() == "temperature, °C"
    assert axes.get_xlabel().startswith("mol%")
    assert density_figure(pair.chart, 600.0).axes[0].get_ylabel() == "density, g/cm³"
    assert "°C" in window_figure(pair.window, 600.0).axes[0].get_xlabel()


def test_the_same_figure_gives_the_same_bytes(pair, trio):
    assert png(density_figure(pair.chart, 600.0)) == png(density_figure(pair.chart, 600.0))
    assert isinstance(triangle_figure(OPENING.salts, trio.composition.fractions), Figure)


def test_a_missing_window_is_drawn_as_none():
    out = read_out(replace(OPENING, deposit="solid", amounts=(("NaCl", 100.0),)))
    assert not out.window.exists
    texts = [text.get_text() for text in window_figure(out.window, 720.0).axes[0].texts]
    assert "window: no window" in texts
