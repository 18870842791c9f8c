"""Compounds of three salts: which are known, and the energies that `python -m thermo refit` gave them.

data/triple_salts.csv: formula, counts, how and where it melts (`T_C`; empty where nobody says: such a compound is
named but takes no part). data/fitted/triple_energies.csv and data/fitted/triple_answers.csv are generated: the
formation Gibbs energy
from the three solid salts at that temperature, and how it answers to the pairs' parameters and to the salts' energies
of melting, from which it was computed.
Worked value: NaCaAlF6 is one each of NaF, CaF2 and AlF3 and falls apart at 735 deg C.
"""

from collections.abc import Hashable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from thermo.records.parameters import Parameter
from thermo.records.provenance import listed, number, read_table
from thermo.records.remembered import remembered
from thermo.records.units import kelvin

MELTING = ("congruent", "incongruent", "unknown")


@dataclass(frozen=True)
class TripleSalt:
    """A compound of three salts: stoichiometry is salt -> count; T_K where it melts or falls apart, if known.

    suspected: nobody reports it.
    """

    formula: str
    stoichiometry: Mapping[str, int]
    melting: str
    T_K: float | None
    T_sigma_K: float | None
    source: str
    provenance: str
    caveat: str
    suspected: bool = False

    @property
    def known_T_K(self) -> tuple[float, float]:
        """T where it melts or falls apart and its standard deviation; ValueError where nobody says."""
        if self.T_K is None or self.T_sigma_K is None:
            raise ValueError(f"{self.formula}: no temperature was published")
        return self.T_K, self.T_sigma_K


@dataclass(frozen=True)
class TripleEnergy:
    """Formation Gibbs energy of one formula of the compound from its solid salts at T_K, J/mol, and its spread.

    sigma_J_mol: what is not shared with the melt (the temperature read).
    answers: (frozenset of two salts, parameter) or (of three, ternary term) -> change of the energy per change of it.
    fusion, melt: change of the energy (J/mol) for one standard deviation of a salt's energy of melting, and of an error
    of the melt's laws, by the names these have in equilibrium/system/one_anion.
    """

    formula: str
    T_K: float
    energy_J_mol: float
    sigma_J_mol: float
    answers: Mapping[tuple[frozenset, Parameter | str], float]
    fusion: Mapping[str, float]
    melt: Mapping[Hashable, float]


def _triple_salt(row: dict[str, str]) -> TripleSalt:
    T_C = number(row["T_C"])
    return TripleSalt(
        formula=row["formula"],
        stoichiometry=MappingProxyType({row[f"salt_{k}"]: int(row[f"count_{k}"]) for k in "abc"}),
        melting=listed(row, "melting", MELTING),
        T_K=None if T_C is None else kelvin(T_C),
        T_sigma_K=number(row["T_sigma_K"]),
        source=row["source"],
        provenance=row["provenance"],
        caveat=row["note"],
        suspected=row["origin"] == "estimated",
    )


@remembered
def triple_salts() -> Mapping[str, TripleSalt]:
    """All compounds of three salts by formula, in file order."""
    return MappingProxyType({row["formula"]: _triple_salt(row) for row in read_table("triple_salts.csv")})


@remembered
def triple_energies() -> tuple[TripleEnergy, ...]:
    """The compounds that have an energy, in the order of the generated file."""
    shares: dict[str, tuple[dict, dict, dict]] = {}
    for row in read_table("fitted/triple_answers.csv"):
        answers, fusion, melt = shares.setdefault(row["formula"], ({}, {}, {}))
        value = float(row["value"])
        if row["salt_b"]:
            answers[frozenset((row["salt_a"], row["salt_b"])), Parameter.parse(row["parameter"])] = value
        elif row["salt_a"]:
            fusion[row["salt_a"]] = value
        elif row["unit"] == "1":
            answers[frozenset(triple_salts()[row["formula"]].stoichiometry), row["parameter"]] = value
        else:
            melt[row["parameter"]] = value
    return tuple(
        TripleEnergy(
            row["formula"],
            float(row["T_K"]),
            float(row["energy_J_mol"]),
            float(row["sigma_J_mol"]),
            *map(MappingProxyType, shares[row["formula"]]),
        )
        for row in read_table("fitted/triple_energies.csv")
    )
