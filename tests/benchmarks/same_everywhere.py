"""The same answers everywhere: other linear algebra, hash seeds, thread counts and Python versions, as a table.

    python -m tests.benchmarks.same_everywhere [--python /path/to/python3.13 ...] [--keep]

Each row is a process of its own that answers QUESTIONS (melts of one and two anions, pairs, lowest mixes, a cell, a
search, a weigh-out) as JSON; words must be equal to those of the first row and numbers to WITHIN. A --python needs this
project's packages (a virtual environment made from requirements.txt). Exit code 1 where a row differs.
Limits: numbers are compared as they are printed, rounded. Kernels are chosen by OPENBLAS_CORETYPE and are those of
this processor's family; one that the processor cannot run is not tried.
"""

import argparse
import json
import math
import os
import subprocess
import sys
from pathlib import Path

from tests.benchmarks.measured import keep

ROOT = Path(__file__).resolve().parents[2]
WITHIN = 1e-6  # relative; the solvers stop at some 1e-9
KERNELS = ("Haswell", "SkylakeX", "Sandybridge", "Nehalem")
FLAGS = {"Haswell": "avx2", "SkylakeX": "avx512f", "Sandybridge": "avx", "Nehalem": "sse4_2"}
QUESTIONS = (
    "melt NaCl=48 CaCl2=52 --metal Na --at 600",
    "melt NaCl=60 CaCl2=18 MgCl2=22 --metal Mg --at 720",
    "melt LiF=46 NaF=12 KF=42",
    "melt NaF=53 AlF3=37 CaF2=10 --metal Al --at 960",
    "melt LiF=30 NaCl=70",
    "pair KCl MgCl2",
    "pair LiF NaF",
    "pair LiCl KCl",
    "lowest NaCl KCl MgCl2",
    "cell MgCl2=20 NaCl=40 KCl=40 --basis mass --metal Mg --at 700 --amps 5 --hours 2 --bath-g 500",
    "find --metal Na --salts NaCl,KCl,CaCl2 --max-salts 2",
    "weigh NaCl=42 CaCl2=58 --basis mass --total-g 300 --from CaCl2=CaCl2.2H2O",
)
ASK = """
import contextlib, io, json, sys
from thermo.present.command_line.main import main
found = []
for line in json.load(sys.stdin):
    out = io.StringIO()
    with contextlib.redirect_stdout(out):
        code = main([*line.split(), "--json"])
    found.append(json.loads(out.getvalue()) if code == 0 else code)
print(json.dumps(found))
"""


def rows(pythons: list[str]) -> list[tuple[str, str, dict[str, str]]]:
    """(name, interpreter, environment) of every row; the first is what the others are held against."""
    own = sys.executable
    found = [("as it is", own, {})]
    flags = Path("/proc/cpuinfo").read_text(encoding="utf-8") if Path("/proc/cpuinfo").exists() else ""
    found += [(f"kernel {name}", own, {"OPENBLAS_CORETYPE": name}) for name in KERNELS if f" {FLAGS[name]}" in flags]
    found += [(f"hash seed {seed}", own, {"PYTHONHASHSEED": seed}) for seed in ("0", "1", "4711")]
    found += [(f"{count} threads", own, {"OPENBLAS_NUM_THREADS": count}) for count in ("1", "2", "4")]
    return [*found, *((version_of(path), path, {}) for path in pythons)]


def version_of(python: str) -> str:
    """The words that an interpreter says of itself."""
    return subprocess.run([python, "--version"], capture_output=True, text=True, check=True).stdout.strip()


def answers(python: str, environment: dict[str, str]) -> list:
    """What one process answers; CalledProcessError where it fails."""
    done = subprocess.run(
        [python, "-c", ASK],
        input=json.dumps(QUESTIONS),
        cwd=ROOT,
        env=os.environ | environment,
        capture_output=True,
        text=True,
        check=True,
    )
    return json.loads(done.stdout)


def apart(one, two) -> tuple[float, list[str]]:
    """The largest relative difference of two answers' numbers, and where anything else differs."""
    if isinstance(one, dict) and isinstance(two, dict) and one.keys() == two.keys():
        pairs = [(one[key], two[key], f"/{key}") for key in one]
    elif isinstance(one, list) and isinstance(two, list) and len(one) == len(two):
        pairs = [(a, b, f"[{n}]") for n, (a, b) in enumerate(zip(one, two, strict=True))]
    elif isinstance(one, float) and isinstance(two, float):
        away = abs(one - two) / max(abs(one), abs(two), 1e-9)
        return (away, []) if math.isfinite(away) else (0.0, ["not finite"])
    else:
        return 0.0, [] if one == two else [f": {str(one)[:60]} / {str(two)[:60]}"]
    found = [(apart(a, b), at) for a, b, at in pairs]
    return max((f[0] for f, _ in found), default=0.0), [at + line for f, at in found for line in f[1]]


def measure(pythons: list[str]) -> tuple[dict[str, str], bool]:
    """The table, and whether all rows agree."""
    table, met, first = {}, True, None
    for name, python, environment in rows(pythons):
        found = answers(python, environment)
        first = found if first is None else first
        away, lines = apart(first, found)
        met &= away <= WITHIN and not lines
        table[name] = (
            f"{len(found)} answers, printed numbers within {away:.1e}, words {'differ' if lines else 'the same'}"
        )
        print(f"{name:18s} {table[name]}", *lines[:5], sep="\n    ", flush=True)
    return table, met


if __name__ == "__main__":
    parser = argparse.ArgumentParser()
    parser.add_argument("--python", nargs="*", default=[])
    parser.add_argument("--keep", action="store_true")
    asked = parser.parse_args()
    found, good = measure(asked.python)
    if asked.keep:
        keep("same everywhere", "python -m tests.benchmarks.same_everywhere --keep", found)
    sys.exit(0 if good else 1)
