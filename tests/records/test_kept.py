"""What is kept on disk beside the byte code: same bits, never taken for other tables, no half of it, no error."""

import sys

import numpy as np
import pytest

from thermo.records import kept as module
from thermo.records.data_folder import DATA, reading_from
from thermo.records.kept import kept

TABLES = ["fitted/joint_noise.csv"]
RANDOM = np.random.default_rng(3).normal(size=(40, 7))
ARRAYS = {"a": RANDOM, "by_columns": np.asfortranarray(RANDOM), "words": np.frombuffer(b"x,y\nz", np.uint8)}


@pytest.fixture
def beside(tmp_path, monkeypatch):
    """An empty folder in place of that of the byte code, and Python told to write some."""
    monkeypatch.setattr(module, "cache_from_source", lambda _: str(tmp_path / "cache" / "kept.pyc"))
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    return tmp_path / "cache"


def never():
    raise AssertionError("computed again")


def test_the_second_time_the_same_bits_come_from_disk(beside):
    kept("thing", TABLES, lambda: ARRAYS)
    found = kept("thing", TABLES, never)
    assert set(found) == set(ARRAYS)
    assert all(np.array_equal(found[name], ARRAYS[name]) for name in ARRAYS)
    assert found["by_columns"].flags.c_contiguous  # a row is one piece of the file
    assert [path.name.partition(".")[0] for path in beside.iterdir()] == ["thing"]


def test_another_table_or_other_code_is_another_thing(beside, monkeypatch):
    kept("thing", TABLES, lambda: ARRAYS)
    monkeypatch.setattr(module, "raw", lambda name: b"another")
    with pytest.raises(AssertionError, match="computed again"):
        kept("thing", TABLES, never)
    kept("thing", TABLES, lambda: ARRAYS)
    assert len(list(beside.iterdir())) == 1  # the one before is gone


def test_a_damaged_file_is_computed_anew_and_mended(beside):
    kept("thing", TABLES, lambda: ARRAYS)
    (path,) = beside.glob("thing.*/a.npy")
    path.write_bytes(path.read_bytes()[:200])
    assert np.array_equal(kept("thing", TABLES, lambda: ARRAYS)["a"], ARRAYS["a"])
    kept("thing", TABLES, never)


def test_a_full_disk_leaves_nothing(beside, monkeypatch):
    def full(*_, **__):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(np, "save", full)
    assert kept("thing", TABLES, lambda: ARRAYS) is ARRAYS
    assert list(beside.iterdir()) == []


def test_nothing_is_kept_where_python_writes_no_byte_code(beside, monkeypatch):
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    kept("thing", TABLES, lambda: ARRAYS)
    assert not beside.exists()


def test_another_folder_of_tables_is_never_kept(beside, tmp_path):
    with reading_from(tmp_path):
        assert kept("thing", TABLES, lambda: ARRAYS) is ARRAYS
    assert not beside.exists()
    assert DATA.name == "data"
