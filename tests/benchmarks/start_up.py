"""How long a user waits for one answer on the command line: whole processes, against bare imports.

    python -m tests.benchmarks.start_up          exit code 1 where a demand is missed

Medians of nine pairs of processes taking turns, in processor time. Demands: one melt for a metal at most 1.4 times
importing numpy and scipy.optimize, and at most 90 MiB, byte code and what is kept beside it being there; the help and
a mistyped salt at most 10 times Python itself.
"""

import os
import statistics
import subprocess
import sys
import tempfile

from tests.benchmarks.clock import verdict

MELT = ["-m", "thermo", "melt", "NaCl=48", "CaCl2=52", "--metal", "Na", "--at", "600", "--json"]
THREE = ["-m", "thermo", "melt", "NaCl=40", "KCl=40", "MgCl2=20", "--metal", "Mg", "--at", "720", "--json"]
IMPORTS = ["-c", "import numpy, scipy.optimize"]
HELP = ["-m", "thermo", "--help"]
MISTAKE = ["-m", "thermo", "melt", "NaClx=3"]
NOTHING = ["-c", "pass"]
RUNS = 9


def measured(words: list[str], byte_code: str) -> tuple[float, float]:
    """CPU seconds and peak MiB of one process; `byte_code` is where compiled modules are kept."""
    env = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    env |= {"PYTHONPYCACHEPREFIX": byte_code}
    child = subprocess.Popen([sys.executable, *words], env=env, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    _, _, used = os.wait4(child.pid, 0)
    child.returncode = 0
    return used.ru_utime + used.ru_stime, used.ru_maxrss / 1024


def ratio(work: list[str], yardstick: list[str], byte_code: str) -> tuple[float, float]:
    """Median ratio of CPU time over pairs of processes, and the work's median peak in MiB."""
    for words in (work, yardstick):
        measured(words, byte_code)  # fills the file cache and writes byte code
    pairs = [(measured(work, byte_code), measured(yardstick, byte_code)) for _ in range(RUNS)]
    return statistics.median(a[0] / b[0] for a, b in pairs), statistics.median(a[1] for a, _ in pairs)


def measure() -> bool:
    """Prints every ratio against its demand."""
    with tempfile.TemporaryDirectory() as byte_code:
        met = True
        for what, melt in (("two salts", MELT), ("three salts", THREE)):
            times, peak = ratio(melt, IMPORTS, byte_code)
            met &= verdict(f"times the imports, one melt of {what}", times, 1.4)
            met &= verdict(f"MiB, one melt of {what}", peak, 90)
        met &= verdict("times bare Python, the help", ratio(HELP, NOTHING, byte_code)[0], 10)
        met &= verdict("times bare Python, a mistyped salt", ratio(MISTAKE, NOTHING, byte_code)[0], 10)
    return met


if __name__ == "__main__":
    sys.exit(0 if measure() else 1)
