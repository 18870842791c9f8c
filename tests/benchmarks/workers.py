"""How much faster two workers search than one, and that memory does not grow with the number of candidates.

    python -m tests.benchmarks.workers [tcp://HOST:8786]     exit code 1 where the demand is missed

One search over sets of up to four of six chlorides, wall-clock time, the workers' start not counted; on a machine with
two free processors, or on the cluster of a scheduler. Demand: two workers at least 1.8 times one.
"""

import resource
import sys
import time

from tests.benchmarks.clock import use_one_thread, verdict
from thermo.answers.finder.sweep import sweep, tasks
from thermo.answers.finder.wish import Wish
from thermo.engine.spread import spread
from thermo.engine.workers import Workers

SIX = ("LiCl", "NaCl", "KCl", "MgCl2", "CaCl2", "BaCl2")


def seconds(workers: Workers, work: list) -> float:
    """Wall-clock time of the sweep once all workers have begun."""
    list(spread(sweep, work[:8], workers))
    start = time.perf_counter()
    looked = sum(swept.searched for swept in spread(sweep, work, workers))
    span = time.perf_counter() - start
    print(f"{workers.count} workers: {looked} melts in {span:.1f} s, {1e6 * span / looked:.1f} us each")
    return span


def measure(scheduler: str | None) -> bool:
    """Prints times and memory."""
    work = list(tasks(Wish("Mg", SIX, 4, 993.15, "floats")))
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    with Workers(1) as one, Workers(2, scheduler) as two:
        alone, shared = seconds(one, work), seconds(two, work)
    after = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    children = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    print(f"peak memory {before:.0f} MB before, {after:.0f} MB after; largest worker {children:.0f} MB")
    return verdict("times as fast with two", alone / shared, 1.8, more_is_better=True)


if __name__ == "__main__":
    use_one_thread()
    sys.exit(0 if measure(sys.argv[1] if len(sys.argv) > 1 else None) else 1)
