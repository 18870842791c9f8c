"""The text of a generated file."""

import csv
import io

from thermo.records.table_text import table_text


def test_worked_value():
    assert table_text("a,b", [[1, "x, y"]]) == 'a,b\n1,"x, y"\n'


def test_it_reads_back():
    rows = [["NaCl", "6.5", 'said "so"'], ["KCl", "", "-0"]]
    assert list(csv.reader(io.StringIO(table_text("salt,value,note", rows)))) == [["salt", "value", "note"], *rows]
