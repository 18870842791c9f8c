"""Fair timing on a busy machine: the best of several runs, things to be compared taking turns."""

import time
from collections.abc import Callable


def best_seconds(*works: Callable[[], object], runs: int = 7) -> list[float]:
    """Shortest wall-clock time of each work over so many rounds in turn; every work runs once before, unmeasured."""
    for work in works:
        work()
    best = [float("inf")] * len(works)
    for _ in range(runs):
        for n, work in enumerate(works):
            start = time.perf_counter()
            work()
            best[n] = min(best[n], time.perf_counter() - start)
    return best


def verdict(what: str, value: float, limit: float, more_is_better: bool = False) -> bool:
    """Prints one ratio against its demand; returns whether it is met."""
    met = value >= limit if more_is_better else value <= limit
    print(f"    {what}: {value:.1f} ({'at least' if more_is_better else 'at most'} {limit:g} wanted) "
          f"{'met' if met else 'MISSED'}")  # fmt: skip
    return met
