"""A bath that is fed an oxide: which reaction runs, what gas leaves, how much oxide goes in, what the bath takes up.

The halide's own decomposition is the limit: above it fluorine (CF4 on carbon) or chlorine joins the oxygen, which is
what happens when the feed runs out. Solubility of alumina in cryolite baths by the published equation, else from
data/oxide_solubility.csv, the row of a salt of the bath nearest in temperature; where none is published the answer says
so.
Limits: the oxide's activity is taken as 1 (saturated); unsaturated baths need some tens of millivolts more.
Worked value: Al2O3 at 960 deg C on carbon: 1.19 V, 0.634 g of oxide and 0.228 L of CO2 an ampere hour.
"""

from dataclasses import dataclass

from thermo.equilibrium.freezing.cryolite import alumina_saturation, alumina_value
from thermo.laws.faraday import ATM_PA, ROOM_K, gas_L
from thermo.laws.oxide_cell import OxideReaction, anode_reactions, oxide_named
from thermo.records.baths import bath_name
from thermo.records.cell_practice import OxideSolubility, oxide_solubilities
from thermo.records.composition import Composition
from thermo.records.provenance import InputError, RangeError
from thermo.records.substances import metal
from thermo.records.units import celsius

CRYOLITE_BATH = "this cryolite bath"


@dataclass(frozen=True)
class OxideFeed:
    """The reactions of one anode (the usual gas first), grams and litres of a charge, and the halide's own voltage."""

    reactions: tuple[OxideReaction, ...]
    anode: str
    charge_Ah: float
    feed_g: float
    carbon_g: tuple[float, float]
    halide_V: float
    solubility: OxideSolubility | None
    notes: tuple[str, ...]

    @property
    def main(self) -> OxideReaction:
        """The reaction whose gas is the usual one."""
        return self.reactions[0]

    def litres(self, reaction: OxideReaction, T_K: float = ROOM_K, p_Pa: float = ATM_PA) -> float:
        """Gas of the whole charge by one reaction, L."""
        return gas_L(self.charge_Ah, reaction.electrons_per_gas, T_K, p_Pa)

    @property
    def sources(self) -> tuple[str, ...]:
        """Keys of the sources, each once."""
        keys = [key for reaction in self.reactions for key in reaction.sources]
        return tuple(dict.fromkeys([*keys, *([self.solubility.source] if self.solubility else [])]))


def oxide_feed(
    melt: Composition, symbol: str, T_K: float, formula: str, anode: str, charge_Ah: float, halide_V: float, used: float
) -> OxideFeed:
    """The feed of a run; used: current efficiency. InputError for an oxide of another metal or an unknown anode."""
    oxide = oxide_named(formula)
    if oxide.metal != symbol:
        raise InputError(f"feed {formula}: it gives {oxide.metal}, not {symbol}; allowed is an oxide of {symbol}")
    reactions = anode_reactions(formula, T_K, anode)
    found = solubility_of(formula, melt, T_K)
    carbon = [charge_Ah * reaction.carbon_g_per_Ah for reaction in reactions]
    notes = [
        f"{reactions[0].equation}: {reactions[0].E_V:.2f} +- {reactions[0].sigma_V:.2f} V (pure oxide, 1 bar)",
        f"the bath's own halide comes at {halide_V:.2f} V, {halide_V - reactions[0].E_V:.2f} V later: when the oxide "
        "runs out the voltage jumps there (anode effect, CF4 or halogen)",
        _solubility_words(formula, found),
    ]
    return OxideFeed(
        reactions,
        anode,
        charge_Ah,
        charge_Ah * used * reactions[0].feed_g_per_Ah,
        (min(carbon), max(carbon)),
        halide_V,
        found,
        tuple(notes),
    )


def solubility_of(formula: str, melt: Composition, T_K: float) -> OxideSolubility | None:
    """The published solubility nearest in temperature among the salts of the melt; None where there is none."""
    named = bath_name(melt.present) if formula == "Al2O3" else None
    if named is not None:
        try:
            most, spread = alumina_saturation(named, T_K), alumina_value("solubility_error")
        except RangeError:  # additions that leave no cryolite
            return None
        return OxideSolubility(formula, CRYOLITE_BATH, T_K, (most - spread, most + spread), "skybakmoen1997")
    rows = [row for row in oxide_solubilities() if row.oxide == formula and row.salt in melt.present.salts]
    return min(rows, key=lambda row: abs(row.T_K - T_K), default=None)


def _solubility_words(formula: str, found: OxideSolubility | None) -> str:
    if found is None:
        return (
            f"how much {formula} this bath takes up: nothing published here; feed in small shots, stop when it settles"
        )
    low, high = found.mass_pct
    span = f"{low:.2g}" if low == high else f"{low:.2g} to {high:.2g}"
    bath = found.salt if found.salt == CRYOLITE_BATH else f"a bath of {found.salt}"
    return (
        f"{bath} takes up about {span} mass% {formula} (at {celsius(found.T_K):.0f} deg C): feed in "
        f"small shots, undissolved oxide sinks as sludge under the {metal(oxide_named(formula).metal).name}"
    )
