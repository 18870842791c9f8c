"""The words of origin and provenance, cells of a table, and the bibliography.

Origins: `measured` (read from the source named), `fitted` (computed from measured rows by `python -m thermo refit`
or another generator in this package), `estimated` (a rule, a neighbour or judgement). Provenance: `checked` (read at
the place named) or `memory` (recalled from the source named, not read again). Both are printed, never merged.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from enum import StrEnum
from types import MappingProxyType

from thermo.records.data_folder import DATA
from thermo.records.errors import DataError, InputError, RangeError
from thermo.records.remembered import remembered
from thermo.records.tables import read_table

__all__ = [
    "DATA",
    "DataError",
    "InputError",
    "Origin",
    "RangeError",
    "Source",
    "cite",
    "listed",
    "number",
    "read_table",
]
__all__ += ["sources", "suggest"]


class Origin(StrEnum):
    """How a value came about, and how well a pair or a balance is known; written as the tables have it."""

    MEASURED = "measured"
    FITTED = "fitted"
    ESTIMATED = "estimated"


@dataclass(frozen=True)
class Source:
    """One entry of data/sources.csv."""

    key: str
    authors: str
    year: str
    title: str
    where: str
    identifier: str
    note: str

    def cite(self) -> str:
        """One line for a reader: authors (year), title, where, identifier."""
        head = f"{self.authors} ({self.year})" if self.year else self.authors
        return ", ".join(part for part in (head, self.title, self.where, self.identifier) if part)

    @property
    def short(self) -> str:
        """Authors (or, without names, the journal) and year, as short as they go."""
        first, _, others = self.authors.partition(";")
        name = self.where if first.startswith("anonymous") else f"{first} et al." if others else first
        return " ".join(part for part in (name, self.year) if part)


def number(text: str) -> float | None:
    """A CSV cell as float; an empty cell is unknown (None). Callers decide before any arithmetic."""
    return float(text) if text.strip() else None


def listed(row: Mapping[str, str], column: str, allowed: Sequence[str]) -> str:
    """A CSV cell that must be one of a few words: a mistyped one would silently be taken for another kind of row."""
    if row[column] not in allowed:
        where = ", ".join(list(row.values())[:3])
        raise InputError(f"data/, row {where}: {column} {row[column]!r}; allowed are {', '.join(allowed)}")
    return row[column]


@remembered
def sources() -> MappingProxyType:
    """The bibliography: key -> Source."""
    return MappingProxyType({row["key"]: Source(**row) for row in read_table("sources.csv")})


def cite(keys: Iterable[str]) -> list[str]:
    """Full citations for source keys, each once, in the order first met; KeyError for a key not in sources.csv."""
    return [sources()[key].cite() for key in dict.fromkeys(keys)]


def suggest(word: str, allowed: Iterable[str]) -> str:
    """' (did you mean A or B?)' for a mistyped word, or ' (allowed: ...)' when nothing is close."""
    names = [name for name in allowed if name]
    lower = {name.lower(): name for name in names}
    close = [lower[match] for match in get_close_matches(word.lower(), lower, n=3, cutoff=0.6)]
    return f" (did you mean {' or '.join(close)}?)" if close else f" (allowed: {', '.join(names)})"
