"""The dangers that go with a melt and a metal, one plain line each.

Which line is shown follows from the salts' anion and cations and from the metal (fires: data/fires.csv); nothing here
is computed. No sand on metals that take the oxygen out of it. Limits: the usual dangers only, not a safety case.
Figures: 1 mL of water gives about 5 L of steam at 900 deg C (ideal gas, 1 atm); 0.8 g of BaCl2 by mouth is deadly
(NIOSH, documentation for immediately dangerous concentrations, barium, 1994).
Worked value: cautions of a chloride bath with magnesium begin with chlorine and end with local codes.
"""

from thermo.laws.ventilation import limit_words
from thermo.records.attack import fires
from thermo.records.composition import Composition, anions
from thermo.records.substances import metal, salt

# Common practice, no source: what these salts do when they are heated wet.
_HYDROLYSE = ("MgCl2", "CaCl2", "ZnCl2", "LaCl3", "CeCl3", "NdCl3")
_ALKALI = ("Li", "Na", "K", "Rb", "Cs")

WET = (
    "Wet salt, a damp tool or crucible: water under the melt flashes to steam (1 mL gives about 5 L at 900 deg C) and "
    "throws it out. Dry and preheat all that goes in; face shield, leather, no synthetic cloth."
)
_WET_WORDS = "wet salt or tools throw the melt out"
CLOSING = "Work only where local law and fire code allow it: local codes and licensed practice decide, not this tool."


def cautions(composition: Composition, symbol: str | None = None) -> tuple[str, ...]:
    """Lines for the salts present and the metal (None for none); the last one is always that local codes decide."""
    salts = composition.present.salts
    lines = [*_gases(salts), WET, *_salt_lines(salts)]
    if symbol:
        lines += metal_lines(symbol)
    return (*lines, CLOSING)


FLUORIDE = (
    "Fluoride melts with moist air or acid give hydrogen fluoride: it burns skin deeply, at first without pain. "
    "Calcium gluconate gel at hand and medical help at once; no glass or silica vessels; the dust is a poison. "
    "A carbon anode gives CF4 or CO."
)
CHLORIDE = (
    "The anode gives chlorine: a lung poison, heavier than air. Capture it at the anode and scrub it in alkali; "
    "dilution by room air is not enough. Hydrogen and chlorine together explode in light."
)


def dangers(composition: Composition, symbol: str | None = None) -> tuple[str, ...]:
    """The same dangers in two to seven words each, gravest first, for a line that is seen before anything is read."""
    salts = composition.present.salts
    held, cations = set(anions(salts)), {salt(formula).cation for formula in salts}
    found = [
        ("chlorine gas", "Cl" in held),
        ("hydrogen fluoride, poisonous dust", "F" in held),
        (_WET_WORDS, True),
        ("barium is a poison", "Ba" in cations or symbol == "Ba"),
        ("zinc chloride fume", "ZnCl2" in salts),
        ("damp salt gives hydrogen chloride", bool(set(salts) & set(_HYDROLYSE))),
        ("lead is a poison", symbol == "Pb"),
    ]
    words = [text for text, so in found if so]
    if symbol:
        sand = ", no sand" if "sand" in fires()[symbol].never else ""
        words.insert(words.index(_WET_WORDS) + 1, f"burning {metal(symbol).name}: no water{sand}")
    return tuple(words)


def _gases(salts: tuple[str, ...]) -> list[str]:
    return [
        f"{text} Limits: {'; '.join(map(limit_words, limited))}."
        for anion in anions(salts)
        for text, limited in ({"F": (FLUORIDE, ("HF", "F", "CO")), "Cl": (CHLORIDE, ("Cl2",))}[anion],)
    ]


def _salt_lines(salts: tuple[str, ...]) -> list[str]:
    lines = []
    wet = [formula for formula in salts if formula in _HYDROLYSE]
    if wet:
        lines.append(
            f"{', '.join(wet)} heated wet gives hydrogen chloride gas and leaves oxide or oxychloride sludge: under "
            f"hydrogen chloride or with ammonium chloride, in a hood ({limit_words('HCl')})."
        )
    if any(salt(formula).cation == "Ba" for formula in salts):
        lines.append(
            "Soluble barium salts are poisons: under a gram of BaCl2 by mouth can kill. Gloves, no dust, separate "
            f"waste, precipitated as sulphate ({limit_words('Ba')})."
        )
    if "ZnCl2" in salts:
        smoke = "ZnCl2 smokes well below its boiling point; the fume burns the lungs: hood"
        lines.append(f"{smoke} ({limit_words('ZnCl2')}).")
    if "MgCl2" in wet:
        lines.append("Slow drying alone turns MgCl2 into MgOHCl: it needs HCl, NH4Cl or the double salt to dry.")
    return lines


def fire_line(symbol: str) -> str:
    """What puts burning metal out, and what must never touch it (data/fires.csv)."""
    fire = fires()[symbol]
    return f"Burning {symbol}: {fire.put_out_with}; never {fire.never}."


def metal_lines(symbol: str) -> list[str]:
    """What the metal itself wants watched, the fire first."""
    lines = [fire_line(symbol)]
    if symbol in _ALKALI:
        lines.append(f"{symbol} burns in air and explodes with water. Keep it under {fires()[symbol].kept_under}.")
    elif symbol in ("Al", "Zn", "Pb"):
        lines.append(f"Hot {symbol} spatters and its fume is harmful: no water near it.")
    else:
        lines.append(f"Fine powder of {symbol} can catch fire by itself in air.")
    if symbol in ("K", "Rb", "Cs"):
        lines.append(f"Old {symbol} with a yellow or orange crust (superoxide) can explode when cut: do not cut it.")
    if fires()[symbol].nitride:
        lines.append(
            f"Hot {symbol} burns in nitrogen too (a nitride forms): blanket with argon, never with nitrogen; the "
            "nitride gives ammonia with water."
        )
    if symbol == "Pb":
        lines.append("Lead is a poison: hood above its melting point, wash hands.")
    lines.append("Frozen salt that holds metal gives hydrogen and heat when washed: small pieces, hood, no flame.")
    return lines
