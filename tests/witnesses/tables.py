"""Rows of a table, read once."""

from thermo.records import provenance
from thermo.records.remembered import remembered


@remembered
def read_table(name: str) -> list[dict[str, str]]:
    """Rows of data/<name> as text; not to be changed."""
    return provenance.read_table(name)
