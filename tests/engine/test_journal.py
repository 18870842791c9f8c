"""A run that was killed goes on where it was: nothing done twice, nothing half, nothing of other tables or code."""

import json
import os
import signal
import subprocess
import sys
import time

import pytest

from thermo.engine.journal import Journal, spread_on
from thermo.records.provenance import InputError

DONE: list[int] = []


def square(n: int) -> int:
    DONE.append(n)
    return n * n


def squares(journal: Journal, tasks=range(10), stop: int | None = None) -> list[int]:
    DONE.clear()
    found = spread_on(square, list(tasks), None, journal, key=str, written=int, read=int)
    return [next(found) for _ in range(stop)] if stop is not None else list(found)


def test_what_is_in_the_journal_is_not_done_again(tmp_path):
    with Journal(tmp_path / "j", "a") as journal:
        assert squares(journal, stop=4) == [0, 1, 4, 9]
    with Journal(tmp_path / "j", "a") as journal:
        assert squares(journal) == [n * n for n in range(10)]
        assert journal.taken == 4
    assert DONE == [4, 5, 6, 7, 8, 9]


def test_another_stamp_begins_anew(tmp_path):
    """Other tables or code: all is computed, and the file holds the new stamp alone."""
    with Journal(tmp_path / "j", "a") as journal:
        squares(journal)
    with Journal(tmp_path / "j", "b") as journal:
        squares(journal, range(3))
    assert DONE == [0, 1, 2]
    lines = (tmp_path / "j").read_text().splitlines()
    assert [json.loads(line) for line in lines] == [{"journal": "b"}, ["0", 0], ["1", 1], ["2", 4]]


@pytest.mark.parametrize("cut", [1, 5, 9])
def test_a_line_cut_short_is_dropped(tmp_path, cut):
    with Journal(tmp_path / "j", "a") as journal:
        squares(journal)
    content = (tmp_path / "j").read_bytes()
    (tmp_path / "j").write_bytes(content[:-cut])
    with Journal(tmp_path / "j", "a") as journal:
        assert squares(journal) == [n * n for n in range(10)]
    assert DONE == [9]
    assert (tmp_path / "j").read_bytes() == content


def test_without_a_file_nothing_is_kept():
    with Journal() as journal:
        squares(journal)
        assert squares(journal) == [n * n for n in range(10)]
    assert list(range(10)) == DONE


def test_a_place_that_cannot_be_written_is_told(tmp_path):
    with pytest.raises(InputError, match=r"journal .*Is a directory"):
        Journal(tmp_path, "a")


@pytest.mark.parametrize("content", ["my notes\n", '["NaCl", 48]\n', '{"bath": 4}'])
def test_a_file_of_somebody_is_not_overwritten(tmp_path, content):
    (tmp_path / "j").write_text(content)
    with pytest.raises(InputError, match=r"journal .*holds something else"):
        Journal(tmp_path / "j", "a")
    assert (tmp_path / "j").read_text() == content


@pytest.mark.parametrize("begun", ["", '{"jour', '{"journal": "a'])
def test_a_first_line_cut_short_begins_anew(tmp_path, begun):
    (tmp_path / "j").write_text(begun)
    with Journal(tmp_path / "j", "a") as journal:
        assert squares(journal, range(2)) == [0, 1]
    assert (tmp_path / "j").read_text().splitlines()[0] == '{"journal": "a"}'


def test_the_stamp_follows_the_code_and_the_tables(tmp_path):
    """The usual stamp is the same twice."""
    with Journal(tmp_path / "j") as journal:
        squares(journal)
    with Journal(tmp_path / "j") as journal:
        squares(journal)
    assert DONE == []


SLOW = """
import sys, time
from pathlib import Path
from thermo.engine import journal
journal.SYNC = 1
def work(n):
    time.sleep(0.02)
    return n
with journal.Journal(Path(sys.argv[1]), "a") as kept:
    print(sum(journal.spread_on(work, list(range(60)), None, kept, key=str, written=int, read=int)), kept.taken)
"""


def test_a_killed_process_goes_on(tmp_path):
    """Killed in the middle; the second run takes over what was written and ends with the same answer."""
    words = [sys.executable, "-c", SLOW, str(tmp_path / "j")]
    first = subprocess.Popen(words, stdout=subprocess.PIPE, text=True)
    until = time.monotonic() + 60
    while time.monotonic() < until and len((tmp_path / "j").read_bytes() if (tmp_path / "j").exists() else b"") < 100:
        time.sleep(0.02)
    os.kill(first.pid, signal.SIGKILL)
    assert first.communicate()[0] == ""
    total, taken = subprocess.run(words, stdout=subprocess.PIPE, text=True, check=True).stdout.split()
    assert int(total) == sum(range(60))
    assert 0 < int(taken) < 60
