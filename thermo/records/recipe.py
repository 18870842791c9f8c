"""A melt as people write it down, read into amounts: "licl=44,5 kcl 55.5", "60% LiCl 40% KCl", "Na3AlF6=90 CaF2=10".

Names: formulas in any case, chemical, mineral and trade names (thermo.records.salt_names); amounts before or
after them, with = : , ; / + or spaces between. mol, mol%, mass%, wt% and g say the basis; a bare % or nothing leaves
it as it was.
A hydrate counts by its dry salt and a compound by the salts it is made of, and a note says so:
    moles: n(salt) = nu * n(compound)        grams: m(salt) = nu M(salt) / M(compound) * m(compound)
Limits: a recipe that is not wholly understood is refused, never read in part.
Worked value: read_recipe("60% licl 40% kcl").amounts = (("LiCl", 60.0), ("KCl", 40.0)).
"""

import re
from dataclasses import dataclass

from thermo.records.composition import formula_mass, from_amounts
from thermo.records.provenance import InputError, suggest
from thermo.records.salt_names import TRADE_NAMES, Meaning, means, names, normal
from thermo.records.substances import salts
from thermo.records.typed import read_number, shown_word

LONGEST_RECIPE = 400  # characters: six salts need fewer
ALLOWED = "SALT=AMOUNT, as NaCl=48 CaCl2=52"
_UNITS = {"mol": "mol", "mole": "mol", "moles": "mol", "mol%": "mol", "mole%": "mol", "at%": "mol", "g": "mass",
          "gram": "mass", "grams": "mass", "wt%": "mass", "mass%": "mass", "w%": "mass", "%": None}  # fmt: skip
_BETWEEN = re.compile(r"[\s=:;/+]+|,(?!\d)|(?<!\d),|\band\b", re.IGNORECASE)
_NUMBER = re.compile(r"[-−+]?(?:\d+(?:[.,]\d+)*|[.,]\d+)(?:[eE][-+]?\d+)?")
_UNIT = re.compile(r"\s*(mol(?:e|es)?\s?%?|at\s?%|wt\s?%|mass\s?%|w\s?%|grams?|g|%)(?![A-Za-z])", re.IGNORECASE)
_WORD = re.compile(r"[^\s=:;,/+%]+")


@dataclass(frozen=True)
class Recipe:
    """Amounts by salt in `basis` (mol or mass), and notes on what was counted as what."""

    amounts: tuple[tuple[str, float], ...]
    basis: str
    notes: tuple[str, ...]


def read_recipe(text: str, basis: str = "mol") -> Recipe:
    """The melt of a recipe; InputError, naming the word and what is allowed, where it cannot be one."""
    if len(text) > LONGEST_RECIPE:
        raise InputError(f"recipe of {len(text)} characters: allowed are up to {LONGEST_RECIPE}")
    entries, unit = _entries(text)
    basis = unit or basis
    amounts: dict[str, float] = {}
    notes = []
    for meaning, amount in entries:
        parts = _dry(meaning, amount, basis)
        for formula, part in parts.items():
            amounts[formula] = amounts.get(formula, 0.0) + part
        if not meaning.dry_salt:
            notes.append(_said(meaning, amount, parts, basis))
    from_amounts(amounts, basis)  # refuses what cannot be a melt
    return Recipe(tuple(amounts.items()), basis, tuple(notes))


def _entries(text: str) -> tuple[list[tuple[Meaning, float]], str | None]:
    """Each salt named with its amount, and the basis where one is written."""
    tokens, units = _tokens(text)
    if not tokens:
        raise InputError(f"recipe: empty; allowed is {ALLOWED}")
    if len(units) > 1:
        raise InputError("recipe: moles and grams are mixed; allowed is one of them for all")
    named_first = isinstance(tokens[0], Meaning)
    entries: dict[str, tuple[Meaning, float]] = {}
    for k in range(0, len(tokens), 2):
        pair = tokens[k : k + 2] if named_first else tokens[k : k + 2][::-1]
        if len(pair) < 2 or not isinstance(pair[0], Meaning) or isinstance(pair[1], Meaning):
            word = next(part.formula if isinstance(part, Meaning) else f"{part:g}" for part in pair)
            raise InputError(f"recipe, at {word}: each salt takes one amount; allowed is {ALLOWED}")
        meaning, amount = pair[0], pair[1]
        if meaning.formula in entries:
            raise InputError(f"{meaning.formula} is named twice; allowed is once")
        entries[meaning.formula] = (meaning, amount)
    return list(entries.values()), next(iter(units), None)


def _tokens(text: str) -> tuple[list[Meaning | float], set[str]]:
    tokens: list[Meaning | float] = []
    units: set[str] = set()
    at = 0
    while at < len(text):
        if between := _BETWEEN.match(text, at):
            at = between.end()
        elif number := _number_at(text, at):
            tokens.append(read_number(number.group(), "recipe"))
            at = number.end()
            if unit := _UNIT.match(text, at):
                basis = _UNITS[re.sub(r"\s", "", unit.group(1)).lower()]
                units |= set() if basis is None else {basis}
                at = unit.end()
        else:
            meaning, at = _name_at(text, at)
            tokens.append(meaning)
    return tokens, units


def _number_at(text: str, at: int) -> re.Match | None:
    found = _NUMBER.match(text, at)
    return found if found and not _name_length(text, at) else None


def _name_length(text: str, at: int) -> int:
    """Characters of the longest known name that starts here and ends where a word ends; 0 where there is none."""
    words = list(_WORD.finditer(text, at))[:4]
    for k in range(len(words), 0, -1):
        end = words[k - 1].end()
        if words[0].start() == at and normal(text[at:end]) in names():
            return end - at
    return 0


def _name_at(text: str, at: int) -> tuple[Meaning, int]:
    length = _name_length(text, at)
    meaning = means(text[at : at + length]) if length else None
    if meaning is not None:
        return meaning, at + length
    word = _WORD.match(text, at)
    typed = word.group() if word else text[at]
    if re.search(r"[=:]\s*$", text[:at]):
        raise InputError(f"recipe: {shown_word(typed)} is not a number; allowed is {ALLOWED}")
    if normal(typed) in ("al2o3", "alumina"):
        raise InputError("recipe: alumina is typed under Aluminium bath; allowed here are the salts of the bath")
    close = suggest(typed[:24], [*salts(), *TRADE_NAMES, *(row.name for row in salts().values())])
    hint = close if "did you mean" in close else f"; allowed are {', '.join(salts())}"
    raise InputError(f"recipe: {shown_word(typed)} is not in the list{hint}")


def _dry(meaning: Meaning, amount: float, basis: str) -> dict[str, float]:
    """Amounts of the dry salts in this amount of what was named."""
    if meaning.dry_salt:
        return {meaning.formula: amount}
    if basis == "mol":
        return {formula: amount * count for formula, count in meaning.moles.items()}
    masses = {f: count * formula_mass(f) for f, count in {**meaning.moles, **meaning.lost}.items()}
    return {f: float(f"{amount * masses[f] / sum(masses.values()):.6g}") for f in meaning.moles}


def _said(meaning: Meaning, amount: float, parts: dict[str, float], basis: str) -> str:
    unit = "mol" if basis == "mol" else "g"
    counted = " and ".join(f"{part:.4g} {unit} {formula}" for formula, part in parts.items())
    water = ", its water left out" if "H2O" in meaning.lost else ""
    return f"{amount:g} {unit} {meaning.formula} counted as {counted}{water}"
