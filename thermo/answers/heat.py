"""Heat of a cell: made by the current, lost by the bath, needed to melt the charge and to hold it.

    made = I (U - eta E_tn),  E_tn = -dH / (z F) thermoneutral voltage, eta current efficiency
    a bath fed with oxide: E_tn and the warming of the feed are those of the oxide and the carbon (laws/oxide_cell)
    lost = epsilon sigma (T^4 - T_room^4) of the open surface, or under a lid a tenth to a fifth of it
    to melt = sum m_i (H_i(liquid, T) - H_i(crystal, 298.15 K)),  minutes = that / furnace watts that reach the pot
Share of the furnace's watts that reaches the charge, lid, emissivity: common practice, no source.
Limits: heat of mixing, the pot's own heat and what the furnace's lining takes up are not in it (the pot is told apart).
Worked value: 20 A at 6.0 V on MgCl2 at 1000 K make 58.2 W of heat; 1 g of NaCl to 1073.8 K takes 1.247 kJ; aluminium
from alumina on carbon at 960 deg C takes 6.34 kWh/kg with its feed.
"""

from dataclasses import dataclass

from thermo.laws.elements import LOWEST_K
from thermo.laws.faraday import fraction, positive, salt_g_per_Ah
from thermo.laws.formation import thermoneutral_voltage
from thermo.laws.gibbs import fusion_enthalpy, solid_entropy, solid_gibbs
from thermo.laws.oxide_cell import OxideReaction
from thermo.records.composition import Composition, formula_mass
from thermo.records.units import STEFAN_BOLTZMANN

LID = (0.1, 0.2)
EMISSIVITY = 0.8
REACHES = (0.3, 0.7)  # share of a furnace's watts that goes into the charge


@dataclass(frozen=True)
class Heat:
    """Heat made in the cell against heat it needs, W; lid: radiation under a lid, low and high."""

    thermoneutral_V: float
    made_W: float
    feed_W: float
    open_W: float | None
    lid_W: tuple[float, float] | None
    verdict: str


@dataclass(frozen=True)
class MeltingHeat:
    """Heat that melts a charge, J; minutes at a furnace's watts (quick, slow), None without them."""

    J: float
    minutes: tuple[float, float] | None


def heat_made_W(formula: str, T_K: float, amps: float, volts: float, efficiency: float = 1.0) -> float:
    """Electrical power less what the metal and halogen that leave carry off as chemical energy, W."""
    kept = fraction(efficiency, "current efficiency") * thermoneutral_voltage(formula, T_K)
    return positive(amps, "current", "A") * (positive(volts, "cell voltage", "V") - kept)


def heating_J_g(formula: str, T_K: float) -> float:
    """Heat that takes a salt from 298.15 K crystal to liquid at T_K, J/g (reference of the Gibbs functions)."""
    crystal = solid_gibbs(formula, T_K) + T_K * solid_entropy(formula, T_K)
    return (crystal + fusion_enthalpy(formula, T_K)) / formula_mass(formula)


def melting_heat(composition: Composition, grams: float, T_K: float, furnace_W: float | None = None) -> MeltingHeat:
    """Heat from cold salts to the melt at T_K; InputError for a mass or a power that is not above zero."""
    melt, mass = composition.present, positive(grams, "mass of the charge", "g")
    joule = sum(mass * pct / 100 * heating_J_g(formula, T_K) for formula, pct in melt.mass_percent.items())
    if furnace_W is None:
        return MeltingHeat(joule, None)
    watts = positive(furnace_W, "furnace power", "W")
    return MeltingHeat(joule, (joule / (REACHES[1] * watts) / 60, joule / (REACHES[0] * watts) / 60))


def radiation_W_cm2(T_K: float) -> float:
    """Radiation of an open melt surface to a room at 298.15 K, W/cm2."""
    return 1e-4 * EMISSIVITY * STEFAN_BOLTZMANN * (T_K**4 - LOWEST_K**4)


def heat_balance(
    formula: str, T_K: float, amps: float, volts: float, efficiency: float = 1.0, surface_cm2: float | None = None
) -> Heat:
    """Heat made and needed at a current and cell voltage; without surface_cm2 only the feed counts as need."""
    made = heat_made_W(formula, T_K, amps, volts, efficiency)
    feed = salt_g_per_Ah(formula) * efficiency * amps / 3600 * heating_J_g(formula, T_K)
    return _balance(thermoneutral_voltage(formula, T_K), made, feed, T_K, surface_cm2)


def oxide_heat_balance(
    reaction: OxideReaction, amps: float, volts: float, efficiency: float = 1.0, surface_cm2: float | None = None
) -> Heat:
    """The same of a bath that is fed an oxide, by one reaction at its temperature."""
    eta = fraction(efficiency, "current efficiency")
    current = positive(amps, "current", "A")
    made = current * (positive(volts, "cell voltage", "V") - eta * reaction.thermoneutral_V)
    feed = reaction.warming_J_per_Ah * eta * current / 3600
    return _balance(reaction.thermoneutral_V, made, feed, reaction.T_K, surface_cm2)


def _balance(E_tn: float, made: float, feed: float, T_K: float, surface_cm2: float | None) -> Heat:
    """The record and its verdict from heat made and heat that the feed takes, W."""
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
