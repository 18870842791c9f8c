"""The `find` command: words in, the melts that do better out, best first, as text for people or as JSON.

Temperatures in deg C, densities in g/cm3; the JSON keys are a contract with other tools: add, never rename.
Worked value: --metal Na --salts NaCl,CaCl2 lists near 48/52 mol%, liquidus 500 deg C, first.
"""

import argparse
from typing import TYPE_CHECKING

from thermo.present.command_line.shared import show
from thermo.records.provenance import InputError
from thermo.records.substances import salt
from thermo.records.units import temperature_K

if TYPE_CHECKING:  # the answers are imported when the command runs: other commands stay quick
    pass

HELP = "melts of the salts at hand that suit a metal, best first"


def add_arguments(sub: argparse.ArgumentParser) -> None:
    """Options of `find`."""
    sub.add_argument("--metal", required=True, metavar="Mg", help="the metal wanted")
    sub.add_argument("--salts", required=True, metavar="NaCl,KCl,...", help="salts at hand, one that holds the metal")
    sub.add_argument("--max-salts", type=int, default=3, metavar="3", help="most salts in one melt, 1 to 4 (default 3)")
    sub.add_argument("--at", type=float, metavar="720", help="working temperature, deg C (default: just above melting)")
    sub.add_argument("--want", metavar="floats", help="floats or sinks: what the metal should do, at least likely")
    sub.add_argument("--below", type=float, metavar="600", help="highest liquidus, deg C")
    sub.add_argument("--superheat", type=float, default=30.0, metavar="30", help="K above the liquidus (default 30)")
    sub.add_argument("--deposit", help="liquid or solid, when only one will do")
    sub.add_argument("--vessel", metavar="NAME", help="pot material, for its temperature limit")
    sub.add_argument("--atmosphere", default="inert", help="air or inert (default)")


def run(options: argparse.Namespace) -> int:
    """Answer one `find` command; returns the exit code."""
    from thermo.answers.finder import Wish, find_melts
    from thermo.present.as_json.find import find_json

    wish = Wish(
        symbol=options.metal,
        salts=parse_salts(options.salts),
        most=options.max_salts,
        T_K=None if options.at is None else temperature_K(options.at, "--at"),
        want=options.want,
        below_K=None if options.below is None else temperature_K(options.below, "--below"),
        superheat_K=options.superheat,
        deposit=options.deposit,
        vessel=options.vessel,
        atmosphere=options.atmosphere,
    )
    return show(options, find_json(wish, find_melts(wish)), find_text)


def parse_salts(words: str) -> tuple[str, ...]:
    """'NaCl,KCl' to ('NaCl', 'KCl'); InputError names an unknown, empty or repeated one."""
    names = tuple(word.strip() for word in words.split(","))
    for name in names:
        if not name:
            raise InputError(f"--salts {words!r}: allowed are formulas with commas between, as NaCl,KCl,MgCl2")
        salt(name)
        if names.count(name) > 1:
            raise InputError(f"--salts {words!r}: {name} is named twice; allowed is once")
    return names


def find_text(found: dict) -> str:
    """The search for a terminal, best first."""
    from thermo.present.command_line.text import table

    rows = [["mol%", "melts at", "+-", "judged at", found["metal"], "verdict", "melt - metal", "window", "first metal"]]
    for melt in found["melts"]:
        window, difference = melt["window"], melt["difference_g_cm3"]
        ends = f"{window['low_C']:.0f} to {window['high_C']:.0f}" if window["exists"] else "none"
        margin = "" if melt["margin_V"] is None else f" by {melt['margin_V']:.2f} V"
        rows.append(
            [
                " ".join(f"{percent:.4g} {formula}" for formula, percent in melt["mole_percent"].items()),
                f"{melt['liquidus_C']:.0f}",
                f"{melt['sigma_K']:.0f}",
                f"{melt['T_C']:.0f}",
                melt["metal_state"],
                melt["verdict"] or "vapour",
                "unknown" if difference is None else f"{difference:+.3f} +- {melt['sigma_g_cm3']:.3f}",
                ends,
                melt["first_metal"] + margin,
            ]
        )
    lines = [table(rows) if found["melts"] else "no melt passes", "", f"{found['searched']} melts looked at"]
    for title in ("notes", "cautions", "sources"):
        if found[title]:
            lines += ["", title + ":", *[f"  - {entry}" for entry in found[title]]]
    return "\n".join(lines)
