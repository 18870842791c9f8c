"""Electrical conductance of a melt, S/cm, from measured equations (data/conductance.csv).

Method, spread and limits: thermo.laws.transport (logarithms added, measured pairs reproduced, the rest estimated and
said so). Pairs: Janz & Tomkins 1981 (NSRDS-NBS 61 Part IV), critically evaluated; most pure salts are recalled from
Janz 1968. Metal dissolved in the melt conducts as well (electrons): that part is not in these numbers.
Worked value: 68/32 mol% KCl-MgCl2 at 1000 K: 1.28 S/cm.
"""

from thermo.laws.transport import Transport, TransportTable
from thermo.records.composition import Composition
from thermo.records.remembered import remembered

COMMON_SLOPE_K = -1800.0  # d ln(conductance) / d(1/T) of chloride and fluoride melts: middle of the measured ones


@remembered
def conductance_table() -> TransportTable:
    """All equations of data/conductance.csv."""
    return TransportTable("conductance.csv", "conductance", COMMON_SLOPE_K)


def conductance(composition: Composition, T_K: float) -> Transport:
    """Conductance of a melt at T_K, S/cm, with its spread."""
    return conductance_table().at(composition, T_K)
