"""What hydroxide and carbonate do to a chloride: the lowest melting point published for the two together.

Rows of data/contaminants.csv. A melt of several salts with the same impurity can freeze lower still.
Limits: lithium, sodium and potassium chloride only; nothing on fluorides, oxides or oxychlorides.
Worked value: LiCl with LiOH melts from 268 deg C, where pure LiCl melts at 610.
"""

from dataclasses import dataclass

from thermo.records.provenance import number, read_table
from thermo.records.remembered import remembered
from thermo.records.units import kelvin


@dataclass(frozen=True)
class Contaminated:
    """One salt with one impurity; x_contaminant is its mole fraction at that point, None where it is not known."""

    salt: str
    contaminant: str
    kind: str
    x_contaminant: float | None
    T_K: float
    sigma_K: float
    source: str
    locator: str
    provenance: str
    caveat: str
    unsure: bool


@remembered
def contaminated() -> tuple[Contaminated, ...]:
    """All rows, in file order."""
    return tuple(
        Contaminated(
            row["salt"],
            row["contaminant"],
            row["kind"],
            number(row["x_b"]),
            kelvin(float(row["eutectic_C"])),
            float(row["sigma_K"]),
            row["source"],
            row["locator"],
            row["provenance"],
            row["caveat"],
            row["unsure"] == "yes",
        )
        for row in read_table("contaminants.csv")
    )
