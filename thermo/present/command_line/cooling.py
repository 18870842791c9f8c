"""The `cooling` command: arrests read while a melt cools, held against the intended melt, for people or as JSON.

Temperatures in deg C, amounts in mol% and g; the JSON keys are a contract with other tools: add, never rename.
Worked value: NaCl=48 CaCl2=52 --arrest 500: the last freezing, at 500 deg C.
"""

import argparse
from typing import TYPE_CHECKING

from thermo.present.command_line.closing import closing_lines
from thermo.present.command_line.log_file import add_log, log_of
from thermo.present.command_line.shared import add_composition, composition, show
from thermo.present.words import cooling as words
from thermo.records.provenance import InputError
from thermo.records.units import celsius, temperature_K

if TYPE_CHECKING:  # the answers are imported when the command runs: other commands stay quick
    from thermo.answers.run.log import Arrest

HELP = "arrests read while a melt cools: do they fit it, and what else would show them"


def add_arguments(sub: argparse.ArgumentParser) -> None:
    """Words of the command."""
    add_composition(sub)
    add_log(sub)
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
    from thermo.answers.cooling.curve import check_cooling
    from thermo.answers.run.log import arrests_of
    from thermo.present.as_json.cooling import cooling_json

    log = log_of(options)
    read = arrests_of(log) if log is not None else ()
    if log is not None and not read and not options.arrest:
        raise InputError(f"--log {options.log}: no arrest is seen in it; name what was seen, as --arrest 498")
    if not options.arrest and not read:
        raise InputError("no arrest given; allowed are 1 to 8, as --arrest 498 --arrest 620, or --log FILE")
    arrests = (*(temperature_K(t_C, "--arrest") for t_C in options.arrest), *(arrest.T_K for arrest in read))
    sigma = max([options.reading_sigma, *(arrest.sigma_K for arrest in read)])
    check = check_cooling(composition(options), arrests, sigma, options.spread / 100)
    shown = None if log is None else [_read_json(arrest) for arrest in read]
    return show(options, cooling_json(check) | {"read_from_log": shown}, cooling_text)


def _read_json(arrest: "Arrest") -> dict:
    """One arrest read from a logger's file."""
    return {
        "T_C": round(celsius(arrest.T_K), 2),
        "sigma_K": round(arrest.sigma_K, 2),
        "from_minutes": round(arrest.from_s / 60, 2),
        "to_minutes": round(arrest.to_s / 60, 2),
    }


def cooling_text(found: dict) -> str:
    """The check for a terminal, the verdict first."""
    lines = [
        f"verdict            {found['verdict']}",
        f"starts to freeze   {words.start_words(found)}",
        f"last freezing      {words.last_words(found)}",
        *_read_lines(found.get("read_from_log")),
        "",
        "arrests:",
        *_indented(words.arrest_entries(found)),
    ]
    if found["compositions"]:
        lines += ["", f"{words.COMPOSITIONS}:", *[f"  - {line}" for line in words.composition_lines(found)]]
    lines += ["", f"{words.EXPLANATIONS}:", *_indented(words.explanation_entries(found))]
    lines += closing_lines(found, ("notes", "sources"))
    return "\n".join(lines)


def _indented(entries: list[words.Entry]) -> list[str]:
    return [line for head, under in entries for line in (f"  {head}", *[f"      {text}" for text in under])]


def _read_lines(rows: list[dict] | None) -> list[str]:
    """What the logger's file shows."""
    return [
        f"read from the log  {row['T_C']:.1f} +- {row['sigma_K']:.1f} deg C, minutes {row['from_minutes']:.1f} to "
        f"{row['to_minutes']:.1f}"
        for row in rows or ()
    ]
