"""Charts of a run: the bath against ampere-hours, and standard voltages against temperature, as matplotlib figures.

Every function returns a new `Figure` (never pyplot, whose state is shared between visitors). Axes carry units; bands
are one standard deviation; line style tells the curves apart as well as colour. Worked value: drift_figure(drift).axes
has two panels, liquidus above and density below.
"""

import numpy as np
from matplotlib.figure import Figure

from thermo.answers.drift import Drift
from thermo.laws.formation import formation_sigma, voltages
from thermo.laws.metal_density import metal_density
from thermo.present.charts.inks import Look
from thermo.present.words.written import pretty
from thermo.records.substances import metal, salt
from thermo.records.units import F, celsius, kelvin

LINES = ("-", "--", ":", "-.")
INKS = ("liquidus", "solidus", "gap", "mark", "quiet")


def drift_figure(drift: Drift, dark: bool = False) -> Figure:
    """Liquidus with its band against the run temperature, and melt density against the metal's, over the charge."""
    look = Look(True, dark)
    charge = np.array([p.charge_Ah for p in drift.points])
    figure = Figure(figsize=(7, 6), layout="constrained")
    top, bottom = figure.subplots(2, 1, sharex=True)
    t_C = celsius(np.array([p.liquidus_K for p in drift.points]))
    band = np.array([p.sigma_K for p in drift.points])
    top.fill_between(
        charge, t_C - band, t_C + band, color=look["liquidus"], alpha=0.25, lw=0, label="± one standard deviation"
    )
    top.plot(charge, t_C, color=look["liquidus"], label="freezing starts")
    top.axhline(celsius(drift.T_K), color=look["ink"], ls=":", label=f"bath at {celsius(drift.T_K):.0f} °C")
    if drift.freezes is not None and drift.freezes.charge_Ah <= charge[-1]:
        at = drift.freezes.charge_Ah
        top.axvline(at, color=look["ink"], lw=0.8)
        words = f"{pretty(drift.freezes.solid)} after {at:.3g} A h"
        late = at > charge[-1] / 2
        side, offset = ("right", -4) if late else ("left", 4)
        top.annotate(words, (at, celsius(drift.T_K)), (offset, 6), textcoords="offset points", ha=side)
    top.set(ylabel="temperature, °C")
    top.legend()
    _density_panel(bottom, drift, charge, look)
    return look.dress(figure)


def _density_panel(axes, drift: Drift, charge: np.ndarray, look: Look) -> None:
    melt = np.array([p.melt_g_cm3 for p in drift.points])
    band = np.array([p.sigma_g_cm3 for p in drift.points])
    symbol = salt(drift.formula).cation
    axes.fill_between(charge, melt - band, melt + band, color=look["liquidus"], alpha=0.25, lw=0)
    axes.plot(charge, melt, color=look["liquidus"], label="melt")
    if metal(symbol).state(drift.T_K) != "vapour":
        own = metal_density(symbol, drift.T_K)
        low, high = own.value_g_cm3 - own.sigma_g_cm3, own.value_g_cm3 + own.sigma_g_cm3
        axes.fill_between(charge, low, high, color=look["solidus"], alpha=0.25, lw=0)
        axes.plot(charge[[0, -1]], [own.value_g_cm3] * 2, color=look["solidus"], ls="--", label=metal(symbol).name)
    axes.set(xlabel="charge, A h", ylabel="density, g/cm³", xlim=(charge[0], charge[-1]))
    axes.legend()


def voltage_figure(
    formulas: tuple[str, ...], t_low_C: float = 400.0, t_high_C: float = 1000.0, dark: bool = False
) -> Figure:
    """Standard decomposition voltages with their bands; metal as gas above its boiling point."""
    look = Look(True, dark)
    t_C = np.linspace(t_low_C, t_high_C, 121)
    T = kelvin(t_C)
    figure = Figure(figsize=(7, 5), layout="constrained")
    axes = figure.subplots()
    ends = {}
    for k, formula in enumerate(formulas):
        colour, style = look[INKS[k % len(INKS)]], LINES[k // len(INKS) % len(LINES)]
        E = voltages(formula, T)
        band = formation_sigma(formula, T) / (salt(formula).charge * F)
        axes.fill_between(t_C, E - band, E + band, color=colour, alpha=0.2, lw=0)
        axes.plot(t_C, E, color=colour, ls=style)
        ends[formula] = float(E[-1])
    for formula, height in _apart(ends, 0.04 * float(np.ptp(axes.get_ylim()))).items():
        axes.annotate(pretty(formula), (t_C[-1], height), (4, 0), textcoords="offset points", va="center")
    axes.set(xlabel="temperature, °C", ylabel="standard decomposition voltage, V", xlim=(t_low_C, t_high_C))
    return look.dress(figure)


def _apart(heights: dict[str, float], gap: float) -> dict[str, float]:
    """The heights in rising order, pushed up where two labels would touch."""
    placed: dict[str, float] = {}
    for name, height in sorted(heights.items(), key=lambda entry: entry[1]):
        placed[name] = max(height, max(placed.values(), default=-np.inf) + gap)
    return placed
