"""Melts of a search as points of a picture: two merits against each other, those that nothing beats marked.

Temperatures in deg C, densities in g/cm3. Limits: data for a drawing, no physics; a melt without one of the two merits
(a metal that leaves as vapour has no margin) is named beside the picture. Worked value: melts that freeze from 500 and
600 deg C stand between 490 and 610 across.
"""

from collections.abc import Mapping, Sequence

from thermo.answers.finder import FoundMelt, Search, ahead_V, width_K
from thermo.present.words.written import degrees, shares, signed_density
from thermo.records.units import celsius

AXES: Mapping[str, tuple[str, str, str]] = {  # name -> words, and what is better at either end
    "start": ("freezes from, °C", "colder", "hotter"),
    "margin": ("melt less metal, g/cm³", "metal heavier", "metal lighter"),
    "ahead": ("before the next metal, V", "less", "surer"),
    "window": ("width of the window, K", "narrow", "wide"),
    "price": ("cost, money a kg", "cheap", "dear"),
}
ROOM = 0.10  # of the span on either side of the points
LEAST = {"start": 20.0, "margin": 0.02, "ahead": 0.02, "window": 20.0, "price": 0.2}  # span of an axis at least


def merit(symbol: str, melt: FoundMelt, name: str) -> tuple[float, float] | None:
    """One merit of a melt and its standard deviation; None where it has none."""
    if name == "start":
        return (celsius(melt.liquidus.T_K), melt.liquidus.sigma_K) if melt.liquidus.known else None
    if name == "margin":
        margin = melt.flotation.margin
        return None if margin is None else (margin.difference_g_cm3, margin.sigma_g_cm3)
    if name == "ahead":
        ahead = ahead_V(symbol, melt)
        return None if ahead is None else (ahead, melt.order.couples[1].gap_sigma_V)
    if name == "window":
        return width_K(melt.window), 0.0
    return None if melt.price is None else (melt.price, 0.0)


def available(search: Search) -> list[str]:
    """The merits that can be drawn: cost only where it was typed."""
    return [name for name in AXES if name != "price" or any(melt.price is not None for melt in search.melts)]


def choices_picture(symbol: str, search: Search, across: str, up: str) -> dict:
    """The picture as plain data: axes, and a point a melt that has both merits."""
    both = [(merit(symbol, melt, across), merit(symbol, melt, up)) for melt in search.melts]
    drawn = [(n, x, y) for n, (x, y) in enumerate(both) if x is not None and y is not None]
    return {
        "summary": f"Melts found for {symbol}: {AXES[up][0]} against {AXES[across][0]}",
        "x": _axis(across, [x[0] for _, x, _ in drawn]),
        "y": _axis(up, [y[0] for _, _, y in drawn]),
        "points": [
            {
                "n": n,
                "best": n in search.pareto,
                "words": in_words(n, search.melts[n]),
                "x": x[0],
                "y": y[0],
                "x_sigma": x[1],
                "y_sigma": y[1],
            }
            for n, x, y in drawn
        ],
    }


def in_words(n: int, melt: FoundMelt) -> str:
    """One melt in a line, for its button and for a screen reader."""
    start = degrees(melt.liquidus.T_K, melt.liquidus.sigma_K) if melt.liquidus.known else "nobody knows where"
    margin = melt.flotation.margin
    side = "" if margin is None else f", {signed_density(margin.difference_g_cm3, margin.sigma_g_cm3)}"
    return f"{n + 1}: {shares(melt.composition.mole_percent, 0)}, freezes from {start}{side}"


def left_out(figure: dict, search: Search) -> list[int]:
    """Numbers (from 1) of the melts that have no point."""
    drawn = {point["n"] for point in figure["points"]}
    return [n + 1 for n in range(len(search.melts)) if n not in drawn]


def _axis(name: str, values: Sequence[float]) -> dict:
    words, low_word, high_word = AXES[name]
    low, high = (min(values), max(values)) if values else (0.0, 1.0)
    span = max(high - low, LEAST[name])
    middle = (low + high) / 2
    half = span * (0.5 + ROOM)
    return {"label": words, "low": middle - half, "high": middle + half, "low_word": low_word, "high_word": high_word}
