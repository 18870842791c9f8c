"""Density of the metals, solid and liquid, against temperature.

rho_liquid = a - b T; rho_solid from a line (Mg) or from rho298 and the mean linear expansion; g/cm3, K. The state is
chosen by the melting point at 1 atm. Source: data/density/metals.csv, one chosen row a metal and phase.
Limits: pure metal; dissolved salt, alloying and gas bubbles move it. Known slips of handbook tables (strontium printed
with the density of tin, the slope of lithium five times too steep) are not used.
Worked value: liquid magnesium at 973.15 K is 1.83 - 0.00026 * 973.15 = 1.577 g/cm3.
"""

from types import MappingProxyType

from thermo.laws.density_line import Density, DensityLine, density_line
from thermo.records.provenance import InputError, RangeError, read_table
from thermo.records.remembered import remembered
from thermo.records.substances import metal


@remembered
def _lines() -> MappingProxyType:
    rows = [row for row in read_table("density/metals.csv") if row["chosen"] == "yes"]
    return MappingProxyType(
        {(row["metal"], row["phase"]): density_line(row, f"{row['phase']} {row['metal']}") for row in rows}
    )


def metal_line(symbol: str, phase: str) -> DensityLine:
    """The chosen density line of a metal in one phase ('solid' or 'liquid'); InputError where there is none."""
    if (symbol, phase) not in _lines():
        raise InputError(
            f"density of {phase} {symbol}: no row; allowed are {', '.join(sorted({s for s, _ in _lines()}))}"
        )
    return _lines()[(symbol, phase)]


def metal_density(symbol: str, T_K: float) -> Density:
    """Density of the metal at T_K in the state it has there; RangeError above its boiling point."""
    element = metal(symbol)
    state = element.state(T_K)
    if state == "vapour":
        raise RangeError(f"{element.name} at {T_K:.0f} K is a vapour (boils at {element.boiling_point_K:.0f} K)")
    return metal_line(symbol, state).at(T_K)
