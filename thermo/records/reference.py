"""Where a published row comes from, how sure it is, and what a fit may do with it.

Worked value: a row whose `used_in_fit` is no has use "no"; one with origin estimated was carried over from its kind.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from thermo.records.provenance import Origin, listed

USES = ("fit", "low", "no")


@dataclass(frozen=True)
class Reference:
    """Where a row comes from and what may be done with it."""

    source: str
    locator: str
    origin: Origin
    provenance: str
    use: str
    caveat: str
    unsure: bool = False


@dataclass(frozen=True)
class PublishedRow:
    """What every published row has."""

    reference: Reference

    @property
    def source(self) -> str:
        """Key in data/sources.csv."""
        return self.reference.source

    @property
    def use(self) -> str:
        """'fit', 'low' or 'no'."""
        return self.reference.use

    @property
    def likened(self) -> bool:
        """Whether the row was carried over from salts of its kind, not measured: fitted, never a check."""
        return self.reference.origin == Origin.ESTIMATED

    @property
    def unsure(self) -> bool:
        """Whether the value is doubtful (recalled, or a damaged print): never a check, a fit value at low weight."""
        return self.reference.unsure

    @property
    def caveat(self) -> str:
        """What a reader must know before trusting the row; empty when nothing."""
        return self.reference.caveat


def reference(row: Mapping[str, str]) -> Reference:
    """The reference of a row of a table, whatever its other columns."""
    use = listed(row, "use", USES) if "use" in row else {"yes": "fit", "no": "no"}[row.get("used_in_fit", "no")]
    unsure = row["unsure"] == "yes"
    return Reference(
        row["source"], row["locator"], Origin(row["origin"]), row["provenance"], use, row["caveat"], unsure
    )
