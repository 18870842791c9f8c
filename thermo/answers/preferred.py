"""The part of a possible window in which the trade runs the cell.

Where data/practice_bands.csv has a band for the metal, the anion and the state of the deposit, that band as far as the
window goes; else the window up to the temperature at which the metal's vapour reaches 0.1 atm (common practice, no
source). Where the two do not meet, or the practice of the trade lies below the window, its lower end and at most 50 K
(20 K where the trade is colder) above it.
Limits: advice; the window says what is possible. Worked value: liquid magnesium from chlorides: 690 to 750 deg C.
"""

from dataclasses import dataclass

from thermo.laws.volatility import metal_pressure, temperature_at_pressure
from thermo.records.provenance import read_table
from thermo.records.remembered import remembered
from thermo.records.substances import metal
from thermo.records.units import ZERO_C

METAL_VAPOUR_PA = 10132.5  # 0.1 atm: common practice, no source
NEAR_LOW_K = 50.0  # common practice, no source
AS_COLD_K = 20.0  # above the lower end where the trade runs colder still: a judgement


@dataclass(frozen=True)
class Preferred:
    """Where to run inside the window: ends in K, why, and whose practice."""

    low_K: float
    high_K: float
    reason: str
    source: str


@remembered
def _bands() -> dict[tuple[str, str, str], tuple[float, float, str]]:
    rows = read_table("practice_bands.csv")
    return {
        (row["metal"], row["anion"], row["deposit"]): (
            float(row["low_C"]) + ZERO_C,
            float(row["high_C"]) + ZERO_C,
            row["source"],
        )
        for row in rows
    }


@remembered
def vapour_limit_K(symbol: str) -> float:
    """Temperature at which the metal's own vapour reaches 0.1 atm, K."""
    return temperature_at_pressure(lambda T_K: metal_pressure(symbol, T_K), METAL_VAPOUR_PA)


def preferred(symbol: str, anion: str, deposit: str | None, low_K: float, high_K: float) -> Preferred:
    """The preferred band inside a window low_K to high_K; deposit None: liquid where a band of practice fits, then
    solid.
    """
    for state in ("liquid", "solid") if deposit is None else (deposit,):
        found = _bands().get((symbol, anion, state))
        if found is not None:
            low, high = max(low_K, found[0]), min(high_K, found[1])
            if low < high:
                return Preferred(low, high, f"practice for {state} {metal(symbol).name}", found[2])
            if found[1] <= low_K:
                reason = f"as cold as it goes: the practice for {state} {metal(symbol).name} is colder"
                return Preferred(low_K, min(high_K, low_K + AS_COLD_K), reason, found[2])
    vapour_K = vapour_limit_K(symbol)
    if low_K < vapour_K < high_K:
        return Preferred(low_K, vapour_K, f"{metal(symbol).name} vapour below 0.1 atm", "practice")
    if vapour_K <= low_K:
        return Preferred(
            low_K, min(high_K, low_K + NEAR_LOW_K), "near the lower end: the metal's vapour is high", "practice"
        )
    return Preferred(low_K, high_K, "anywhere in the window", "practice")
