"""The drawing of the full diagram: units on the axes, no warning, every kind of line in the list, no text on text."""

import io
import warnings

import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.colors import to_rgb
from matplotlib.figure import Figure

from thermo.present.charts.inks import DARK
from thermo.present.charts.pair import WORDS, pair_figure
from thermo.present.charts.pair_lines import diagram_lines
from thermo.records.provenance import InputError

PAIRS = [("NaCl", "KCl"), ("LiF", "NaF"), ("MgCl2", "CaCl2"), ("KCl", "MgCl2"), ("LiCl", "KCl"), ("KF", "NdF3"),
         ("NaCl", "ZnCl2"), ("CaF2", "CaCl2")]  # fmt: skip


def legend_words(figure: Figure) -> list[str]:
    return [text.get_text() for legend in figure.axes[1].artists for text in legend.get_texts()]


@pytest.mark.parametrize(("a", "b"), PAIRS, ids=str)
def test_it_is_drawn_without_a_warning(a, b):
    with warnings.catch_warnings():
        warnings.simplefilter("error")  # a missing glyph or a layout without room is a warning
        buffer = io.BytesIO()
        pair_figure(a, b).savefig(buffer, format="png", dpi=60)
    assert buffer.getvalue().startswith(b"\x89PNG")


def test_axes_carry_their_units():
    axes = pair_figure("NaCl", "KCl").axes[0]
    assert axes.get_xlabel() == "mole percent KCl in NaCl"
    assert axes.get_ylabel() == "temperature, °C"
    assert pair_figure("NaCl", "KCl", celsius=False).axes[0].get_ylabel() == "temperature, K"


def test_kelvin_moves_everything_by_the_same_amount():
    warm, cold = (pair_figure("KCl", "MgCl2", celsius=scale).axes[0] for scale in (False, True))
    assert warm.get_ylim() == pytest.approx([t + 273.15 for t in cold.get_ylim()])
    for one, other in zip(warm.lines, cold.lines, strict=True):
        assert one.get_ydata() == pytest.approx([t + 273.15 for t in other.get_ydata()])


@pytest.mark.parametrize(("a", "b"), PAIRS, ids=str)
def test_every_kind_of_line_is_explained_and_estimates_are_called_so(a, b):
    lines, words = diagram_lines(a, b)["lines"], legend_words(pair_figure(a, b))
    for look in {line["look"] for line in lines}:
        assert any(entry.startswith(WORDS[look]) for entry in words)
    for line in lines:
        if line["status"] == "estimated":
            assert f"{WORDS[line['look']]} (estimated)" in words
    for mark in diagram_lines(a, b)["marks"]:
        assert any(entry.startswith(f"{mark['label']}  ") for entry in words)


@pytest.mark.parametrize(("a", "b"), PAIRS, ids=str)
def test_no_word_stands_on_another(a, b):
    figure = pair_figure(a, b)
    canvas = FigureCanvasAgg(figure)
    canvas.draw()
    renderer = canvas.get_renderer()
    boxes = [(text.get_text(), text.get_window_extent(renderer)) for text in figure.axes[0].texts]
    for legend in figure.axes[1].artists:
        boxes += [(text.get_text(), text.get_window_extent(renderer)) for text in legend.get_texts()]
    clashes = [(p, q) for i, (p, one) in enumerate(boxes) for q, other in boxes[i + 1 :] if one.overlaps(other)]
    assert clashes == []
    whole = figure.bbox
    assert all(whole.contains(box.x0, box.y0) and whole.contains(box.x1, box.y1) for _, box in boxes)


def test_dark_paper_is_dark_everywhere():
    figure = pair_figure("NaCl", "KCl", dark=True)
    assert to_rgb(figure.get_facecolor()) == to_rgb(DARK["paper"])
    assert to_rgb(figure.axes[0].get_facecolor()) == to_rgb(DARK["paper"])
    assert all(
        to_rgb(text.get_color()) == to_rgb(DARK["ink"])
        for legend in figure.axes[1].artists
        for text in legend.get_texts()
    )


def test_lines_of_different_kinds_have_different_dashes():
    styles = {str(line.get_linestyle()) + line.get_color() for line in pair_figure("LiF", "NaF").axes[0].lines}
    assert len(styles) >= 4


def test_the_same_pair_gives_the_same_bytes():
    first, second = io.BytesIO(), io.BytesIO()
    for buffer in (first, second):
        pair_figure("LiCl", "KCl").savefig(buffer, format="png", dpi=60)
    assert first.getvalue() == second.getvalue()


def test_what_is_no_pair_is_refused():
    with pytest.raises(InputError):
        pair_figure("NaCl", "NaCl")
