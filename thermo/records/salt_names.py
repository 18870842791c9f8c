"""The words people use for salts: formulas in any case, chemical names, minerals, names of the trade.

`means` turns a word into moles of the salts of data/salts.csv. Mineral and trade names are those of common handbooks of
minerals and chemicals; they only name, no number hangs on them. Hydrates and double salts come from the data files.
Limits: one spelling of a word as listed, aluminum beside aluminium; case and subscript digits do not matter.
Worked value: means("cryolite").moles = {"NaF": 3, "AlF3": 1}.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from thermo.records.hydrates import hydrates
from thermo.records.remembered import remembered
from thermo.records.substances import double_salts, salts
from thermo.records.triple_salts import triple_salts

TRADE_NAMES = MappingProxyType(
    {
        "halite": "NaCl",
        "rock salt": "NaCl",
        "table salt": "NaCl",
        "common salt": "NaCl",
        "sylvite": "KCl",
        "muriate of potash": "KCl",
        "muriate of lime": "CaCl2",
        "chloromagnesite": "MgCl2",
        "butter of zinc": "ZnCl2",
        "griceite": "LiF",
        "villiaumite": "NaF",
        "carobbiite": "KF",
        "sellaite": "MgF2",
        "fluorspar": "CaF2",
        "fluorite": "CaF2",
        "frankdicksonite": "BaF2",
        "cryolite": "Na3AlF6",
        "chiolite": "Na5Al3F14",
        "carnallite": "KMgCl3.6H2O",
        "bischofite": "MgCl2.6H2O",
        "sinjarite": "CaCl2.2H2O",
        "antarcticite": "CaCl2.6H2O",
    }
)
_SUBSCRIPTS = str.maketrans("₀₁₂₃₄₅₆₇₈₉·•*", "0123456789...")


@dataclass(frozen=True)
class Meaning:
    """One word: the formula it stands for, moles of each salt in a mole of it, and moles of all else it brings."""

    formula: str
    moles: Mapping[str, float]
    lost: Mapping[str, float]

    @property
    def dry_salt(self) -> bool:
        """Whether the word names one salt of the list and nothing else."""
        return list(self.moles) == [self.formula]


def normal(word: str) -> str:
    """A word for comparison: plain digits and dots, lower case, single spaces, the spelling aluminium."""
    return " ".join(word.translate(_SUBSCRIPTS).lower().replace("aluminum", "aluminium").split())


@remembered
def names() -> Mapping[str, Meaning]:
    """Every word that is understood, in normal form, and what it means."""
    by_formula: dict[str, Meaning] = {f: Meaning(f, {f: 1}, {}) for f in salts()}
    for f, double in double_salts().items():
        by_formula.setdefault(f, Meaning(f, double.stoichiometry, {}))
    for f, triple in triple_salts().items():
        by_formula.setdefault(f, Meaning(f, triple.stoichiometry, {}))
    for label, bottle in hydrates().items():
        if set(bottle.salts) <= set(salts()):
            by_formula[label] = Meaning(label, bottle.salts, {**bottle.lost, "H2O": bottle.water})
    found = {normal(f): meaning for f, meaning in by_formula.items()}
    found |= {normal(row.name): by_formula[f] for f, row in salts().items()}
    found |= {normal(word): by_formula[f] for word, f in TRADE_NAMES.items()}
    return MappingProxyType(found)


def means(word: str) -> Meaning | None:
    """What a word means; None where it is not known."""
    return names().get(normal(word))


@remembered
def other_names(formula: str) -> tuple[str, ...]:
    """A salt's chemical name and its names of the trade."""
    named = (salts()[formula].name,) if formula in salts() else ()
    return (*named, *(word for word, meant in TRADE_NAMES.items() if meant == formula))
