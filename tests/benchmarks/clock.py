"""Fair timing on a busy machine: CPU time, the best of several runs, things to be compared taking turns."""

import os
import sys
import time
from collections.abc import Callable


def use_one_thread() -> None:
    """Starts this process again with one thread for matrix products: on a busy machine two wait for each other."""
    if os.environ.get("OPENBLAS_NUM_THREADS") != "1":
        os.environ["OPENBLAS_NUM_THREADS"] = "1"
        os.execv(sys.executable, sys.orig_argv)


def best_seconds(*works: Callable[[], object], runs: int = 7) -> list[float]:
    """Shortest CPU time of each work over so many rounds in turn; every work runs once before, unmeasured."""
    for work in works:
        work()
    best = [float("inf")] * len(works)
    for _ in range(runs):
        for n, work in enumerate(works):
            start = time.process_time()
            work()
            best[n] = min(best[n], time.process_time() - start)
    return best


def verdict(what: str, value: float, limit: float, more_is_better: bool = False) -> bool:
    """Prints one ratio against its demand; returns whether it is met."""
    met = value >= limit if more_is_better else value <= limit
    print(f"    {what}: {value:.3g} ({'at least' if more_is_better else 'at most'} {limit:g} wanted) "
          f"{'met' if met else 'MISSED'}")  # fmt: skip
    return met
