"""data/README.md describes every table: its headings are the tables, the names in backticks their columns."""

import re

import pytest

from thermo.records.data_folder import DATA, names
from thermo.records.table_forms import FORMS, columns_of, may_be_empty

README = (DATA / "README.md").read_text(encoding="utf-8")
COMMON_PART = README[README.index("## Columns that many") : README.index("## Salts, metals")]
COMMON = set(re.findall(r"`(\w+)`", COMMON_PART))
SECTIONS = dict(re.findall(r"(?m)^### (\S+)\n((?:(?!#).*\n?)*)", README))


def test_every_table_has_its_section_and_no_other():
    assert set(SECTIONS) == set(FORMS)


@pytest.mark.parametrize("name", FORMS)
def test_the_columns_described_are_those_of_the_table(name):
    named = set(re.findall(r"`(\w+)`", SECTIONS[name]))
    columns = set(columns_of(name))
    assert columns - COMMON <= named, f"not described: {sorted(columns - COMMON - named)}"
    assert named <= columns | {"x_b"}, f"no such column: {sorted(named - columns)}"


def test_names_and_cells_that_may_be_empty():
    assert columns_of("liquidus/LiF-NaCl.csv")[0] == "x_b"
    assert "caveat" in may_be_empty("salts.csv")
    assert "formula" not in may_be_empty("salts.csv")
    assert set(names()) <= {name for name in names() if columns_of(name)}
