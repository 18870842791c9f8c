"""The whole suite under each linear-algebra kernel that this processor can run: passed, failed and how long.

    python -m tests.benchmarks.suite_everywhere [--kernels Haswell SkylakeX] [--keep]        minutes each

Each kernel is a run of README's test command with OPENBLAS_CORETYPE set; exit code 1 where a test fails under one.
Limits: kernels of another family of processors cannot be tried here.
"""

import argparse
import os
import re
import subprocess
import sys
import time

from tests.benchmarks.asking import ROOT
from tests.benchmarks.measured import keep
from tests.benchmarks.same_everywhere import KERNELS, rows

OUTCOME = re.compile(r"^(?:=+ )?(\d+ (?:passed|failed).*?) in [\d.]+", re.MULTILINE)


def here() -> list[str]:
    """Kernels that this processor can run."""
    return [environment["OPENBLAS_CORETYPE"] for _, _, environment in rows([]) if "OPENBLAS_CORETYPE" in environment]


def suite(kernel: str, more: list[str]) -> tuple[str, bool]:
    """What pytest says at the end, and whether nothing failed."""
    start = time.perf_counter()
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "-q", *more],
        cwd=ROOT,
        env=os.environ | {"OPENBLAS_CORETYPE": kernel},
        capture_output=True,
        text=True,
    )
    outcome = OUTCOME.findall(done.stdout)
    failed = re.findall(r"^FAILED (\S+)", done.stdout, re.MULTILINE)
    said = outcome[-1] if outcome else f"no outcome: {done.stdout[-200:]} {done.stderr[-200:]}"
    return f"{said} ({time.perf_counter() - start:.0f} s) {' '.join(failed)}".strip(), done.returncode == 0


def main(words: list[str]) -> int:
    """Runs, prints, keeps."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--kernels", nargs="+", choices=KERNELS, default=here())
    parser.add_argument("--keep", action="store_true")
    parser.add_argument("tests", nargs="*", help="only these, instead of the whole suite")
    asked = parser.parse_args(words)
    found, good = {}, True
    for kernel in asked.kernels:
        found[f"kernel {kernel}"], passed = suite(kernel, asked.tests)
        good &= passed
        print(f"{kernel}: {found[f'kernel {kernel}']}", flush=True)
    if asked.keep:
        keep("the suite under other kernels", "python -m tests.benchmarks.suite_everywhere --keep", found)
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
