"""What goes into a bath while it runs, and where it is weighed from.

A salt is fed where a third of the metal's salt would go or the bath would freeze; an oxide always. Oxide that the bath
holds from the start is charged with the salts where a law says how much (answers/fed_bath).
    bottle_g = g x (grams of the bottle a gram of its salt) / assay
Limits: salts that a double salt brings along stay in the bath, which grows. Worked value: 97.9 g of MgCl2 from
carnallite: 286 g of the bottle, which bring 76.7 g of KCl.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

from thermo.answers.drift import LITTLE_LEFT, Drift, consumed_salt
from thermo.answers.evidence.start_of_freezing import DissolvedOxide
from thermo.answers.plan.wish import PlanWish
from thermo.laws.faraday import salt_g_per_Ah
from thermo.laws.oxide_cell import oxide_reaction
from thermo.records.composition import Composition, formula_mass
from thermo.records.hydrates import hydrate_named

THIRD = 1 / 3  # share of the metal's salt that may go before feed is called for: common practice, no source


@dataclass(frozen=True)
class Feed:
    """What is fed in all, dry (g 0: nothing), its bottle and what that brings; start_g: oxide charged at the start."""

    substance: str
    g: float
    bottle: str = ""
    bottle_g: float = 0.0
    brings_g: Mapping[str, float] = field(default_factory=dict)
    start_g: float = 0.0

    @property
    def is_oxide(self) -> bool:
        """Whether an oxide is fed and not the salt that is used up."""
        return bool(self.substance) and not self.bottle


def feed_of(
    wish: PlanWish,
    melt: Composition,
    T_K: float,
    charge_Ah: float,
    efficiency: float,
    total_g: float,
    drift: Drift | None,
    dissolved: DissolvedOxide | None,
) -> Feed:
    """The feed of a run; nothing where the bath carries the run alone."""
    if wish.feed is not None:
        used = oxide_reaction(wish.feed, "CO2" if wish.anode == "carbon" else "O2", T_K).feed_g_per_Ah
        share = 0.0 if dissolved is None or dissolved.mass_percent is None else dissolved.mass_percent / 100
        return Feed(wish.feed, used * charge_Ah * efficiency, start_g=total_g * share / (1 - share))
    formula = consumed_salt(melt, wish.symbol)
    consumed = salt_g_per_Ah(formula) * charge_Ah * efficiency
    held = total_g * melt.mass_percent.get(formula, 0.0) / 100
    left = 100 * (held - consumed) / max(total_g - consumed, 1e-9)
    freezes = drift.freezes if drift is not None else None
    thawed = freezes is None or freezes.charge_Ah > charge_Ah
    if consumed < THIRD * held and left > LITTLE_LEFT and thawed:
        return Feed("", 0.0)
    return _from_bottle(wish, formula, consumed)


def _from_bottle(wish: PlanWish, formula: str, grams: float) -> Feed:
    """The salt from the bottle that was named for it, else from one that is labelled dry."""
    word = wish.bottles.get(formula)
    if word in (None, formula):
        return Feed(formula, grams, formula, grams / wish.assays.get(formula, 1.0))
    bottle = hydrate_named(str(word), formula)
    assay = wish.assays.get(formula, wish.assays.get(bottle.label, 1.0))
    moles = grams / (bottle.salts[formula] * formula_mass(formula))
    brings = {other: moles * n * formula_mass(other) for other, n in bottle.salts.items() if other != formula}
    return Feed(formula, grams, bottle.label, grams * bottle.grams_per_gram / assay, brings)
