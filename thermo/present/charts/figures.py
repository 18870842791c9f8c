"""Drawings to keep: pair diagram or triangle, density against temperature, operating window, as matplotlib figures.

Every function returns a new `Figure` (never pyplot, whose state is shared between visitors). Axes carry units; bands
are one standard deviation; line style tells melt from metal as well as colour. Limits: the triangle's isotherms come
from the same 2 % grid as on the page. Worked value: png(density_figure(chart, 720)) starts with the PNG signature.
"""

import io

import numpy as np
from matplotlib.figure import Figure
from matplotlib.patheffects import withStroke
from matplotlib.tri import Triangulation

from thermo.answers.window import Window
from thermo.present.charts.density import DensityChart
from thermo.present.charts.pair_lines import known_curve
from thermo.present.charts.triangle_data import SHADES, known_field, triangle_grid
from thermo.present.words.written import plain, pretty
from thermo.records.units import celsius

PLATE = {"facecolor": "white", "edgecolor": "none", "pad": 1}  # keeps the words readable over the line
SCREEN = 120  # dots an inch of a picture that is shown on the page
MELT, METAL = "#0060a8", "#c05800"  # blue and orange stay apart for every common colour blindness


def png(figure: Figure, dots_per_inch: float = 200) -> bytes:
    """The figure as PNG."""
    buffer = io.BytesIO()
    figure.savefig(buffer, format="png", dpi=dots_per_inch)
    return buffer.getvalue()


def pair_figure(a: str, b: str, t_C: float, melt: tuple[float, float] | None = None) -> Figure:
    """Liquidus of a pair with its one-sigma band where it is known, invariants named, the present melt marked.

    t_C: working temperature; melt: (mole fraction of b, its liquidus in K), None where it is unknown.
    """
    curve = known_curve(a, b)
    x, start_C, sigma = 100 * np.asarray(curve.x_second), celsius(np.asarray(curve.T_K)), np.asarray(curve.sigma_K)
    figure = Figure(figsize=(7, 6), layout="constrained")
    axes = figure.subplots()
    axes.fill_between(
        x, start_C - sigma, start_C + sigma, color=MELT, alpha=0.25, lw=0, label="± one standard deviation"
    )
    axes.plot(x, start_C, color=MELT, label="freezing starts")
    for number, point in enumerate(curve.invariants, 1):
        at = 100 * point.fractions[1], celsius(point.T_K)
        words = f"{number}: {point.kind} {at[1]:.0f} ± {max(1.0, point.sigma_K):.0f} °C, {at[0]:.1f} %"
        axes.plot(*at, "D", color="black", mfc="white", label=words)
        axes.annotate(str(number), at, (0, -14), textcoords="offset points", ha="center")
    if melt is not None:
        axes.plot(100 * melt[0], celsius(melt[1]), "o", color="black", label="this melt")
    axes.axhline(t_C, color="black", ls=":", label=f"working temperature {t_C:.0f} °C")
    axes.set(xlim=(0, 100), xlabel=f"mol% {pretty(b)} in {pretty(a)}", ylabel="temperature, °C")
    figure.legend(loc="outside lower center", ncols=2, fontsize=9)
    return figure


def _corner_xy(fractions: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Mole fractions (N, 3) to plane coordinates: first salt at the top, second left, third right."""
    return fractions[:, 2] + fractions[:, 0] / 2, fractions[:, 0] * np.sqrt(3) / 2


def triangle_figure(names: tuple[str, ...], melt: tuple[float, ...] | None = None) -> Figure:
    """Isotherms of the liquidus of three salts, white where it is unknown; the present melt (fractions) marked."""
    fractions, _ = triangle_grid()
    t_C, _, _ = known_field(names, fractions)
    mesh = Triangulation(*_corner_xy(fractions))
    mesh.set_mask(np.isnan(t_C)[mesh.triangles].any(axis=1))
    t_C = np.nan_to_num(t_C, nan=np.nanmin(t_C))  # masked, but contours want numbers
    figure = Figure(figsize=(7, 6.2), layout="constrained")
    axes = figure.subplots()
    shaded = axes.tricontourf(mesh, t_C, levels=10, cmap=SHADES)
    lines = axes.tricontour(mesh, t_C, levels=list(shaded.levels), colors="white", linewidths=0.7)
    for label in axes.clabel(lines, fmt="%.0f", fontsize=8, colors="black"):
        label.set_path_effects([withStroke(linewidth=2, foreground="white")])
    figure.colorbar(shaded, ax=axes, label="freezing starts at, °C", shrink=0.7)
    axes.plot([0, 1, 0.5, 0], [0, 0, np.sqrt(3) / 2, 0], color="black", lw=1)
    if melt is not None:
        px, py = _corner_xy(np.asarray(melt)[None, :])
        axes.plot(px, py, "o", color="white", mec="black", ms=9)
    axes.text(0.5, 0.89, pretty(names[0]), ha="center")
    axes.text(0, -0.05, pretty(names[1]), ha="left")
    axes.text(1, -0.05, pretty(names[2]), ha="right")
    axes.set_aspect("equal")
    axes.set_axis_off()
    return figure


def density_figure(chart: DensityChart, t_C: float) -> Figure:
    """Melt and metal density against temperature, both bands, crossings and the working temperature."""
    figure = Figure(figsize=(7, 4.6), layout="constrained")
    axes = figure.subplots()
    for T, rho, sigma, colour, style, label in (
        (chart.T_K, chart.melt, chart.melt_sigma, MELT, "-", "melt"),
        (chart.metal_T_K, chart.metal, chart.metal_sigma, METAL, "--", chart.metal_name),
    ):
        axes.fill_between(celsius(T), rho - sigma, rho + sigma, color=colour, alpha=0.25, lw=0)
        axes.plot(celsius(T), rho, style, color=colour, label=f"{label}, ± one standard deviation")
    for T_K, sigma_K, at in chart.crossings:
        axes.errorbar(celsius(T_K), at, xerr=sigma_K, fmt="D", color="black", mfc="white", capsize=4)
        axes.annotate(
            f"crossing {celsius(T_K):.0f} ± {sigma_K:.0f} °C", (celsius(T_K), at), (6, 8), textcoords="offset points"
        )
    for T_K, label in chart.rules:
        axes.axvline(celsius(T_K), color="grey", ls=":", lw=1)
        axes.annotate(
            label, (celsius(T_K), 0.02), xycoords=("data", "axes fraction"), rotation=90, ha="right", fontsize=8
        )
    axes.axvline(t_C, color="black", lw=1, label=f"working temperature {t_C:.0f} °C")
    axes.set(xlabel="temperature, °C", ylabel="density, g/cm³")
    axes.legend()
    return figure


def window_figure(window: Window, t_C: float) -> Figure:
    """Each limit over the temperatures it rules out (hatched), and the window (solid)."""
    limits = sorted(window.limits, key=lambda limit: limit.T_K)
    temperatures = [t_C, *(celsius(limit.T_K) for limit in limits)]
    low, high = min(temperatures) - 80, max(temperatures) + 80
    figure = Figure(figsize=(7, 1.4 + 0.62 * len(limits)), layout="constrained")
    axes = figure.subplots()
    for row, limit in enumerate(limits, 1):
        at = celsius(limit.T_K)
        left, right = (low, at) if limit.side == "low" else (at, high)
        axes.barh(row, right - left, 0.35, left, facecolor="none", edgecolor="grey", hatch="////")
        side = "not below" if limit.side == "low" else "not above"
        axes.text(
            low + 8, row + 0.25, f"{side} {at:.0f} °C: {plain(limit.reason)}", va="bottom", fontsize=9, bbox=PLATE
        )
    words = window.words
    if window.span_K is not None:
        lower, upper = map(celsius, window.span_K)
        axes.barh(0, upper - lower, 0.35, lower, color=MELT)
        words = f"{lower:.0f} to {upper:.0f} °C"
    axes.text(low + 8, 0.25, f"window: {words}", va="bottom", fontsize=9, weight="bold", bbox=PLATE)
    axes.axvline(t_C, color="black", lw=1.5)
    axes.set(
        xlim=(low, high), ylim=(-0.5, len(limits) + 0.8), yticks=[], xlabel=f"temperature, °C (line: {t_C:.0f} °C)"
    )
    return figure
