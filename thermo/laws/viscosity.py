"""Viscosity of a melt and of liquid metals, mPa s.

Melts: thermo.laws.transport on data/viscosity.csv (logarithms added, measured pairs reproduced, the rest estimated and
said so). Measured melt viscosities scatter by 10 to 35 %, the pure salts here are mostly recalled: the band is wide.
Metals: the value at the melting point (Iida & Guthrie 1988, recalled), slightly high above it; it hardly matters for a
drop (thermo.answers.droplet).
Limits: clear melts, no sludge or foam; a metal only near its melting point, whatever the bath's temperature.
Worked value: NaCl at 1100 K: 0.0894 exp(2642 / 1100) = 0.987 mPa s.
"""

from thermo.laws.transport import Transport, TransportTable
from thermo.records.composition import Composition
from thermo.records.provenance import InputError, Origin, read_table
from thermo.records.remembered import remembered
from thermo.records.substances import metal

COMMON_SLOPE_K = 3000.0  # d ln(viscosity) / d(1/T) of chloride and fluoride melts: middle of the measured ones


@remembered
def viscosity_table() -> TransportTable:
    """All equations of data/viscosity.csv."""
    return TransportTable("viscosity.csv", "viscosity", COMMON_SLOPE_K)


def viscosity(composition: Composition, T_K: float) -> Transport:
    """Viscosity of a melt at T_K, mPa s, with its spread."""
    return viscosity_table().at(composition, T_K)


@remembered
def _metals() -> dict[str, dict[str, str]]:
    return {row["metal"]: row for row in read_table("viscosity_metals.csv")}


def metal_viscosity(symbol: str) -> Transport:
    """Viscosity of a liquid metal at its melting point, mPa s."""
    metal(symbol)
    if symbol not in _metals():
        raise InputError(f"viscosity of {symbol}: no row in data/viscosity_metals.csv")
    row = _metals()[symbol]
    caveats = (row["caveat"],) if row["caveat"] else ()
    sigma_rel, origin = float(row["sigma_pct"]) / 100, Origin(row["origin"])
    return Transport(float(row["viscosity_mPa_s"]), sigma_rel, origin, caveats, (row["source"],))
