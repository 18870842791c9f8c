"""Results written down as they come, so that a long run that was killed goes on where it was.

A file of lines in JSON: first a stamp of what the results follow from (tables and code), then one result a line as
[key, value]. A line cut short by the kill, and all results of another stamp, are dropped; a file that does not begin as
a journal does is somebody's own, and is refused.
Limits: one run at a time may use a file; values must be what JSON holds. Worked value: of ten squares, four of them in
the journal, six are computed.
"""

import contextlib
import hashlib
import json
import os
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor
from pathlib import Path
from typing import IO, Any, TypeVar

from thermo.engine.spread import spread
from thermo.engine.workers import Workers
from thermo.records.data_folder import MANIFEST, folder
from thermo.records.provenance import InputError

Task = TypeVar("Task")
Result = TypeVar("Result")
HEAD = '{"journal": '  # how the first line begins
SYNC = 50  # results between two waits for the disk


class Journal:
    """The results of earlier runs and a place for those of this one; without a path it keeps nothing.

    taken: how many results of earlier runs were used.
    """

    def __init__(self, path: Path | None = None, stamp: str | None = None):
        """InputError where the file cannot be read or written, or is no journal."""
        self._known: dict[str, Any] = {}
        self._file: IO[str] | None = None
        self._since, self.taken = 0, 0
        if path is None:
            return
        stamp = _stamp() if stamp is None else stamp
        try:
            good = self._read(path, stamp) if path.exists() else 0
            self._file = path.open("a", encoding="utf-8")
            self._file.truncate(good)
        except OSError as error:
            raise InputError(f"journal {path}: {error.strerror}") from None
        if not good:
            self._file.write(json.dumps({"journal": stamp}) + "\n")

    def _read(self, path: Path, stamp: str) -> int:
        """Take over the results of this stamp; how many bytes of the file are good."""
        good = 0
        with path.open("rb") as lines:
            if not HEAD.encode().startswith(lines.read(len(HEAD))):
                raise InputError(f"journal {path}: holds something else; allowed is a new file or an earlier journal")
            lines.seek(0)
            for n, line in enumerate(lines):
                try:
                    found = json.loads(line)
                except ValueError:
                    break
                if not line.endswith(b"\n") or (n == 0 and found != {"journal": stamp}):
                    break
                if n:
                    self._known[found[0]] = found[1]
                good += len(line)
        return good

    def __contains__(self, key: str) -> bool:
        return key in self._known

    def __getitem__(self, key: str) -> Any:
        self.taken += 1
        return self._known[key]

    def add(self, key: str, value: Any) -> None:
        """Write one result down; a full disk is an OSError, and what stands is kept."""
        if self._file is None:
            return
        self._file.write(json.dumps([key, value]) + "\n")
        self._since += 1
        if self._since >= SYNC:
            self._file.flush()
            os.fsync(self._file.fileno())
            self._since = 0

    def close(self) -> None:
        """Write out what is left."""
        if self._file is not None:
            with contextlib.closing(self._file):
                self._file.flush()
            self._file = None

    def __enter__(self) -> "Journal":
        return self

    def __exit__(self, *_: object) -> None:
        self.close()


def spread_on(
    work: Callable[[Task], Result],
    tasks: Sequence[Task],
    workers: Workers | Executor | None,
    journal: Journal,
    *,
    key: Callable[[Task], str],
    written: Callable[[Result], Any],
    read: Callable[[Any], Result],
) -> Iterator[Result]:
    """As `spread`; what the journal holds is read and not done again, what is done is written down.

    key: of a task, its name in the journal; written and read: a result as JSON, and back.
    """
    fresh = spread(work, [task for task in tasks if key(task) not in journal], workers)
    try:
        for task in tasks:
            name = key(task)
            if name in journal:
                yield read(journal[name])
            else:
                result = next(fresh)
                journal.add(name, written(result))
                yield result
    finally:
        fresh.close()


def _stamp() -> str:
    """SHA-256 of the tables' manifest and of this package's code."""
    total = hashlib.sha256((folder() / MANIFEST).read_bytes())
    for path in sorted(Path(__file__).resolve().parents[1].rglob("*.py")):
        total.update(path.read_bytes())
    return total.hexdigest()
