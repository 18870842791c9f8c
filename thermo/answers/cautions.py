"""The dangers that go with a melt and a metal, one plain line each.

Which line is shown follows from the salts' anion and cations and from the metal; nothing here is computed. Limits: the
usual dangers only, not a safety case. Figures: 1 mL of water gives about 5 L of steam at 900 deg C (ideal gas, 1 atm);
0.8 g of BaCl2 by mouth is deadly (NIOSH, documentation for immediately dangerous concentrations, barium, 1994).
Worked value: cautions of a chloride bath with magnesium begin with chlorine and end with local codes.
"""

from thermo.records.composition import Composition, anions
from thermo.records.substances import salt

# Common practice, no source: what these salts do when they are heated wet.
_HYDROLYSE = ("MgCl2", "CaCl2", "ZnCl2", "LaCl3", "CeCl3", "NdCl3")
_ALKALI = ("Li", "Na", "K", "Rb", "Cs")

WET = (
    "Wet salt, a damp tool or crucible: water under the melt flashes to steam (1 mL gives about 5 L at 900 deg C) and "
    "throws it out. Dry and preheat all that goes in; face shield, leather, no synthetic cloth."
)
CLOSING = "Work only where local law and fire code allow it: local codes and licensed practice decide, not this tool."


def cautions(composition: Composition, symbol: str | None = None) -> tuple[str, ...]:
    """Lines for the salts present and the metal (None for none); the last one is always that local codes decide."""
    salts = composition.present.salts
    lines = [*_gases(salts), WET, *_salt_lines(salts)]
    if symbol:
        lines += _metal_lines(symbol)
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


def _gases(salts: tuple[str, ...]) -> list[str]:
    return [{"F": FLUORIDE, "Cl": CHLORIDE}[anion] for anion in anions(salts)]


def _salt_lines(salts: tuple[str, ...]) -> list[str]:
    lines = []
    wet = [formula for formula in salts if formula in _HYDROLYSE]
    if wet:
        lines.append(
            f"{', '.join(wet)} heated wet gives hydrogen chloride gas and leaves oxide or oxychloride sludge: dry "
            "slowly, or under hydrogen chloride or with ammonium chloride, in a hood."
        )
    if any(salt(formula).cation == "Ba" for formula in salts):
        lines.append(
            "Soluble barium salts are poisons: under a gram of BaCl2 by mouth can kill. Gloves, no dust, separate "
            "waste, precipitated as sulphate."
        )
    if "ZnCl2" in salts:
        lines.append("ZnCl2 smokes well below its boiling point; the fume burns the lungs: hood.")
    return lines


def _metal_lines(symbol: str) -> list[str]:
    if symbol in _ALKALI:
        powder = "graphite or copper powder rated for lithium" if symbol == "Li" else "class D powder or bone-dry salt"
        lines = [
            f"{symbol} burns in air and explodes with water. On a fire: {powder}; never water, carbon dioxide, "
            "halon or foam. Keep it under oil or argon."
        ]
        if symbol in ("K", "Rb", "Cs"):
            lines.append(
                f"Old {symbol} with a yellow or orange crust (superoxide) can explode when cut: do not cut it."
            )
    elif symbol in ("Al", "Zn", "Pb"):
        lines = [
            f"Hot {symbol} spatters and its fume is harmful: no water near it; put a fire out with dry sand or class D "
            "powder."
        ]
    elif symbol == "Mg":
        lines = [
            "Burning Mg: class D powder or dry salt flux; never water, carbon dioxide, nitrogen or foam, and no sand, "
            "which hot magnesium attacks."
        ]
    else:
        lines = [
            f"Burning {symbol}: class D powder or bone-dry sand; never water, carbon dioxide or foam. "
            "Fine powder can catch fire by itself in air."
        ]
    if symbol in ("Li", "Mg", "Ca", "Sr", "Ba"):
        lines.append(f"Hot {symbol} reacts with nitrogen: blanket with argon.")
    if symbol == "Pb":
        lines.append("Lead is a poison: hood above its melting point, wash hands.")
    lines.append("Frozen salt that holds metal gives hydrogen and heat when washed: small pieces, hood, no flame.")
    return lines
