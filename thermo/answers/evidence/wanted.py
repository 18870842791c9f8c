"""What was never measured and what would settle it; which melts of several salts the joint update has taken up.

Three lists, of all salts or of those that some salts can make: pairs by the rules of size alone, each with the one
freezing point that would tell most of it; compounds of three salts that are known or suspected and take no part for
want of an energy (their melting would settle it); the published melts of the joint update.
Reads data/fitted/estimated_pairs.csv (fitting/wanted), triple_salts.csv and joint_equations.csv (fitting/joint).
Limits: the files as last written. Worked value: NaF-LaF3 wants the start of freezing at 55 mol% LaF3.
"""

from collections.abc import Collection
from dataclasses import dataclass

from thermo.records.remembered import remembered
from thermo.records.substances import salt
from thermo.records.tables import read_table
from thermo.records.triple_salts import TripleSalt, triple_energies, triple_salts
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


@remembered
def compounds_without_energy() -> tuple[TripleSalt, ...]:
    """Compounds of three salts, known or suspected, whose melting nobody reports well enough for an energy."""
    known = {energy.formula for energy in triple_energies()}
    return tuple(compound for formula, compound in triple_salts().items() if formula not in known)


@dataclass(frozen=True)
class Lists:
    """The three lists for some salts; `salts` is empty for all."""

    salts: tuple[str, ...]
    wanted: tuple[Wanted, ...]
    compounds: tuple[TripleSalt, ...]
    taken_up: tuple[TakenUp, ...]

    @property
    def sources(self) -> tuple[str, ...]:
        """Source keys of the compounds and the melts."""
        return tuple(dict.fromkeys([*(c.source for c in self.compounds), *(melt.source for melt in self.taken_up)]))


def evidence_lists(names: Collection[str] = ()) -> Lists:
    """The lists of everything that these salts alone can make, of all where none is named; InputError as `salt`."""
    own = tuple(dict.fromkeys(salt(f).formula for f in names))

    def within(parts: Collection[str]) -> bool:
        return not own or set(parts) <= set(own)

    return Lists(
        own,
        tuple(row for row in wanted_measurements() if within(row.salts)),
        tuple(compound for compound in compounds_without_energy() if within(compound.stoichiometry)),
        tuple(melt for melt in melts_taken_up() if within(melt.salts)),
    )
