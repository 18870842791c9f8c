"""The `cryolite` command: an aluminium bath by the names bath people use, and what it does.

Every amount is mass% of the whole bath, alumina included; the rest is cryolite. Temperatures in deg C; the JSON keys
are a contract with other tools: add, never rename.
Worked value: no options: pure cryolite, cryolite ratio 3.
"""

import argparse
from typing import TYPE_CHECKING

from thermo.present import bath_words as words
from thermo.present.command_parts import show
from thermo.records.provenance import InputError, cite
from thermo.records.units import celsius

if TYPE_CHECKING:  # the answer is imported when the command runs: other commands stay quick
    from thermo.answers.bath import BathAnswer
    from thermo.records.baths import BathName

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


def bath_json(answer: "BathAnswer") -> dict:
    """The bath as a dictionary; percentages of the whole bath, mole percent of its salts."""
    from thermo.answers.cautions import cautions
    from thermo.present.answers_json import composition_json, rounded

    liquidus = answer.liquidus
    keys = dict.fromkeys((*liquidus.sources, *answer.density.sources, *answer.aluminium_density.sources))
    return {
        "bath": _name_json(answer.name),
        "composition": composition_json(answer.composition),
        "liquidus": {
            "T_C": rounded(celsius(liquidus.T_K), 2),
            "sigma_K": rounded(liquidus.sigma_K, 2),
            "first_solid": liquidus.first_solid,
            "status": liquidus.status,
        },
        "working": {"T_C": rounded(celsius(answer.T_K), 2), "superheat_K": rounded(answer.superheat_K, 2)},
        "alumina_saturation": {
            "at_liquidus_mass_percent": rounded(liquidus.saturation_pct, 3),
            "at_working_mass_percent": rounded(answer.saturation_pct, 3),
        },
        "density": {
            "melt_g_cm3": rounded(answer.density.value_g_cm3, 4),
            "sigma_g_cm3": rounded(answer.density.sigma_g_cm3, 4),
        },
        "aluminium": {
            "density_g_cm3": rounded(answer.aluminium_density.value_g_cm3, 4),
            "difference_g_cm3": rounded(answer.difference_g_cm3, 4),
            "sigma_g_cm3": rounded(answer.sigma_g_cm3, 4),
            "p_float": rounded(answer.p_float, 4),
            "verdict": answer.verdict,
        },
        "notes": [*liquidus.notes, *answer.density.caveats],
        "cautions": list(cautions(answer.composition, "Al")),
        "sources": cite(keys),
    }


def _name_json(name: "BathName") -> dict:
    from thermo.present.answers_json import rounded

    return {
        "cryolite_ratio": rounded(name.cryolite_ratio, 4),
        "bath_ratio": rounded(name.bath_ratio, 4),
        "excess_AlF3_mass_percent": rounded(name.excess_alf3_pct, 3),
        "Al2O3_mass_percent": rounded(name.alumina_pct, 3),
        "additions_mass_percent": {f: rounded(pct, 3) for f, pct in name.additions_pct.items()},
    }


def bath_text(found: dict) -> str:
    """The bath for people, its name first."""
    from thermo.present.answers_text import table

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
    for title in ("notes", "cautions", "sources"):
        lines += ["", title + ":", *[f"  - {entry}" for entry in found[title]]]
    return "\n".join(lines)
