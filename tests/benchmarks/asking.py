"""Does a part of the suite notice? Test files run in a fork of this process, with other data or other source.

The child starts from a process that has imported no law and no test, so that it reads everything anew. Nothing is
written; a child that takes more processor time than allowed is ended and counts as not having noticed. READERS is what
each quick test file reads: tables and laws, with its processor time, written by `python -m tests.benchmarks.asking`.
"""

import ast
import csv
import importlib.abc
import importlib.util
import io
import json
import os
import resource
import sys
from collections.abc import Callable
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from pathlib import Path

import chemicals  # noqa: F401  these are imported here once, so that no child has to
import hypothesis  # noqa: F401
import periodictable  # noqa: F401
import pytest
import scipy.interpolate
import scipy.optimize
import scipy.spatial
import scipy.special  # noqa: F401

from thermo.records import data_folder, tables

ROOT = Path(__file__).resolve().parents[2]
OPTIONS = [
    "-q",
    "-x",
    "-n",
    "0",
    "-p",
    "no:cacheprovider",
    "--no-header",
    "--tb=no",
    "--assert=plain",
    "-p",
    "no:anyio",
]
PASSED, FAILED = 0, (1, 2)  # pytest: a test failed, or the file could not be read


@dataclass(frozen=True)
class Asked:
    """What one test file did: pytest's exit code (None: out of time), processor seconds, tables read, laws used."""

    code: int | None
    seconds: float
    read: tuple[str, ...] = ()
    laws: tuple[str, ...] = ()


class _Changed(importlib.abc.Loader):
    def __init__(self, path: str, tree: ast.Module):
        self.path, self.tree = path, tree

    def exec_module(self, module) -> None:
        exec(compile(self.tree, self.path, "exec"), vars(module))


class _Finder(importlib.abc.MetaPathFinder):
    """Finds one module as a changed syntax tree."""

    def __init__(self, name: str, path: Path, tree: ast.Module):
        self.name, self.loader, self.path = name, _Changed(str(path), tree), path

    def find_spec(self, fullname, path=None, target=None):
        if fullname != self.name:
            return None
        return importlib.util.spec_from_file_location(fullname, self.path, loader=self.loader)


def with_source(name: str, path: Path, tree: ast.Module) -> Callable[[], None]:
    """What makes the child import this tree in place of module `name`."""
    assert name not in sys.modules, f"{name} is imported already: a change would not be seen"
    return lambda: sys.meta_path.insert(0, _Finder(name, path, tree))


def with_data(folder: Path) -> Callable[[], None]:
    """What makes the child read another data folder."""

    def change() -> None:
        data_folder._folder = folder
        tables.forget()

    return change


def ask(file: str, change: Callable[[], None], seconds: int) -> Asked:
    """Run one test file in a changed child."""
    read_end, write_end = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(read_end)
        os._exit(_child(file, change, seconds, write_end))
    os.close(write_end)
    with os.fdopen(read_end) as pipe:
        text = pipe.read()
    _, status, used = os.wait4(child, 0)
    code = os.waitstatus_to_exitcode(status)
    read, laws = json.loads(text) if text else ([], [])
    return Asked(None if code < 0 else code, used.ru_utime + used.ru_stime, tuple(read), tuple(laws))


def _child(file: str, change: Callable[[], None], seconds: int, write_end: int) -> int:
    resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds))
    os.chdir(ROOT)
    seen: set[str] = set()
    raw = tables.raw
    tables.raw = lambda name: (seen.add(name), raw(name))[1]
    tables.forget()
    code = 3
    with redirect_stdout(io.StringIO()), redirect_stderr(io.StringIO()):
        try:
            change()
            code = int(pytest.main([*OPTIONS, file]))
        finally:
            laws = [name.removeprefix("thermo.laws.") for name in sys.modules if name.startswith("thermo.laws.")]
            os.write(write_end, json.dumps([sorted(seen), sorted(laws)]).encode())
    return code


READERS = Path(__file__).with_name("readers.csv")
FOLDERS = ("witnesses", "published", "laws", "records", "answers", "properties", "equilibrium", "fitting")
NOT_PHYSICS = ("test_data", "test_tables", "test_table_checks", "test_table_forms", "test_table_text", "test_fitted",
               "test_agreement", "test_pipeline", "test_pair_files")  # sums, forms and refits  # fmt: skip
QUICK_S = 12


def readers() -> dict[str, Asked]:
    """The quick test files as they were traced; none before the first trace."""
    if not READERS.exists():
        return {}
    with READERS.open(encoding="utf-8", newline="") as file:
        return {
            row["file"]: Asked(PASSED, float(row["seconds"]), tuple(row["tables"].split()), tuple(row["laws"].split()))
            for row in csv.DictReader(file)
        }


def trace() -> None:
    """Run every test file that is about physics once, as everything is, and write down what the quick ones read."""
    paths = [path for folder in FOLDERS for path in sorted((ROOT / "tests" / folder).rglob("test_*.py"))]
    rows = []
    for path in paths:
        if path.stem in NOT_PHYSICS:
            continue
        name = path.relative_to(ROOT).as_posix()
        found = ask(name, with_data(data_folder.DATA), QUICK_S)
        print(f"{name}: {found.code}, {found.seconds:.1f} s, {len(found.read)} tables", flush=True)
        if found.code == PASSED:
            rows.append((name, f"{found.seconds:.1f}", " ".join(found.read), " ".join(found.laws)))
    with READERS.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(("file", "seconds", "tables", "laws"))
        writer.writerows(rows)


if __name__ == "__main__":
    trace()
