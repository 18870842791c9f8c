"""How long the lowest melt of several salts takes: the worst set of salts against the median one.

    python -m tests.benchmarks.lowest [SETS]         exit code 1 where a demand is missed

SETS (default 24) random sets each of three, four and five salts of one anion, and 8 of six. Demands: of each size the
worst takes at most 5 times the median; six salts at most 0.5 s of processor time in the median.
"""

import contextlib
import sys
import time

import numpy as np

from tests.benchmarks.clock import use_one_thread, verdict
from thermo.equilibrium.invariants.lowest import lowest
from thermo.records.provenance import RangeError
from thermo.records.substances import salt, salts


def seconds(size: int, count: int) -> list[float]:
    """CPU time of each of so many random sets of this size; sets whose melt stays liquid are answered as well."""
    draw = np.random.default_rng(20 + size)
    pools = [[f for f in salts() if salt(f).anion == anion] for anion in ("Cl", "F")]
    spans = []
    for n in range(count + 1):
        names = draw.choice(pools[n % 2], size, replace=False).tolist()
        start = time.process_time()
        with contextlib.suppress(RangeError):
            lowest(names)
        spans.append(time.process_time() - start)
    return spans[1:]  # the first imports


def measure(count: int) -> bool:
    """Prints median and worst of each size."""
    met = True
    for size, sets in ((3, count), (4, count), (5, count), (6, 8)):
        spans = seconds(size, sets)
        print(f"{size} salts, {sets} sets: median {np.median(spans):.2f} s, worst {max(spans):.2f} s")
        met &= verdict("times the median, the worst", max(spans) / float(np.median(spans)), 5)
    return met & verdict("s of processor time, six salts", float(np.median(spans)), 0.5)


if __name__ == "__main__":
    use_one_thread()
    sys.exit(0 if measure(int(sys.argv[1]) if len(sys.argv) > 1 else 24) else 1)
