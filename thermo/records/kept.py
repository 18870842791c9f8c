"""Arrays that follow from tables and take long to compute, kept on disk beside the byte code.

As byte code is: in the folder of `importlib.util.cache_from_source`, not written where Python is told to write none
(PYTHONDONTWRITEBYTECODE) or may not, and never taken for other tables or other code. The folder's name holds a SHA-256
of the manifest, of the tables named and of size and time of all code of this folder. Arrays come back memory-mapped, so
that a short question reads the rows that it needs and no more.
Limits: only for data/ of this checkout; whoever can write to the byte code can write here too.
Worked value: a second process gets the same bits as the first computed.
"""

import contextlib
import hashlib
import os
import sys
import tempfile
from collections.abc import Callable, Mapping, Sequence
from importlib.util import cache_from_source
from pathlib import Path

import numpy as np

from thermo.records.data_folder import DATA, MANIFEST, folder, raw

Arrays = Mapping[str, np.ndarray]


def kept(name: str, tables: Sequence[str], compute: Callable[[], Arrays]) -> Arrays:
    """The arrays of `compute`, which follows from the tables as signed by code of this folder alone.

    tables: names under data/ of those that nothing else in a process reads, so that one that is not as signed is still
    noticed (by `compute`). No error where nothing can be kept.
    """
    if folder() != DATA:
        return compute()
    place = Path(cache_from_source(__file__)).parent / f"{name}.{_sources(tables)}"
    with contextlib.suppress(OSError, ValueError):  # none kept, or one that is no array
        return {
            name.removesuffix(".npy"): np.load(place / name, mmap_mode="r", allow_pickle=False)
            for name in os.listdir(place)
        }
    arrays = compute()
    if not sys.dont_write_bytecode:
        with contextlib.suppress(OSError):  # a full disk, or a folder that may not be written
            _keep(place, arrays)
    return arrays


def _sources(tables: Sequence[str]) -> str:
    total = hashlib.sha256(np.__version__.encode())
    with os.scandir(Path(__file__).parent) as found:  # by size and time, as byte code is
        code = sorted((e.name, e.stat().st_size, e.stat().st_mtime_ns) for e in found if e.name.endswith(".py"))
    for content in (str(code).encode(), *map(raw, (MANIFEST, *tables))):
        total.update(hashlib.sha256(content).digest())
    return total.hexdigest()[:32]


def _keep(place: Path, arrays: Arrays) -> None:
    """Write all arrays and only then give the folder its name: a killed process leaves nothing that is read."""
    place.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(prefix="kept-", dir=place.parent, ignore_cleanup_errors=True) as aside:
        begun = Path(aside) / "new"
        begun.mkdir()
        for name, array in arrays.items():
            with open(begun / f"{name}.npy", "wb") as file:
                by_rows = np.ascontiguousarray(array)  # a row by columns would bring the whole file into memory
                np.save(file, by_rows, allow_pickle=False)
                file.flush()
                os.fsync(file.fileno())
        for n, old in enumerate(place.parent.glob(f"{place.name.partition('.')[0]}.*")):
            old.rename(Path(aside) / f"old{n}")  # in one step, as another process may be reading it; gone with `aside`
        begun.rename(place)
