"""Published points of a pair as marks for a drawing: melting points, limits and gap tops of solid solutions.

x in mole percent of the second salt, temperatures in deg C, one standard deviation each. A shape belongs to a source.
Limits: rows without a composition or without a temperature have no place in a diagram and are left out.
Worked value: published_marks("NaCl", "KCl", 658) holds the top of the gap at 35 mol% and 500 deg C.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from thermo.records.provenance import sources
from thermo.records.published import melting_points
from thermo.records.solid_solutions import solid_solution
from thermo.records.units import celsius

SHAPES = "osv^DPX<>hp*"
MOST_SOURCES = 9  # with a shape of their own; the others share one


@dataclass(frozen=True)
class PublishedMark:
    """One published point: mole percent of the second salt and deg C with standard deviations, source, use."""

    x: float
    t: float
    x_sigma: float
    t_sigma: float
    source: str
    use: str


def published_marks(a: str, b: str, lowest_C: float) -> list[PublishedMark]:
    """Everything published on the pair that has a place in its diagram.

    lowest_C: the lowest melting temperature, where limits of solid solutions without a temperature of their own stand.
    """
    found = [
        PublishedMark(100 * x, celsius(T_K), 100 * (row.x_b_sigma or 0), sigma_K, row.source, row.use)
        for row in melting_points(a, b)
        if (x := row.x_b) is not None and (T_K := row.T_K) is not None and (sigma_K := row.T_sigma_K) is not None
        if not row.likened
    ]
    known = solid_solution(a, b)
    if known is not None:
        top, turned = known.critical_x_b, known.pair != (a, b)
        spots = [(top, celsius(known.critical_T_K) if known.critical_T_K else 0.0, known.source)]
        for row in (known, *known.others):
            t = lowest_C if row.limit_T_K is None else celsius(row.limit_T_K)
            spots += [(row.b_in_a, t, row.source), (1 - row.a_in_b if row.a_in_b else None, t, row.source)]
        places = [(1 - x if turned else x, t, source) for x, t, source in spots if x]
        found += [PublishedMark(100 * x, t, 0.0, 0.0, source, "fit") for x, t, source in places]
    return found


def shapes(rows: Sequence[PublishedMark]) -> dict[str, tuple[str, int]]:
    """Shape and number of points of each source, the most often met first."""
    counts = Counter(row.source for row in rows).most_common()
    return {key: (SHAPES[min(n, MOST_SOURCES)], count) for n, (key, count) in enumerate(counts)}


def author(key: str) -> str:
    """First author and year."""
    source = sources()[key]
    return f"{source.authors.split(',')[0].split(';')[0]} {source.year}".strip()
