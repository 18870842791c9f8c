"""Every line of a drawing that carries meaning stands out from what is behind it by 3:1, light and dark.

Computed from the colours the browser uses (WCAG 2.2, non-text contrast): a line's own colour over the page's paper; on
the triangle over every colour of its map, where a line or its halo has to do it. Grid lines help the eye only.
"""

import re
from itertools import pairwise

import pytest

from tests.browser.actions import visit

pytestmark = pytest.mark.browser

LEAST = 3.0
MELTS = {
    "three salts": "",
    "pair": "/?v=1&m=NaCl:30,CaCl2:70&metal=Na&T=600",
    "bath": "/?v=1&m=NaF:63,AlF3:30,CaF2:7&metal=Al&T=990",
}
ON_PAPER = ["curve", "rule", "frame", "guide", "mark", "track", "strip", "axis-band", "hatch", "plate", "sign"]
ON_PAPER += ["measured"]
ON_MAP = ("border", "contour", "guide thin")
HELP = ("grid", "swatch", "ring", "arrows")  # not a reading: grid, legend's edges, focus, the arrows inside the grip


def rgb(text):
    return tuple(float(part) for part in re.findall(r"[\d.]+", text)[:3])


def luminance(colour):
    linear = [c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in (part / 255 for part in colour)]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(a, b):
    bright, dim = sorted((luminance(a), luminance(b)), reverse=True)
    return (bright + 0.05) / (dim + 0.05)


def over(colour, share, paper):
    return tuple(share * c + (1 - share) * p for c, p in zip(colour, paper, strict=True))


def drawn(page):
    """(class, stroke, stroke-opacity, fill, fill-opacity) of every stroked or filled shape of the drawings."""
    return page.locator(".drawing *").evaluate_all(
        """all => all.filter(e => e.getAttribute('class') && !['text', 'tspan', 'g'].includes(e.tagName)).map(e => {
            const s = getComputedStyle(e);
            return [e.getAttribute('class'), s.stroke, Number(s.strokeOpacity), s.fill, Number(s.fillOpacity)]; })"""
    )


def test_the_yardstick_is_right():
    assert contrast((0, 0, 0), (255, 255, 255)) == pytest.approx(21)
    assert contrast((118, 118, 118), (255, 255, 255)) == pytest.approx(4.54, abs=0.01)  # the grey WCAG's guides name
    assert over((0, 0, 0), 0.5, (255, 255, 255)) == (127.5, 127.5, 127.5)


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("melt", list(MELTS))
def test_lines_stand_out_from_what_is_behind_them(browser, address, scheme, melt):
    context = browser.new_context(viewport={"width": 1280, "height": 1400}, color_scheme=scheme)
    page = context.new_page()
    visit(page, address + MELTS[melt])
    page.locator(".st-key-section_density .drawing").wait_for()
    paper = rgb(page.evaluate("getComputedStyle(document.querySelector('.stApp')).backgroundColor"))
    shapes = drawn(page)
    context.close()
    assert (luminance(paper) > 0.5) == (scheme == "light")
    seen, faint = set(), []
    fills = {rgb(fill) for name, _, _, fill, _ in shapes if name == "fill"}
    for name, stroke, share, _, _ in shapes:
        first = name.split()[0]
        if stroke == "none" or first in HELP or name.startswith(ON_MAP):
            continue
        seen.add(first)
        if first in ON_PAPER and (found := contrast(over(rgb(stroke), share, paper), paper)) < LEAST:
            faint.append(f"{name}: {found:.2f}")
    assert seen <= {*ON_PAPER, "grip"}, "a line that this test does not know"
    faint += [f"{name} on {fill}" for name, fill in _faint_on_map(shapes, fills)]
    assert sorted(set(faint)) == []
    assert seen >= ({"curve", "rule", "frame", "axis-band", "hatch", "mark"} if melt == "pair" else {"curve", "frame"})


def _faint_on_map(shapes, fills):
    """Lines on the triangle that neither themselves nor by their halo stand out from a colour of the map."""
    for first in ("border", "guide thin"):
        inks = {(rgb(stroke), share) for name, stroke, share, _, _ in shapes if name.startswith(first)}
        for fill in fills:
            if inks and max(contrast(over(ink, share, fill), fill) for ink, share in inks) < LEAST:
                yield first, fill


def test_an_isotherm_stands_out_from_the_two_colours_beside_it(browser, address):
    context = browser.new_context(viewport={"width": 1280, "height": 1400})
    page = context.new_page()
    visit(page, address)
    shapes = drawn(page)
    context.close()
    fills = list(dict.fromkeys(rgb(fill) for name, _, _, fill, _ in shapes if name == "fill"))  # from cold to hot
    inks = {rgb(stroke) for name, stroke, share, _, _ in shapes if name == "contour" and share == 1}
    assert inks == {(0, 0, 0), (255, 255, 255)}
    assert len(fills) > 5
    for low, high in pairwise(fills):
        best = max(min(contrast(ink, low), contrast(ink, high)) for ink in inks)
        assert best >= LEAST, (low, high)
