"""What can be seen in and after a run, in plain words: the list a review of a run chooses from.

data/observations.csv: word, label, causes it speaks for and against with a factor (4: typical of it; 0.3: against
it; judgement, no source), and what else it may be that no number here can tell.
Worked value: observation_named("sponge").word = "black-sponge".
"""

import re
from dataclasses import dataclass
from types import MappingProxyType

from thermo.records.provenance import InputError, read_table, suggest
from thermo.records.remembered import remembered


@dataclass(frozen=True)
class Observation:
    """One thing that can be seen: what it speaks for and against (cause -> factor), what else it may be."""

    word: str
    label: str
    factors: MappingProxyType
    also: str


@remembered
def observations() -> MappingProxyType:
    """Everything that can be seen, by word, in file order."""
    found = {}
    for row in read_table("observations.csv"):
        factors = {**_factors(row["supports"]), **_factors(row["against"])}
        found[row["word"]] = Observation(row["word"], row["label"], MappingProxyType(factors), row["also"])
    return MappingProxyType(found)


def _factors(text: str) -> dict[str, float]:
    pairs = (entry.rpartition(":") for entry in text.split("; ") if entry)
    return {cause: float(factor) for cause, _, factor in pairs}


def observation_named(word: str) -> Observation:
    """An observation by its word, its label, or a part that only one has; InputError with what is allowed."""
    asked = _plain(word)
    for seen in observations().values():
        if asked in (_plain(seen.word), _plain(seen.label)):
            return seen
    tokens = set(asked.split())
    close = [
        seen
        for seen in observations().values()
        if tokens and tokens <= set(_plain(f"{seen.word} {seen.label}").split())
    ]
    if len(close) == 1:
        return close[0]
    raise InputError(f"saw {word!r}: not in the list{suggest(asked.replace(' ', '-'), observations())}")


def _plain(word: str) -> str:
    return " ".join(re.findall(r"[a-z]+", word.lower()))
