"""The `cooling` command: arrests read while a melt cools, held against the intended melt, for people or as JSON.

Temperatures in deg C, amounts in mol% and g; the JSON keys are a contract with other tools: add, never rename.
Worked value: NaCl=48 CaCl2=52 --arrest 500: the last freezing, at 500 deg C.
"""

import argparse
from typing import TYPE_CHECKING

from thermo.present import cooling_words as words
from thermo.present.command_parts import add_composition, composition, show
from thermo.records.provenance import InputError, cite
from thermo.records.units import celsius, temperature_K

if TYPE_CHECKING:  # the answers are imported when the command runs: other commands stay quick
    from thermo.answers.cooling_curve import Arrest, Candidate, CoolingCheck

HELP = "arrests read while a melt cools: do they fit it, and what else would show them"


def add_arguments(sub: argparse.ArgumentParser) -> None:
    """Words of the command."""
    add_composition(sub)
    sub.add_argument(
        "--arrest", type=float, action="append", default=[], metavar="498", help="an arrest, deg C; once for each"
    )
    sub.add_argument(
        "--reading-sigma", type=float, default=3.0, metavar="3", help="uncertainty of a reading, K (default 3)"
    )
    sub.add_argument(
        "--spread", type=float, default=10.0, metavar="10", help="how far off a salt may be, mol%% (default 10)"
    )


def run(options: argparse.Namespace) -> int:
    """Answer and print; the exit code."""
    from thermo.answers.cooling_curve import check_cooling

    if not options.arrest:
        raise InputError("no arrest given; allowed are 1 to 8, as --arrest 498 --arrest 620")
    arrests = tuple(temperature_K(t_C, "--arrest") for t_C in options.arrest)
    check = check_cooling(composition(options), arrests, options.reading_sigma, options.spread / 100)
    return show(options, cooling_json(check), cooling_text)


def cooling_json(check: "CoolingCheck") -> dict:
    """The check as a dictionary."""
    from thermo.present.answers_json import composition_json, rounded

    return {
        "composition": composition_json(check.composition),
        "liquidus": {
            "T_C": _t_C(check.liquidus.T_K),
            "sigma_K": rounded(check.liquidus.sigma_K, 2),
            "first_solid": check.liquidus.first_solid,
            "status": check.liquidus.status,
        },
        "solidus": {"T_C": _t_C(check.solidus_K), "sigma_K": rounded(check.sigma_solidus_K, 2)},
        "events": [
            {"stage": e.stage, "T_C": _t_C(e.T_K), "sigma_K": rounded(e.sigma_K, 2), "solids": list(e.solids)}
            for e in check.events
        ],
        "verdict": check.verdict,
        "arrests": [_arrest_json(arrest) for arrest in check.arrests],
        "compositions": [_candidate_json(entry, check) for entry in check.candidates],
        "other_explanations": [
            {"key": e.key, "verdict": e.verdict, "evidence": e.evidence, "check": e.check}
            | _value_json(e.value, e.unit)
            for e in check.explanations
        ],
        "notes": list(check.notes),
        "sources": cite(check.sources),
    }


def _t_C(T_K: float | None) -> float | None:
    return None if T_K is None else round(float(celsius(T_K)), 2)


def _arrest_json(arrest: "Arrest") -> dict:
    from thermo.present.answers_json import rounded

    return {
        "T_C": _t_C(arrest.T_K),
        "verdict": arrest.verdict,
        "stage": arrest.stage,
        "difference_K": rounded(arrest.difference_K, 2),
        "sigma_K": rounded(arrest.sigma_K, 2),
        "evidence": arrest.words,
    }


def _value_json(value: float | None, unit: str) -> dict:
    """The number of an explanation under a key that ends in its unit."""
    if not unit:
        return {}
    name = {"K": "value_K", "mol%": "value_percent"}[unit]
    return {name: None if value is None else round(float(value), 2)}


def _candidate_json(entry: "Candidate", check: "CoolingCheck") -> dict:
    from thermo.present.answers_json import composition_json, rounded

    melt = entry.melt
    return {
        "words": candidate_words(entry, check),
        "range_percent": {f: [rounded(100 * low, 2), rounded(100 * high, 2)] for f, (low, high) in melt.ranges.items()},
        "best": composition_json(melt.composition),
        "liquidus_C": rounded(celsius(melt.T_K), 2),
        "off_per_100_g": {f: rounded(grams, 2) for f, grams in melt.grams.items()},
        "includes_intended": melt.includes_intended,
        "reaches_edge_of_search": melt.open_end,
        "explains_C": None if entry.explains_K is None else [rounded(celsius(T), 2) for T in entry.explains_K],
    }


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


def cooling_text(found: dict) -> str:
    """The check for a terminal, the verdict first."""
    lines = [
        f"verdict            {found['verdict']}",
        f"starts to freeze   {words.start_words(found)}",
        f"last freezing      {words.last_words(found)}",
        "",
        "arrests:",
        *_indented(words.arrest_entries(found)),
    ]
    if found["compositions"]:
        lines += ["", f"{words.COMPOSITIONS}:", *[f"  - {line}" for line in words.composition_lines(found)]]
    lines += ["", f"{words.EXPLANATIONS}:", *_indented(words.explanation_entries(found))]
    for title in ("notes", "sources"):
        if found[title]:
            lines += ["", title + ":", *[f"  - {entry}" for entry in found[title]]]
    return "\n".join(lines)


def _indented(entries: list[words.Entry]) -> list[str]:
    return [line for head, under in entries for line in (f"  {head}", *[f"      {text}" for text in under])]
