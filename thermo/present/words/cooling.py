"""Words of a cooling check, one text for page and command line: melt, arrests, other compositions, other explanations.

They read the check as `cooling_json` writes it, so that the figures are those of the JSON too. Temperatures in deg C,
amounts in mol% and g. Limits: text only. Worked value: an arrest at 545 that fits heads its entry "545 deg C: fits".
"""

from collections.abc import Mapping
from typing import TYPE_CHECKING

if TYPE_CHECKING:  # words need no numbers: the command line reads them before it computes
    from thermo.answers.cooling.curve import Candidate, CoolingCheck

Entry = tuple[str, tuple[str, ...]]  # a head and the lines under it

SHOWN = 6
COMPOSITIONS = "compositions that start to freeze at the highest arrest, nearest first"
EXPLANATIONS = "other explanations"


def start_words(found: Mapping) -> str:
    """The computed start of freezing with its band and first solid."""
    start = found["liquidus"]
    return f"{_band(start)}, {start['first_solid']} first"


def last_words(found: Mapping) -> str:
    """The computed last freezing with its band; 'not computed' where there is none."""
    return "not computed" if found["solidus"]["T_C"] is None else _band(found["solidus"])


def _band(point: Mapping) -> str:
    return f"{point['T_C']:.0f} +- {max(point['sigma_K'], 1):.0f} deg C"


def arrest_entries(found: Mapping) -> list[Entry]:
    """Each arrest with its verdict, and the evidence under it."""
    return [(f"{a['T_C']:.0f} deg C: {a['verdict']}", (a["evidence"],)) for a in found["arrests"]]


def composition_lines(found: Mapping) -> list[str]:
    """The nearest stretches of compositions, a line each."""
    return [entry["words"] for entry in found["compositions"][:SHOWN]]


def explanation_entries(found: Mapping) -> list[Entry]:
    """Each other explanation with its verdict; evidence, and what would check it, under it."""
    return [
        (f"{e['key']}: {e['verdict']}", (e["evidence"], f"check: {e['check']}")) for e in found["other_explanations"]
    ]


def candidate_words(entry: "Candidate", check: "CoolingCheck") -> str:
    """One stretch of compositions in a line: 'MgCl2 20 to 23 mol% instead of 25: 2.1 g MgCl2 missing per 100 g'."""
    melt, meant = entry.melt, check.composition.mole_percent
    ranges = [f"{f} {100 * low:.1f} to {100 * high:.1f} mol% instead of {meant[f]:.1f}"
              for f, (low, high) in melt.ranges.items()]  # fmt: skip
    grams = [f"{abs(g):.1f} g {f} {'missing' if g < 0 else 'too much'}" for f, g in melt.grams.items()]
    off = "the intended melt is inside" if melt.includes_intended else f"best: {', '.join(grams)} per 100 g"
    if entry.explains_K is not None:
        off += f"; explains {len(entry.explains_K)} of {len(check.arrests)} arrests"
    edge = "; reaches the edge of the search" if melt.open_end else ""
    return f"{', '.join(ranges)}: {off}{edge}"
