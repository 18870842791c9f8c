"""Signed tables: a cut or nudged file is noticed when it is read, and one command signs again."""

import csv
import io
import shutil

import numpy as np
import pytest

from thermo.present.command_line.main import main
from thermo.records.data_folder import DATA, MANIFEST, names, raw, reading_from
from thermo.records.errors import DataError
from thermo.records.remembered import forget
from thermo.records.substances import salt, salts
from thermo.records.table_forms import columns_of
from thermo.records.table_text import table_text
from thermo.records.tables import read_table, sign, signatures, unsigned

HAND_ENTERED = [name for name in names() if not name.startswith("fitted/")]


@pytest.fixture
def copy(tmp_path):
    """A data folder of its own, read in place of the real one."""
    shutil.copytree(DATA, tmp_path / "data")
    with reading_from(tmp_path / "data") as folder:
        yield folder


def is_number(cell: str) -> bool:
    try:
        return float(cell) != 0
    except ValueError:
        return False


def nudged(name: str, text: str, random: np.random.Generator) -> str:
    """The table with one random number of it 1 to 5 % off; without numbers one letter of a cell."""
    header, *rows = csv.reader(io.StringIO(text))
    places = [(r, c) for r, row in enumerate(rows) for c, cell in enumerate(row) if is_number(cell)]
    if not places:
        rows[0][-2] += "x"
    else:
        r, c = places[random.integers(len(places))]
        off = 1 + random.uniform(0.01, 0.05) * random.choice([-1, 1])
        rows[r][c] = repr(float(float(rows[r][c]) * off))
    return table_text(",".join(header), rows)


def test_all_tables_are_signed():
    assert unsigned() == []
    assert set(signatures()) == set(names())


def test_rows_and_bytes_of_the_manifest_are_those_of_the_files():
    for row in csv.DictReader(io.StringIO(raw(MANIFEST).decode())):
        assert int(row["bytes"]) == len(raw(row["file"])), row
        assert int(row["rows"]) == len(read_table(row["file"])), row


@pytest.mark.parametrize("name", names())
def test_a_nudged_number_is_noticed(name, copy):
    random = np.random.default_rng(names().index(name))
    (copy / name).write_text(nudged(name, raw(name).decode("utf-8"), random), encoding="utf-8")
    with pytest.raises(DataError, match=f"data/{name}"):
        read_table(name)
    assert f"data/{name}: differs from its signature" in unsigned()


@pytest.mark.parametrize("name", ["salts.csv", "invariants.csv", "fitted/interactions_covariance.csv"])
def test_a_file_cut_between_rows_is_noticed(name, copy):
    lines = raw(name).splitlines(keepends=True)
    (copy / name).write_bytes(b"".join(lines[:-3]))
    with pytest.raises(DataError, match="differs from its signature"):
        read_table(name)


def test_line_ends_of_another_system_are_no_difference(copy):
    (copy / "salts.csv").write_bytes(raw("salts.csv").replace(b"\n", b"\r\n"))
    assert len(read_table("salts.csv")) == len(salts())
    assert unsigned() == []


def test_missing_files(copy):
    (copy / "salts.csv").unlink()
    assert "data/salts.csv: signed, but missing" in unsigned()
    with pytest.raises(DataError, match="cannot be read"):
        read_table("salts.csv")
    (copy / MANIFEST).unlink()
    forget()
    with pytest.raises(DataError, match=r"MANIFEST\.csv: cannot be read; .*python -m thermo refit"):
        read_table("metals.csv")


def test_another_folder_is_read_and_forgotten_again(copy):
    """Nothing remembered of one folder answers for another."""
    real = read_table("salts.csv")[0]
    text = raw("salts.csv").decode().replace(real["melting_point_K"], "900.5", 1)
    (copy / "salts.csv").write_text(text, encoding="utf-8")
    assert sign() == [f"data/{MANIFEST}"]
    assert salt("LiCl").melting_point_K == 900.5
    with reading_from(DATA):
        assert salt("LiCl").melting_point_K == float(real["melting_point_K"])
    assert salt("LiCl").melting_point_K == 900.5


def test_an_edit_is_refused_until_one_command_signs_it(copy, capsys):
    text = raw("invariants.csv").decode()
    (copy / "invariants.csv").write_text(text.replace(",0.", ",40.", 1), encoding="utf-8")
    assert main(["refit", "--sign"]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert "x_b '40." in err
    assert "allowed is a number from 0 to 1" in err
    assert err.count("\n") == 1
    (copy / "observations.csv").write_bytes(raw("observations.csv").replace(b"judgement", b"judgment"))
    (copy / "invariants.csv").write_text(text, encoding="utf-8")
    assert main(["review", "KCl=1", "--metal", "K", "--at", "800", "--amps", "1", "--hours", "1"]) == 2
    assert "run: python -m thermo refit" in capsys.readouterr().err
    assert main(["refit", "--sign", "--check"]) == 1
    assert main(["refit", "--sign"]) == 0
    assert capsys.readouterr().out.splitlines()[-1] == f"data/{MANIFEST}"
    assert unsigned() == []
    assert main(["refit", "--sign"]) == 0
    assert capsys.readouterr().out.strip() == "nothing to change"


def test_a_damaged_table_is_one_line_and_exit_code_2(copy, capsys):
    for name in ("salts.csv", "fitted/pairs.csv", "sources.csv", "density/salts.csv"):
        kept = raw(name)
        (copy / name).write_bytes(kept[:-20])
        forget()
        assert main(["melt", "KCl=68", "MgCl2=32"]) == 2, name
        out, err = capsys.readouterr()
        assert out == ""
        assert err.startswith(f"data/{name}: cut off in line")
        assert err.count("\n") == 1
        (copy / name).write_bytes(kept)


def test_the_form_names_the_columns_as_the_files_have_them():
    for name in names():
        assert raw(name).decode().splitlines()[0].split(",") == columns_of(name)
