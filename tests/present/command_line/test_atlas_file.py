"""The atlas's file is written whole or not at all: full disk, Ctrl-C, a killed process."""

import json
import os
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from thermo.present.command_line import atlas as command

ROW = {"metal": "Na", "bath": "NaCl=100", "note": "x" * 200}


@pytest.fixture
def small_disk(tmp_path):
    """A file system of 64 kB; skips where this user may not mount one."""
    place = tmp_path / "disk"
    place.mkdir()
    mount = shutil.which("mount")
    if mount is None or os.geteuid() != 0:
        pytest.skip("only root can mount a small disk")
    made = subprocess.run([mount, "-t", "tmpfs", "-o", "size=64k", "tmpfs", str(place)], capture_output=True, text=True)
    if made.returncode:
        pytest.skip(f"no small disk here: {made.stderr.strip()}")
    yield place
    subprocess.run(["umount", str(place)], check=True)


def test_a_full_disk_leaves_the_old_file_and_no_other(small_disk):
    path = small_disk / "atlas.csv"
    path.write_text("the old one\n")
    with pytest.raises(OSError, match="No space"):
        command._write([ROW] * 1000, path)
    assert path.read_text() == "the old one\n"
    assert [entry.name for entry in small_disk.iterdir()] == ["atlas.csv"]


def test_an_interrupted_write_leaves_the_old_file_and_no_other(tmp_path):
    path = tmp_path / "atlas.csv"
    path.write_text("the old one\n")

    def rows():
        yield ROW
        raise KeyboardInterrupt

    class Interrupted(list):
        def __iter__(self):
            return rows()

    with pytest.raises(KeyboardInterrupt):
        command._write(Interrupted([ROW]), path)
    assert path.read_text() == "the old one\n"
    assert [entry.name for entry in tmp_path.iterdir()] == ["atlas.csv"]


def test_a_whole_write_replaces_it(tmp_path):
    path = tmp_path / "atlas.csv"
    command._write([ROW] * 3, path)
    assert len(path.read_text().splitlines()) == 4


ROOT = Path(__file__).resolve().parents[3]


def atlas_of_zinc(*more: str) -> subprocess.Popen:
    """The command in a process of its own; nothing is written to the data."""
    words = [sys.executable, "-m", "thermo", "atlas", "--metal", "Zn", "--json", *more]
    return subprocess.Popen(words, stdout=subprocess.PIPE, text=True, cwd=ROOT)


@pytest.mark.slow
def test_a_killed_atlas_goes_on_from_its_journal(tmp_path):
    """Killed among the sets: the second run takes these over and ends with the rows of one left in peace."""
    journal = tmp_path / "journal"
    first = atlas_of_zinc("--journal", str(journal))
    until = time.monotonic() + 120
    while time.monotonic() < until and not (journal.exists() and len(journal.read_bytes().splitlines()) > 60):
        time.sleep(0.02)
    first.kill()
    assert first.communicate()[0] == ""
    runs = atlas_of_zinc("--journal", str(journal)), atlas_of_zinc()
    again, alone = (json.loads(run.communicate()[0]) for run in runs)
    assert again["rows"] == alone["rows"]
    assert again["searched"] == alone["searched"]
    assert again["from_journal"] > 50
    assert alone["from_journal"] == 0


@pytest.mark.slow
@pytest.mark.parametrize(("sent", "code"), [(signal.SIGINT, 130), (signal.SIGKILL, -signal.SIGKILL)])
def test_a_search_that_is_stopped_says_nothing_half(sent, code):
    """Ctrl-C and kill while two workers search: nothing on standard output, no traceback, no process left."""
    salts = "NaCl,KCl,MgCl2,CaCl2,LiCl,SrCl2,BaCl2,RbCl"  # millions of melts: the fastest machine is not done in 4 s
    words = ["find", "--metal", "Mg", "--salts", salts, "--max-salts", "5", "--workers", "2"]
    run = subprocess.Popen(
        [sys.executable, "-m", "thermo", *words],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        cwd=ROOT,
        start_new_session=True,
    )
    time.sleep(4)  # imports are over and the sweep is going
    (os.killpg if sent == signal.SIGINT else os.kill)(run.pid, sent)
    out, errors = run.communicate(timeout=60)
    assert out == ""
    assert run.returncode == code
    assert "Traceback" not in errors
