"""How numbers, formulas and verdicts are written for people: one place, so the page says a thing one way.

Limits: text only, no physics. Uncertainty is one standard deviation, rounded to the last digit printed.
Worked value: pretty("K2SrCl4") = "K₂SrCl₄"; degrees(776.15, 4.2) = "503 ± 4 °C".
"""

import re

from thermo.records.remembered import remembered
from thermo.records.substances import double_salts, salts
from thermo.records.triple_salts import triple_salts
from thermo.records.units import celsius

_SUBSCRIPTS = str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉")

_WRITTEN = (
    ("deg C", "°C"),
    ("g/cm3", "g/cm³"),
    ("A/cm2", "A/cm²"),
    (" cm2", " cm²"),
    ("m3/min", "m³/min"),
    ("+-", "±"),
)

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
    return counted.replace(".", "·")


def degrees(T_K: float, sigma_K: float | None = None) -> str:
    """A temperature in deg C, with its standard deviation when one is given; at least 1 degree is printed."""
    text = f"{celsius(T_K):.0f} °C" if sigma_K is None else f"{celsius(T_K):.0f} ± {max(1.0, sigma_K):.0f} °C"
    return text.replace(" ", NO_BREAK)


def signed_density(difference_g_cm3: float, sigma_g_cm3: float) -> str:
    """A density margin with sign and standard deviation, in g/cm3."""
    return f"{difference_g_cm3:+.3f} ± {sigma_g_cm3:.3f} g/cm³".replace("-", "−")


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


def plain(text: str) -> str:
    """A line from the package as the page writes it: with the degree sign, ±, raised digits and pretty formulas."""
    return re.sub(r"\b[A-Z][A-Za-z]*\d\w*(\.\d*H2O)?", _if_known, with_signs(text))


def with_signs(text: str) -> str:
    """The same with formulas as they are typed, for lines that say what to type."""
    for typed, written in _WRITTEN:
        text = text.replace(typed, written)
    return text


def _if_known(word: re.Match) -> str:
    return pretty(word.group()) if word.group().split(".")[0] in _formulas() else word.group()


@remembered
def _formulas() -> frozenset[str]:
    """Every formula the package names; other words with digits (Table2, ORNL2548) stay as they are."""
    return frozenset((*salts(), *double_salts(), *triple_salts()))
