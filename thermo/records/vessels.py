"""Vessel materials of data/vessels.csv: service limits in K and what the melts do to them.

Worked value: mild steel answers to `iron` and `carbon steel` as well.
"""

from dataclasses import dataclass
from types import MappingProxyType

from thermo.records.provenance import InputError, read_table, suggest
from thermo.records.remembered import remembered
from thermo.records.units import ZERO_C


@dataclass(frozen=True)
class Vessel:
    """A vessel material of data/vessels.csv; limits in K."""

    name: str
    air_limit_K: float
    inert_limit_K: float
    chlorides: str
    fluorides: str
    attack: str
    source: str


@remembered
def vessels() -> MappingProxyType[str, Vessel]:
    """Vessel materials by name, in file order."""
    return MappingProxyType({row["vessel"]: _vessel(row) for row in read_table("vessels.csv")})


def _vessel(row: dict[str, str]) -> Vessel:
    return Vessel(
        name=row["vessel"],
        air_limit_K=float(row["air_limit_C"]) + ZERO_C,
        inert_limit_K=float(row["inert_limit_C"]) + ZERO_C,
        chlorides=row["chlorides"],
        fluorides=row["fluorides"],
        attack=row["attack"],
        source=row["source"],
    )


@remembered
def _vessel_words() -> MappingProxyType[str, str]:
    words = {}
    for row in read_table("vessels.csv"):
        for word in (row["vessel"], *row["aliases"].split("; ")):
            words[_plain(word)] = row["vessel"]
    words.pop("", None)
    return MappingProxyType(words)


def _plain(word: str) -> str:
    return word.lower().replace("-", " ").replace("_", " ").strip()


def vessel_named(word: str) -> Vessel:
    """A vessel by its name or a common other name; InputError with close matches."""
    if _plain(word) not in _vessel_words():
        raise InputError(f"vessel {word!r} is not in the list{suggest(_plain(word), vessels())}")
    return vessels()[_vessel_words()[_plain(word)]]
