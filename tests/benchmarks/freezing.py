"""How long the solidus and the whole freezing path of six salts take, against one liquidus of the same melt.

    python -m tests.benchmarks.freezing          prints; no demand but that every mix gets an answer within a minute

300 random mixes of six chlorides for the solidus, 6 of them for the path, CPU time. Three salts, and two anions, for
comparison: a tenth of the mixes, as their phases have more to choose from.
"""

import sys
import time

import numpy as np

from thermo.equilibrium.freezing.freezing_path import freezing_path
from thermo.equilibrium.freezing.liquidus import liquidus
from thermo.equilibrium.freezing.solidus import solidus
from thermo.records.composition import Composition

SIX = ("LiCl", "NaCl", "KCl", "MgCl2", "CaCl2", "BaCl2")
THREE = ("NaCl", "KCl", "CaCl2")
TWO_ANIONS = (("LiF", "NaCl", "KCl"), ("LiF", "NaCl", "KCl", "MgCl2", "CaCl2", "BaCl2"))
MIXES, PATHS = 300, 6


def milliseconds(work, mixes: list[Composition]) -> list[float]:
    """CPU time of every mix; the first mix runs once before, unmeasured."""
    work(mixes[0])
    found = []
    for mix in mixes:
        start = time.process_time()
        work(mix)
        found.append(1000 * (time.process_time() - start))
    return found


def report(salts: tuple[str, ...], count: int = MIXES) -> float:
    """Prints the times for `count` mixes of these salts; the longest, ms."""
    draws = np.random.default_rng(4).dirichlet(np.ones(len(salts)), size=count)
    mixes = [Composition(salts, tuple(x.tolist())) for x in draws]
    start, end, path = (
        milliseconds(work, some) for work, some in ((liquidus, mixes), (solidus, mixes), (freezing_path, mixes[:PATHS]))
    )
    unit = np.mean(start)
    print(f"{'-'.join(salts)}: liquidus {unit:.1f} ms")
    print(
        f"    solidus {np.mean(end):.0f} ms a mix, {np.mean(end) / unit:.1f} liquidus calls, longest {max(end):.0f} ms"
    )
    print(f"    path {np.mean(path):.0f} ms a mix, {np.mean(path) / unit:.0f} liquidus calls")
    return max(end + path)


if __name__ == "__main__":
    sys.exit(0 if max(report(THREE), report(SIX), *(report(s, MIXES // 10) for s in TWO_ANIONS)) < 60_000 else 1)
