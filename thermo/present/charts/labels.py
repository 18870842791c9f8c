"""Where words stand in a pair's drawing: numbers of the invariants, names of the areas, none on top of another.

Names of areas come from `diagram_lines` with the room they have; a name that finds no free place, lying or upright, is
left out (the list under the drawing has every invariant with its number).
Limits: widths are estimated from the number of letters. Worked value: two words at one place: the second is refused.
"""

from typing import Any

import numpy as np
from matplotlib.axes import Axes

from thermo.equilibrium.invariants.pair import PairCurve
from thermo.present.charts.inks import Look
from thermo.records.units import celsius

AXES_PT = (470.0, 330.0)  # width and height of the plot
_LETTER_PT = 4.6  # width of a letter at 9 points


class Room:
    """Which parts of the plot words have taken, in points; `span` are its limits in deg C."""

    def __init__(self, span: tuple[float, float]):
        self.low, self.per_x, self.per_t = span[0], AXES_PT[0] / 100, AXES_PT[1] / (span[1] - span[0])
        self._taken: list[tuple[float, float, float, float]] = []

    def take(self, x: float, t: float, half_width: float, half_height: float, up: float = 0.0) -> bool:
        """Reserve a box around (x mol%, t deg C), moved up; False, and nothing reserved, where words already stand."""
        across, high = x * self.per_x, (t - self.low) * self.per_t + up
        for other_across, other_high, other_width, other_height in self._taken:
            if (
                abs(across - other_across) < half_width + other_width
                and abs(high - other_high) < half_height + other_height
            ):
                return False
        self._taken.append((across, high, half_width, half_height))
        return True


def draw_marks(axes: Axes, lines: dict, look: Look, room: Room) -> None:
    """The invariants, numbered as in the list; numbers below their marks, above a maximum; close ones share theirs."""
    groups: list[list[dict]] = []
    for mark in lines["marks"]:
        axes.plot(mark["x"], mark["t"] + look.shift, "D", ms=7, color=look["ink"], mfc=look["paper"], mew=1.4, zorder=5)
        last = groups[-1][-1] if groups else None
        if last and mark["x"] - last["x"] < 2.2 and abs(mark["t"] - last["t"]) < 20:
            groups[-1].append(mark)
        else:
            groups.append([mark])
    for group in groups:
        x, t = (float(np.mean([mark[axis] for mark in group])) for axis in "xt")
        above = any(mark["kind"] == "congruent" for mark in group)
        words = ",".join(mark["label"] for mark in group)
        room.take(x, t, 4 * len(words) + 5, 8, 13 if above else -13)
        axes.annotate(
            words,
            (x, t + look.shift),
            (0, 8) if above else (0, -17),
            textcoords="offset points",
            ha="center",
            fontsize=10,
            weight="bold",
            color=look["ink"],
            path_effects=look.halo,
            zorder=7,
        )


def draw_fields(axes: Axes, lines: dict, curve: PairCurve, look: Look, span: tuple[float, float], room: Room) -> None:
    """Names of the areas where they fit, upright in a narrow one."""
    low, high = span
    style: dict[str, Any] = {
        "ha": "center",
        "va": "center",
        "fontsize": 9,
        "color": look["quiet"],
        "path_effects": look.halo,
        "zorder": 3,
    }
    valley = float(100 * curve.x_second[np.nanargmin(curve.T_K)])
    x, t = min(max(valley, 8), 92), (float(celsius(np.nanmin(curve.T_K))) + 2 * high) / 3
    room.take(x, t, 20, 8)
    axes.text(x, t + look.shift, "melt", **(style | {"fontsize": 11}))
    for field in lines["fields"]:
        bottom, top = max(field["low"], low), min(field["high"], high)
        half, tall, wide = (
            0.5 * _LETTER_PT * len(field["label"]) + 4,
            (top - bottom) * room.per_t,
            field["width"] * room.per_x,
        )
        t = min(max(field["t"], bottom + 0.25 * (top - bottom)), top - 0.25 * (top - bottom))
        for level in (t, 0.5 * (bottom + top), bottom + 0.25 * (top - bottom), top - 0.25 * (top - bottom)):
            if wide > 2 * half and tall > 16 and room.take(field["x"], level, half, 7):
                axes.text(field["x"], level + look.shift, field["label"], **style)
                break
            if wide > 16 and tall > 2 * half and room.take(field["x"], level, 7, half):
                axes.text(field["x"], level + look.shift, field["label"], rotation=90, **style)
                break
