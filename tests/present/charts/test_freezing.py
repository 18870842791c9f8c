"""The drawing of a freezing path: units on the axes, every phase named, not told by colour alone."""

import pytest
from matplotlib.collections import PolyCollection
from matplotlib.colors import to_hex

from thermo.equilibrium.freezing.freezing_path import freezing_path
from thermo.present.charts.figures import png
from thermo.present.charts.freezing import freezing_figure
from thermo.present.charts.inks import DARK
from thermo.records.composition import from_amounts
from thermo.records.units import celsius


@pytest.fixture(scope="module")
def drawn():
    path = freezing_path(from_amounts({"NaCl": 30, "KCl": 30, "CaCl2": 40}), points=12)
    return path, freezing_figure(path)


def test_axes_carry_units_and_the_whole_path(drawn):
    path, figure = drawn
    axes = figure.axes[0]
    assert "°C" in axes.get_xlabel()
    assert "mol%" in axes.get_ylabel()
    assert axes.get_xlim() == pytest.approx((celsius(path.T_K.min()), celsius(path.T_K.max())))


def test_every_phase_is_named_and_hatched_in_its_own_way(drawn):
    path, figure = drawn
    layers = [c for c in figure.axes[0].collections if isinstance(c, PolyCollection)]
    assert [layer.get_label() for layer in layers] == ["solid KCaCl₃", "solid NaCl", "solid CaCl₂", "liquid"]
    hatches = [layer.get_hatch() for layer in layers]
    assert len(set(hatches)) == len(path.phases) + 1


def test_liquidus_and_solidus_stand_in_words_with_their_spread(drawn):
    path, figure = drawn
    words = " ".join(text.get_text() for text in figure.axes[0].texts)
    assert f"starts to freeze {celsius(path.liquidus_K):.0f} ± {path.sigma_liquidus_K:.0f} °C" in words
    assert f"all solid below {celsius(path.solidus_K):.0f} ± {path.sigma_solidus_K:.0f} °C" in words


def test_it_can_be_kept(drawn):
    assert png(drawn[1]).startswith(b"\x89PNG")


def test_on_dark_paper_every_word_is_in_the_ink_of_that_paper(drawn):
    axes = freezing_figure(drawn[0], dark=True).axes[0]
    words = [axes.title, axes.xaxis.label, *axes.texts, *axes.get_legend().get_texts(), *axes.get_xticklabels()]
    assert {text.get_color() for text in words} == {DARK["ink"]}
    assert to_hex(axes.get_facecolor()) == DARK["paper"]
