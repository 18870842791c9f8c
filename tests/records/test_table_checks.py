"""Every kind of damage to a table is one line: file, line, column, value, what is allowed."""

import re

import pytest

from thermo.records.data_folder import names, raw
from thermo.records.errors import DataError
from thermo.records.table_checks import check_table
from thermo.records.table_forms import FORMS, columns_of

INVARIANTS = raw("invariants.csv").decode("utf-8")
SALTS = raw("salts.csv").decode("utf-8")


def refused(name: str, text: str | bytes) -> str:
    """The line a damaged table is refused with."""
    content = text if isinstance(text, bytes) else text.encode("utf-8")
    with pytest.raises(DataError) as caught:
        check_table(name, content)
    line = str(caught.value)
    assert "\n" not in line
    assert line.startswith(f"data/{name}")
    assert "allowed" in line
    return line


def changed(text: str, line: int, column: str, value: str, name: str = "invariants.csv") -> str:
    """The table with one cell of one line (header is line 1) replaced; the cells before it hold no commas."""
    lines = text.splitlines(keepends=True)
    cells = lines[line - 1].split(",")
    cells[columns_of(name).index(column)] = value
    lines[line - 1] = ",".join(cells)
    return "".join(lines)


@pytest.mark.parametrize("name", names())
def test_every_table_passes(name):
    assert check_table(name, raw(name))


def test_every_listed_table_is_there():
    assert {name for name in FORMS if name != "liquidus/"} <= set(names())


CELLS = [
    # column, value, what the line must say
    ("x_b", "40", "number from 0 to 1"),  # mole percent for a mole fraction
    ("x_b", "-0.1", "number from 0 to 1"),
    ("x_b", "nan", "a number"),
    ("x_b", "inf", "a number"),
    ("x_b", "half", "a number"),
    ("T_C", "-300", "number from -273.15"),
    ("T_C", "5e4", "number from -273.15"),
    ("T_sigma_K", "-3", "number from 0"),
    ("salt_a", "KCI", "a salt of salts.csv"),
    ("salt_a", "", "may not be empty"),
    ("kind", "eutetic", "eutectic or peritectic"),
    ("source", "nobody1999", "key of sources.csv"),
    ("source", "", "may not be empty"),
]


@pytest.mark.parametrize(("column", "value", "words"), CELLS, ids=[f"{c}={v}" for c, v, _ in CELLS])
def test_a_wrong_cell_is_named(column, value, words):
    line = refused("invariants.csv", changed(INVARIANTS, 12, column, value))
    assert line.startswith(f"data/invariants.csv, line 12, {column} {value!r}: ")
    assert words in line


def test_words_of_every_row():
    for column in ("origin", "provenance", "unsure"):
        header, first, *rest = INVARIANTS.splitlines(keepends=True)
        known = {"origin": "measured", "provenance": "checked", "unsure": "no"}[column]
        damaged = re.sub(rf",{known},", ",perhaps,", first, count=1)
        assert damaged != first
        assert f"{column} 'perhaps'" in refused("invariants.csv", "".join([header, damaged, *rest]))


def test_files_of_another_form():
    assert "byte order mark" in refused("salts.csv", b"\xef\xbb\xbf" + SALTS.encode())
    assert "lack x_b and have 'x'" in refused("invariants.csv", INVARIANTS.replace("x_b,", "x,", 1))
    header, rest = INVARIANTS.split("\n", 1)
    swapped = header.replace("salt_a,salt_b", "salt_b,salt_a")
    assert "another order" in refused("invariants.csv", f"{swapped}\n{rest}")
    assert "cut off in line" in refused("salts.csv", SALTS[:-20])
    assert "no rows" in refused("salts.csv", SALTS.split("\n")[0] + "\n")
    missing = INVARIANTS.splitlines(keepends=True)
    missing[6] = missing[6].replace(",", "", 1)
    assert "line 7: 14 cells; allowed are 15" in refused("invariants.csv", "".join(missing))
    assert "UTF-8" in refused("salts.csv", SALTS.encode().replace(b"lithium", b"lith\xffum", 1))
    assert "table_forms" in refused("strangers.csv", "a\n1\n")
    assert "comma-separated" in refused("salts.csv", SALTS + '"open,\n')
    assert "expected after" in refused("salts.csv", SALTS + '"NaCl"x,sodium\n')


def test_duplicates():
    header, first, *rest = SALTS.splitlines(keepends=True)
    assert "stands in line 2 already" in refused("salts.csv", "".join([header, first, *rest, first]))
    # the same point twice, even with another comment and weight
    header, *rest = INVARIANTS.splitlines(keepends=True)
    again = re.sub(r",(fit|low|no),(yes|no),.*$", ",no,no,again", rest[5])
    assert again != rest[5]
    assert "already" in refused("invariants.csv", "".join([header, *rest, again]))


def test_a_file_of_liquidus_points_is_named_by_known_salts():
    content = raw("liquidus/LiCl-KCl.csv").decode()
    assert "LiCI in its name" in refused("liquidus/LiCI-KCl.csv", content)
    assert "in its name" in refused("liquidus/points.csv", content)
