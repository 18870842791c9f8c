"""What a person reads on the command line when the disk is really full or may only be read."""

import pytest

from tests.own_disk import filled, read_only, small_disk
from thermo.notebook.store import VARIABLE
from thermo.present.command_line.main import main

ADD = ["NaCl=48", "CaCl2=52"]


@pytest.fixture
def disk(tmp_path, monkeypatch):
    with small_disk(tmp_path / "disk") as place:
        monkeypatch.setenv(VARIABLE, str(place / "notebook.sqlite3"))
        yield place


def refused(capsys, *words):
    """The one line of a refusal."""
    capsys.readouterr()
    assert main(["notebook", *words]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.count("\n") == 1
    return err


def listed(capsys):
    capsys.readouterr()
    assert main(["notebook", "list"]) == 0
    return capsys.readouterr().out


def test_a_full_disk_is_said_and_nothing_is_lost(disk, capsys):
    assert main(["notebook", "add", "one", *ADD]) == 0
    with filled(disk):
        assert "the disk is full; nothing was changed" in refused(capsys, "add", "two", *ADD)
    assert main(["notebook", "add", "three", *ADD]) == 0
    found = listed(capsys)
    assert "one" in found
    assert "three" in found
    assert "two" not in found


def test_a_full_disk_takes_no_new_notebook(disk, capsys):
    with filled(disk):
        assert "nothing was changed" in refused(capsys, "add", "one", *ADD)
    assert main(["notebook", "add", "one", *ADD]) == 0


def test_a_disk_that_may_only_be_read_is_said(disk, capsys):
    assert main(["notebook", "add", "one", *ADD]) == 0
    read_only(disk)
    assert "read-only; nothing was changed" in refused(capsys, "add", "two", *ADD)
    assert "one" in listed(capsys)


def test_a_folder_that_may_only_be_read_takes_no_new_notebook(disk, capsys):
    read_only(disk)
    assert "nothing was changed" in refused(capsys, "add", "one", *ADD)
