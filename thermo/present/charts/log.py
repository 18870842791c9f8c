"""A logger's readings against time as a small drawing: one line a quantity in its own band, arrests marked and named.

Bands stand one over the other, each with its lowest and highest value; gaps are gaps. Limits: at most 1000 points a
line. Worked value: two quantities make two bands and two lines.
"""

from collections.abc import Sequence
from html import escape

from thermo.answers.run.log import Arrest
from thermo.records.logger import Log
from thermo.records.units import celsius

WIDE, BAND, LEFT, RIGHT = 640.0, 120.0, 64.0, 12.0
MOST_POINTS = 1000
NAMES = {"T": "deg C", "amps": "A", "volts": "V"}


def log_svg(log: Log, arrests: Sequence[Arrest] = ()) -> str:
    """The drawing as SVG text."""
    quantities = [quantity for quantity in NAMES if quantity in log.values and log.pairs(quantity)]
    high = BAND * len(quantities) + 30
    end = max(log.seconds[-1], 1e-9)
    parts: list[str] = []
    for number, quantity in enumerate(quantities):
        parts += _band(log, quantity, number * BAND, end, arrests if quantity == "T" else ())
    hours = end / 3600
    span = f"{hours:.3g} h" if hours >= 1 else f"{end / 60:.3g} min"
    parts.append(f'<text x="{WIDE - RIGHT:.0f}" y="{high - 8:.0f}" text-anchor="end" font-size="12">{span}</text>')
    parts.append(f'<text x="{LEFT:.0f}" y="{high - 8:.0f}" font-size="12">0</text>')
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDE:.0f} {high:.0f}" role="img" fill="currentColor">'
        f"{''.join(parts)}</svg>"
    )


def _band(log: Log, quantity: str, top: float, end: float, arrests: Sequence[Arrest]) -> list[str]:
    values = [value for _, value in log.pairs(quantity)]
    low, high = min(values), max(values)
    width = max(high - low, 1e-9)

    def x(seconds: float) -> float:
        return LEFT + (WIDE - LEFT - RIGHT) * seconds / end

    def y(value: float) -> float:
        return top + BAND - 18 - (BAND - 36) * (value - low) / width

    step = max(1, len(log.seconds) // MOST_POINTS)
    path, pen = [], "M"
    for seconds, value in zip(log.seconds[::step], log.of(quantity)[::step], strict=True):
        if value is None:
            pen = "M"
            continue
        path.append(f"{pen}{x(seconds):.1f} {y(value):.1f}")
        pen = "L"
    parts = [f'<path d="{"".join(path)}" fill="none" stroke="currentColor" stroke-width="1.5"/>']
    for value, at in ((high, y(high)), (low, y(low))):
        label = escape(f"{value:.4g} {NAMES[quantity]}")
        parts.append(f'<text x="{LEFT - 6:.0f}" y="{at + 4:.1f}" text-anchor="end" font-size="11">{label}</text>')
    for arrest in arrests:
        at = celsius(arrest.T_K)
        start, end_x, high_y = x(arrest.from_s), x(arrest.to_s), y(at)
        mark = f'<path d="M{start:.1f} {high_y:.1f}H{end_x:.1f}" stroke="currentColor" stroke-width="5"'
        parts.append(f'{mark} stroke-opacity=".4"/>')
        parts.append(f'<text x="{end_x + 4:.1f}" y="{high_y - 4:.1f}" font-size="11">{at:.0f}</text>')
    return parts
