"""Does a part of the suite notice? Test files run in a fork of this process, with other data or other source.

The child starts from a process that has imported no law and no test, so that it reads everything anew. Nothing is
written; a child that takes longer than allowed is ended and counts as not having noticed.
"""

import ast
import importlib.abc
import importlib.util
import io
import json
import os
import signal
import sys
import time
from collections.abc import Callable
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from pathlib import Path

import pytest
import scipy.optimize  # noqa: F401  imported here once, so that no child has to

from thermo.records import data_folder, tables

ROOT = Path(__file__).resolve().parents[2]
OPTIONS = ["-q", "-x", "-n", "0", "-p", "no:cacheprovider", "--no-header", "--tb=no"]
PASSED, FAILED = 0, 1


@dataclass(frozen=True)
class Asked:
    """What one test file did: pytest's exit code (None: out of time), seconds, tables it read."""

    code: int | None
    seconds: float
    read: tuple[str, ...]


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
    start = time.perf_counter()
    child = os.fork()
    if child == 0:
        os.close(read_end)
        os._exit(_child(file, change, seconds, write_end))
    os.close(write_end)
    with os.fdopen(read_end) as pipe:
        text = pipe.read()
    _, status = os.waitpid(child, 0)
    code = os.waitstatus_to_exitcode(status)
    known = json.loads(text) if text else []
    return Asked(None if code < 0 else code, time.perf_counter() - start, tuple(known))


def _child(file: str, change: Callable[[], None], seconds: int, write_end: int) -> int:
    signal.alarm(seconds)
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
            os.write(write_end, json.dumps(sorted(seen)).encode())
    return code
