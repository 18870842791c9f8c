"""Does a kill in the middle of a write lose anything of the notebook? Writers killed with SIGKILL at random moments.

    python -m tests.benchmarks.kills --times 1000 [--keep]        exit code 1 where anything was lost

Each writer is a process of its own on one file; it says every entry once that is on disk, and is killed 0 to LATEST_S
after its first. Afterwards the file must be whole and hold every entry said, and of each writer at most one more: the
one in hand. Worked value: 40 kills take a few seconds.
"""

import argparse
import os
import random
import signal
import sqlite3
import sys
import time
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.benchmarks.measured import keep
from thermo.notebook.store import Notebook

LATEST_S = 0.03
MELT = {"amounts": {"NaCl": 48.0, "CaCl2": 52.0}, "basis": "mol", "text": "x" * 5000}


@dataclass(frozen=True)
class Outcome:
    """Kills done; entries said to be on disk, of them lost; entries beyond the one in hand; is the file whole."""

    kills: int
    said: int
    lost: int
    too_many: int
    whole: bool


def kill_writers(path: Path, times: int, seed: int = 1) -> Outcome:
    """Kill so many writers of one notebook and look at what is left."""
    draw, said = random.Random(seed), []
    Notebook(path).add("first", MELT)
    for n in range(times):
        said.append(_killed(path, n, draw.uniform(0.0, LATEST_S)))
    names = [entry.name for entry in Notebook(path).entries()]
    kept = set(names)
    lost = [f"{n} {k}" for n, last in enumerate(said) for k in range(last + 1) if f"{n} {k}" not in kept]
    most = 1 + sum(last + 2 for last in said)  # the first, and of each writer all it said and the one in hand
    with closing(sqlite3.connect(path)) as raw:
        whole = raw.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    return Outcome(times, sum(last + 1 for last in said), len(lost), max(len(names) - most, 0), whole)


def _killed(path: Path, n: int, after_s: float) -> int:
    """The last entry that one writer said was on disk before it was killed."""
    read_end, write_end = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(read_end)
        try:
            _write(path, n, write_end)
        finally:
            os._exit(1)
    os.close(write_end)
    with os.fdopen(read_end) as pipe:
        lines = [pipe.readline()]
        time.sleep(after_s)
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        lines += pipe.readlines()
    return max((int(line) for line in lines if line.endswith("\n")), default=-1)


def _write(path: Path, n: int, write_end: int) -> None:
    book = Notebook(path)
    for k in range(100000):
        book.add(f"{n} {k}", MELT)
        os.write(write_end, f"{k}\n".encode())


if __name__ == "__main__":
    parser = argparse.ArgumentParser()
    parser.add_argument("--times", type=int, default=1000)
    parser.add_argument("--keep", action="store_true")
    asked = parser.parse_args()
    with TemporaryDirectory() as place:
        found = kill_writers(Path(place) / "notebook.sqlite3", asked.times)
    print(found)
    if asked.keep:
        keep("kills in a notebook's write", "python -m tests.benchmarks.kills --keep", vars(found))
    sys.exit(0 if found.whole and not found.lost and not found.too_many else 1)
