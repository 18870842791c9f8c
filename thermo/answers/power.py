"""Cell voltage, current from a supply, and heat: what the electrodes, the gap and the supply make of the bath.

    U = E + eta_anode + eta_cathode + I d b / (kappa A) + leads        A: mean of the two electrode areas, d: gap
    heat = I (U - eta E_tn),  E_tn = -dH / (z F) thermoneutral voltage, eta current efficiency
E from the order of deposition, kappa from thermo.laws.conductance. b = 1.1 to 1.5: gas bubbles in the gap.
Heat needed: radiation of the bath surface, epsilon sigma (T^4 - T_room^4), or under a lid a tenth to a fifth of it, and
the cold feed to bath temperature. Ranges of overvoltage, bubbles, leads and current density are common practice.
Limits: straight field between equal plates; a rod in a pot has less ohmic drop than this says.
Worked value: 0.5 A/cm2 over 4 cm of a 2.0 S/cm melt drops 1.0 V; 20 A at 6.0 V on MgCl2 at 1000 K make 58.2 W of heat.
"""

import math
from dataclasses import dataclass

from thermo.laws.conductance import conductance
from thermo.laws.elements import LOWEST_K
from thermo.laws.faraday import fraction, positive, salt_g_per_Ah
from thermo.laws.formation import thermoneutral_voltage
from thermo.laws.gibbs import fusion_enthalpy, solid_entropy, solid_gibbs
from thermo.laws.transport import Transport
from thermo.records.composition import Composition, formula_mass, halide_at_the_anode
from thermo.records.provenance import InputError
from thermo.records.units import STEFAN_BOLTZMANN

# All of these: common practice, no source.
ANODE_V = (0.1, 0.5)  # chlorine on graphite
CATHODE_V = (0.0, 0.2)
LEADS_V = (0.1, 0.5)
BUBBLES = (1.1, 1.5)
LID = (0.1, 0.2)
EMISSIVITY = 0.8
CURRENT_DENSITY = {  # metal, anion: cathode A/cm2, anode A/cm2
    ("Mg", "Cl"): ((0.2, 1.5), (0.3, 1.0)),
    ("Li", "Cl"): ((0.5, 2.0), (0.3, 1.0)),
    ("Na", "Cl"): ((0.5, 1.5), (0.5, 1.5)),
    ("Ca", "Cl"): ((30.0, 60.0), (2.0, 8.0)),
    ("La", "Cl"): ((1.0, 6.0), (0.3, 1.0)),
    ("Ce", "Cl"): ((1.0, 6.0), (0.3, 1.0)),
    ("Nd", "Cl"): ((1.0, 6.0), (0.3, 1.0)),
    ("Nd", "F"): ((5.0, 10.0), (0.5, 1.0)),
}
ANODE_EFFECT = {"Cl": (1.0, 10.0), "F": (0.1, 1.0)}  # A/cm2 where a gas film may form on carbon


@dataclass(frozen=True)
class Range:
    """Low, likely and high value of one thing."""

    low: float
    mid: float
    high: float


@dataclass(frozen=True)
class CellVoltage:
    """Parts of the cell voltage at a current, V."""

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


@dataclass(frozen=True)
class Geometry:
    """Electrodes as typed in: areas in cm2 (anode defaults to the cathode's), gap in cm."""

    cathode_cm2: float
    gap_cm: float
    anode_cm2: float | None = None

    def check(self) -> tuple[float, float, float]:
        """Areas of cathode and anode and the gap; InputError for a length or area that is not above zero."""
        cathode = positive(self.cathode_cm2, "cathode area", "cm2")
        gap = positive(self.gap_cm, "gap between the electrodes", "cm")
        anode = cathode if self.anode_cm2 is None else positive(self.anode_cm2, "anode area", "cm2")
        return cathode, anode, gap


def resistance_ohm(geometry: Geometry, kappa: Transport) -> Range:
    """Resistance of the gap: low without much gas and at the high side of the conductance, high the other way round."""
    cathode, anode, gap = geometry.check()
    area = (cathode + anode) / 2
    low_kappa, high_kappa = kappa.band
    middle = math.sqrt(BUBBLES[0] * BUBBLES[1])
    return Range(
        gap * BUBBLES[0] / (high_kappa * area),
        gap * middle / (kappa.value * area),
        gap * BUBBLES[1] / (low_kappa * area),
    )


def _middle(pair: tuple[float, float]) -> Range:
    return Range(pair[0], (pair[0] + pair[1]) / 2, pair[1])


def cell_voltage(
    composition: Composition, T_K: float, symbol: str, E_V: float, amps: float, geometry: Geometry
) -> CellVoltage:
    """Cell voltage at a current: E_V from the order of deposition, the rest from bath and ranges of practice."""
    positive(amps, "current", "A")
    cathode_cm2, anode_cm2, _ = geometry.check()
    kappa = conductance(composition, T_K)
    resistance = resistance_ohm(geometry, kappa)
    over = _middle((ANODE_V[0] + CATHODE_V[0], ANODE_V[1] + CATHODE_V[1]))
    leads = _middle(LEADS_V)
    ohmic = Range(*(amps * r for r in (resistance.low, resistance.mid, resistance.high)))
    parts = (over, ohmic, leads)
    total = Range(*(E_V + sum(getattr(p, side) for p in parts) for side in ("low", "mid", "high")))
    cathode, anode = amps / cathode_cm2, amps / anode_cm2
    notes = [*kappa.caveats, *density_guidance(symbol, halide_at_the_anode(composition), cathode, anode)]
    return CellVoltage(amps, E_V, over, ohmic, leads, total, cathode, anode, kappa, tuple(dict.fromkeys(notes)))


def density_guidance(symbol: str, anion: str, cathode: float, anode: float) -> list[str]:
    """Lines on the current densities, against ranges of common practice."""
    notes = []
    found = CURRENT_DENSITY.get((symbol, anion))
    if found:
        for name, value, (low, high) in (("cathode", cathode, found[0]), ("anode", anode, found[1])):
            side = "below" if value < low else "above" if value > high else "within"
            notes.append(f"{name} {value:.2g} A/cm2: {side} {low:g} to {high:g} A/cm2 (common practice)")
    else:
        notes.append(
            f"no usual current density known for {symbol} from {'chlorides' if anion == 'Cl' else 'fluorides'}"
        )
    if anode > ANODE_EFFECT[anion][0]:
        low, high = ANODE_EFFECT[anion]
        notes.append(
            f"anode effect (gas film, voltage jumps) is met somewhere from {low:g} to {high:g} A/cm2 (common practice)"
        )
    return notes


def current_from_supply(composition: Composition, T_K: float, E_V: float, volts: float, geometry: Geometry) -> Range:
    """Current a supply of `volts` drives, A. InputError where the supply cannot even take the salt apart."""
    positive(volts, "supply voltage", "V")
    resistance = resistance_ohm(geometry, conductance(composition, T_K))
    over = (ANODE_V[0] + CATHODE_V[0] + LEADS_V[0], ANODE_V[1] + CATHODE_V[1] + LEADS_V[1])
    if volts <= E_V + over[0]:
        raise InputError(
            f"supply {volts:g} V: the salt needs {E_V:.2f} V and overvoltages and leads {over[0]:g} V at the least; "
            f"allowed is above {E_V + over[0]:.2f} V"
        )
    middle = (over[0] + over[1]) / 2
    return Range(
        max(volts - E_V - over[1], 0.0) / resistance.high,
        max(volts - E_V - middle, 0.0) / resistance.mid,
        (volts - E_V - over[0]) / resistance.low,
    )


@dataclass(frozen=True)
class Heat:
    """Heat made in the cell against heat it needs, W; lid: radiation under a lid, low and high."""

    thermoneutral_V: float
    made_W: float
    feed_W: float
    open_W: float | None
    lid_W: tuple[float, float] | None
    verdict: str


def heat_made_W(formula: str, T_K: float, amps: float, volts: float, efficiency: float = 1.0) -> float:
    """Electrical power less what the metal and halogen that leave carry off as chemical energy, W."""
    kept = fraction(efficiency, "current efficiency") * thermoneutral_voltage(formula, T_K)
    return positive(amps, "current", "A") * (positive(volts, "cell voltage", "V") - kept)


def heating_J_g(formula: str, T_K: float) -> float:
    """Heat that takes a salt from 298.15 K crystal to liquid at T_K, J/g (reference of the Gibbs functions)."""
    crystal = solid_gibbs(formula, T_K) + T_K * solid_entropy(formula, T_K)
    return (crystal + fusion_enthalpy(formula, T_K)) / formula_mass(formula)


def radiation_W_cm2(T_K: float) -> float:
    """Radiation of an open melt surface to a room at 298.15 K, W/cm2."""
    return 1e-4 * EMISSIVITY * STEFAN_BOLTZMANN * (T_K**4 - LOWEST_K**4)


def heat_balance(
    formula: str, T_K: float, amps: float, volts: float, efficiency: float = 1.0, surface_cm2: float | None = None
) -> Heat:
    """Heat made and needed at a current and cell voltage; without surface_cm2 only the feed counts as need."""
    made = heat_made_W(formula, T_K, amps, volts, efficiency)
    feed = salt_g_per_Ah(formula) * efficiency * amps / 3600 * heating_J_g(formula, T_K)
    E_tn = thermoneutral_voltage(formula, T_K)
    if surface_cm2 is None:
        return Heat(E_tn, made, feed, None, None, "give the bath surface to compare heat made and lost")
    open_W = positive(surface_cm2, "bath surface", "cm2") * radiation_W_cm2(T_K)
    lid = (LID[0] * open_W, LID[1] * open_W)
    if made < feed + lid[0]:
        verdict = "the current does not keep the bath hot: it must be heated from outside"
    elif made > feed + open_W:
        verdict = "the current makes more heat than the open bath loses: it will climb"
    else:
        verdict = "the current can hold the bath with a lid chosen to suit"
    return Heat(E_tn, made, feed, open_W, lid, verdict)
