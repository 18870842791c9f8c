"""Where the tables lie, and the bytes of one; tests read another folder for a while.

Worked value: names() holds "salts.csv" and "liquidus/LiCl-KCl.csv".
"""

import hashlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from thermo.records.errors import DataError
from thermo.records.remembered import forget

MANIFEST = "MANIFEST.csv"
DATA = Path(__file__).resolve().parents[2] / "data"
AGAIN = "put the file back, or after an intended edit run: python -m thermo refit"
_folder = DATA


def folder() -> Path:
    """The folder that tables are read from; data/ of this checkout unless `reading_from` says otherwise."""
    return _folder


@contextmanager
def reading_from(path: Path) -> Iterator[Path]:
    """Read another folder, with nothing remembered of the one before, and forget that one afterwards."""
    global _folder
    before, _folder = _folder, path
    forget()
    try:
        yield path
    finally:
        _folder = before
        forget()


def names() -> list[str]:
    """All tables of the folder, the manifest left out."""
    paths = [path.relative_to(folder()).as_posix() for path in folder().rglob("*.csv")]
    return sorted(name for name in paths if name != MANIFEST)


def raw(name: str) -> bytes:
    """The bytes of data/<name> with plain line ends; DataError where there is no such file."""
    path = folder() / name
    try:
        return path.read_bytes().replace(b"\r\n", b"\n")
    except OSError:
        raise DataError(f"data/{name}: cannot be read; {AGAIN}") from None


def digest(content: bytes) -> str:
    """SHA-256 in hexadecimal."""
    return hashlib.sha256(content).hexdigest()
