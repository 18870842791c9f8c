"""Six salts with all their solids, and how time and memory grow with the number of compositions.

    python -m tests.benchmarks.many_melts        exit code 1 where the demand is missed

Demand: one million melts of four salts take at most 120 times the time of ten thousand, in bounded memory.
"""

import resource
import sys
import time

import numpy as np

from tests.benchmarks.clock import best_seconds, use_one_thread, verdict
from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.driving_force import liquidus_field

SIX = ("LiCl", "NaCl", "KCl", "MgCl2", "CaCl2", "BaCl2")
FOUR = ("LiCl", "NaCl", "KCl", "MgCl2")
FEW, MANY = 10_000, 1_000_000


def melts(count: int, salts: int) -> np.ndarray:
    """Compositions spread evenly over all mixes."""
    return np.random.default_rng(3).dirichlet(np.ones(salts), size=count)


def peak_MB() -> float:
    """Largest resident memory of this process so far."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def six_salts() -> None:
    """Prints the time of ten thousand melts of six salts."""
    system, x = salt_system(SIX), melts(FEW, 6)
    (field,) = best_seconds(lambda: liquidus_field(SIX, x), runs=2)
    print(f"{'-'.join(SIX)}: {len(system.solids)} solids ({', '.join(s.name for s in system.solids)}), "
          f"{field:.2f} s for {len(x)} melts, {1e6 * field / len(x):.0f} us each")  # fmt: skip


def growth() -> bool:
    """Prints how time and memory grow from ten thousand to a million melts of four salts."""
    few = melts(FEW, 4)
    (short,) = best_seconds(lambda: liquidus_field(FOUR, few), runs=3)
    before = peak_MB()
    many = melts(MANY, 4)
    start = time.process_time()
    liquidus_field(FOUR, many)
    long = time.process_time() - start
    print(f"{'-'.join(FOUR)}: {short:.2f} s for {FEW}, {long:.1f} s for {MANY}; "
          f"peak memory {before:.0f} MB before, {peak_MB():.0f} MB after")  # fmt: skip
    return verdict("times as long for 100 times the melts", long / short, 120)


if __name__ == "__main__":
    use_one_thread()
    six_salts()
    sys.exit(0 if growth() else 1)
