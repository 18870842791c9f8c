"""Hydrolysis of a hot salt: the equilibrium pressure of hydrogen halide, and so the cover gas that prevents it.

    MX_z + w H2O -> product + n HX      K(T) = exp(-dG/(R T)) = p(HX)^n / (a p(H2O)^w)     p in bar
    p(HX) = (a K p(H2O)^w)^(1/n)        p(HX)^2/p(H2O) = K^(2/n) for every oxide of the pure salt (n = 2 w)
a is the activity of the salt (1 pure; its mole fraction, as a first guess, in a melt); products pure. Below p(HX) the
salt hydrolyses to oxide, hydroxide or oxychloride; above it, it does not. dG from thermo.laws.reactants.
Two classes, a judgement: `hydrolyses` where over 1 bar of steam more than one HX leaves per thousand H2O at 300 deg C
(no oven dries it), `hot only` where that happens at 700 deg C. By 300 deg C the last water of the usual salts is gone.
Limits: equilibrium, so an upper bound on damage; nothing on rates; hydrates counted as salt and steam. No numbers for
RbCl, RbF and the rare-earth fluorides.
Worked value: MgCl2 to MgO at 500 deg C: p(HX)^2/p(H2O) 0.426 bar; over 0.01 bar of steam 0.065 bar of HCl stops it.
"""

from dataclasses import dataclass

import numpy as np

from thermo.laws.reactants import reaction_gibbs, reaction_sigma, species_sources
from thermo.records.provenance import InputError, read_table, suggest
from thermo.records.remembered import remembered
from thermo.records.substances import salts
from thermo.records.units import R

DRYING_K = 573.15  # 300 deg C
MELT_K = 973.15  # 700 deg C
NOTICEABLE = 1e-3  # HX per H2O over 1 bar of steam: a judgement, see the docstring


@dataclass(frozen=True)
class Hydrolysis:
    """One reaction of a salt with steam, counted per mole of salt; kind: oxide, hydroxide, oxychloride, ..."""

    salt: str
    water: float
    product: str
    product_count: float
    gas: str
    gas_count: float
    kind: str
    note: str

    @property
    def counts(self) -> dict[str, float]:
        """Formula -> count, products positive."""
        return {self.salt: -1, "H2O": -self.water, self.product: self.product_count, self.gas: self.gas_count}

    @property
    def equation(self) -> str:
        """The reaction in words of chemistry, as MgCl2 + H2O -> MgO + 2 HCl."""
        terms = ((self.water, "H2O"), (self.product_count, self.product), (self.gas_count, self.gas))
        water, product, gas = (formula if count == 1 else f"{count:g} {formula}" for count, formula in terms)
        return f"{self.salt} + {water} -> {product} + {gas}"

    @property
    def sources(self) -> tuple[str, ...]:
        """Source keys of all its species."""
        return tuple(dict.fromkeys(key for formula in self.counts for key in species_sources(formula)))


@remembered
def hydrolyses() -> dict[str, tuple[Hydrolysis, ...]]:
    """Every reaction by salt, in file order."""
    found: dict[str, list[Hydrolysis]] = {}
    for row in read_table("hydrolysis.csv"):
        numbers = (float(row["water"]), row["product"], float(row["product_count"]))
        reaction = Hydrolysis(row["salt"], *numbers, row["gas"], float(row["gas_count"]), row["kind"], row["caveat"])
        found.setdefault(reaction.salt, []).append(reaction)
    return {formula: tuple(reactions) for formula, reactions in found.items()}


def reactions_of(formula: str) -> tuple[Hydrolysis, ...]:
    """The reactions of one salt, () where none has numbers; InputError for an unknown salt."""
    if formula in hydrolyses():
        return hydrolyses()[formula]
    if formula in salts():
        return ()
    raise InputError(f"salt {formula!r} is not in the list{suggest(formula, [*salts(), *hydrolyses()])}")


def equilibrium_constant(reaction: Hydrolysis, T_K):
    """K at T_K (float or array), pressures in bar."""
    return np.exp(-reaction_gibbs(reaction.counts, T_K) / (R * np.asarray(T_K, dtype=float)))


def halide_cover_bar(reaction: Hydrolysis, T_K, water_bar: float = 1.0, activity: float = 1.0):
    """Pressure of HX in balance with salt, product and steam, bar: less lets the reaction run, more stops it."""
    _positive(water_bar, activity)
    driven = activity * equilibrium_constant(reaction, T_K) * water_bar**reaction.water
    return driven ** (1 / reaction.gas_count)


def cover_sigma(reaction: Hydrolysis, T_K: float) -> float:
    """Relative standard deviation of halide_cover_bar, from the Gibbs energies (0.3 means a factor exp(0.3))."""
    return reaction_sigma(reaction.counts) / (reaction.gas_count * R * T_K)


def _positive(water_bar: float, activity: float) -> None:
    if not (0 < water_bar <= 100):
        raise InputError(f"pressure of steam {water_bar:g} bar: allowed is more than 0, up to 100")
    if not (0 < activity <= 1):
        raise InputError(f"activity of the salt {activity:g}: allowed is more than 0, up to 1")


def worst(formula: str, T_K: float, water_bar: float = 1.0, activity: float = 1.0) -> Hydrolysis | None:
    """The reaction that asks for the most HX at T_K; None where the salt has no numbers."""
    reactions = reactions_of(formula)
    if not reactions:
        return None
    return max(reactions, key=lambda reaction: float(halide_cover_bar(reaction, T_K, water_bar, activity)))


def oxide_route(formula: str) -> Hydrolysis | None:
    """The reaction to the oxide or oxychloride, the sludge a melt keeps; the hydroxide where there is no other."""
    reactions = reactions_of(formula)
    sludge = [reaction for reaction in reactions if reaction.kind in ("oxide", "oxychloride")]
    return next(iter([*sludge, *reactions]), None)


def halide_share(formula: str, T_K: float) -> float | None:
    """HX that leaves per H2O over 1 bar of steam at T_K (equilibrium, worst reaction); None without numbers."""
    reaction = worst(formula, T_K)
    return None if reaction is None else float(halide_cover_bar(reaction, T_K))


def hydrolysis_class(formula: str) -> str:
    """hydrolyses, hot only, no or unknown (no numbers), by the shares at 300 and 700 deg C."""
    cold, hot = halide_share(formula, DRYING_K), halide_share(formula, MELT_K)
    if cold is None or hot is None:
        return "unknown"
    if cold > NOTICEABLE:
        return "hydrolyses"
    return "hot only" if hot > NOTICEABLE else "no"
