"""A pair's start of freezing in small: one edge of a melt of three and more salts.

The pictures of one melt share their scale, so edges can be compared. Limits: no band, no solidus (the full diagram has
them); where freezing is not known the line is left open. Worked value: the line of NaCl-CaCl2 is coldest near 500
deg C, 51 mol% CaCl2.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from thermo.present.charts.pair_lines import known_curve
from thermo.present.charts.svg import Scale, render
from thermo.present.words.written import pretty
from thermo.records.remembered import remembered_last
from thermo.records.units import celsius

HOTTEST_C = 1300.0  # as on the triangle: hotter than anything a cell uses is cut
ROUND_C = 100.0
WIDTH, HEIGHT = 180, 132


@dataclass(frozen=True)
class EdgeLine:
    """A pair's liquidus: mole percent of the second salt and deg C, nan where it is not known."""

    salts: tuple[str, str]
    percent: np.ndarray
    t_C: np.ndarray


@remembered_last(256)
def edge_line(a: str, b: str) -> EdgeLine:
    """The liquidus of the pair a-b."""
    curve = known_curve(a, b)
    return EdgeLine((a, b), 100 * np.asarray(curve.x_second), celsius(np.asarray(curve.T_K)))


def edge_span(lines: Sequence[EdgeLine]) -> tuple[float, float]:
    """Round limits in deg C that hold all of these lines up to HOTTEST_C."""
    known = np.concatenate([line.t_C[np.isfinite(line.t_C)] for line in lines])
    if not known.size:
        return 0.0, HOTTEST_C
    low = ROUND_C * math.floor(float(known.min()) / ROUND_C)
    return low, max(low + ROUND_C, min(HOTTEST_C, ROUND_C * math.ceil(float(known.max()) / ROUND_C)))


def edge_picture(line: EdgeLine, span_C: tuple[float, float]) -> str:
    """The line as one SVG text, its coldest point marked; what lies outside the span is cut at its end."""
    x, y = Scale(0, 100, 8, WIDTH - 8), Scale(*span_C, HEIGHT - 24, 20)
    runs: list[list[str]] = [[]]
    for at, value in zip(line.percent.tolist(), line.t_C.tolist(), strict=True):
        if math.isfinite(value):
            runs[-1].append(f"{x(at)},{y(value)}")
        elif runs[-1]:
            runs.append([])
    coldest = None
    if np.isfinite(line.t_C).any():
        k = int(np.nanargmin(line.t_C))
        t_C, percent = float(line.t_C[k]), float(line.percent[k])
        coldest = {"x": x(percent), "y": y(t_C), "words": f"{t_C:.0f} °C, {percent:.0f} %"}
    lines = ["M" + "L".join(run) for run in runs if len(run) > 1]
    first, last = map(pretty, line.salts)
    return render("edge.svg", first=first, last=last, lines=lines, coldest=coldest, width=WIDTH, height=HEIGHT)
