"""Which melts are reported to part into two liquids: what a computed gap is to be told with (data/two_anion_facts.csv).

Limits: the ions of a whole report must be there. Worked value: Li and Cs with F and Cl: Flor et al. 1978.
"""

from collections.abc import Iterable

from thermo.records.provenance import sources
from thermo.records.remembered import remembered
from thermo.records.substances import salt
from thermo.records.tables import read_table

NOT_REPORTED = "computed, not reported in print"


@remembered
def _reports() -> tuple[tuple[frozenset[str], str], ...]:
    """The ions of every reported gap and how it is told."""
    found = []
    for row in read_table("two_anion_facts.csv"):
        if row["kind"] == "liquid gap":
            known = [salt(f) for f in row["salts"].split()]
            cations = dict.fromkeys(one.cation for one in known)
            anions = dict.fromkeys(one.anion for one in sorted(known, key=lambda one: one.anion == "Cl"))
            name = f"{','.join(cations)}//{','.join(anions)}"
            found.append((frozenset({*cations, *anions}), f"as reported in {name}, {sources()[row['source']].short}"))
    return tuple(found)


def gap_in_print(formulas: Iterable[str]) -> str:
    """What print says of two liquids of the ions of these salts: the report, or NOT_REPORTED."""
    here = {ion for f in formulas for ion in (salt(f).cation, salt(f).anion)}
    told = [words for ions, words in _reports() if ions <= here]
    return "; ".join(told) or NOT_REPORTED
