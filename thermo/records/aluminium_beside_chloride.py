"""What was published on melts of AlF3 with chlorides, which no law here computes: quoted where such a mix is asked for.

A trial of the law of pairs (laws/two_anions), AlF3 keeping its fluoride, met Na3AlF6-NaCl to 1.1 kJ and Li3AlF6-KCl to
0.3, but missed Na3AlF6-BaCl2 by 5 to 15 kJ, where a compound of four ions forms. So printed rows are said instead.
Worked value: NaF, AlF3 and NaCl: Na3AlF6-NaCl, eutectic 734 deg C at 88.7 mol% NaCl.
"""

import re
from collections.abc import Iterable

from thermo.records.provenance import read_table, sources
from thermo.records.published import invariants
from thermo.records.units import celsius

_MOST = 3


def published_beside_chloride(formulas: Iterable[str]) -> str:
    """The published melts of these ions with AlF3 and chloride, or those of others where there are none: one line."""
    here = set().union(*map(_ions, formulas))
    told = sorted(_rows(), key=lambda row: (not row[0] <= here, len(row[0] - here)))
    own = [words for ions, words in told if ions <= here]
    some = (own or [words for _, words in told])[:_MOST]
    return f"published{'' if own else ' with other ions'}: {'; '.join(some)}"


def _rows() -> list[tuple[set[str], str]]:
    """Every published row with AlF3 (as such or in a cryolite) and chloride: its ions and its words."""
    found = []
    for row in invariants():
        ions = _ions(row.pair[0]) | _ions(row.pair[1])
        if {"Al", "F", "Cl"} <= ions and row.T_K is not None and row.x_b is not None:
            place = f"{celsius(row.T_K):.0f} deg C at {100 * row.x_b:.3g} mol% {row.pair[1]}"
            found.append((ions, f"{'-'.join(row.pair)} {row.kind} {place} ({sources()[row.source].short})"))
    for fact in read_table("two_anion_facts.csv"):
        ions = set().union(*map(_ions, fact["salts"].split()))
        if {"Al", "F", "Cl"} <= ions:
            at = f"{'at most ' if fact['kind'] == 'bath in use' else ''}{fact['T_C']} deg C"
            found.append(
                (ions, f"{fact['composition']} mol%, {fact['kind']}, {at} ({sources()[fact['source']].short})")
            )
    return found


def _ions(formula: str) -> set[str]:
    return set(re.findall(r"[A-Z][a-z]?", formula.partition(".")[0]))
