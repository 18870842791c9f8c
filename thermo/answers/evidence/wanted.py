"""What was never measured and what would settle it; which melts of several salts the joint update has taken up.

Reads data/fitted/estimated_pairs.csv (fitting/wanted) and joint_equations.csv (fitting/joint).
Limits: the files as last written. Worked value: NaF-LaF3 wants the start of freezing at 55 mol% LaF3.
"""

from dataclasses import dataclass

from thermo.records.remembered import remembered
from thermo.records.tables import read_table
from thermo.records.units import kelvin


@dataclass(frozen=True)
class Wanted:
    """A pair by the rules of size alone, and its most telling melt: x_b, computed T, first solid, standard deviation.

    mean_sigma_K: of the liquidus over the whole pair today; after_K: once that melt is measured to 5 K.
    """

    salts: tuple[str, str]
    x_b: float
    T_K: float
    first_solid: str
    sigma_K: float
    mean_sigma_K: float
    after_K: float


@dataclass(frozen=True)
class TakenUp:
    """A published melt in the joint update: `used` is false where it was left aside as out of line with all else."""

    salts: tuple[str, ...]
    fractions: tuple[float, ...]
    T_K: float
    solids: tuple[str, ...]
    source: str
    used: bool


@remembered
def wanted_measurements() -> tuple[Wanted, ...]:
    """The pairs that rest on the rules of size alone, the least known first."""
    return tuple(
        Wanted(
            (row["salt_a"], row["salt_b"]),
            float(row["x_b"]),
            kelvin(float(row["T_C"])),
            row["first_solid"],
            float(row["sigma_K"]),
            float(row["mean_sigma_K"]),
            float(row["mean_sigma_after_K"]),
        )
        for row in read_table("fitted/estimated_pairs.csv")
    )


@remembered
def melts_taken_up() -> tuple[TakenUp, ...]:
    """Every melt of the joint update with the solids that gave an equation."""
    by_melt: dict[str, list[dict[str, str]]] = {}
    for row in read_table("fitted/joint_equations.csv"):
        if row["kind"] == "melt":
            by_melt.setdefault(row["equation"].split(".")[0], []).append(row)
    found = []
    for rows in by_melt.values():
        first = rows[0]
        names = [n for n in "1234" if first[f"salt{n}"]]
        found.append(
            TakenUp(
                tuple(first[f"salt{n}"] for n in names),
                tuple(float(first[f"x{n}"]) for n in names),
                kelvin(float(first["T_C"])),
                tuple(row["solid"] for row in rows),
                first["source"],
                first["used"] == "yes",
            )
        )
    return tuple(found)
