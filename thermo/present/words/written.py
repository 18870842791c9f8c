"""How numbers, formulas and verdicts are written for people: one place, so the page says a thing one way.

The package writes its sentences in one plain notation, that of the JSON: `deg C`, `+-`, units with plain digits,
formulas as they are typed. Page and paper set them with the signs of UNITS and the formulas of `_typeset`: two closed
lists, looked up run by run; a word that is in neither stays as it is.
Limits: text only, no physics. Uncertainty is one standard deviation, rounded to the last digit printed.
Worked value: pretty("K2SrCl4") = "K₂SrCl₄"; degrees(776.15, 4.2) = "503 ± 4 °C".
"""

import re
from itertools import groupby

from thermo.laws.oxide_stability import oxides
from thermo.records.compound_solutions import compound_pairs
from thermo.records.hydrates import hydrates
from thermo.records.remembered import remembered, remembered_last
from thermo.records.substances import double_salts, salts
from thermo.records.triple_salts import triple_salts
from thermo.records.units import celsius

_SUBSCRIPTS = str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉")

UNITS = (  # plain notation and what it is set as
    ("deg C", "°C"),
    ("g/cm3", "g/cm³"),
    ("mg/m3", "mg/m³"),
    ("A/cm2", "A/cm²"),
    (" cm2", " cm²"),
    ("m3/min", "m³/min"),
    ("+-", "±"),
)

BESIDE = ("NH4Cl", "H2O", "CF4", "CO2", "Cl2", "F2", "NH3", "Al4C3", "O2")  # formulas beside salts and oxides

NO_BREAK = "\u00a0"  # keeps a number, its band and its unit on one line

VERDICT_SIGNS = {
    "floats": "▲ floats",
    "likely floats": "△ likely floats",
    "too close to call": "≈ too close to call",
    "likely sinks": "▽ likely sinks",
    "sinks": "▼ sinks",
}


def pretty(formula: str) -> str:
    """A formula with subscript digits where they count atoms: CaCl2 to CaCl₂, MgCl2.6H2O to MgCl₂·6H₂O."""
    counted = re.sub(r"(?<=[A-Za-z)])(\d+)", lambda match: match.group().translate(_SUBSCRIPTS), formula)
    return counted.replace(".", "·", 1)  # the first point only: ZnCl2.1.5H2O


def degrees(T_K: float, sigma_K: float | None = None) -> str:
    """A temperature in deg C, with its standard deviation when one is given; at least 1 degree is printed."""
    text = f"{celsius(T_K):.0f} °C" if sigma_K is None else f"{celsius(T_K):.0f} ± {max(1.0, sigma_K):.0f} °C"
    return text.replace(" ", NO_BREAK)


def signed_density(difference_g_cm3: float, sigma_g_cm3: float) -> str:
    """A density margin with sign and standard deviation, in g/cm3, to two figures or one of its doubt."""
    digits = 3 if sigma_g_cm3 < 0.05 else 2
    return f"{difference_g_cm3:+.{digits}f} ± {sigma_g_cm3:.{digits}f} g/cm³".replace("-", "−")


def percent_of_chance(p: float) -> str:
    """A probability in percent; what rounds to 0 or 100 is written as a bound, never as certainty."""
    if p > 0.995:
        return "more than 99 %"
    if p < 0.005:
        return "less than 1 %"
    return f"{100 * p:.0f} %"


def shares(percents: dict[str, float], digits: int = 1) -> str:
    """'NaCl 48.0 / CaCl₂ 52.0' from percent by formula."""
    return " / ".join(f"{pretty(formula)} {value:.{digits}f}" for formula, value in percents.items())


def sentence(text: str) -> str:
    """A line from the package as a sentence of the page: a capital first, a full stop last."""
    written = plain(text)
    return f"{written[:1].upper()}{written[1:]}."


@remembered_last(4096)
def plain(text: str) -> str:
    """A line in the package's plain notation, set for people: with the degree sign, ±, raised and lowered digits."""
    runs = ("".join(run) for _, run in groupby(with_signs(text), key=_in_a_formula))
    return "".join(_set(run) for run in runs)


def with_signs(text: str) -> str:
    """The same with formulas as they are typed, for lines that say what to type."""
    for typed, written in UNITS:
        text = text.replace(typed, written)
    return text


def _in_a_formula(letter: str) -> bool:
    return letter.isalnum() or letter == "."


def _set(run: str) -> str:
    """A run of letters, digits and points: a formula of the list, or one or more of them with points between."""
    known, name = _typeset(), run.rstrip(".")
    stop = run[len(name) :]  # of the sentence
    return known.get(name, ".".join(known.get(part, part) for part in name.split("."))) + stop


@remembered
def _typeset() -> dict[str, str]:
    """Every formula and bottle that the package names, as it is set; other words with digits (Table2) are not here."""
    named = (*salts(), *double_salts(), *triple_salts(), *hydrates(), *oxides(), *BESIDE)
    tails = {pair.name.partition(")")[2] for pair in compound_pairs()}  # of (K,Rb)2MgF4
    return {name: pretty(name) for name in named} | {tail: pretty(f"){tail}")[1:] for tail in tails}
