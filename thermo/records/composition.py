"""What is in the pot: mole fractions from moles, grams or percent, and back.

x_i = n_i / sum n, n_i = m_i / M_i; formula masses M in g/mol from IUPAC atomic masses (fitted/atomic_masses.csv).
Limits: salts of data/salts.csv; amounts >= 0 with a positive total. Worked value: 58.5 mol% LiCl with
41.5 mol% KCl is 44.49 mass% LiCl.
"""

import math
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from thermo.records.aluminium_beside_chloride import published_beside_chloride
from thermo.records.provenance import InputError
from thermo.records.remembered import remembered
from thermo.records.substances import listed_salt_of, salt, salts
from thermo.records.tables import read_table

if TYPE_CHECKING:  # a mistyped word is refused without it
    import numpy as np

BASES = ("mol", "mass")
LOST = 1e-15  # mole fraction: less than that is lost in the rounding of the rest


@remembered
def formula_mass(formula: str) -> float:
    """Mass of one mole of a formula as CaCl2, MgCl2.6H2O or ZnCl2.1.5H2O, in g/mol; KeyError for what is no element."""
    return sum(
        _atomic_masses()[symbol] * int(count or 1) * float(times or 1)
        for times, part in re.findall(r"(?:^|\.)(\d+(?:\.\d+)?)?([A-Z][A-Za-z0-9]*)", formula)
        for symbol, count in re.findall(r"([A-Z][a-z]?)(\d*)", part)
    )


@remembered
def _atomic_masses() -> Mapping[str, float]:
    return {row["element"]: float(row["mass_g_mol"]) for row in read_table("fitted/atomic_masses.csv")}


@dataclass(frozen=True)
class Composition:
    """A melt: salts in the order given and their mole fractions, which sum to 1."""

    salts: tuple[str, ...]
    fractions: tuple[float, ...]

    @property
    def mole_percent(self) -> dict[str, float]:
        """Mole percent by salt formula."""
        return {formula: 100 * x for formula, x in zip(self.salts, self.fractions, strict=True)}

    @property
    def mass_percent(self) -> dict[str, float]:
        """Mass percent by salt formula."""
        masses = [x * formula_mass(f) for f, x in zip(self.salts, self.fractions, strict=True)]
        total = sum(masses)
        return {f: 100 * mass / total for f, mass in zip(self.salts, masses, strict=True)}

    @property
    def mean_formula_mass(self) -> float:
        """Grams per mole of mixed formula units."""
        return sum(x * formula_mass(f) for f, x in zip(self.salts, self.fractions, strict=True))

    @property
    def array(self) -> "np.ndarray":
        """Mole fractions as an array of shape (number of salts,)."""
        import numpy as np

        return np.array(self.fractions)

    @property
    def present(self) -> "Composition":
        """The same melt without the salts whose amount is zero."""
        kept = [(f, x) for f, x in zip(self.salts, self.fractions, strict=True) if x > 0]
        return Composition(tuple(f for f, _ in kept), tuple(x for _, x in kept))


def from_amounts(amounts: Mapping[str, float], basis: str = "mol") -> Composition:
    """Composition from amounts by salt formula, in any total.

    basis 'mol' reads moles (or mole percent), 'mass' grams (or mass percent). InputError for an unknown salt or basis,
    a negative or non-finite amount, a zero total, or two anions beside a cation that has no salt of one of them.
    """
    if basis not in BASES:
        raise InputError(f"basis {basis!r}: allowed are {' and '.join(BASES)}")
    if not amounts:
        raise InputError("composition: name at least one salt, as SALT=AMOUNT")
    for formula, amount in amounts.items():
        salt(formula)
        if not math.isfinite(amount) or amount < 0:
            raise InputError(f"amount of {formula} {amount:g}: allowed is zero or more")
    moles = [a if basis == "mol" else a / formula_mass(f) for f, a in amounts.items()]
    total = sum(moles)
    if not math.isfinite(total):
        raise InputError("composition: the amounts are too large to add up; allowed are grams, moles or percent")
    if not total > 0:
        raise InputError("composition: all amounts are zero; at least one must be more")
    _partners([formula for formula, amount in amounts.items() if amount > 0])
    return Composition(tuple(amounts), tuple(n / total if n > LOST * total else 0.0 for n in moles))


def _partners(formulas: list[str]) -> None:
    """InputError when two anions meet and a cation has no salt of one of them: its exchange cannot be computed."""
    if len(anions(formulas)) < 2:
        return
    known = {(component.cation, component.anion) for component in salts().values()}
    for formula in formulas:
        for anion, name in (("F", "fluoride"), ("Cl", "chloride")):
            if (salt(formula).cation, anion) not in known:
                quoted = f"; {published_beside_chloride(formulas)}" if formula == "AlF3" else ""
                raise InputError(
                    f"{formula} in a mix of fluoride and chloride: there are no data for the {name} of "
                    f"{salt(formula).cation}; allowed are salts whose cations have both{quoted}"
                )


def anions(formulas: Iterable[str]) -> tuple[str, ...]:
    """The anions of these salts, each once, fluoride first."""
    return tuple(sorted({salt(formula).anion for formula in formulas}, key=("F", "Cl").index))


def halide_at_the_anode(composition: Composition) -> str:
    """The anion that an anode discharges first: chloride wherever there is any (deposition says by how much)."""
    return "Cl" if "Cl" in anions(composition.present.salts) else "F"


def with_chloride_of(composition: Composition, cation: str) -> Composition:
    """The same ions named so that this cation stands with chloride as far as the melt's chloride goes.

    Of two anions only (others come back as they are): M F_z + z NCl -> M Cl_z + z NF. Cations one mole each, so the
    fractions still sum to 1.
    """
    melt = composition.present
    if len(anions(melt.salts)) < 2 or cation not in [salt(formula).cation for formula in melt.salts]:
        return composition
    amounts = dict(zip(melt.salts, melt.fractions, strict=True))
    own, wanted = listed_salt_of(cation, "F"), listed_salt_of(cation, "Cl")  # both are there: _partners
    z = salt(wanted).charge
    for formula in [f for f in melt.salts if salt(f).anion == "Cl" and f != wanted]:
        other = salt(formula)
        swapped = min(amounts.get(own, 0.0) * z, amounts[formula] * other.charge)  # moles of charge
        if swapped > 0:
            for changed, moles in ((own, -swapped / z), (wanted, swapped / z), (formula, -swapped / other.charge),
                                   (listed_salt_of(other.cation, "F"), swapped / other.charge)):  # fmt: skip
                amounts[changed] = max(amounts.get(changed, 0.0) + moles, 0.0)
    kept = {formula: x for formula, x in amounts.items() if x > 1e-12}
    return Composition(tuple(kept), tuple(x / sum(kept.values()) for x in kept.values()))


def parse_pairs(words: list[str], allowed: str, where: str = "") -> dict[str, str]:
    """['MgCl2=MgCl2.6H2O'] to {'MgCl2': 'MgCl2.6H2O'}; InputError says where, names the word and what is allowed."""
    pairs: dict[str, str] = {}
    for word in words:
        name, mark, text = word.partition("=")
        if not mark or not name or not text:
            raise InputError(f"{where}{word!r}: allowed is {allowed}")
        if name in pairs:
            raise InputError(f"{where}{word!r}: {name} is named twice; allowed is once")
        pairs[name] = text
    return pairs


def parse_amounts(words: list[str], allowed: str = "SALT=AMOUNT, as NaCl=48", where: str = "") -> dict[str, float]:
    """['NaCl=48', 'CaCl2=52'] to {'NaCl': 48.0, 'CaCl2': 52.0}; InputError names the offending word."""
    amounts: dict[str, float] = {}
    for name, text in parse_pairs(words, allowed, where).items():
        try:
            amounts[name] = float(text)
        except ValueError:
            word = f"{name}={text}"
            raise InputError(f"{where}{word!r}: {text!r} is not a number; allowed is {allowed}") from None
    return amounts
