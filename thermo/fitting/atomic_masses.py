"""Atomic masses of the elements as a table, from the package periodictable (IUPAC standard atomic weights).

A table costs a question nothing; the package reads all isotopes first, as long as the whole answer takes.
Limits: elements 1 to 118, natural mixtures of isotopes; where IUPAC gives a span, the package's one value.
Worked value: Na 22.98977 g/mol.
"""

from thermo.records.provenance import Origin
from thermo.records.table_text import table_text

HEADER = "element,mass_g_mol,origin"


def regenerate() -> dict[str, str]:
    """File name under data/ -> its text."""
    import periodictable

    rows = [[e.symbol, repr(e.mass), Origin.MEASURED] for e in periodictable.elements if e.number >= 1]
    return {"fitted/atomic_masses.csv": table_text(HEADER, rows)}
