"""How long the solidus and the whole freezing path of six salts take, against one liquidus of the same melt.

    python -m tests.benchmarks.freezing [MIXES]     exit code 1 where a demand is missed

300 (MIXES) random mixes of six chlorides for the solidus, 6 of them for the path, CPU time; of three salts the same;
of two anions a tenth, as their phases have more to choose from. Demands: a path at most 60 times a liquidus with its
band, a solidus at most 10 times, one anion or two.
"""

import sys
import time

import numpy as np

from tests.benchmarks.clock import use_one_thread, verdict
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


def report(salts: tuple[str, ...], count: int) -> bool:
    """Prints the times for `count` mixes of these salts against their demands."""
    draws = np.random.default_rng(4).dirichlet(np.ones(len(salts)), size=count)
    mixes = [Composition(salts, tuple(x.tolist())) for x in draws]
    start, end, path = (
        milliseconds(work, some) for work, some in ((liquidus, mixes), (solidus, mixes), (freezing_path, mixes[:PATHS]))
    )
    unit = np.mean(start)
    print(f"{'-'.join(salts)}: liquidus {unit:.1f} ms")
    print(f"    solidus {np.mean(end):.0f} ms a mix, longest {max(end):.0f}; path {np.mean(path):.0f} ms a mix")
    met = verdict("liquidus calls, a solidus", float(np.mean(end) / unit), 10)
    return met & verdict("liquidus calls, a path", float(np.mean(path) / unit), 60)


if __name__ == "__main__":
    use_one_thread()
    mixes = int(sys.argv[1]) if len(sys.argv) > 1 else MIXES
    met = [report(THREE, mixes), report(SIX, mixes), *(report(s, max(3, mixes // 10)) for s in TWO_ANIONS)]
    sys.exit(0 if all(met) else 1)
