"""How much faster two workers search than one, and that memory does not grow with the number of candidates.

    python -m tests.benchmarks.workers [tcp://HOST:8786]     exit code 1 where the demand is missed

One search over sets of up to four of eight chlorides, wall-clock time, the workers' start not counted; on a machine
with two free processors, or on the cluster of a scheduler. On a busy machine the CPU time of the same tasks says what
two free processors would give: one worker's over the larger share of two, tasks handed out as they are. Demand: two
workers at least 1.8 times one.
"""

import os
import resource
import sys
import time

from tests.benchmarks.clock import use_one_thread, verdict
from thermo.answers.finder.sweep import Task, sweep, tasks
from thermo.answers.finder.wish import Wish
from thermo.engine.spread import spread
from thermo.engine.workers import Workers

EIGHT = ("LiCl", "NaCl", "KCl", "RbCl", "MgCl2", "CaCl2", "SrCl2", "BaCl2")
READY_S = 60.0


def timed(task: Task) -> tuple[int, float]:
    """Melts and CPU seconds of one task."""
    start = time.process_time()
    return sweep(task).searched, time.process_time() - start


def ready(first: Task) -> int:
    """The process that did a small task: it has imported what it needs."""
    sweep(first)
    time.sleep(0.05)
    return os.getpid()


def wait_for(workers: Workers, first: Task) -> None:
    """Until all workers have begun."""
    seen: set[int] = set()
    until = time.monotonic() + READY_S
    while len(seen) < workers.count and time.monotonic() < until:
        seen.update(spread(ready, [first] * 2 * workers.count, workers))


def seconds(workers: Workers, work: list[Task]) -> tuple[float, float]:
    """Wall-clock time of the sweep once all workers have begun, and the CPU time of its tasks."""
    wait_for(workers, work[-1])
    start = time.perf_counter()
    found = list(spread(timed, work, workers))
    span, looked, cpu = time.perf_counter() - start, sum(n for n, _ in found), [s for _, s in found]
    each_us = 1e6 * span / looked
    print(f"{workers.count} workers: {looked} melts in {span:.1f} s, {each_us:.1f} us each, CPU {sum(cpu):.1f} s")
    shares = [0.0] * workers.count
    for one in cpu:
        shares[shares.index(min(shares))] += one
    return span, max(shares)


def measure(scheduler: str | None) -> bool:
    """Prints times and memory."""
    work = list(tasks(Wish("Mg", EIGHT, 4, 993.15, "floats")))
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    with Workers(1) as one, Workers(2, scheduler) as two:
        (alone, cpu), (shared, share) = seconds(one, work), seconds(two, work)
    after = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    children = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    print(f"peak memory {before:.0f} MB before, {after:.0f} MB after; largest worker {children:.0f} MB")
    print(f"by CPU time of the tasks, as on two free processors: {cpu / share:.2f} times as fast")
    return verdict("times as fast with two", alone / shared, 1.8, more_is_better=True)


if __name__ == "__main__":
    use_one_thread()
    sys.exit(0 if measure(sys.argv[1] if len(sys.argv) > 1 else None) else 1)
