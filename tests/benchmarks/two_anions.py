"""What the law of melts of two anions reaches: driving forces, sections, magnesium baths, liquid gaps.

python -m tests.benchmarks.two_anions            the tables, half a minute
python -m tests.benchmarks.two_anions --gaps     and where the square of every two cations would separate
python -m tests.benchmarks.two_anions --cost     and what a melt and a field cost beside one anion
python -m tests.benchmarks.two_anions --choice   and the choice of Z and of the spread, systems left out in turn
python -m tests.benchmarks.two_anions --energies what fitting the energies of exchange to these melts would do
python -m tests.benchmarks.two_anions --local    the same of a term of its own for every pair of cations
"""

import sys
from collections.abc import Callable
from itertools import combinations
from time import process_time

import numpy as np

from tests.benchmarks import exchange_energies, reciprocal_term
from thermo.equilibrium.freezing.liquidus import liquid_unmixing, liquidus
from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.driving_force import Melts, liquidus_field
from thermo.equilibrium.system.two_anions import NEIGHBOURS_SIGMA, EXCHANGE_SIGMA_J_mol
from thermo.fitting.two_anion_error import (
    Residual,
    chosen,
    covered,
    covered_without_each,
    mean_square_root,
    measured,
    named_melts,
    residuals,
    with_spreads,
)
from thermo.records.composition import from_amounts
from thermo.records.substances import salt_of, salts
from thermo.records.units import NINETY, celsius

GRID = np.linspace(0.002, 0.998, 499)
# lowest points of sections as published (data/invariants.csv), mol% of the second salt
SECTIONS = {
    ("NaCl", "MgF2"): 4.5, ("NaCl", "CaF2"): 4.5, ("LiF", "KCl"): 80.0, ("LiF", "NaCl"): 58.5, ("CaCl2", "MgF2"): 12.5,
    ("LiCl", "CaF2"): 17.6, ("LaCl3", "MgF2"): 30.0, ("CeCl3", "MgF2"): 26.0, ("NdCl3", "MgF2"): 26.5,
}  # fmt: skip
CHOICES = (2.75, 3.0, 3.1, 3.15, 3.2, 3.25, 3.3, 3.35, 3.4, 3.45, 3.5, 3.75, 4.0)
UNSURE_ENERGIES = "Mg,Nd"  # its tabulated energies of exchange are good to 6 kJ a charge


def lowest_of_section(a: str, b: str) -> tuple[float, float]:
    """Lowest liquidus of a section on a grid of 0.2 mol%: deg C, and mol% of the second salt."""
    field = liquidus_field((a, b), np.column_stack([1 - GRID, GRID]))
    at = int(field.T_K.argmin())
    return float(celsius(field.T_K[at])), 100 * float(GRID[at])


def liquidus_misses() -> dict[str, list[float]]:
    """Computed less published liquidus at every published composition, K, by system of cations."""
    found: dict[str, list[float]] = {}
    for melt in named_melts():
        T_K = Melts(salt_system(melt.salts), np.array([melt.fractions])).liquidus()[0][0]
        found.setdefault(melt.system, []).append(float(T_K) - melt.T_K)
    return found


def separating_share(first: str, second: str, steps: int = 12) -> float:
    """Share of the composition square of two cations whose melt would separate at its own liquidus."""
    names = tuple(f for anion in ("F", "Cl") for cation in (first, second) if (f := salt_of(cation, anion)))
    system = salt_system(names)
    inside = (np.arange(steps) + 0.5) / steps
    X, Y = (part.ravel() for part in np.meshgrid(inside, inside))
    x = np.column_stack([X * Y, (1 - X) * Y, X * (1 - Y), (1 - X) * (1 - Y)])
    T_K, _ = Melts(system, x).liquidus()
    return float(np.mean([bool(liquid_unmixing(system, one, T)) for one, T in zip(x, T_K, strict=True)]))


def _forces(found: list[Residual], words: str) -> None:
    by_system = dict.fromkeys(one.melt.system for one in found)
    print(f"driving force of named solids at published points, kJ/mol, {words}")
    for name in by_system:
        own = [one for one in found if one.melt.system == name]
        print(f"  {name:9s} {mean_square_root(own) / 1000:5.2f}   {len(own)} solids")
    print(f"  all {mean_square_root(found) / 1000:.2f}, without {UNSURE_ENERGIES} "
          f"{mean_square_root(found, UNSURE_ENERGIES) / 1000:.2f} (asked 1.5)")  # fmt: skip


def _tables() -> None:
    for words, left_out in (("as fitted", False), ("left out", True)):
        _forces(residuals(left_out=left_out), words)
    misses = liquidus_misses()
    means = {name: float(np.mean(np.abs(values))) for name, values in misses.items()}
    worst = max(np.abs(values).max() for values in misses.values())
    print("liquidus at the published composition, K, mean by system:",
          ", ".join(f"{name} {mean:.0f}" for name, mean in means.items()))  # fmt: skip
    print(f"  mean of means {np.mean(list(means.values())):.1f} (asked 30), worst {worst:.0f} (asked 100)")
    print("lowest point of a section: deg C, mol% of the second salt (published)")
    for (a, b), published in SECTIONS.items():
        t_C, percent = lowest_of_section(a, b)
        print(f"  {a}-{b}: {t_C:.0f}, {percent:.1f} ({published:g}), off by {percent - published:+.1f}")
    print("magnesium bath NaCl 40 KCl 40 MgCl2 20 mass% with a flux in place of KCl")
    for flux in ("CaF2", "MgF2", "NaF"):
        for part in (1, 2, 4):
            melt = liquidus(from_amounts({"MgCl2": 20, "NaCl": 40, "KCl": 40 - part, flux: part}, basis="mass"))
            print(f"  {part} % {flux}: {celsius(melt.T_K):.0f} +- {melt.sigma_K:.0f} deg C, {melt.first_solid}")


def _gaps() -> None:
    cations = dict.fromkeys(s.cation for s in salts().values())
    whole = [c for c in cations if salt_of(c, "F") and salt_of(c, "Cl")]
    print("squares of two cations in which a melt would separate at its own liquidus")
    for first, second in combinations(whole, 2):
        share = separating_share(first, second)
        if share:
            print(f"  {first},{second}: {100 * share:.0f} %", flush=True)


def _choice() -> None:
    best, without = chosen(CHOICES)
    for Z in CHOICES:
        found = residuals(Z)
        print(f"Z {Z}: {mean_square_root(found):.0f} J/mol, without {UNSURE_ENERGIES} "
              f"{mean_square_root(found, UNSURE_ENERGIES):.0f}")  # fmt: skip
    print(f"chosen {best}; left out: {without}")
    whole = measured(with_spreads(residuals()))
    for exchange in (0.0, 500.0, 1000.0, 1250.0, 1500.0, 1750.0, 2250.0):
        shown = ", ".join(f"{covered(whole, exchange, Z):.2f}" for Z in (0.25, 0.5, 0.75))
        print(f"spread of exchange {exchange:g} J a charge: 90 % quantile of |D|/sigma at sigma_Z .25 .5 .75: {shown}")
    for name, value in covered_without_each(whole, EXCHANGE_SIGMA_J_mol, NEIGHBOURS_SIGMA).items():
        print(f"  without {name}: {value:.2f} (wanted {NINETY})")


def _cost() -> None:
    """One melt and a field of 2000 of two anions against melts of one with as many cations."""
    pairs = (
        ({"LiF": 30, "KCl": 70}, {"LiCl": 30, "KCl": 70}),
        ({"LiF": 11, "NaCl": 48, "KCl": 41}, {"LiCl": 11, "NaCl": 48, "KCl": 41}),
        ({"MgCl2": 20, "NaCl": 40, "KCl": 38, "CaF2": 2}, {"MgCl2": 20, "NaCl": 40, "KCl": 38, "CaCl2": 2}),
    )
    for both, one in pairs:
        times = []
        for amounts in (both, one):
            melt = from_amounts(amounts)
            many = np.random.default_rng(0).dirichlet(np.ones(len(amounts)), 2000)
            times.append([_best(lambda m=melt: liquidus(m)), _best(lambda m=melt, x=many: liquidus_field(m.salts, x))])
        (melt_2, field_2), (melt_1, field_1) = times
        print(f"{'-'.join(both)}: melt {1e3 * melt_2:.0f} ms ({melt_2 / melt_1:.1f} times one anion), field of 2000 "
              f"{1e3 * field_2:.0f} ms ({field_2 / field_1:.1f} times)")  # fmt: skip


def _best(question: Callable[[], object]) -> float:
    """Least CPU time of five, s, after one to warm up."""
    question()
    found = []
    for _ in range(5):
        start = process_time()
        question()
        found.append(process_time() - start)
    return min(found)


if __name__ == "__main__":
    _tables()
    if "--cost" in sys.argv:
        _cost()
    if "--gaps" in sys.argv:
        _gaps()
    if "--choice" in sys.argv:
        _choice()
    if "--energies" in sys.argv:
        exchange_energies.show()
    if "--local" in sys.argv:
        reciprocal_term.show()
