"""Drawing of a freezing path: what the pot holds against temperature, as a matplotlib figure.

Stacked areas from hot (right) to cold (left), liquid on top, each solid with its own hatching and name, so that colour
is never the only difference. A new `Figure` each time (never pyplot, whose state is shared between visitors).
Worked value: freezing_figure(freezing_path(melt)).axes[0] spans the liquidus and the solidus on its temperature axis.
"""

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from thermo.equilibrium.freezing.freezing_path import FreezingPath
from thermo.present.charts.inks import Look
from thermo.present.words.written import pretty
from thermo.records.units import celsius

LIQUID = ("#9fd3f5", "#1d4a66")  # on white and on dark paper
SOLIDS = ("#c05800", "#007a5a", "#a03070", "#5a5a5a", "#b8a000", "#4040a0", "#804020", "#20a0a0")
HATCHES = ("///", "\\\\\\", "...", "xxx", "ooo", "---", "|||", "+++")


def freezing_figure(path: FreezingPath, dark: bool = False) -> Figure:
    """Moles of liquid and of each solid, percent of the mix, against temperature; liquidus and solidus marked."""
    look = Look(True, dark)
    figure = Figure(figsize=(7, 5), layout="constrained")
    axes = figure.subplots()
    t_C = celsius(path.T_K)
    floor = np.zeros(len(t_C))
    for k, (name, amounts) in enumerate(path.phases):
        top = floor + 100 * amounts
        colour, hatch = SOLIDS[k % len(SOLIDS)], HATCHES[k % len(HATCHES)]
        axes.fill_between(t_C, floor, top, color=colour, alpha=0.35, hatch=hatch, lw=0, label=f"solid {pretty(name)}")
        axes.plot(t_C, top, color=colour, lw=0.8)
        floor = top
    axes.fill_between(t_C, floor, 100.0, color=LIQUID[dark], lw=0, label="liquid")
    _mark(axes, path, look)
    axes.set(xlabel="temperature, °C", ylabel="mol% of the mix", xlim=(t_C.min(), t_C.max()), ylim=(0, 100))
    axes.legend(loc="upper center", bbox_to_anchor=(0.5, -0.12), ncols=3, frameon=False)
    title = ", ".join(f"{100 * x:.1f} {pretty(f)}" for f, x in zip(path.salts, path.fractions, strict=True))
    axes.set_title(f"Freezing of {title} mol% (equilibrium)", fontsize=9, wrap=True)
    return look.dress(figure)


def _mark(axes: Axes, path: FreezingPath, look: Look) -> None:
    """Vertical lines with words and one standard deviation at the liquidus and at the solidus."""
    marks = [(path.liquidus_K, path.sigma_liquidus_K, "starts to freeze")]
    if path.solidus_K is not None and path.sigma_solidus_K is not None:
        marks.append((path.solidus_K, path.sigma_solidus_K, "all solid below"))
    for T_K, sigma_K, words in marks:
        axes.axvline(celsius(T_K), color=look["ink"], ls="--", lw=1)
        label = axes.annotate(
            f"{words} {celsius(T_K):.0f} ± {sigma_K:.0f} °C",
            (celsius(T_K), 0.97),
            (4, 0),
            xycoords=("data", "axes fraction"),
            textcoords="offset points",
            rotation=90,
            va="top",
            fontsize=9,
        )
        label.set_bbox({"facecolor": look["paper"], "alpha": 0.8, "lw": 0, "pad": 1})
