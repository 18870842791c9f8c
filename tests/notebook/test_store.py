"""The notebook file: what is kept comes back; kill, two writers, full disk, read-only and damage do not break it."""

import json
import os
import signal
import sqlite3
import subprocess
import sys
import threading
from pathlib import Path

import pytest

from thermo.notebook.store import SCHEMA, VARIABLE, Notebook, NotebookError, usual_path
from thermo.records.provenance import InputError

ROOT = Path(__file__).resolve().parents[2]
MELT = {"amounts": {"NaCl": 48.0, "CaCl2": 52.0}, "basis": "mol", "metal": "Na", "at_C": 600.0}


@pytest.fixture
def book(tmp_path):
    return Notebook(tmp_path / "deep" / "notebook.sqlite3")


def test_a_new_notebook_is_empty_and_makes_no_file_by_looking(book):
    assert book.entries() == []
    assert not book.path.exists()


def test_a_melt_comes_back_in_another_program(book):
    number = book.add("bath 4", MELT)
    again = Notebook(book.path).entry(number)
    assert (again.name, again.kind, again.melt, again.run) == ("bath 4", "melt", MELT, None)
    assert again.made == again.changed
    assert again.made.endswith("+00:00")


def test_a_run_has_its_readings_in_order_and_its_facts(book):
    number = book.add("run 1", MELT, "run", {"note": "new pot"})
    book.add_reading(number, {"hours": 0.5, "volts": 4.1, "amps": 5.0, "T_C": 602.0})
    book.add_reading(number, {"T_C": 598.0}, "skimmed")
    book.write_run(number, {"weighed_g": 3.2, "note": "new pot"})
    run = book.entry(number).run
    assert [reading["T_C"] for reading in run["readings"]] == [602, 598]
    assert run["readings"][1]["volts"] is None
    assert (run["weighed_g"], run["readings"][1]["note"]) == (3.2, "skimmed")
    with pytest.raises(InputError, match="at least one"):
        book.add_reading(number, {"hours": 1.0})


def test_what_is_taken_out_can_be_put_back(book):
    number = book.add("run 1", MELT, "run")
    book.add_reading(number, {"T_C": 600.0})
    gone = book.remove(number)
    assert book.entries() == []
    assert book.import_entries([gone]) == 1
    assert book.entries()[0].run["readings"][0]["T_C"] == 600
    assert book.import_entries([gone]) == 0  # it is here already


@pytest.mark.parametrize("name", ["", "   ", "x" * 81, "two\nlines", "bell\x07"])
def test_a_name_that_cannot_be_is_refused(book, name):
    with pytest.raises(InputError, match="1 to 80 printable"):
        book.add(name, MELT)


def test_what_is_not_there_is_said(book):
    book.add("one", MELT)
    for ask in (lambda: book.entry(99), lambda: book.rename(99, "x"), lambda: book.remove(99)):
        with pytest.raises(InputError, match="no entry 99"):
            ask()


WRITER = """
import sys
from pathlib import Path
from thermo.notebook.store import Notebook
book = Notebook(Path(sys.argv[1]))
print("ready", flush=True)
for k in range(100000):
    book.add(f"melt {k}", {"amounts": {"NaCl": 1.0, "pad": k * 1.0}, "basis": "mol", "text": "x" * 20000})
    print(k, flush=True)
"""


@pytest.mark.parametrize("after", [1, 4, 9])
def test_a_kill_in_mid_write_loses_nothing_that_was_said_to_be_written(book, after):
    writer = subprocess.Popen(
        [sys.executable, "-c", WRITER, str(book.path)], cwd=ROOT, stdout=subprocess.PIPE, text=True
    )
    try:
        said = -1
        for line in writer.stdout:
            said = int(line) if line.strip().isdecimal() else said
            if said >= after:
                writer.send_signal(signal.SIGKILL)
                break
        said = max([said, *(int(line) for line in writer.stdout if line.strip().isdecimal())])
    finally:
        writer.kill()
        writer.wait()
        writer.stdout.close()
    names = {entry.name for entry in book.entries()}
    assert {f"melt {k}" for k in range(said + 1)} <= names
    assert len(names) <= said + 2  # at most the one that was being written
    with sqlite3.connect(book.path) as raw:
        assert raw.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    raw.close()
    book.add("after the kill", MELT)


def test_two_tabs_write_at_once(book):
    book.add("first", MELT)
    failed = []

    def write(who):
        try:
            for k in range(15):
                Notebook(book.path).add(f"{who} {k}", MELT)
        except NotebookError as error:
            failed.append(str(error))

    tabs = [threading.Thread(target=write, args=(who,)) for who in ("a", "b")]
    for tab in tabs:
        tab.start()
    for tab in tabs:
        tab.join()
    assert failed == []
    assert len(book.entries()) == 31


def test_a_full_disk_is_said_and_changes_nothing(book):
    book.add("one", MELT)
    pages = sqlite3.connect(book.path)
    count = pages.execute("PRAGMA page_count").fetchone()[0]
    pages.close()
    book._database._pragmas.append(("max_page_count", count))  # SQLite's own way to have no room left
    with pytest.raises(NotebookError, match="the disk is full; nothing was changed"):
        book.add("two", MELT | {"text": "x" * 200000})
    assert [entry.name for entry in Notebook(book.path).entries()] == ["one"]


def test_a_read_only_file_is_said_and_still_read(book):
    book.add("one", MELT)
    book._database._pragmas.append(("query_only", 1))
    with pytest.raises(NotebookError, match="read-only; nothing was changed"):
        book.add("two", MELT)
    assert [entry.name for entry in book.entries()] == ["one"]


def test_a_folder_that_cannot_be_is_one_line(tmp_path):
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(NotebookError, match=r"^notebook [^\n]*nothing was changed$"):
        Notebook(tmp_path / "file" / "notebook.sqlite3").add("one", MELT)


@pytest.mark.parametrize(
    "content", [b"this is a shopping list, no database at all" * 50, b"SQLite format 3\0" + b"\xff" * 5000]
)
def test_a_damaged_file_is_said(tmp_path, content):
    path = tmp_path / "notebook.sqlite3"
    path.write_bytes(content)
    with pytest.raises(NotebookError, match="damaged or no notebook"):
        Notebook(path).entries()
    assert path.read_bytes() == content


def test_a_newer_schema_is_left_alone(book):
    book.add("one", MELT)
    raw = sqlite3.connect(book.path)
    raw.execute(f"PRAGMA user_version={SCHEMA + 1}")
    raw.commit()
    raw.close()
    with pytest.raises(NotebookError, match="newer than this program"):
        book.entries()


def test_it_lies_where_the_system_keeps_such_files_or_where_one_says(monkeypatch, tmp_path):
    monkeypatch.delenv(VARIABLE, raising=False)
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    if sys.platform.startswith("linux"):
        assert usual_path() == tmp_path / "meltwright" / "notebook.sqlite3"
    monkeypatch.setenv(VARIABLE, str(tmp_path / "own.sqlite3"))
    assert usual_path() == Path(os.environ[VARIABLE])


def test_what_is_kept_is_plain_json(book):
    book.add("bath 4", MELT)
    raw = sqlite3.connect(book.path)
    (text,) = raw.execute("SELECT melt FROM entry").fetchone()
    raw.close()
    assert json.loads(text) == MELT
