"""How long a refit takes: processor time of `python -m thermo refit --check`, imports and all.

    python -m tests.benchmarks.refitting         exit code 1 where the demand is missed

The better of two runs, as the first of them writes the byte code. Demand: at most 5 s (on a machine that imports numpy
and scipy.optimize in a third of a second; that is printed too).
"""

import sys
import tempfile

from tests.benchmarks.clock import verdict
from tests.benchmarks.start_up import IMPORTS, measured


def measure() -> bool:
    """Prints the time against its demand."""
    with tempfile.TemporaryDirectory() as byte_code:
        yard = min(measured(IMPORTS, byte_code)[0] for _ in range(3))
        spent = min(measured(["-m", "thermo", "refit", "--check"], byte_code)[0] for _ in range(2))
    print(f"refit: {spent:.1f} s of processor time, imports {yard:.2f} s")
    return verdict("s of processor time, a refit", spent, 5)


if __name__ == "__main__":
    sys.exit(0 if measure() else 1)
