"""Colours and strokes: contrast, and nothing resting on colour alone."""

import pytest
from matplotlib.colors import to_rgb

from thermo.present.charts.inks import DARK, LIGHT, Look
from thermo.records.units import ZERO_C


def luminance(colour: str) -> float:
    """Relative luminance (WCAG 2)."""
    linear = [c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in to_rgb(colour)]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize("colours", [LIGHT, DARK], ids=["light", "dark"])
def test_every_colour_stands_out_from_its_paper(colours):
    """Contrast of at least 4.5, what WCAG 2 asks of text."""
    paper = luminance(colours["paper"])
    for name, colour in colours.items():
        if name != "paper":
            bright, dim = sorted((paper, luminance(colour)), reverse=True)
            assert (bright + 0.05) / (dim + 0.05) >= 4.5


def test_both_papers_have_the_same_inks():
    assert set(LIGHT) == set(DARK)


def test_kinds_of_line_differ_without_their_colours():
    look = Look(True, False)
    kinds = ("solidus", "gap", "liquid-gap", "transition", "horizontal")
    strokes = [(str(look.of(kind)["ls"]), look.of(kind)["lw"]) for kind in kinds]
    assert len(set(strokes)) == len(strokes)


def test_scales():
    assert (Look(True, False).shift, Look(True, False).unit) == (0.0, "°C")
    assert (Look(False, False).shift, Look(False, False).unit) == (ZERO_C, "K")
