"""What do I weigh out, from the bottles I have, and what will the water do?

Anhydrous grams m_i = total x_i M_i / sum(x M). A bottle that holds one salt with n H2O needs m_i (M_i + n M_w) / M_i,
divided by its assay: the mass fraction of the bottle that is what its label names (the hydrate where one is named).
The rest of a bottle labelled anhydrous is counted as water for salts that form hydrates (`CaCl2=0.77` is the wet flake
of the trade), as matter that stays for all others and for named hydrates. Carnallite (KMgCl3.6H2O) brings two salts;
its KCl is taken off what the KCl bottle gives. Balance: bottles = anhydrous salts + water + driven off + other.
Water left in the melt is electrolysed first: 2 F per mole, 2.975 A h and 1.36 L of hydrogen (25 deg C, 1 atm) a gram.
Limits: hydrates of data/hydrates.csv; nothing lost to hydrolysis unless asked (`sludge`).
Worked value: 300 g of 42/58 mass% NaCl-CaCl2: 126.00 g NaCl and 230.49 g CaCl2.2H2O, 56.49 g of water to drive off.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from thermo.answers.cautions import cautions
from thermo.answers.drying import drying_lines
from thermo.answers.evidence.start_of_freezing import start_of_freezing
from thermo.laws.hydrolysis import oxide_route
from thermo.records.composition import Composition, formula_mass, from_amounts
from thermo.records.hydrates import Hydrate, hydrate_named, hydrates
from thermo.records.practice_steps import rows_of
from thermo.records.provenance import InputError
from thermo.records.remembered import remembered
from thermo.records.units import F

WATER_AH_G = 2 * F / (3600 * formula_mass("H2O"))  # charge to electrolyse one gram of water
MOST_G = 1e9  # a thousand tonnes: above this a total is a slip


@dataclass(frozen=True)
class Weighing:
    """What to weigh: weigh_g by bottle label, anhydrous_g by salt; driven_g is what leaves beside water (NH4Cl).

    reagents_g: what the cure asks for on top (not part of the balance). other_g: impurity that stays in the pot.
    """

    composition: Composition
    total_g: float
    weigh_g: Mapping[str, float]
    anhydrous_g: Mapping[str, float]
    water_g: float
    driven_g: Mapping[str, float]
    other_g: float
    reagents_g: Mapping[str, float]
    cautions: tuple[str, ...]
    notes: tuple[str, ...]
    sources: tuple[str, ...]

    @property
    def water_charge_Ah(self) -> float:
        """Charge that all this water would take if it reached the cell, A h."""
        return self.water_g * WATER_AH_G


@dataclass(frozen=True)
class WeighedAsDry:
    """The melt that results when the hydrates are weighed as though they were dry, and what that does."""

    composition: Composition
    liquidus_T_K: float
    intended_liquidus_T_K: float


@dataclass(frozen=True)
class _Bottle:
    """Where a salt comes from: label, hydrate (None: anhydrous), assay, whether the rest is water."""

    label: str
    hydrate: Hydrate | None
    assay: float
    rest_is_water: bool


@dataclass
class _Tally:
    """Running sums of a weigh-out: grams from each bottle by salt, and what else the bottles hold."""

    weigh_g: dict[str, float]
    driven_g: dict[str, float]
    water_g: float = 0.0
    other_g: float = 0.0


@remembered
def _hydrated_salts() -> frozenset[str]:
    return frozenset(hydrate.salt for hydrate in hydrates().values())


def weigh_out(
    composition: Composition,
    total_g: float,
    bottles: Mapping[str, str] | None = None,
    assays: Mapping[str, float] | None = None,
) -> Weighing:
    """Grams from each bottle for `total_g` of dry melt.

    bottles: salt -> hydrate, as {"MgCl2": "MgCl2.6H2O"}; assays: salt or bottle label -> mass fraction. InputError for
    a total that is not positive, a bottle or an assay for a salt not in the mix, a hydrate unknown or of another salt.
    """
    if not (math.isfinite(total_g) and 0 < total_g <= MOST_G):
        raise InputError(f"total {total_g:g} g: allowed is more than 0, up to {MOST_G:g}")
    melt = composition.present
    held = _bottles(melt, bottles or {}, assays or {})
    anhydrous = {formula: total_g * percent / 100 for formula, percent in melt.mass_percent.items()}
    tally = _fill(melt, held, anhydrous)
    reagents = _reagents(melt, held, anhydrous)
    lines, keys = drying_lines(melt, {formula: bottle.hydrate for formula, bottle in held.items()})
    return Weighing(
        composition=melt,
        total_g=total_g,
        weigh_g={held[formula].label: tally.weigh_g[formula] for formula in melt.salts},
        anhydrous_g=anhydrous,
        water_g=tally.water_g,
        driven_g=tally.driven_g,
        other_g=tally.other_g,
        reagents_g=reagents,
        cautions=(*lines, *cautions(melt)),
        notes=_notes(held, tally.water_g, reagents),
        sources=keys,
    )


def _fill(melt: Composition, held: dict[str, _Bottle], anhydrous: dict[str, float]) -> _Tally:
    """Grams from each bottle, those that bring two salts first, and what else they hold."""
    tally, left = _Tally({}, {}), dict(anhydrous)
    for formula in sorted(melt.salts, key=lambda name: not _brings_more(held[name])):
        bottle = held[formula]
        content = left.pop(formula)
        moles = content / formula_mass(formula)
        if bottle.hydrate is not None:
            content = moles * bottle.hydrate.mass
            tally.water_g += moles * bottle.hydrate.water * formula_mass("H2O")
            for name, count in bottle.hydrate.lost.items():
                tally.driven_g[name] = tally.driven_g.get(name, 0.0) + moles * count * formula_mass(name)
            _take_off(left, bottle.hydrate, formula, moles)
        tally.weigh_g[formula] = content / bottle.assay
        if bottle.rest_is_water:
            tally.water_g += tally.weigh_g[formula] - content
        else:
            tally.other_g += tally.weigh_g[formula] - content
    return tally


def _bottles(melt: Composition, names: Mapping[str, str], assays: Mapping[str, float]) -> dict[str, _Bottle]:
    chosen: dict[str, Hydrate | None] = dict.fromkeys(melt.salts)
    for formula, word in names.items():
        if formula not in chosen:
            raise InputError(f"bottle {formula}={word}: {formula} is not in the mix (allowed: {', '.join(melt.salts)})")
        if word != formula:
            chosen[formula] = hydrate_named(word, formula)
    labels = {formula: formula if hydrate is None else hydrate.label for formula, hydrate in chosen.items()}
    fractions: dict[str, float] = {}
    for word, value in assays.items():
        formula = _assayed(word, labels)
        if formula in fractions:
            raise InputError(f"assay of {word}: given twice for the bottle of {formula}; allowed is once")
        fractions[formula] = _fraction(word, value)
    return {
        formula: _Bottle(
            labels[formula], hydrate, fractions.get(formula, 1.0), hydrate is None and formula in _hydrated_salts()
        )
        for formula, hydrate in chosen.items()
    }


def _assayed(word: str, labels: dict[str, str]) -> str:
    """The salt an assay belongs to, named by salt or by bottle label."""
    for formula, label in labels.items():
        if word in (formula, label):
            return formula
    allowed = ", ".join(dict.fromkeys([*labels, *labels.values()]))
    raise InputError(f"assay of {word}: no bottle of that name in use (allowed: {allowed})")


def _fraction(word: str, value: float) -> float:
    if not (math.isfinite(value) and 0 < value <= 1):
        raise InputError(f"assay of {word} {value:g}: allowed is a mass fraction above 0, up to 1 (99 % is 0.99)")
    return value


def _brings_more(bottle: _Bottle) -> bool:
    return bottle.hydrate is not None and len(bottle.hydrate.salts) > 1


def _take_off(left: dict[str, float], hydrate: Hydrate, formula: str, moles: float) -> None:
    """The other salts a bottle brings are no longer to be weighed."""
    for name, count in hydrate.salts.items():
        if name == formula:
            continue
        brought = moles * count * formula_mass(name)
        wanted = left.get(name, 0.0)
        if brought > wanted * (1 + 1e-12):
            raise InputError(
                f"bottle {hydrate.label} for {formula}: it brings {brought:.2f} g {name}, the mix has {wanted:.2f}; "
                f"allowed is a mix with at least as many moles of {name} as of {formula}"
            )
        left[name] = max(wanted - brought, 0.0)


def _reagents(melt: Composition, held: dict[str, _Bottle], anhydrous: dict[str, float]) -> dict[str, float]:
    """Ammonium chloride the cures ask for: all doses of the drying steps; without steps that of data/hydrates.csv."""
    moles = sum(
        _cure_mol(hydrate) * anhydrous[f] / formula_mass(f)
        for f in melt.salts
        if (hydrate := held[f].hydrate) is not None
    )
    return {"NH4Cl": moles * formula_mass("NH4Cl")} if moles > 0 else {}


def _cure_mol(hydrate: Hydrate) -> float:
    """Moles of ammonium chloride a mole of salt for one hydrate."""
    rows = rows_of(hydrate.label)
    return sum(row.nh4cl_mol for row in rows) if rows else hydrate.nh4cl_mol_per_mol


def _notes(held: dict[str, _Bottle], water_g: float, reagents: dict[str, float]) -> tuple[str, ...]:
    notes = []
    for formula, bottle in held.items():
        if bottle.assay < 1 and bottle.rest_is_water:
            n = water_per_formula(formula, 1 - bottle.assay)
            notes.append(
                f"{formula} at assay {bottle.assay:g}: the rest is counted as water, {n:.2f} H2O per {formula}"
            )
        elif bottle.assay < 1:
            notes.append(
                f"{bottle.label} at assay {bottle.assay:g}: the rest is counted as matter that stays in the pot"
            )
    if water_g > 0:
        notes.append(
            f"{water_g:.2f} g of water to drive off: each gram left in the melt takes {WATER_AH_G:.3f} A h "
            f"(1 % of it: {0.01 * water_g * WATER_AH_G:.2f} A h) and gives 1.36 L of hydrogen"
        )
    if reagents:
        notes.append(
            f"the cure with ammonium chloride takes {reagents['NH4Cl']:.2f} g NH4Cl on top, all doses together; "
            "it all leaves again"
        )
    if any(bottle.hydrate is None and formula in _hydrated_salts() for formula, bottle in held.items()):
        notes.append(
            "bottles labelled anhydrous take up water once opened: dry 5 g to constant weight to find the assay"
        )
    return tuple(notes)


def water_per_formula(formula: str, mass_lost: float) -> float:
    """Moles of water per mole of salt in a bottle that loses this mass fraction on full drying."""
    if not 0 <= mass_lost < 1:
        raise InputError(f"loss on drying {mass_lost:g}: allowed is a mass fraction from 0 up to, not including, 1")
    return mass_lost / formula_mass("H2O") * formula_mass(formula) / (1 - mass_lost)


def melt_from_bottles(grams: Mapping[str, float], assays: Mapping[str, float] | None = None) -> Composition:
    """The dry melt that results from grams of salts and hydrates, as {"NaCl": 40, "CaCl2.2H2O": 60}."""
    held = assays or {}
    for word in held:
        if word not in grams:
            raise InputError(f"assay of {word}: no bottle of that name in use (allowed: {', '.join(grams)})")
    salts_g: dict[str, float] = {}
    for label, mass in grams.items():
        content = mass * _fraction(label, held.get(label, 1.0))
        if "H2O" not in label:
            salts_g[label] = salts_g.get(label, 0.0) + content
            continue
        hydrate = hydrate_named(label)
        for formula, count in hydrate.salts.items():
            part = content * count * formula_mass(formula) / hydrate.mass
            salts_g[formula] = salts_g.get(formula, 0.0) + part
    return from_amounts(salts_g, "mass")


def weighed_as_dry(weighing: Weighing, bottles: Mapping[str, str]) -> WeighedAsDry | None:
    """The commonest slip: hydrates weighed as though dry. None where no hydrate is used."""
    labels = {formula: bottles.get(formula, formula) for formula in weighing.composition.salts}
    if all(label == formula for formula, label in labels.items()):
        return None
    slip = melt_from_bottles({labels[formula]: grams for formula, grams in weighing.anhydrous_g.items()})
    return WeighedAsDry(slip, start_of_freezing(slip).T_K, start_of_freezing(weighing.composition).T_K)


def sludge(formula: str, salt_g: float, fraction: float) -> tuple[str, float, float]:
    """(product, g of it, g of salt left) when this fraction of the salt turns to oxide or oxychloride with water."""
    if not 0 <= fraction <= 1:
        raise InputError(f"fraction hydrolysed {fraction:g}: allowed is 0 to 1")
    reaction = oxide_route(formula)
    if reaction is None:
        raise InputError(f"hydrolysis of {formula}: no numbers for it in data/hydrolysis.csv")
    moles = fraction * salt_g / formula_mass(formula)
    grams = moles * reaction.product_count * formula_mass(reaction.product)
    return reaction.product, grams, (1 - fraction) * salt_g
