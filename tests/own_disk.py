"""A small disk of its own for tests of a full disk and of one that may only be read; needs root on Linux."""

import os
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest


@contextmanager
def small_disk(place: Path, size: str = "600k") -> Iterator[Path]:
    """A file system of this size at `place`, gone afterwards; skips with a word where none may be mounted."""
    place.mkdir()
    if not hasattr(os, "geteuid") or os.geteuid() != 0 or _mount("-t", "tmpfs", "-o", f"size={size}", "tmpfs", place):
        pytest.skip("a disk of its own needs root and mount")
    try:
        yield place
    finally:
        subprocess.run(["umount", place], check=True)


def _mount(*words: str | Path) -> int:
    try:
        return subprocess.run(["mount", *words], capture_output=True).returncode
    except OSError:
        return 1


def read_only(place: Path) -> None:
    """From now on the disk may only be read."""
    if _mount("-o", "remount,ro", place):
        pytest.skip("the disk cannot be made read-only here")


@contextmanager
def filled(place: Path) -> Iterator[None]:
    """Not a byte is free while this lasts."""
    filler = place / "filler"
    try:
        with filler.open("wb") as file:
            for size in (4096, 1):
                while _write(file.fileno(), size):
                    pass
        yield
    finally:
        filler.unlink()


def _write(file: int, size: int) -> bool:
    try:
        return os.write(file, b"x" * size) == size
    except OSError:
        return False
