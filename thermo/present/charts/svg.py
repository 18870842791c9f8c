"""Small pictures of the page's own, drawn as SVG: melts on one temperature axis, densities, the pot, bars, dots.

Each takes plain numbers (deg C, g/cm3, volts ...) and gives one SVG text; names are escaped by the templates. Colours
are the page's text colour and three inks that keep 3:1 on light and dark; nothing is told by colour alone.
Limits: drawing only, no physics; what lies outside an axis is cut at its end. Worked value: Scale(400, 900, 100, 600)
puts 650 at 350.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from thermo.records.remembered import remembered

INKS = ("#3b82c4", "#c76a13", "#3f8f4f", "#a0529c")  # at least 3:1 on white and on near black
NAMES_BESIDE_PX = 480  # from this width on names stand beside their lines
DASHES = ("", "9 4", "3 3", "12 3 3 3")


@dataclass(frozen=True)
class Scale:
    """Values from low to high along pixels from left to right (or bottom to top)."""

    low: float
    high: float
    start: float
    end: float

    def __call__(self, value: float) -> float:
        """Where a value stands, cut at the ends."""
        share = (min(max(value, self.low), self.high) - self.low) / (self.high - self.low)
        return round(self.start + share * (self.end - self.start), 1)

    def ticks(self, room: int) -> list[float]:
        """About `room` round values."""
        raw = (self.high - self.low) / max(room, 1)
        power = 10.0 ** math.floor(math.log10(raw))
        step = next(f * power for f in (1, 2, 5, 10) if f * power >= raw)
        first = -(-self.low // step)
        return [round(step * k, 10) for k in range(int(first), int(self.high // step) + 1)]


@remembered
def _templates() -> Environment:
    folder = Path(__file__).parent / "templates"
    return Environment(loader=FileSystemLoader(folder), autoescape=True, undefined=StrictUndefined, trim_blocks=True)


def render(name: str, **values) -> str:
    """A template of this folder with these values, escaped."""
    return _templates().get_template(name).render(**values)


@dataclass(frozen=True)
class OnAxis:
    """One melt of a comparison, deg C: start of freezing with sigma, window and working temperature where known."""

    name: str
    start_C: float | None
    sigma_K: float
    window_C: tuple[float, float] | None
    t_C: float


def common_axis(melts: Sequence[OnAxis], width: int = 640) -> str:
    """Melts under one another on one temperature axis: frozen, window, working temperature."""
    values = [v for m in melts for v in (m.t_C, m.start_C, *(m.window_C or ())) if v is not None]
    x = Scale(min(values) - 40, min(max(values), min(values) + 1500) + 40, 8, width - 8)
    rows = [
        {
            "name": m.name,
            "frozen": None if m.start_C is None else x(m.start_C),
            "band": None if m.start_C is None else (x(m.start_C - m.sigma_K), x(m.start_C + m.sigma_K)),
            "window": None if m.window_C is None else (x(m.window_C[0]), x(m.window_C[1])),
            "now": x(m.t_C),
            "words": _axis_words(m),
        }
        for m in melts
    ]
    ticks = [(x(t), f"{t:.0f}") for t in x.ticks(width // 80)]
    return render("common_axis.svg", rows=rows, ticks=ticks, width=width, left=8)


def _axis_words(m: OnAxis) -> str:
    start = "start of freezing not known" if m.start_C is None else f"freezes below {m.start_C:.0f} ± {m.sigma_K:.0f}"
    runs = "no window" if m.window_C is None else f"runs {m.window_C[0]:.0f} to {m.window_C[1]:.0f}"
    return f"{start}; {runs}; set to {m.t_C:.0f} °C"


@dataclass(frozen=True)
class Curve:
    """A named line: (x, y) in the chart's units."""

    name: str
    points: tuple[tuple[float, float], ...]


def lines_chart(curves: Sequence[Curve], x_label: str, y_label: str, width: int = 640, height: int = 300) -> str:
    """Named lines on one chart, each with its own ink and dash and its name at its end."""
    xs, ys = zip(*(point for curve in curves for point in curve.points), strict=True)
    room = 0.08 * (max(ys) - min(ys)) or 0.1
    x, y = Scale(min(xs), max(xs), 48, width - 12), Scale(min(ys) - room, max(ys) + room, height - 34, 12)
    drawn = [
        {
            "name": curve.name,
            "d": "M" + "L".join(f"{x(a)},{y(b)}" for a, b in curve.points),
            "ink": INKS[k % len(INKS)],
            "dash": DASHES[k % len(DASHES)],
        }
        for k, curve in enumerate(curves)
    ]
    return render(
        "lines.svg",
        curves=drawn,
        width=width,
        height=height,
        frame=(48, 12, width - 60, height - 46),
        x_ticks=[(x(v), f"{v:g}") for v in x.ticks(width // 90)],
        y_ticks=[(y(v), f"{v:g}") for v in y.ticks(5)],
        x_label=x_label,
        y_label=y_label,
    )


@dataclass(frozen=True)
class Part:
    """One part of a stacked bar: name, size, words for its number."""

    name: str
    size: float
    words: str


def stacked_bar(parts: Sequence[Part], width: int = 640) -> str:
    """Parts of a whole end to end, each named under it with its number."""
    whole = sum(max(part.size, 0.0) for part in parts) or 1.0
    ends = [0.0]
    for part in parts:
        ends.append(ends[-1] + max(part.size, 0.0) / whole * width)
    drawn = [
        {"x": round(a, 1), "width": round(b - a, 1), "ink": INKS[k % len(INKS)], "name": p.name, "words": p.words}
        for k, (p, (a, b)) in enumerate(zip(parts, pairwise(ends), strict=True))
    ]
    return render("stacked.svg", parts=drawn, width=width, height=34 + 20 * len(drawn))


def ranked_bars(parts: Sequence[Part], width: int = 640) -> str:
    """One bar a part, size 0 to 1, its name over it and its number at its end."""
    drawn = [
        {"y": 44 * k, "width": round(min(max(p.size, 0.0), 1.0) * (width - 70), 1), "name": p.name, "words": p.words}
        for k, p in enumerate(parts)
    ]
    return render("ranked.svg", parts=drawn, width=width, height=44 * len(drawn))


@dataclass(frozen=True)
class Dot:
    """A computed value less a published one, with one standard deviation, and what it is of."""

    name: str
    off: float
    sigma: float


def dots(values: Sequence[Dot], unit: str, width: int = 640) -> str:
    """Computed less published: a dot with its bar on a common axis through zero; filled where within two sigma."""
    reach = max([10.0, *(abs(v.off) + v.sigma for v in values)])
    over = width < NAMES_BESIDE_PX  # each name over its line, else beside it
    row, start = (42, 12) if over else (22, 230)
    x = Scale(-reach, reach, start, width - 12)
    drawn = [
        {
            "y": (34 if over else 16) + row * k,
            "name_y": (16 if over else 20) + row * k,
            "x": x(v.off),
            "bar": (x(v.off - v.sigma), x(v.off + v.sigma)),
            "name": v.name if len(v.name) < 34 else f"{v.name[:32]}…",
            "far": abs(v.off) > 2 * v.sigma,
        }
        for k, v in enumerate(values)
    ]
    ticks = [(x(v), f"{v:+g}".replace("-", "−") if v else "0") for v in x.ticks(6 if not over else 4)]
    height = row * len(drawn) + 52
    return render("dots.svg", dots=drawn, ticks=ticks, zero=x(0), width=width, height=height, unit=unit)


def pot(metal: str, state: str, verdict: str, melt_words: str, width: int = 450, height: int = 190) -> str:
    """A pot in section: the melt, and the metal on it, under it, in it or leaving it."""
    return render("pot.svg", metal=metal, state=state, verdict=verdict, words=melt_words, width=width, height=height)


@dataclass(frozen=True)
class Arrest:
    """A reading in deg C with its error, and whether it fits."""

    t_C: float
    sigma_K: float
    fits: bool


def arrests_axis(computed: Sequence[tuple[str, float, float]], read: Sequence[Arrest], width: int = 640) -> str:
    """Computed arrests (name, deg C, sigma) over the axis, readings under it."""
    values = [t for _, t, _ in computed] + [a.t_C for a in read]
    x = Scale(min(values) - 40, max(values) + 40, 12, width - 12)
    above = [{"x": x(t), "band": (x(t - s), x(t + s)), "name": f"{name} {t:.0f}", "row": k % 2}
             for k, (name, t, s) in enumerate(computed)]  # fmt: skip
    under = [{"x": x(a.t_C), "band": (x(a.t_C - a.sigma_K), x(a.t_C + a.sigma_K)), "name": f"{a.t_C:.0f}",
              "fits": a.fits, "row": k % 2} for k, a in enumerate(read)]  # fmt: skip
    ticks = [(x(v), f"{v:.0f}") for v in x.ticks(width // 90)]
    return render("arrests.svg", above=above, under=under, ticks=ticks, width=width)
