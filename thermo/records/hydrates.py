"""Hydrates and double hydrates that come in bottles: what each holds, how it dries, what cures it.

data/hydrates.csv: one bottle a row; `salts` and `lost` list formula:count per formula unit, `water` is moles of H2O,
`lost` what leaves beside water (NH4Cl). mass = sum of all of it, g/mol. dry_by_C is empty where heat alone never dries.
Limits: the hydrates listed; a hydrate not listed is refused rather than guessed.
Worked value: MgCl2.6H2O is 203.30 g/mol, 2.1353 g per gram of MgCl2.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from thermo.records.composition import formula_mass
from thermo.records.provenance import InputError, number, read_table, suggest
from thermo.records.remembered import remembered


@dataclass(frozen=True)
class Hydrate:
    """One bottle of data/hydrates.csv; counts per formula unit, temperature in deg C as printed on a drying recipe."""

    label: str
    salts: Mapping[str, int]
    water: float
    lost: Mapping[str, int]
    common: bool
    dry_by_C: float | None
    steps: str
    cure: str
    nh4cl_mol_per_mol: float
    source: str
    provenance: str
    caveat: str

    @property
    def mass(self) -> float:
        """Grams per mole of formula unit, water and all."""
        solids = {**self.salts, **self.lost}
        return sum(n * formula_mass(f) for f, n in solids.items()) + self.water * formula_mass("H2O")

    @property
    def salt(self) -> str:
        """The salt the bottle is bought for; a carnallite brings a second one."""
        return next(iter(self.salts))

    @property
    def grams_per_gram(self) -> float:
        """Grams of this bottle that hold one gram of that salt, anhydrous."""
        return self.mass / (self.salts[self.salt] * formula_mass(self.salt))


def _counts(text: str) -> Mapping[str, int]:
    pairs = (word.split(":") for word in text.split())
    return MappingProxyType({formula: int(count) for formula, count in pairs})


@remembered
def hydrates() -> Mapping[str, Hydrate]:
    """Every bottle by label, in file order."""
    found = {}
    for row in read_table("hydrates.csv"):
        found[row["bottle"]] = Hydrate(
            row["bottle"],
            _counts(row["salts"]),
            float(row["water"]),
            _counts(row["lost"]),
            row["common"] == "yes",
            number(row["dry_by_C"]),
            row["steps"],
            row["cure"],
            float(row["nh4cl_mol_per_mol"]),
            *(row[name] for name in ("source", "provenance", "caveat")),
        )
    return MappingProxyType(found)


def hydrates_of(formula: str) -> tuple[Hydrate, ...]:
    """Bottles bought for this salt, in file order."""
    return tuple(hydrate for hydrate in hydrates().values() if hydrate.salt == formula)


def hydrate_named(word: str, formula: str | None = None) -> Hydrate:
    """A bottle by its label (a middle dot may stand for the dot); InputError for one unknown or of another salt."""
    label = word.replace("\u00b7", ".").replace("*", ".")
    own = [hydrate.label for hydrate in (hydrates_of(formula) if formula else hydrates().values())]
    if label not in hydrates():
        if formula and not own:
            raise InputError(f"bottle {word}: no hydrate of {formula} is in the list; allowed is {formula} itself")
        raise InputError(f"bottle {word}: not a hydrate in the list{suggest(label, own)}")
    hydrate = hydrates()[label]
    if formula and formula != hydrate.salt:
        allowed = ", ".join([formula, *own])
        raise InputError(f"bottle {word}: is a bottle of {hydrate.salt}, not of {formula} (allowed: {allowed})")
    return hydrate
