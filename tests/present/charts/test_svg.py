"""The page's small pictures: values stand where they belong, names are escaped, extremes are cut and never break."""

import re
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from thermo.present.charts import svg
from thermo.present.charts.svg import (
    Arrest,
    Curve,
    Dot,
    OnAxis,
    Part,
    Scale,
    arrests_axis,
    common_axis,
    dots,
    lines_chart,
    pot,
    ranked_bars,
    stacked_bar,
)
from thermo.present.charts.triangle_data import luminance

EVIL = '<image href="http://foreign.example/x.png"/>'
NS = "{http://www.w3.org/2000/svg}"


def drawn():
    """One of each, with a name that would be markup."""
    return {
        "common": common_axis([OnAxis(EVIL, 483.0, 45.0, (670.0, 983.0), 720.0), OnAxis("b", None, 0.0, None, 600.0)]),
        "lines": lines_chart([Curve(EVIL, ((400.0, 1.5), (800.0, 1.3))), Curve("b", ((400.0, 1.7),))], EVIL, EVIL),
        "stacked": stacked_bar([Part(EVIL, 3.0, EVIL), Part("b", -1.0, "x")]),
        "ranked": ranked_bars([Part(EVIL, 0.4, EVIL)]),
        "dots": dots([Dot(EVIL, 3.0, 2.0), Dot("b", -30.0, 2.0)], EVIL),
        "arrests": arrests_axis([(EVIL, 545.0, 4.0)], [Arrest(540.0, 3.0, True), Arrest(400.0, 3.0, False)]),
        "pot": pot(EVIL, "liquid", "floats", f"{EVIL}|b"),
    }


@pytest.mark.parametrize("name", ["common", "lines", "stacked", "ranked", "dots", "arrests", "pot"])
def test_it_is_one_svg_and_a_name_stays_a_name(name):
    tree = ET.fromstring(drawn()[name])
    assert tree.tag == f"{NS}svg"
    assert not list(tree.iter(f"{NS}image"))
    assert "foreign.example" in "".join(tree.itertext()) or name == "dots"  # long names are cut there


def test_a_scale_puts_values_in_proportion_and_cuts_at_its_ends():
    scale = Scale(400, 900, 100, 600)
    assert [scale(v) for v in (400, 650, 900, 2000, -5)] == [100, 350, 600, 600, 100]
    assert Scale(0.11, 0.88, 0, 1).ticks(4) == [0.2, 0.4, 0.6, 0.8]
    assert Scale(-55, 55, 0, 1).ticks(6) == [-40, -20, 0, 20, 40]


def test_bars_are_as_long_as_their_parts():
    tree = ET.fromstring(stacked_bar([Part("a", 3.0, ""), Part("b", 1.0, "")], width=400))
    widths = [float(r.get("width")) for r in tree.iter(f"{NS}rect") if r.get("height") == "24"]
    assert widths == [300, 100]


def test_a_dot_beyond_two_sigma_has_another_shape():
    tree = ET.fromstring(dots([Dot("near", 3.0, 2.0), Dot("far", -30.0, 2.0)], "K"))
    assert len(list(tree.iter(f"{NS}circle"))) == 1
    near = next(tree.iter(f"{NS}circle"))
    zero = next(
        float(re.match(r"M([\d.]+)", p.get("d")).group(1))
        for p in tree.iter(f"{NS}path")
        if p.get("stroke-width") == "1.6"
    )
    assert float(near.get("cx")) > zero


@pytest.mark.parametrize(
    ("state", "verdict", "words"),
    [
        ("liquid", "floats", "on top"),
        ("solid", "likely floats", "on top"),
        ("liquid", "sinks", "at the bottom"),
        ("solid", "likely sinks", "at the bottom"),
        ("liquid", "too close to call", "up or down: not decided"),
        ("vapour", "", "leaves as vapour"),
    ],
)
def test_the_pot_says_where_the_metal_goes(state, verdict, words):
    tree = ET.fromstring(pot("magnesium", state, verdict, ""))
    assert words in "".join(tree.itertext())
    if "top" in words:
        tops = [float(e.get("cy")) for e in tree.iter(f"{NS}ellipse")]
        assert all(y < 60 for y in tops)  # the melt's surface is at 58


PAPERS = ("#ffffff", "#171614")  # of the page, light and dark
OF_TEXT = {"#ffffff": "#1d1f24", "#171614": "#f2f2f2"}  # what currentColor is on either


def _contrast(a, b):
    bright, dim = sorted((luminance(a), luminance(b)), reverse=True)
    return (bright + 0.05) / (dim + 0.05)


def _over(colour, share, paper):
    mixed = (share * int(colour[k : k + 2], 16) + (1 - share) * int(paper[k : k + 2], 16) for k in (1, 3, 5))
    return "#" + "".join(f"{round(c):02x}" for c in mixed)


def test_lines_and_shapes_stand_out_from_either_paper():
    # WCAG 2.2: 3:1 for what carries meaning; .15 is the faint grid, which helps the eye only, and a translucent fill
    # always has an edge or a mark beside it.
    folder = Path(svg.__file__).parent / "templates"
    faint = []
    for file in sorted(folder.glob("*.svg")):
        for element in re.findall(r"<[^>]+>", file.read_text(encoding="utf-8")):
            share = float(found.group(1)) if (found := re.search(r'stroke-opacity="([\d.]+)"', element)) else 1.0
            for paper in PAPERS:
                ink = _over(OF_TEXT[paper], share, paper)
                if 'stroke="currentColor"' in element and share != 0.15 and _contrast(ink, paper) < 3:
                    faint.append(f"{file.name}: {element[:60]}")
                if "fill-opacity" not in element:
                    inks = re.findall(r"#[0-9a-f]{6}", element)
                    faint += [f"{file.name}: {ink}" for ink in inks if _contrast(ink, paper) < 3]
    assert faint == []
    assert all(_contrast(ink, paper) >= 3 for ink in svg.INKS for paper in PAPERS)
