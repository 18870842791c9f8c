"""The full phase diagram of a pair as a drawing to keep: liquidus with band, solidus, gaps, horizontals, double salts,
and every published point beside them.

Lines come from `diagram_lines`, the liquidus from known_curve, open where the freezing start is unknown. A shape of
mark belongs to a source; filled marks were fitted, open ones were given little weight, crosses none. Colours stay apart
for every common colour blindness (Okabe & Ito), and each kind of line has its own dashes. Text that finds no room in
its area is left out; the list under the diagram has it. Limits: two salts that share an ion.
Worked value: pair_figure("NaCl", "KCl") has a y axis "temperature, °C".
"""

import textwrap
from collections.abc import Sequence
from typing import Literal

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.legend import Legend
from matplotlib.lines import Line2D
from matplotlib.patches import Patch

from thermo.equilibrium.invariants.pair import PairCurve
from thermo.present.charts.inks import Look
from thermo.present.charts.labels import AXES_PT, Room, draw_fields, draw_marks
from thermo.present.charts.pair_lines import diagram_lines, known_curve
from thermo.present.charts.published_points import MOST_SOURCES, SHAPES, PublishedMark, author, published_marks, shapes
from thermo.present.words.written import degrees, pretty
from thermo.records.units import ZERO_C
from thermo.records.units import celsius as to_celsius

WORDS = {
    "solidus": "freezing ends (solidus)",
    "gap": "limit of what the solids dissolve of each other",
    "horizontal": "three phases at one temperature",
    "transition": "a salt changes its crystal form",
    "double": "double salt",
    "liquid-gap": "melt separates into two liquids",
}


def pair_figure(
    a: str, b: str, celsius: bool = True, dark: bool = False, here: tuple[float, float] | None = None
) -> Figure:
    """The diagram of the pair a-b against mole percent of b, in deg C or K, on white or dark paper.

    here: a melt to show, as mole percent of b and its temperature in deg C, or None.
    InputError unless a and b are two different salts that share an ion.
    """
    look, lines, curve = Look(celsius, dark), diagram_lines(a, b), known_curve(a, b)
    rows = published_marks(a, b, float(to_celsius(np.nanmin(curve.T_K))))
    left, right = _line_entries(lines, look), _point_entries(rows, look)
    notes = _wrapped(lines["notes"])
    below_in = 0.2 * max(len(left), len(right)) + 0.15
    height = 6.0 + below_in + 0.16 * len(notes)
    figure = Figure(figsize=(8.0, height), layout="constrained", facecolor=look["paper"])
    axes, below = figure.subplots(2, height_ratios=(5.6, below_in))
    low, high = _temperature_span(lines, curve)
    _draw_lines(axes, lines, look, (low, high))
    _draw_liquidus(axes, curve, look)
    room = Room((low, high))
    draw_marks(axes, lines, look, room)
    _draw_points(axes, rows, look)
    if here is not None:
        _draw_melt(axes, here, look)
    axes.set(
        xlim=(0, 100),
        ylim=(low + look.shift, high + look.shift),
        xlabel=f"mole percent {pretty(b)} in {pretty(a)}",
        ylabel=f"temperature, {look.unit}",
    )
    draw_fields(axes, lines, curve, look, (low, high), room)
    _dress(axes, look)
    figure.suptitle(f"{pretty(a)} – {pretty(b)}", fontsize=13, color=look["ink"])
    below.axis("off")
    _legend(below, left, "upper left", look)
    _legend(below, right, "upper right", look)
    if notes:
        figure.supxlabel("\n".join(notes), fontsize=8.5, color=look["ink"], x=0.02, ha="left")
    return figure


def _draw_melt(axes: Axes, here: tuple[float, float], look: Look) -> None:
    """A person's own melt: an upright line at its composition and a cross at its working temperature."""
    x, t = here[0], here[1] + look.shift
    axes.axvline(x, color=look["ink"], linewidth=1.1, linestyle=(0, (5, 3)), zorder=5)
    axes.plot([x], [t], marker="P", markersize=11, color=look["ink"], markeredgecolor=look["paper"], zorder=6)
    side = "right" if x > 70 else "left"
    axes.annotate(
        "this melt",
        (x, t),
        xytext=(-9 if side == "right" else 9, 7),
        textcoords="offset points",
        ha=side,
        color=look["ink"],
        fontweight="bold",
        zorder=6,
    )


def _temperature_span(lines: dict, curve: PairCurve) -> tuple[float, float]:
    """Limits in deg C: from well below the lowest horizontal or the top of a gap to above the highest point."""
    t = to_celsius(np.asarray(curve.T_K))
    kinds = ("horizontal", "gap", "liquid-gap", "transition")
    features = [max(y for _, y in line["points"]) for line in lines["lines"] if line["look"] in kinds]
    deepest, highest = min([float(np.nanmin(t)), *features]), max([float(np.nanmax(t)), *features])
    floor = min(
        (y for line in lines["lines"] if line["look"] in ("gap", "double") for _, y in line["points"]), default=-273
    )
    room = 0.28 * (highest - deepest) + 40
    return max(deepest - room, min(floor, deepest - 40)), highest + 0.08 * (highest - deepest) + 10


def _draw_liquidus(axes: Axes, curve: PairCurve, look: Look) -> None:
    x, t, sigma = 100 * np.asarray(curve.x_second), to_celsius(np.asarray(curve.T_K)) + look.shift, curve.sigma_K
    axes.fill_between(x, t - sigma, t + sigma, color=look["liquidus"], alpha=0.22, lw=0)
    axes.plot(x, t, color=look["liquidus"], lw=2.4)


def _draw_lines(axes: Axes, lines: dict, look: Look, span: tuple[float, float]) -> None:
    for area in lines["areas"]:
        x, t = np.array(area["points"]).T
        axes.fill(x, t + look.shift, color=look["gap"], alpha=0.10, lw=0)
    for line in lines["lines"]:
        x, t = np.array(line["points"]).T
        axes.plot(x, t + look.shift, **look.of(line["look"]))
        if "sigma_x" in line:
            axes.fill(*_ribbon(x, t + look.shift, line, span), color=look["gap"], alpha=0.18, lw=0)


def _ribbon(x: np.ndarray, t: np.ndarray, line: dict, span: tuple[float, float]) -> tuple[np.ndarray, np.ndarray]:
    """Outline of a gap's one-sigma band: sideways, or, where the gap closes, at right angles to the line.

    A sideways spread s moves the line by s |sin| of its steepness; at a flat top, where s has no bounds, by sigma_t.
    """
    if line["sigma_t"] is None:
        sigma = np.array(line["sigma_x"], dtype=float)
        ends = np.clip(x - sigma, 0, 100), np.clip(x + sigma, 0, 100)
        return np.concatenate([ends[0], ends[1][::-1]]), np.concatenate([t, t[::-1]])
    per_x, per_t = AXES_PT[0] / 100, AXES_PT[1] / (span[1] - span[0])
    along = np.stack([np.gradient(x * per_x), np.gradient(t * per_t)])
    along /= np.maximum(np.hypot(*along), 1e-9)
    sideways = np.array([np.nan if s is None else s for s in line["sigma_x"]]) * per_x
    away = sideways * np.abs(along[1])
    top = int(t.argmax())
    away[max(top - 2, 0) : top + 3] = line["sigma_t"] * per_t
    step = np.stack([-along[1] / per_x, along[0] / per_t]) * away
    edges = [(np.clip(x + sign * step[0], 0, 100), t + sign * step[1]) for sign in (1, -1)]
    (x_left, t_left), (x_right, t_right) = edges
    return np.concatenate([x_left, x_right[::-1]]), np.concatenate([t_left, t_right[::-1]])


def _draw_points(axes: Axes, rows: Sequence[PublishedMark], look: Look) -> None:
    by_source = shapes(rows)
    for row in rows:
        axes.errorbar(
            row.x,
            row.t + look.shift,
            yerr=row.t_sigma,
            xerr=row.x_sigma,
            fmt="x" if row.use == "no" else by_source[row.source][0],
            ms=5.5,
            color=look["mark"],
            mfc=look["mark"] if row.use == "fit" else look["paper"],
            elinewidth=0.7,
            mew=1.1,
            alpha=0.5 if row.use == "no" else 0.95,
            zorder=6,
        )


def _dress(axes: Axes, look: Look) -> None:
    axes.set_facecolor(look["paper"])
    axes.tick_params(colors=look["ink"], labelsize=10, top=True, right=True, direction="in")
    for spine in axes.spines.values():
        spine.set_color(look["ink"])
    for label in (axes.xaxis.label, axes.yaxis.label):
        label.set(color=look["ink"], fontsize=11)


def _line_entries(lines: dict, look: Look) -> list:
    """Left list: kinds of line, then the numbered invariants."""
    entries = [
        (Line2D([], [], color=look["liquidus"], lw=2.4), "freezing begins (liquidus)"),
        (Patch(facecolor=look["liquidus"], alpha=0.22), "± one standard deviation"),
    ]
    kinds = {line["look"]: line["status"] for line in lines["lines"]}
    for kind, words in WORDS.items():
        if kind in kinds:
            estimated = " (estimated)" if kinds[kind] == "estimated" else ""
            entries.append((Line2D([], [], **look.of(kind)), words + estimated))
    diamond = Line2D([], [], ls="", marker="D", ms=6, color=look["ink"], mfc=look["paper"])
    return entries + [(diamond, f"{mark['label']}  {_kind(mark, look)}") for mark in lines["marks"]]


def _point_entries(rows: Sequence[PublishedMark], look: Look) -> list:
    """Right list: whose points, and what filled and open marks mean."""

    def mark(shape: str, **style) -> Line2D:
        return Line2D([], [], ls="", marker=shape, ms=6, color=look["mark"], **style)

    by_source = list(shapes(rows).items())
    entries = [(mark(shape), f"{author(key)} ({count})") for key, (shape, count) in by_source[:MOST_SOURCES]]
    rest = sum(count for _, (_, count) in by_source[MOST_SOURCES:])
    if rest:
        entries.append((mark(SHAPES[MOST_SOURCES]), f"other sources ({rest})"))
    uses = {row.use for row in rows}
    if "low" in uses:
        entries.append((mark("o", mfc=look["paper"]), "open: little weight"))
    if "no" in uses:
        entries.append((mark("x", alpha=0.5), "cross: not used"))
    return entries or [(Line2D([], [], ls=""), "no published point of this pair")]


def _legend(below: Axes, entries: list, place: Literal["upper left", "upper right"], look: Look) -> None:
    handles, words = zip(*entries, strict=True)
    below.add_artist(
        Legend(
            below,
            handles,
            words,
            loc=place,
            fontsize=9,
            frameon=False,
            labelcolor=look["ink"],
            borderaxespad=0,
            labelspacing=0.3,
        )
    )


def _kind(mark: dict, look: Look) -> str:
    T_K = mark["t"] + ZERO_C
    where = degrees(T_K, mark["sigma"])
    if look.unit == "K":
        where = f"{T_K:.0f} ± {max(1.0, mark['sigma']):.0f} K"
    kind = "melts congruently" if mark["kind"] == "congruent" else mark["kind"]
    return f"{kind} {where}, {mark['x']:.1f} mol%"


def _wrapped(notes: list[str], width: int = 120) -> list[str]:
    return [part for note in notes for part in textwrap.wrap(note, width)]
