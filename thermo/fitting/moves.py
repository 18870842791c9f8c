"""Which pairs a fresh fit moved, and by how many of their own standard deviations.

Of each pair the parameter that moved most, |new - old| / sigma (the smaller of old and new), and the largest change of
a spread. Pairs below `agreement`'s thousandth of a standard deviation have not moved. Worked value: a0 = -1000 +- 100
J/mol that becomes -1050 has moved by 0.5 sigma.
"""

import csv
import io
from collections.abc import Mapping
from dataclasses import dataclass

from thermo.fitting.agreement import OF_SIGMA
from thermo.records.parameters import Parameter

FILE = "fitted/interactions.csv"
NEW, GONE, OTHER = "new", "gone", "other parameters"


@dataclass(frozen=True)
class Move:
    """One pair: sigmas and spread_pct are None where its parameters are not the same ones (`what` says so)."""

    salts: tuple[str, str]
    what: str
    parameter: Parameter | None = None
    sigmas: float | None = None
    spread_pct: float | None = None

    @property
    def line(self) -> str:
        """For a reader: LiCl-KCl: liquid:a0 moved by 0.5 sigma, a spread by +3 %."""
        name = "-".join(self.salts)
        if self.sigmas is None or self.spread_pct is None:
            return f"{name}: {self.what}"
        return f"{name}: {self.parameter} moved by {self.sigmas:.2g} sigma, a spread by {self.spread_pct:+.2g} %"


def moved_pairs(stored: Mapping[str, str | None], fresh: Mapping[str, str]) -> list[Move]:
    """Pairs that differ between two sets of file texts, farthest first; [] where neither holds the pairs' file."""
    if FILE not in fresh:
        return []
    old, new = _values(stored.get(FILE) or ""), _values(fresh[FILE])
    found = [Move(salts, NEW if salts in new else GONE) for salts in old.keys() ^ new.keys()]
    for salts in old.keys() & new.keys():
        if old[salts].keys() != new[salts].keys():
            found.append(Move(salts, OTHER))
        elif (move := _move(salts, old[salts], new[salts])) is not None:
            found.append(move)
    return sorted(found, key=lambda move: (move.sigmas is not None, -(move.sigmas or 0.0), move.salts))


def _move(salts: tuple[str, str], old: dict, new: dict) -> Move | None:
    far = {one: abs(new[one][0] - value) / min(sigma, new[one][1]) for one, (value, sigma) in old.items()}
    spread = {one: 100 * (new[one][1] / sigma - 1) for one, (_, sigma) in old.items()}
    most, widest = max(far, key=lambda one: far[one]), max(spread.values(), key=abs)
    if far[most] <= OF_SIGMA and abs(widest) <= 100 * OF_SIGMA:
        return None
    return Move(salts, "moved", most, far[most], widest)


def _values(text: str) -> dict[tuple[str, str], dict[Parameter, tuple[float, float]]]:
    found: dict[tuple[str, str], dict[Parameter, tuple[float, float]]] = {}
    for row in csv.DictReader(io.StringIO(text)):
        own = found.setdefault((row["salt_a"], row["salt_b"]), {})
        own[Parameter(row["phase"], row["term"])] = (float(row["value"]), float(row["sigma"]))
    return found
