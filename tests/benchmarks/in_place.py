"""Which nudged cells do the second witnesses notice, and which the conventions? Tests called in one process, in turn.

The tests of one folder (tests/witnesses, tests/conventions) are called once as the tables are, to see which of them
reads which; then a child for each table calls its readers for every nudged copy of it, and they read everything anew.
What no witness notices is asked of the rest of the suite elsewhere (tests/benchmarks/mutations.py), so a share found
here is a lower bound.
"""

import importlib.util
import inspect
import json
import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterable
from contextlib import redirect_stdout
from io import StringIO
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.benchmarks import nudges
from tests.benchmarks.asking import ROOT
from tests.benchmarks.nudges import Cell
from thermo.records import data_folder, tables
from thermo.records.data_folder import DATA

FOLDERS = ("witnesses", "conventions")  # of tests/: physics or print, and how spreads were given
FAILS = (
    AssertionError,
    ArithmeticError,
    AttributeError,
    LookupError,
    RuntimeError,
    StopIteration,
    TypeError,
    ValueError,
)
Noticed = str | None


def _tests(folder: str) -> dict[str, Callable[[], None]]:
    """Every test of the folder that takes no argument, by file and name."""
    found = {}
    for path in sorted((ROOT / "tests" / folder).glob("test_*.py")):
        spec = importlib.util.spec_from_file_location(f"tests.{folder}.{path.stem}", path)
        module = importlib.util.module_from_spec(spec)
        spec.loader.exec_module(module)
        for name, test in vars(module).items():
            if name.startswith("test_") and not inspect.signature(test).parameters and not hasattr(test, "pytestmark"):
                found[f"{path.stem}.{name}"] = test
    return found


class Witnesses:
    """The tests of the folder, each with the tables it reads: called once here, as the tables are."""

    def __init__(self, folder: str) -> None:
        self.reading: dict[str, frozenset[str]] = {}
        self.tests = _tests(folder)
        raw = tables.raw
        with redirect_stdout(StringIO()):
            for name, test in self.tests.items():
                seen: set[str] = set()
                tables.raw = lambda file, seen=seen: (seen.add(file), raw(file))[1]
                tables.forget()
                test()
                self.reading[name] = frozenset(seen)
        tables.raw = raw

    def ask(self, cells: Iterable[Cell], shares: tuple[float, ...]) -> dict[tuple[Cell, float], Noticed]:
        """The witness that notices each cell larger by each share, None where none does; the largest share first."""
        by_table: dict[str, list[Cell]] = {}
        for cell in cells:
            by_table.setdefault(cell.table, []).append(cell)
        found = {}
        for table, own in by_table.items():
            for cell, answers in zip(own, self._in_child(table, own, shares), strict=True):
                found |= {(cell, share): said for share, said in zip(shares, answers, strict=True)}
        return found

    def _in_child(self, table: str, cells: list[Cell], shares: tuple[float, ...]) -> list[list[Noticed]]:
        read_end, write_end = os.pipe()
        child = os.fork()
        if child == 0:
            os.close(read_end)
            answers: list[list[Noticed]] = []
            try:
                with redirect_stdout(StringIO()), TemporaryDirectory() as place:
                    answers = self._nudge(Path(place) / "data", table, cells, shares)
            finally:
                with os.fdopen(write_end, "w") as pipe:
                    pipe.write(json.dumps(answers))
                os._exit(0)
        os.close(write_end)
        with os.fdopen(read_end) as pipe:
            answers = json.loads(pipe.read())
        os.waitpid(child, 0)
        if len(answers) != len(cells):
            raise RuntimeError(f"{table}: {len(answers)} of {len(cells)} cells were asked about")
        return answers

    def _nudge(self, folder: Path, table: str, cells: list[Cell], shares: tuple[float, ...]) -> list[list[Noticed]]:
        shutil.copytree(DATA, folder)
        readers = {name: test for name, test in self.tests.items() if table in self.reading[name]}
        data_folder._folder = folder
        found = []
        for cell in cells:
            said: list[Noticed] = []
            for share in shares:  # what the larger does not show, the smaller does not either
                manifest = (folder / "MANIFEST.csv").read_bytes()
                before = nudges.rewritten(folder, cell, cell.nudged(share))
                tables.forget()
                said.append(_first(readers) if not said or said[-1] else None)
                (folder / table).write_bytes(before)
                (folder / "MANIFEST.csv").write_bytes(manifest)
            found.append(said)
        return found


def apart(cells: list[Cell], shares: tuple[float, ...], folder: str) -> dict[tuple[Cell, float], Noticed]:
    """The same in a process of its own, so that this one imports no test and no law."""
    asked = json.dumps([[list(vars(cell).values()) for cell in cells], shares, folder])
    words = [sys.executable, "-m", "tests.benchmarks.in_place"]
    done = subprocess.run(words, cwd=ROOT, input=asked, capture_output=True, text=True)
    if done.returncode:
        raise RuntimeError(done.stderr[-800:])
    answers = iter(json.loads(done.stdout))
    return {(cell, share): next(answers) for cell in cells for share in shares}


def _first(readers: dict[str, Callable[[], None]]) -> Noticed:
    for name, test in readers.items():
        try:
            test()
        except FAILS:
            return name
    return None


if __name__ == "__main__":
    listed, wanted, where = json.load(sys.stdin)
    told = [Cell(*values) for values in listed]
    noticed = Witnesses(where).ask(told, tuple(wanted))
    sys.stdout.write(json.dumps([noticed[cell, share] for cell in told for share in wanted]))
