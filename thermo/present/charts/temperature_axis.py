"""The slim temperature axis as plain data: where the melt freezes, where the cell runs, where the metal melts.

Degrees Celsius throughout. Bands: `frozen` up to the start of freezing, `window` between the window's ends; marks: the
metal's melting and boiling point; the knob is the working temperature.
Limits: what lies more than BEYOND_C above everything else is an arrow at the end, not a reason to shrink the rest.
Worked value: at 720 deg C with freezing at 480 and sodium boiling at 883 the axis runs from 400 to 950.
"""

import math

from thermo.present.charts.pair_data import named, temperature_handle

ROUND_C = 50.0
ROOM_C = 60.0
BEYOND_C = 450.0


def temperature_axis(
    t_C: float,
    start_C: float | None,
    window_C: tuple[float, float] | None,
    metal: tuple[str, float, float] | None,
    best_C: tuple[float, float] | None = None,
) -> dict:
    """The axis for a working temperature.

    start_C: start of freezing, None where unknown; window_C: ends of the window and best_C of its preferred
    stretch, None where there is none; metal: name,
    melting and boiling point, None for no metal.
    """
    marks = [] if metal is None else [(f"{metal[0]} melts", metal[1]), (f"{metal[0]} boils", metal[2])]
    anchors = [t for t in (t_C, start_C, window_C and window_C[0], metal and metal[1]) if t is not None]
    top = max(anchors) + BEYOND_C
    inside = [*anchors, *(t for t in (window_C and window_C[1], metal and metal[2]) if t is not None and t <= top)]
    low = ROUND_C * math.floor((min(inside) - ROOM_C) / ROUND_C)
    high = ROUND_C * math.ceil((max(inside) + ROOM_C) / ROUND_C)
    return named(
        {
            "kind": "axis",
            "summary": "Temperature axis: where this melt freezes, where the cell can run, the working temperature",
            "x": {"low": low, "high": high, "label": "°C"},
            "bands": _bands(low, high, start_C, window_C, best_C),
            "marks": [
                {"at": min(round(t, 1), high), "label": f"{word} {t:.0f}", "beyond": t > high} for word, t in marks
            ],
            "handles": [temperature_handle("x")],
        }
    )


def _bands(
    low: float,
    high: float,
    start_C: float | None,
    window_C: tuple[float, float] | None,
    best_C: tuple[float, float] | None,
) -> list[dict]:
    """The stretches of the axis: frozen, window, preferred."""
    bands = []
    if start_C is not None:
        bands.append({"from": low, "to": round(start_C, 1), "look": "frozen", "label": f"freezes below {start_C:.0f}"})
    if window_C is not None:
        ends = f"{window_C[0]:.0f} to {window_C[1]:.0f}"
        end = min(window_C[1], high)
        bands.append(
            {"from": round(window_C[0], 1), "to": round(end, 1), "look": "window", "label": f"cell runs {ends}"}
        )
    if best_C is not None:
        label = f"best {best_C[0]:.0f} to {best_C[1]:.0f}"
        bands.append({"from": round(best_C[0], 1), "to": round(best_C[1], 1), "look": "best", "label": label})
    return bands
