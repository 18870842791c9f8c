"""Faults from outside: writers killed many times, a disk that is really full, two tabs on one entry."""

import os
import resource

import pytest

from tests.benchmarks.kills import kill_writers
from thermo.notebook.store import Notebook, NotebookError
from thermo.records.provenance import InputError

MELT = {"amounts": {"NaCl": 48.0, "CaCl2": 52.0}, "basis": "mol"}


@pytest.fixture
def book(tmp_path):
    return Notebook(tmp_path / "notebook.sqlite3")


@pytest.mark.slow
def test_forty_kills_lose_nothing_but_the_write_in_hand(book):
    found = kill_writers(book.path, 40)
    assert found.said > 40
    assert (found.kills, found.lost, found.too_many, found.whole) == (40, 0, 0, True)


def test_no_room_for_the_file_to_grow(book):
    """The operating system refuses every byte beyond a limit: each entry is there or was refused in one line."""
    book.add("one", MELT)
    read_end, write_end = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(read_end)
        resource.setrlimit(resource.RLIMIT_FSIZE, (200_000, 200_000))
        said = "written"
        for k in range(100):
            try:
                book.add(f"more {k}", MELT | {"text": "x" * 20000})
            except NotebookError as error:
                said = f"{k} {error}"
                break
        os.write(write_end, said.encode())
        os._exit(0)
    os.close(write_end)
    with os.fdopen(read_end) as pipe:
        said = pipe.read()
    os.waitpid(child, 0)
    count, _, line = said.partition(" ")
    assert "nothing was changed" in line
    assert "\n" not in line
    assert int(count) >= 1
    names = {entry.name for entry in Notebook(book.path).entries()}
    assert names == {"one", *(f"more {k}" for k in range(int(count)))}
    book.add("room again", MELT)


def test_two_tabs_on_one_entry(book):
    """What one tab took out the other cannot write to, and is told so; the last of two writes stands."""
    number = book.add("run 1", MELT, "run")
    other = Notebook(book.path)
    book.write_run(number, {"weighed_g": 3.2})
    other.write_run(number, {"weighed_g": 3.4})
    assert book.entry(number).run["weighed_g"] == 3.4
    gone = other.remove(number)
    for write in (
        lambda: book.rename(number, "run 2"),
        lambda: book.write_run(number, {"weighed_g": 1.0}),
        lambda: book.add_reading(number, {"T_C": 700.0}),
    ):
        with pytest.raises(InputError, match=f"no entry {number}"):
            write()
    assert book.import_entries([gone]) == 1
