"""A blind examination: published measurements that no table of data/ held when they were asked, and our answer to each.

    python -m tests.benchmarks.blind

tests/benchmarks/blind.csv keeps for each the print, what the program answered and how sure it was at the commit named,
before the print was entered anywhere. `ask` puts the same question to the program of today. For every kind of question:
how many, the share inside one, 1.645 and two standard deviations (ours and the print's together; 68, 90 and 95 % if
the bands are right), the median miss, and the median of print less answer in standard deviations (0 if nothing leans).
On a logarithmic scale a spread is one of ln value.
"""

import csv
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from thermo.answers.bath_vapour import bath_pressure, sigma_ln_pressure
from thermo.answers.deposition import deposition_order
from thermo.equilibrium.freezing.cryolite import bath_liquidus
from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.solids import PureSolid
from thermo.laws.density import melt_density
from thermo.laws.viscosity import viscosity
from thermo.records.baths import bath_composition, excess_of_ratio
from thermo.records.composition import Composition, from_amounts
from thermo.records.substances import salt
from thermo.records.units import F, R, celsius, kelvin

FILE = Path(__file__).with_name("blind.csv")
LOG = "log"
WIDTHS = (1.0, 1.645, 2.0)
DILUTE = 1e-3  # mole fraction at which a potential is asked and carried to the standard state of mole fractions
STEP_K = 5.0  # of the derivative by temperature


@dataclass(frozen=True)
class Comparison:
    """One row of the table."""

    kind: str
    melt: str
    t_C: float
    asked: str
    unit: str
    scale: str
    printed: float
    printed_sigma: float
    ours: float
    our_sigma: float
    source: str

    def miss(self, answer: float) -> float:
        """Print less answer, in the unit or as ln of their ratio."""
        return float(np.log(self.printed / answer)) if self.scale == LOG else self.printed - answer

    def z(self, answer: float, sigma: float) -> float:
        """The miss in standard deviations of answer and print together."""
        return self.miss(answer) / float(np.hypot(sigma, self.printed_sigma))


def comparisons() -> list[Comparison]:
    """All rows, in the order of the file."""
    with FILE.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    return [_comparison({name: row[name] for name in Comparison.__dataclass_fields__}) for row in rows]


def _comparison(row: dict[str, str]) -> Comparison:
    words = {name: row[name] for name in ("kind", "melt", "asked", "unit", "scale", "source")}
    numbers = {name: float(row[name] or "nan") for name in row if name not in words}
    return Comparison(**words, **numbers)


def amounts(text: str) -> dict[str, float]:
    """'KCl=50 MgCl2=50' as numbers by name."""
    return {name: float(value) for name, value in (part.split("=") for part in text.split())}


def ask(row: Comparison) -> tuple[float, float]:
    """Today's answer with one standard deviation (of ln value on a logarithmic scale)."""
    return QUESTIONS[row.kind](row)


def _vapour(row: Comparison) -> tuple[float, float]:
    melt, T_K = from_amounts(amounts(row.melt)), kelvin(row.t_C)
    return bath_pressure(melt, T_K), sigma_ln_pressure(melt, T_K)


def _cell(row: Comparison) -> tuple[float, float]:
    """Volts against chlorine of the salt dilute, standard state of mole fractions."""
    T_K, solvent = kelvin(row.t_C), amounts(row.melt)
    total = sum(solvent.values())
    melt = {name: part / total * (1 - DILUTE) for name, part in solvent.items()} | {row.asked: DILUTE}
    couple = next(c for c in deposition_order(from_amounts(melt), T_K).couples if c.salt == row.asked)
    return couple.E_V + R * T_K / (salt(row.asked).charge * F) * np.log(DILUTE), couple.sigma_V


def _density(row: Comparison) -> tuple[float, float]:
    found = melt_density(from_amounts(amounts(row.melt)), kelvin(row.t_C))
    return found.value_g_cm3, found.sigma_g_cm3


def _viscosity(row: Comparison) -> tuple[float, float]:
    found = viscosity(from_amounts(amounts(row.melt)), kelvin(row.t_C))
    return found.value, found.sigma_rel


def _enthalpy(row: Comparison) -> tuple[float, float]:
    """H = G - T dG/dT of mixing, and of its derivatives by the parameters."""
    melt, T_K = from_amounts(amounts(row.melt)), kelvin(row.t_C)
    system, x = salt_system(melt.salts), melt.array

    def excess(T: float) -> float:
        return float(system.excess_potentials(x[None, :], T)[0] @ x)

    def gradients(T: float) -> list[list[np.ndarray]]:
        return [system.parameter_gradient(PureSolid(f, i), x, T, None) for i, f in enumerate(melt.salts)]

    slope = T_K / (2 * STEP_K)
    here, above, below = (gradients(T) for T in (T_K, T_K + STEP_K, T_K - STEP_K))
    rows = [
        [g - slope * (a - b) for g, a, b in zip(*parts, strict=True)] for parts in zip(here, above, below, strict=True)
    ]
    covariance = system.covariance(rows, np.zeros((len(x), len(x))))
    value = excess(T_K) - slope * (excess(T_K + STEP_K) - excess(T_K - STEP_K))
    return value, float(np.sqrt(x @ covariance @ x))


def _liquidus(row: Comparison) -> tuple[float, float]:
    """Start of freezing of an aluminium bath: mol%, or a cryolite ratio with additions and alumina in mass%."""
    named = amounts(row.melt)
    ratio, alumina = named.pop("ratio", None), named.pop("Al2O3", 0.0)
    melt: Composition = (
        from_amounts(named)
        if ratio is None
        else bath_composition(excess_of_ratio(ratio, named, alumina), named, alumina)
    )
    found = bath_liquidus(melt, alumina)
    return celsius(found.T_K), found.sigma_K


QUESTIONS: dict[str, Callable[[Comparison], tuple[float, float]]] = {
    "vapour": _vapour,
    "cell": _cell,
    "density": _density,
    "viscosity": _viscosity,
    "enthalpy of mixing": _enthalpy,
    "bath liquidus": _liquidus,
}


def by_kind(rows: list[Comparison]) -> dict[str, list[Comparison]]:
    """The rows of each kind of question."""
    return {kind: [row for row in rows if row.kind == kind] for kind in QUESTIONS}


def inside(scores: list[float], width: float) -> int:
    """How many scores lie within so many standard deviations."""
    return sum(abs(z) <= width for z in scores)


def _line(kind: str, label: str, rows: list[Comparison], answers: list[tuple[float, float]]) -> str:
    scores = [row.z(*answer) for row, answer in zip(rows, answers, strict=True)]
    misses = [abs(row.miss(value)) for row, (value, _) in zip(rows, answers, strict=True)]
    unit = {"log": "(ln)"}.get(rows[0].scale, rows[0].unit)
    shares = "  ".join(f"{100 * inside(scores, width) / len(rows):3.0f} %" for width in WIDTHS)
    return (
        f"{kind:20s}{label:8s}{len(rows):4d}   {shares}   {np.median(misses):9.4g} {unit:8s} {np.median(scores):+5.1f}"
    )


def main() -> None:
    """Print each comparison, then the coverage by kind, blind and today."""
    rows = comparisons()
    today = {id(row): ask(row) for row in rows}
    for row in rows:
        value, sigma = today[id(row)]
        then, now = row.z(row.ours, row.our_sigma), row.z(value, sigma)
        print(
            f"{row.kind:19s}{row.melt[:34]:35s}{row.t_C:6.0f} C {row.asked:7s} print {row.printed:10.5g}  blind "
            f"{row.ours:10.5g} ({then:+5.1f})  today {value:10.5g} ({now:+5.1f})"
        )
    print(f"\n{'':28s}   n   inside 1, 1.645, 2 sigma   median miss        lean")
    for kind, own in by_kind(rows).items():
        print(_line(kind, "blind", own, [(row.ours, row.our_sigma) for row in own]))
        print(_line(kind, "today", own, [today[id(row)] for row in own]))
    counted = [row for own in by_kind(rows).values() for row in own]
    for label, scores in (
        ("blind", [row.z(row.ours, row.our_sigma) for row in counted]),
        ("today", [row.z(*today[id(row)]) for row in counted]),
    ):
        shares = "  ".join(f"{100 * inside(scores, width) / len(scores):3.0f} %" for width in WIDTHS)
        print(f"{'all':20s}{label:8s}{len(scores):4d}   {shares}")


if __name__ == "__main__":
    main()
