"""The evidence as tables for people and files: totals by family, what was measured near a melt, where sources differ.

Every table is a list of rows {column: text} with the same columns; `markdown` and `csv_text` write any of them.
Found and published stand side by side in deg C or g/cm3, the difference in K or per cent, then in standard deviations.
Limits: text only; the numbers are those of thermo/answers/evidence/totals. Worked value: 353.1 found, 355 +- 4
published:
difference '-1.9 K', '-0.4' sigmas.
"""

import csv
import io
from collections.abc import Iterable, Sequence

from thermo.answers.evidence.densities import DensityComparison
from thermo.answers.evidence.melts import MeltComparison
from thermo.answers.evidence.pairs import NotCompared, PairComparison
from thermo.answers.evidence.totals import SECTIONS, Section, Tally, all_disputes, disputes_near, nearby, section
from thermo.answers.evidence.wanted import evidence_lists
from thermo.present.charts.svg import Dot
from thermo.present.words.written import NO_BREAK, plain, pretty
from thermo.records.provenance import sources
from thermo.records.units import celsius

Table = list[dict[str, str]]
WAYS = {
    "invariant": "the same point of the diagram",
    "own liquidus": "melting of that solid",
    "liquidus": "start of freezing at the published composition",
    "lowest": "lowest melt of these salts",
}
USES = {"fit": "fitted", "low": "fitted with a quarter of the weight", "no": "not used", "check": "never fitted"}


def summary(keys: Sequence[str] = SECTIONS) -> Table:
    """Totals of every sort of evidence, one row a family; the first row of each sort is its total."""
    return [_tally_row(part, tally) for part in map(section, keys) for tally in part.tallies]


def _tally_row(part: Section, tally: Tally) -> dict[str, str]:
    sources_too = "" if tally.within_sources is None else _percent(tally.within_sources)
    return {
        "evidence": part.title,
        "how": part.seen,
        "family": tally.family,
        "rows": str(tally.count),
        "median difference": f"{_rounded(tally.median, part.unit)} {part.unit}",
        "within": f"{_percent(tally.within_close)} in {tally.close:g} {part.unit}",
        "or within the sources": sources_too,
        "within the wider": f"{_percent(tally.within_far)} in {tally.far:g} {part.unit}",
        "within 1 sigma (68 % expected)": _percent(tally.one_sigma),
        "within 2 sigma (95 % expected)": _percent(tally.two_sigmas),
        "in the 90 % band": _percent(tally.ninety),
    }


def _percent(share: float) -> str:
    return f"{100 * share:.0f} %"


def _rounded(value: float, unit: str) -> str:
    return f"{value:.0f}" if unit == "K" else f"{value:.1f}"


def near_melt(salts: Sequence[str]) -> Table:
    """What was published on these salts and what is computed for it: pairs, melts of these salts, densities."""
    found = nearby(salts)
    melts = [*found.melts, *([found.lowest] if found.lowest else [])]
    return [
        *(_pair_row(row) if isinstance(row, PairComparison) else _uncompared_row(row) for row in found.pairs),
        *(_melt_row(row) if isinstance(row, MeltComparison) else _uncompared_row(row) for row in melts),
        *(_density_row(row) for row in found.densities),
    ]


def wanted_table() -> Table:
    """The pairs by the rules of size alone, and the one melt of each whose freezing point would tell most."""
    return [
        {
            "pair": _names(row.salts),
            "measure the start of freezing at": f"{100 * row.x_b:.0f} mol% {pretty(row.salts[1])}",
            "computed there": f"{_degrees(row.T_K, row.sigma_K)}, {pretty(row.first_solid)}",
            "spread over the pair": f"{row.mean_sigma_K:.0f} K",
            "then": f"{row.after_K:.0f} K",
        }
        for row in evidence_lists().wanted
    ]


def compounds_table() -> Table:
    """The compounds of three salts that take no part for want of an energy."""
    return [
        {
            "compound": pretty(row.formula),
            "made of": " + ".join(pretty(f) if n == 1 else f"{n} {pretty(f)}" for f, n in row.stoichiometry.items()),
            "known": "suspected" if row.suspected else "yes",
            "note": plain(row.caveat),
            "source": sources()[row.source].cite(),
        }
        for row in evidence_lists().compounds
    ]


def taken_up_table() -> Table:
    """The published melts of several salts that the joint update knows."""
    return [
        {
            "melt": ", ".join(f"{pretty(f)} {100 * x:.1f}" for f, x in zip(row.salts, row.fractions, strict=True)),
            "freezes at": f"{celsius(row.T_K):.0f} °C",
            "equations": " + ".join(map(pretty, row.solids)),
            "used": "yes" if row.used else "left aside: out of line with all else, or not needed",
            "source": sources()[row.source].cite(),
        }
        for row in evidence_lists().taken_up
    ]


def difference_dots(salts: Sequence[str]) -> list[Dot]:
    """Computed less published temperatures near a melt, K, the largest first, each with the sigma of both sides."""
    found = nearby(salts)
    rows = [*found.pairs, *found.melts, *([found.lowest] if found.lowest else [])]
    dots = []
    for row in rows:
        if isinstance(row, PairComparison | MeltComparison):
            sigma = abs(row.difference / row.sigmas) if row.sigmas else row.model_sigma_K
            names = _names(row.point.pair if isinstance(row, PairComparison) else row.point.salts)
            dots.append(Dot(f"{row.point.kind} {names}", row.difference, sigma))
    return sorted(dots, key=lambda dot: -abs(dot.off))


def disagreements(salts: Sequence[str] | None = None) -> Table:
    """Points on which sources differ by more than they allow, side by side with the computed value.

    Rows with the same number in `point` are of one point; of all salts, or of a melt of these salts.
    """
    groups = all_disputes() if salts is None else disputes_near(salts)
    numbered = [(str(number), row) for number, group in enumerate(groups, start=1) for row in group]
    return [
        {"point": number, **(_pair_row(row) if isinstance(row, PairComparison) else _melt_row(row))}
        for number, row in numbered
    ]


def _pair_row(row: PairComparison) -> dict[str, str]:
    point = row.point
    composition = "" if point.x_b is None else f"{100 * point.x_b:.1f} mol% {pretty(point.pair[1])}"
    found_x = "" if row.found_x is None else f"{100 * row.found_x:.1f} mol% {pretty(point.pair[1])}"
    return {
        "what": f"{point.kind} of {_names(point.pair)}",
        "solids": " + ".join(map(pretty, point.solids)),
        "published at": composition,
        "found at": found_x,
        "found": _degrees(row.found_K, row.model_sigma_K),
        "published": _degrees(*point.known_T_K),
        "difference": _signed(row.difference, "K", 1),
        "sigmas": _signed(row.sigmas, "", 1),
        "compared by": WAYS[row.way],
        **_origin(point.reference, USES[point.use] if row.fitted else USES["check"] if row.counted else USES["no"]),
    }


def _melt_row(row: MeltComparison) -> dict[str, str]:
    point = row.point
    return {
        "what": "lowest melt" if row.way == "lowest" else f"{point.kind} of {_names(point.salts)}",
        "solids": " + ".join(map(pretty, point.solids)),
        "published at": _mix(point.salts, point.fractions) if point.fractions else "not published",
        "found at": _mix(point.salts, row.found_fractions) if row.way == "lowest" else "",
        "found": _degrees(row.found_K, row.model_sigma_K),
        "published": _degrees(point.T_K, point.T_sigma_K),
        "difference": _signed(row.difference, "K", 1),
        "sigmas": _signed(row.sigmas, "", 1),
        "compared by": WAYS[row.way],
        **_origin(point.reference, USES["check"]),
    }


def _density_row(row: DensityComparison) -> dict[str, str]:
    point = row.point
    return {
        "what": f"density of {_names(point.salts)} at {celsius(point.T_K):.0f} °C",
        "solids": "",
        "published at": _mix(point.salts, point.fractions),
        "found at": "",
        "found": _density(row.found, row.model_sigma),
        "published": _density(row.published, row.published_sigma),
        "difference": _signed(row.difference, "%", 2),
        "sigmas": _signed(row.sigmas, "", 1),
        "compared by": "density at that composition and temperature",
        "used": USES[point.use],
        "source": sources()[point.source].cite(),
        "provenance": "",
        "caveat": "",
    }


def _uncompared_row(row) -> dict[str, str]:
    point = row.point
    names = point.pair if isinstance(row, NotCompared) else point.salts
    published = "" if point.T_K is None else _degrees(point.T_K, point.T_sigma_K)
    return {
        "what": f"{point.kind} of {_names(names)}" if point.kind != "none" else _names(names),
        "solids": " + ".join(map(pretty, point.solids)),
        "published at": "",
        "found at": "",
        "found": "",
        "published": published,
        "difference": "",
        "sigmas": "",
        "compared by": f"not compared: {row.reason}",
        **_origin(point.reference, ""),
    }


def _origin(reference, used: str) -> dict[str, str]:
    cited = sources()[reference.source].cite()
    return {
        "used": used,
        "source": f"{cited}; {reference.locator}" if reference.locator else cited,
        "provenance": {"checked": "read at the source", "memory": "recalled, not read again"}[reference.provenance],
        "caveat": reference.caveat,
    }


def _names(salts: Sequence[str]) -> str:
    return "–".join(map(pretty, salts))


def _mix(salts: Sequence[str], fractions: Iterable[float]) -> str:
    return " / ".join(f"{100 * x:.1f} {pretty(f)}" for f, x in zip(salts, fractions, strict=True)) + " mol%"


def _degrees(T_K: float, sigma_K: float | None) -> str:
    """One decimal where the spread is below 10 K; 'published' without a spread has none to show."""
    digits = 1 if sigma_K is not None and sigma_K < 10 else 0
    spread = "" if sigma_K is None else f" ± {sigma_K:.{digits}f}"
    return f"{celsius(T_K):.{digits}f}{spread} °C".replace(" ", NO_BREAK)


def _density(value: float, sigma: float) -> str:
    return f"{value:.3f} ± {sigma:.3f} g/cm³".replace(" ", NO_BREAK)


def _signed(value: float, unit: str, digits: int) -> str:
    return f"{round(value, digits) + 0.0:+.{digits}f} {unit}".rstrip().replace("-", "−").replace(" ", NO_BREAK)


def markdown(table: Table, columns: Sequence[str] | None = None) -> str:
    """A table in Markdown, all columns or some; '' for an empty table."""
    if not table:
        return ""
    shown = list(table[0]) if columns is None else list(columns)
    lines = [shown, ["---"] * len(shown), *([row[c].replace("|", "/") for c in shown] for row in table)]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines) + "\n"


def csv_text(table: Table) -> str:
    """A table as CSV with one header line, for the download; '' for an empty table."""
    if not table:
        return ""
    text = io.StringIO()
    writer = csv.DictWriter(text, list(table[0]), lineterminator="\n")
    writer.writeheader()
    writer.writerows({key: value.replace(NO_BREAK, " ") for key, value in row.items()} for row in table)
    return text.getvalue()
