"""The `cooling` command: arrests read while a melt cools, held against the intended melt, for people or as JSON.

Temperatures in deg C, amounts in mol% and g; the JSON keys are a contract with other tools: add, never rename.
Worked value: NaCl=48 CaCl2=52 --arrest 500: the last freezing, at 500 deg C.
"""

import argparse
from typing import TYPE_CHECKING

from thermo.present.command_line.shared import add_composition, composition, show
from thermo.present.words import cooling as words
from thermo.records.provenance import InputError
from thermo.records.units import temperature_K

if TYPE_CHECKING:  # the answers are imported when the command runs: other commands stay quick
    pass

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
    from thermo.answers.cooling.curve import check_cooling
    from thermo.present.as_json.cooling import cooling_json

    if not options.arrest:
        raise InputError("no arrest given; allowed are 1 to 8, as --arrest 498 --arrest 620")
    arrests = tuple(temperature_K(t_C, "--arrest") for t_C in options.arrest)
    check = check_cooling(composition(options), arrests, options.reading_sigma, options.spread / 100)
    return show(options, cooling_json(check), cooling_text)


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
