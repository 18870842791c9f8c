"""A metal taken up by another one at the cathode: how much lower the voltage is.

    E(into the host) = E(pure metal) + (R T / z F) ln a(M),     ln a = ln gamma + ln x
data/alloy_cathodes.csv holds measured emf against the pure metal (points of x, or a span where it is constant) or
log10 gamma = A + B/T of the dilute metal; of several rows that hold the nearest in temperature. Between two points the
emf is taken straight in ln x.
Limits: within 100 K and inside the compositions of the rows; elsewhere, and for hosts without rows, nothing is known
and the answer says so instead of guessing; where something was measured but not read (kind `unread`) it names that.
Worked value: neodymium at x = 0.01 in aluminium, 750 deg C: 0.60 V lower.
"""

import math
from dataclasses import dataclass
from itertools import pairwise

from thermo.records.provenance import number, read_table, sources
from thermo.records.remembered import remembered
from thermo.records.substances import metal
from thermo.records.units import ZERO_C, F, R, celsius

REACH_K = 100.0
UNREAD = "unread"
BETWEEN_V = 0.05  # spread of an interpolation between two far points: a judgement


@dataclass(frozen=True)
class AlloyRow:
    """One row of data/alloy_cathodes.csv; temperatures in K, value in V (None for log gamma)."""

    metal: str
    host: str
    kind: str
    x: float
    x_high: float
    low_K: float
    high_K: float
    A: float
    B_K: float
    value_V: float | None
    sigma_V: float
    source: str
    caveat: str

    def off_K(self, T_K: float) -> float:
        """How far T_K lies outside the span of the row, K."""
        return max(self.low_K - T_K, T_K - self.high_K, 0.0)


@dataclass(frozen=True)
class AlloyShift:
    """Volts by which a host lowers the voltage at mole fraction x; value_V None where nothing is published."""

    metal: str
    host: str
    x: float
    T_K: float
    value_V: float | None
    sigma_V: float
    text: str
    sources: tuple[str, ...]


@remembered
def alloy_rows() -> tuple[AlloyRow, ...]:
    """Every row, in file order."""
    found = []
    for row in read_table("alloy_cathodes.csv"):
        x = float(row["x"])
        found.append(
            AlloyRow(
                metal=row["metal"],
                host=row["host"],
                kind=row["kind"],
                x=x,
                x_high=x if number(row["x_high"]) is None else float(row["x_high"]),
                low_K=float(row["T_low_C"]) + ZERO_C,
                high_K=float(row["T_high_C"]) + ZERO_C,
                A=number(row["A"]) or 0.0,
                B_K=number(row["B_K"]) or 0.0,
                value_V=number(row["value_V"]),
                sigma_V=float(row["sigma_V"]),
                source=row["source"],
                caveat=row["caveat"],
            )
        )
    return tuple(found)


def alloy_shift(symbol: str, host: str, x: float, T_K: float) -> AlloyShift:
    """How far the host lowers the voltage of a metal at mole fraction x of it in the alloy."""
    metal(symbol)
    own = [row for row in alloy_rows() if (row.metal, row.host) == (symbol, host)]
    rows = [row for row in own if row.kind != UNREAD]
    near = sorted((row for row in rows if row.off_K(T_K) <= REACH_K), key=lambda row: row.off_K(T_K))

    def unknown(why: str) -> AlloyShift:
        text = f"activity of {symbol} in {host}: {why}; the voltage is at most that of the pure metal"
        return AlloyShift(symbol, host, x, T_K, None, 0.0, text, ())

    if own and not rows:
        where = "; ".join(f"{sources()[row.source].short}, {sources()[row.source].title}" for row in own)
        return unknown(f"measured ({where}), but its numbers are not in these tables")
    if not rows:
        return unknown("nothing published here")
    if not near:
        spans = ", ".join(f"{celsius(row.low_K):.0f} to {celsius(row.high_K):.0f}" for row in rows)
        return unknown(f"measured at {spans} deg C only")
    found = _value(near, symbol, x, T_K)
    if found is None:
        spans = ", ".join(f"{row.x:g}" if row.x == row.x_high else f"{row.x:g} to {row.x_high:g}" for row in near)
        return unknown(f"measured at mole fractions {spans} only")
    value, sigma = found
    text = f"{symbol} in {host} at mole fraction {x:.3g}: {value:.2f} +- {sigma:.2f} V less than to the pure metal"
    keys = tuple(dict.fromkeys(row.source for row in near))
    return AlloyShift(symbol, host, x, T_K, value, sigma, text, keys)


def _value(rows: list[AlloyRow], symbol: str, x: float, T_K: float) -> tuple[float, float] | None:
    for row in rows:
        if row.kind == "log gamma" and row.x < x <= row.x_high:
            ln_a = math.log(10) * (row.A + row.B_K / T_K) + math.log(x)
            return -R * T_K / (metal(symbol).valence * F) * ln_a, row.sigma_V
        if row.kind == "emf" and row.value_V is not None and row.x <= x <= row.x_high:
            return row.value_V, row.sigma_V
    points = sorted((row for row in rows if row.kind == "emf" and row.value_V is not None), key=lambda row: row.x)
    for low, high in pairwise(points):
        if low.x_high <= x <= high.x and low.value_V is not None and high.value_V is not None:
            share = math.log(x / low.x_high) / math.log(high.x / low.x_high)
            value = low.value_V + share * (high.value_V - low.value_V)
            return value, math.hypot(max(low.sigma_V, high.sigma_V), BETWEEN_V)
    return None
