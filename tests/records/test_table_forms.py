"""The columns of every table, and which cells may be empty."""

from thermo.records.data_folder import names
from thermo.records.table_forms import columns_of, may_be_empty


def test_names_and_cells_that_may_be_empty():
    assert columns_of("liquidus/LiF-NaCl.csv")[0] == "x_b"
    assert "caveat" in may_be_empty("salts.csv")
    assert "formula" not in may_be_empty("salts.csv")
    assert set(names()) <= {name for name in names() if columns_of(name)}
