"""Cell voltage and the current from a supply: what the electrodes, the gap and the supply make of the bath.

    U = E + eta + I d b / (kappa A)            terminals; A: mean of the two electrode areas, d: gap, b: gas bubbles
    U = E + eta + I b / (4 kappa a)            a contact cathode: current spreads from a disc of radius a = sqrt(A/pi)
    supply = U + leads
E from the order of deposition, kappa from thermo.laws.conductance. eta (overvoltage of both electrodes) and b are read
from the published flat-plate cells of data/published_cells.csv: their middle is the cells', their ends hold them all.
Leads and current densities: common practice, no source.
Limits: straight field between equal plates; a rod in a pot has less ohmic drop than this says. Carbon anodes fed with
oxide have 0.4 to 0.6 V more overvoltage (common practice, no source), which is added.
Worked value: 0.48 A/cm2 over 3 cm of a 1.94 S/cm melt with E 2.807 V: about 3.72 V at the terminals (3.5 to 4.5).
"""

import math
from dataclasses import dataclass

from thermo.laws.conductance import conductance
from thermo.laws.faraday import positive
from thermo.laws.transport import Transport
from thermo.records.cell_practice import CATHODES
from thermo.records.composition import Composition, halide_at_the_anode
from thermo.records.provenance import InputError

OVER_V = (0.0, 0.1, 0.5)  # halogen on graphite and metal on the cathode: from the published flat-plate cells
BUBBLES = (1.0, 1.1, 1.4)  # the same
CARBON_OXIDE_V = (0.2, 0.45, 0.7)  # carbon oxides on carbon: common practice, no source
LEADS_V = (0.1, 0.3, 0.5)  # common practice, no source
CURRENT_DENSITY = {  # metal, anion, cathode: cathode A/cm2, anode A/cm2; common practice, no source (contact: print)
    ("Mg", "Cl", "rod"): ((0.2, 1.5), (0.3, 1.0)),
    ("Mg", "Cl", "pool"): ((0.2, 1.0), (0.3, 1.0)),
    ("Li", "Cl", "rod"): ((0.5, 2.0), (0.3, 1.0)),
    ("Na", "Cl", "rod"): ((0.5, 1.5), (0.5, 1.5)),
    ("Ca", "Cl", "contact"): ((30.0, 60.0), (2.0, 8.0)),
    ("Ca", "Cl", "pool"): ((0.2, 0.5), (0.3, 1.0)),
    ("Zn", "Cl", "rod"): ((0.3, 1.5), (0.3, 1.0)),
    ("Zn", "Cl", "pool"): ((0.3, 1.5), (0.3, 1.0)),
    ("La", "Cl", "rod"): ((1.0, 6.0), (0.3, 1.0)),
    ("Ce", "Cl", "rod"): ((1.0, 6.0), (0.3, 1.0)),
    ("Nd", "Cl", "rod"): ((1.0, 6.0), (0.3, 1.0)),
    ("Nd", "F", "rod"): ((3.0, 10.0), (0.5, 1.0)),
    ("Al", "F", "pool"): ((0.5, 1.0), (0.5, 1.0)),
}
ANODE_EFFECT = {"Cl": (1.0, 10.0), "F": (0.1, 1.0)}  # A/cm2 where a gas film may form on carbon


@dataclass(frozen=True)
class Range:
    """Low, likely and high value of one thing."""

    low: float
    mid: float
    high: float

    def plus(self, other: "Range | float") -> "Range":
        """Each value with another range's, or one number, added."""
        if isinstance(other, Range):
            return Range(self.low + other.low, self.mid + other.mid, self.high + other.high)
        return Range(self.low + other, self.mid + other, self.high + other)

    def times(self, factor: float) -> "Range":
        """Each value times a positive factor."""
        return Range(self.low * factor, self.mid * factor, self.high * factor)


@dataclass(frozen=True)
class CellVoltage:
    """Parts of the cell voltage at a current, V. total_V is at the terminals, supply_V with the leads."""

    amps: float
    decomposition_V: float
    overvoltage_V: Range
    ohmic_V: Range
    leads_V: Range
    total_V: Range
    cathode_A_cm2: float
    anode_A_cm2: float
    conductance: Transport
    notes: tuple[str, ...]

    @property
    def supply_V(self) -> Range:
        """What the supply must give: terminals and leads."""
        return self.total_V.plus(self.leads_V)


@dataclass(frozen=True)
class Geometry:
    """Electrodes as typed in: areas in cm2 (anode defaults to the cathode's), gap in cm, kind of the cathode."""

    cathode_cm2: float
    gap_cm: float
    anode_cm2: float | None = None
    cathode: str = "rod"

    def check(self) -> "Geometry":
        """Itself with the anode filled in; InputError for a length or area that is not above zero."""
        cathode = positive(self.cathode_cm2, "cathode area", "cm2")
        gap = positive(self.gap_cm, "gap between the electrodes", "cm")
        check_cathode(self.cathode)
        return Geometry(cathode, gap, positive(self.anode_area_cm2, "anode area", "cm2"), self.cathode)

    @property
    def anode_area_cm2(self) -> float:
        """The anode's area; the cathode's where none was typed."""
        return self.cathode_cm2 if self.anode_cm2 is None else self.anode_cm2


def check_cathode(kind: str) -> None:
    """InputError for a kind of cathode that is not in the list."""
    if kind not in CATHODES:
        raise InputError(f"cathode {kind!r}: allowed are {', '.join(CATHODES)}")


def resistance_ohm(geometry: Geometry, kappa: Transport) -> Range:
    """Resistance of the bath: low without gas and at the high side of the conductance, high the other way round."""
    shape = geometry.check()
    low_kappa, high_kappa = kappa.band
    if shape.cathode == "contact":
        length = 1 / (4 * math.sqrt(shape.cathode_cm2 / math.pi))
    else:
        length = shape.gap_cm / ((shape.cathode_cm2 + shape.anode_area_cm2) / 2)
    return Range(
        length * BUBBLES[0] / high_kappa,
        length * BUBBLES[1] / kappa.value,
        length * BUBBLES[2] / low_kappa,
    )


def overvoltage_V(oxide_fed: bool = False) -> Range:
    """Overvoltage of both electrodes; more where carbon burns at the anode."""
    over = Range(*OVER_V)
    return over.plus(Range(*CARBON_OXIDE_V)) if oxide_fed else over


def cell_voltage(
    composition: Composition,
    T_K: float,
    symbol: str,
    E_V: float,
    amps: float,
    geometry: Geometry,
    oxide_fed: bool = False,
) -> CellVoltage:
    """Cell voltage at a current: E_V from the order of deposition, the rest from the bath and from published cells."""
    positive(amps, "current", "A")
    shape = geometry.check()
    kappa = conductance(composition, T_K)
    ohmic = resistance_ohm(shape, kappa).times(amps)
    over = overvoltage_V(oxide_fed)
    cathode, anode = amps / shape.cathode_cm2, amps / shape.anode_area_cm2
    anion = halide_at_the_anode(composition)
    notes = [*kappa.caveats, *density_guidance(symbol, anion, cathode, anode, shape.cathode)]
    total = over.plus(ohmic).plus(E_V)
    return CellVoltage(
        amps, E_V, over, ohmic, Range(*LEADS_V), total, cathode, anode, kappa, tuple(dict.fromkeys(notes))
    )


def density_guidance(symbol: str, anion: str, cathode: float, anode: float, kind: str = "rod") -> list[str]:
    """Lines on the current densities, against ranges of common practice for this kind of cathode."""
    notes = []
    found = CURRENT_DENSITY.get((symbol, anion, kind))
    if found:
        for name, value, (low, high) in (("cathode", cathode, found[0]), ("anode", anode, found[1])):
            side = "below" if value < low else "above" if value > high else "within"
            notes.append(f"{name} {value:.2g} A/cm2: {side} {low:g} to {high:g} A/cm2 (common practice)")
    else:
        from_what = "chlorides" if anion == "Cl" else "fluorides"
        notes.append(f"no usual current density known for {symbol} from {from_what} on a {kind} cathode")
    if anode > ANODE_EFFECT[anion][0]:
        low, high = ANODE_EFFECT[anion]
        notes.append(
            f"anode effect (gas film, voltage jumps) is met somewhere from {low:g} to {high:g} A/cm2 (common practice)"
        )
    return notes


def current_from_supply(
    composition: Composition,
    T_K: float,
    E_V: float,
    volts: float,
    geometry: Geometry,
    most_A: float | None = None,
    oxide_fed: bool = False,
) -> Range:
    """Current a supply of `volts` and at most `most_A` drives, A. InputError where it cannot take the salt apart."""
    positive(volts, "supply voltage", "V")
    most = math.inf if most_A is None else positive(most_A, "supply current", "A")
    resistance = resistance_ohm(geometry, conductance(composition, T_K))
    lost = overvoltage_V(oxide_fed).plus(Range(*LEADS_V))
    if volts <= E_V + lost.low:
        raise InputError(
            f"supply {volts:g} V: the salt needs {E_V:.2f} V and overvoltages and leads {lost.low:g} V at the least; "
            f"allowed is above {E_V + lost.low:.2f} V"
        )
    return Range(
        min(max(volts - E_V - lost.high, 0.0) / resistance.high, most),
        min(max(volts - E_V - lost.mid, 0.0) / resistance.mid, most),
        min((volts - E_V - lost.low) / resistance.low, most),
    )
