"""Which double salts dissolve in each other as solids: rows of data/solid_solutions.csv whose members are compounds.

Members hold one salt in the same numbers and of the other the same number too: NaMgF3 and KMgF3 share MgF2 and differ
by NaF and KF. Rows of extent `complete` become solutions, and `partial` ones whose two limits were measured at one
temperature. Limits: one anion; one crystal for both members, whatever their builds.
Worked value: KF, NaF and MgF2 can form (Na,K)MgF3.
"""

from collections.abc import Collection
from dataclasses import dataclass

from thermo.records.provenance import InputError, Origin, number, read_table
from thermo.records.remembered import remembered
from thermo.records.substances import double_salts, salt, salts
from thermo.records.units import kelvin


@dataclass(frozen=True)
class CompoundPair:
    """Two double salts of one solid solution: `differ`, the salt that each has alone; `origin` of the row.

    limit_T_K: where they freeze and are known to mix completely, or the `limits` were found: how much of the second the
    first takes up and of the first the second, mole fractions.
    """

    members: tuple[str, str]
    differ: tuple[str, str]
    name: str
    limit_T_K: float
    origin: Origin
    source: str
    limits: tuple[float, float] | None = None

    @property
    def salts(self) -> frozenset[str]:
        """All salts of both."""
        return frozenset(f for member in self.members for f in double_salts()[member].stoichiometry)

    @property
    def exchanged(self) -> int:
        """How many formulas of the salt that differs a member has."""
        return double_salts()[self.members[0]].stoichiometry[self.differ[0]]

    @property
    def cations(self) -> tuple[str, str]:
        """What each has in the other's place."""
        first, second = self.differ
        return salt(first).cation, salt(second).cation


@remembered
def compound_pairs() -> tuple[CompoundPair, ...]:
    """Every pair of double salts that is known to mix completely, or how far."""
    found = []
    for row in read_table("solid_solutions.csv"):
        members = (row["salt_a"], row["salt_b"])
        if not set(members) <= set(double_salts()) or row["unsure"] == "yes":
            continue
        ends = [number(row[column]) for column in ("x_b_limit_in_a", "x_a_limit_in_b", "limit_T_C")]
        if row["extent"] != "complete" and None in ends:
            continue
        parts = {f for member in members for f in double_salts()[member].stoichiometry}
        one_anion = parts <= set(salts()) and len({salt(f).anion for f in parts}) == 1
        if not one_anion or not all(double_salts()[member].fitted for member in members):
            continue
        in_a, in_b, limit_C = ends
        if limit_C is None:
            raise InputError(f"data/solid_solutions.csv, {row['name']}, limit_T_C is empty: where do the two freeze?")
        own = kelvin(limit_C), Origin(row["origin"]), row["source"]
        limits = None if in_a is None or in_b is None or row["extent"] == "complete" else (in_a, in_b)
        found.append(CompoundPair(members, _differ(members), row["name"], *own, limits))
    return tuple(found)


def _differ(members: tuple[str, str]) -> tuple[str, str]:
    """The salt that each member has alone; InputError where more than one salt differs, or in number."""
    first, second = (dict(double_salts()[member].stoichiometry) for member in members)
    shared = [f for f in first if first[f] == second.get(f)]
    own = [[f for f in counts if f not in shared] for counts in (first, second)]
    if len(shared) != 1 or [first[f] for f in own[0]] != [second[f] for f in own[1]]:
        raise InputError(
            f"data/solid_solutions.csv, {' and '.join(members)}: allowed are members that hold one salt alike and "
            "another in the same number"
        )
    return own[0][0], own[1][0]


def pairs_within(salts: Collection[str]) -> list[CompoundPair]:
    """The pairs of which all salts are among these."""
    return [pair for pair in compound_pairs() if pair.salts <= set(salts)]


def solution_called(name: str) -> frozenset[str]:
    """Members of the solution of compounds that a table calls so; empty where it is none."""
    return frozenset(member for pair in compound_pairs() if pair.name == name for member in pair.members)


@remembered
def unmodelled() -> tuple[tuple[str, frozenset[str]], ...]:
    """Double salts that are known to mix as solids and are taken apart here: name of the solution, its members."""
    modelled = {frozenset(pair.members) for pair in compound_pairs()}
    found = []
    for row in read_table("solid_solutions.csv"):
        members = frozenset((row["salt_a"], row["salt_b"]))
        if members <= set(double_salts()) and row["extent"] != "negligible" and members not in modelled:
            found.append((row["name"], members))
    return tuple(found)
