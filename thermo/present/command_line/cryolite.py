"""The `cryolite` command: an aluminium bath by the names bath people use, and what it does.

Every amount is mass% of the whole bath, alumina included; the rest is cryolite. Temperatures in deg C; the JSON keys
are a contract with other tools: add, never rename.
Worked value: no options: pure cryolite, cryolite ratio 3.
"""

import argparse
from typing import TYPE_CHECKING

from thermo.present.command_line.closing import closing_lines
from thermo.present.command_line.shared import show
from thermo.present.words import bath as words
from thermo.records.provenance import InputError

if TYPE_CHECKING:  # the answer is imported when the command runs: other commands stay quick
    pass

HELP = "an aluminium bath by excess AlF3, alumina and additions: freezing, density, aluminium"
OPTIONS = {"CaF2": "caf2", "LiF": "lif", "MgF2": "mgf2", "KF": "kf"}
MOST_SUPERHEAT_K = 500.0


def add_arguments(sub: argparse.ArgumentParser) -> None:
    """Words of the command."""
    sub.add_argument("--excess-alf3", type=float, metavar="8", help="AlF3 beyond cryolite, mass%% (default 0)")
    sub.add_argument("--ratio", type=float, metavar="2.4", help="or the cryolite ratio, mol NaF to mol AlF3")
    sub.add_argument("--al2o3", type=float, default=0.0, metavar="3", help="dissolved alumina, mass%%")
    for formula, option in OPTIONS.items():
        sub.add_argument(f"--{option}", type=float, default=0.0, metavar="5", help=f"{formula}, mass%%")
    sub.add_argument("--superheat", type=float, default=10.0, metavar="10", help="K above the freezing point")


def run(options: argparse.Namespace) -> int:
    """Answer and print; the exit code."""
    from thermo.answers.bath import describe_bath
    from thermo.present.as_json.cryolite import bath_json
    from thermo.records.baths import bath_composition, excess_of_ratio

    if not 0 <= options.superheat <= MOST_SUPERHEAT_K:
        raise InputError(f"--superheat {options.superheat:g} K: allowed is 0 to {MOST_SUPERHEAT_K:g}")
    additions = {formula: getattr(options, option) for formula, option in OPTIONS.items()}
    if options.ratio is not None and options.excess_alf3 is not None:
        raise InputError("--ratio and --excess-alf3 both name the bath: allowed is one of them")
    excess = options.excess_alf3 or 0.0
    if options.ratio is not None:
        excess = excess_of_ratio(options.ratio, additions, options.al2o3)
    salts = bath_composition(excess, additions, options.al2o3)
    return show(options, bath_json(describe_bath(salts, options.al2o3, options.superheat)), bath_text)


def bath_text(found: dict) -> str:
    """The bath for people, its name first."""
    from thermo.present.command_line.text import table

    salts = found["composition"]
    rows = [["salt", "mol%", "mass% of the salts"]]
    rows += [[f, f"{salts['mole_percent'][f]:.2f}", f"{salts['mass_percent'][f]:.2f}"] for f in salts["mole_percent"]]
    liquidus, working, metal = found["liquidus"], found["working"], found["aluminium"]
    lines = [
        words.name_words(found["bath"]),
        "",
        table(rows),
        "",
        f"starts to freeze    {words.start_words(found)}, first solid {liquidus['first_solid']} ({liquidus['status']})",
        f"works at            {working['T_C']:.0f} deg C, {words.superheat_words(found)}",
        f"alumina dissolves   {words.saturation_words(found)}",
        f"bath density        {words.density_words(found)}",
        f"aluminium           {metal['density_g_cm3']:.3f} g/cm3: {metal['verdict']} ({words.margin_words(found)})",
    ]
    lines += closing_lines(found)
    return "\n".join(lines)
