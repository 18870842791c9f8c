"""How well melts of three salts could be known if the rule for them were perfect and only their pairs were uncertain.

    python -m tests.benchmarks.several_salts [DRAWS]      prints; no demand

The pairs of every three salts with a published lowest melt are drawn from their own covariances (no AlF3). A draw is
taken for the truth: its lowest melt is found, its composition read with an error, and the computed liquidus there and
the computed lowest melt are compared with it. So the medians are what a perfect rule would give, on average
and if the covariances are true, without data on the three.
"""

import sys
from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from thermo.answers.evidence.melts import all_lowest_evidence
from thermo.equilibrium.system.driving_force import Melts
from thermo.equilibrium.system.one_anion import SaltSystem
from thermo.records.fitted import pair_models

STEPS = 40  # of the first search, 2.5 mol%
FINER = (0.01, 0.004)
READ_TO = (0.0, 0.01, 0.02)  # mole fraction, the error of a published composition
SEED = 1


def drawn_pairs(system: SaltSystem, rng: np.random.Generator) -> dict[frozenset, object]:
    """The system's pairs with coefficients drawn from their covariances."""
    drawn = {}
    for pair in system.pairs:
        spread, axes = np.linalg.eigh(pair.covariance)
        kick = axes @ (np.sqrt(spread.clip(0)) * rng.standard_normal(len(spread)))
        drawn[frozenset(pair.salts)] = replace(pair, values=pair.values + kick)
    return drawn


def liquidus_K(system: SaltSystem, x: np.ndarray) -> np.ndarray:
    return Melts(system, x).liquidus()[0]


def lowest_of(system: SaltSystem, grid: np.ndarray) -> tuple[np.ndarray, float]:
    """Composition and temperature of the lowest melt, to 0.4 mol%."""
    x = grid[liquidus_K(system, grid).argmin()]
    moves = np.array([(a, b, -a - b) for a in range(-3, 4) for b in range(-3, 4)])
    for step in FINER:
        near = x + step * moves
        near = near[(near > 0).all(axis=1)]
        x = near[liquidus_K(system, near).argmin()]
    return x, float(liquidus_K(system, x[None, :])[0])


def misses(names: tuple[str, ...], models: Mapping, draws: int, rng: np.random.Generator):
    """(liquidus at the composition for each of READ_TO, lowest melt) minus the truth, K, one row a draw."""
    whole = [(i, j, STEPS - i - j) for i in range(1, STEPS) for j in range(1, STEPS - i)]
    grid = np.array(whole) / STEPS
    ours = SaltSystem(names, models)
    lowest_K = lowest_of(ours, grid)[1]
    for _ in range(draws):
        x, true_K = lowest_of(SaltSystem(names, drawn_pairs(ours, rng)), grid)
        read = np.array([np.abs(x + rng.normal(0, sigma, 3)) for sigma in READ_TO])
        yield (*(liquidus_K(ours, read / read.sum(axis=1, keepdims=True)) - true_K), lowest_K - true_K)


def main() -> None:
    draws = int(sys.argv[1]) if len(sys.argv) > 1 else 6
    rng, models = np.random.default_rng(SEED), pair_models()
    systems = [row.salts for row in all_lowest_evidence() if len(row.salts) == 3 and "AlF3" not in row.salts]
    found = np.abs([miss for names in systems for miss in misses(names, models, draws, rng)])
    print(f"{len(systems)} sets of three salts, {draws} draws each, pairs uncertain, rule perfect")
    for sigma, column in zip(READ_TO, found[:, :-1].T, strict=True):
        print(f"  liquidus at a composition read to {100 * sigma:.0f} mol%: median {np.median(column):.1f} K")
    print(f"  lowest melt: median {np.median(found[:, -1]):.1f} K, within 25 K {np.mean(found[:, -1] <= 25):.0%}")


if __name__ == "__main__":
    main()
