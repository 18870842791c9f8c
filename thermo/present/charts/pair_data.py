"""What the interactive charts show, as plain data: pair diagram and density chart.

Temperatures in deg C, compositions in mole percent, densities in g/cm3: these are the numbers a reader sees. The
drawing itself is done in the browser (handle_chart.js, handle_triangle.js). `id` names the content: the browser draws
again only when it changes. Limits: the triangle's isotherms come from a 2 % grid, so a narrow field may be missed there
while the read-outs, computed at the point itself, are exact.
"""

import hashlib
import json
import math
from itertools import pairwise

import numpy as np

from thermo.equilibrium.freezing.liquidus import STAYS_LIQUID
from thermo.equilibrium.invariants.pair import PairCurve, stays_liquid
from thermo.equilibrium.invariants.section import is_section, section
from thermo.present.charts.density import DensityChart
from thermo.present.charts.pair_lines import NOT_KNOWN, OPEN_LINE, known_curve
from thermo.present.words.written import degrees, pretty, sentence
from thermo.records.units import celsius

ROUND_TO_C = 50.0
TEMPERATURE_C = (100.0, 1500.0)  # what the page lets one choose
SUBLIMES = "AlF₃ counts as the hypothetical liquid of its JANAF table; AlF₃ itself sublimes."
NOT_KNOWN_START = "start of freezing not known"


def named(figure: dict) -> dict:
    """The figure with an `id` that follows its content."""
    text = json.dumps(figure, sort_keys=True)
    return {**figure, "id": hashlib.sha1(text.encode(), usedforsecurity=False).hexdigest()[:12]}


def _span(values: list[float], below: float, above: float) -> tuple[float, float]:
    """Round limits that leave `below` and `above` degrees of room."""
    return (
        ROUND_TO_C * math.floor((min(values) - below) / ROUND_TO_C),
        ROUND_TO_C * math.ceil((max(values) + above) / ROUND_TO_C),
    )


def temperature_handle(axis: str, words: tuple[str, ...] = ("{value} °C",)) -> dict:
    """The knob that sets the working temperature along an axis, in whole degrees; keys reach beyond the axis."""
    return {
        "name": "t_C",
        "axis": axis,
        "low": TEMPERATURE_C[0],
        "high": TEMPERATURE_C[1],
        "step": 1,
        "page": 25,
        "digits": 0,
        "ride": 0,
        "title": "Working temperature in degrees Celsius",
        "words": list(words),
    }


def drawable(names: tuple[str, ...]) -> bool:
    """Whether salts have a diagram to drag: two or three different ones, of one anion or two."""
    return len(names) in (2, 3) and len(set(names)) == len(names)


def pair_diagram(a: str, b: str, t_C: float, melting: tuple[str, float] | None = None) -> dict:
    """Liquidus of the pair a-b with its one-sigma band, first solids, invariants, and two knobs.

    t_C: working temperature, deg C. melting: name of a metal and its melting point, deg C, or None for no line.
    """
    curve = known_curve(a, b)
    t_liquidus = celsius(np.asarray(curve.T_K))
    shown = [float(np.nanmin(t_liquidus)), float(np.nanmax(t_liquidus)), t_C]
    rules = []
    if melting and shown[0] - 300 < melting[1] < shown[1] + 300:
        shown.append(melting[1])
        rules.append({"axis": "y", "at": round(melting[1], 1), "label": f"{melting[0]} melts {melting[1]:.0f} °C"})
    low, high = _span(shown, 60, 30)
    x = 100 * np.asarray(curve.x_second)
    names = [pretty(a), pretty(b)]
    return named(
        {
            "kind": "chart",
            "summary": f"Phase diagram of {a} and {b}: temperature at which freezing starts against composition",
            "x": {"low": 0, "high": 100, "label": f"mol% {names[1]}", "first": names[0], "last": names[1]},
            "y": {"low": low, "high": high, "label": "freezing starts at, °C; band ± one standard deviation"},
            "curves": [
                {
                    "look": "liquidus",
                    "points": [[at, _open(t)] for at, t in np.column_stack([x, t_liquidus]).round(2).tolist()],
                    "sigma": [_open(sigma) for sigma in np.asarray(curve.sigma_K).round(1).tolist()],
                }
            ],
            "marks": _numbered(curve),
            "rules": rules,
            "strip": first_solid_spans(curve),
            "handles": [_composition_handle(names), temperature_handle("y")],
        }
    )


def _open(value: float) -> float | None:
    """A number, or None where it is unknown and the line is left open."""
    return None if math.isnan(value) else value


def _numbered(curve: PairCurve) -> list[dict]:
    return [
        {"x": round(100 * point.fractions[1], 2), "y": round(celsius(point.T_K), 1), "label": str(number)}
        for number, point in enumerate(curve.invariants, 1)
    ]


def invariant_lines(a: str, b: str) -> tuple[str, ...]:
    """One line for each invariant of a pair, in the order of their numbers, and what is unknown of its freezing."""
    lines = tuple(
        f"{number}: {_kind(point.kind)} at {degrees(point.T_K, point.sigma_K)}, {100 * point.fractions[1]:.1f} mol% "
        f"{pretty(b)}, {' + '.join(pretty(solid) for solid in point.solids)} ({point.status})"
        for number, point in enumerate(known_curve(a, b).invariants, 1)
    )
    if is_section(a, b):
        return (*lines, sentence(section(a, b).note))
    if "AlF3" in (a, b):
        lines = (*lines, SUBLIMES)
    if NOT_KNOWN in known_curve(a, b).first_solid:
        lines = (*lines, sentence(OPEN_LINE))
    return (*lines, sentence(STAYS_LIQUID)) if stays_liquid(a, b) else lines


def _kind(kind: str) -> str:
    return "melts congruently" if kind == "congruent" else kind


def _composition_handle(names: list[str]) -> dict:
    return {
        "name": "x",
        "axis": "x",
        "low": 0,
        "high": 100,
        "step": 0.5,
        "page": 5,
        "digits": 1,
        "ride": 0,
        "title": f"Composition in mole percent {names[1]}",
        "words": [f"{names[0]} {{rest}}  {names[1]} {{value}} mol%", "freezes from {curve0.0} °C"],
        "unknown": NOT_KNOWN_START,
    }


def first_solid_spans(curve: PairCurve) -> list[dict]:
    """Spans of composition (mol% of the second salt) with one first solid: [{from, to, label}]."""
    x = (100 * np.asarray(curve.x_second)).tolist()
    starts = [0] + [i for i, (a, b) in enumerate(pairwise(curve.first_solid), 1) if a != b]
    edges = [x[0]] + [(x[i - 1] + x[i]) / 2 for i in starts[1:]] + [x[-1]]
    return [
        {"from": round(start, 2), "to": round(end, 2), "label": pretty(curve.first_solid[i])}
        for i, (start, end) in zip(starts, pairwise(edges), strict=True)
    ]


def density_diagram(chart: DensityChart, t_C: float) -> dict:
    """Melt and metal density against temperature with bands, crossings and the freezing start; one knob for t_C."""
    low, high = (round(float(celsius(T)), 1) for T in (chart.T_K[0], chart.T_K[-1]))
    floor = min(float((chart.melt - chart.melt_sigma).min()), float((chart.metal - chart.metal_sigma).min()))
    top = max(float((chart.melt + chart.melt_sigma).max()), float((chart.metal + chart.metal_sigma).max()))
    room = 0.08 * (top - floor)
    both = ("{value} °C", "melt {curve0.3}, metal {curve1.3} g/cm³")
    return named(
        {
            "kind": "chart",
            "height": 380,
            "summary": f"Density of the melt and of {chart.metal_name} against temperature, with one-sigma bands",
            "x": {"low": low, "high": high, "label": "°C"},
            "y": {"low": floor - room, "high": top + room, "label": "g/cm³ ± one standard deviation"},
            "curves": [
                {"look": "melt", "label": "melt", **_curve(chart.T_K, chart.melt, chart.melt_sigma)},
                {
                    "look": "metal",
                    "label": chart.metal_name,
                    **_curve(chart.metal_T_K, chart.metal, chart.metal_sigma),
                },
            ],
            "marks": [
                {"x": round(celsius(T), 1), "y": round(rho, 4), "label": f"crossing {degrees(T, sigma)}"}
                for T, sigma, rho in chart.crossings
            ],
            "rules": [{"axis": "x", "at": round(celsius(T), 1), "label": label} for T, label in chart.rules],
            "handles": [temperature_handle("x", both if low <= t_C <= high else both[:1])],
        }
    )


def _curve(T_K: np.ndarray, density: np.ndarray, sigma: np.ndarray) -> dict:
    points = np.column_stack([celsius(T_K).round(2), density.round(4)]).tolist()
    return {"points": points, "sigma": sigma.round(4).tolist()}
