"""The `evidence` command: what was never measured and what would settle it, and which melts the joint update has seen.

With salts named, only what these can make together. The JSON keys are a contract with other tools: add, never rename.
Worked value: `evidence NaF LaF3` has one pair by size alone.
"""

import argparse

from thermo.present.command_line.closing import closing_lines
from thermo.present.command_line.shared import show

HELP = "what the data lack and would settle most, and the published melts that the joint update has seen"


def add_arguments(sub: argparse.ArgumentParser) -> None:
    """Words of the command."""
    sub.add_argument("salts", nargs="*", metavar="SALT", help="only what these salts can make; all when left out")


def run(options: argparse.Namespace) -> int:
    """Answer and print; the exit code."""
    from thermo.answers.evidence.wanted import evidence_lists
    from thermo.present.as_json.evidence import evidence_json

    return show(options, evidence_json(evidence_lists(options.salts)), evidence_text)


def evidence_text(found: dict) -> str:
    """The three lists for people, with a line where one is empty."""
    from thermo.present.command_line.text import table

    parts = [
        _titled("pairs by the rules of size alone, and the freezing point that would tell most", _pairs(found), table),
        _titled("compounds of three salts without an energy: how they melt would settle it", _compounds(found), table),
        _titled("published melts of several salts in the joint update", _melts(found), table),
    ]
    return "\n\n".join(parts) + "\n" + "\n".join(closing_lines(found, ("sources",)))


def _titled(title: str, rows: list[list[str]], table) -> str:
    return f"{title} ({len(rows) - 1})" + ("\n" + table(rows) if len(rows) > 1 else ": none")


def _pairs(found: dict) -> list[list[str]]:
    rows = [["pair", "measure the start of freezing at", "computed there deg C", "first solid", "spread K", "then K"]]
    for row in found["pairs_by_size_alone"]:
        _, b = row["salts"]
        at = row["measure_start_of_freezing_at_mole_percent"][b]
        there = f"{row['computed_C']:.0f} +- {row['sigma_K']:.0f}"
        spreads = [f"{row[key]:.0f}" for key in ("mean_sigma_K", "mean_sigma_after_K")]
        rows.append(["-".join(row["salts"]), f"{at:.0f} mol% {b}", there, row["first_solid"], *spreads])
    return rows


def _compounds(found: dict) -> list[list[str]]:
    rows = [["compound", "made of", "known"]]
    for row in found["compounds_without_energy"]:
        made_of = " + ".join(f if n == 1 else f"{n} {f}" for f, n in row["counts"].items())
        rows.append([row["formula"], made_of, "suspected" if row["suspected"] else row["note"] or row["melting"]])
    return rows


def _melts(found: dict) -> list[list[str]]:
    rows = [["melt, mol%", "freezes at deg C", "equations of", "used"]]
    for row in found["melts_taken_up"]:
        mix = " ".join(f"{f} {share:.1f}" for f, share in row["mole_percent"].items())
        rows.append([mix, f"{row['T_C']:.0f}", " + ".join(row["solids"]), "yes" if row["used"] else "left aside"])
    return rows
