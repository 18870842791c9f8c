"""The `weigh` command: grams from each bottle, as JSON or as text.

Masses in g, temperatures in deg C; the JSON keys are a contract with other tools: add, never rename.
Worked value: NaCl=42 CaCl2=58 --basis mass --total-g 300 --from CaCl2=CaCl2.2H2O weighs 230.49 g of the dihydrate.
"""

import argparse

from thermo.present.command_line.closing import closing_lines
from thermo.present.command_line.shared import add_bottles, add_composition, composition, show
from thermo.records.composition import parse_amounts, parse_pairs

HELP = "what to weigh out from bottles that hold water or are not pure"


def add_arguments(sub: argparse.ArgumentParser) -> None:
    """Words of the command."""
    add_composition(sub)
    sub.add_argument("--total-g", type=float, required=True, metavar="500", help="grams of dry melt wanted")
    add_bottles(sub)


def run(options: argparse.Namespace) -> int:
    """Answer and print; the exit code."""
    from thermo.answers.drying_schedule import drying_schedule
    from thermo.answers.weighing import weigh_out, weighed_as_dry
    from thermo.present.as_json.weigh import weigh_json

    bottles = parse_bottles(options.bottles)
    weighing = weigh_out(composition(options), options.total_g, bottles, parse_assays(options.assays))
    schedule = drying_schedule(weighing, bottles)
    return show(options, weigh_json(weighing, weighed_as_dry(weighing, bottles), schedule), weigh_text)


def parse_bottles(words: list[str]) -> dict[str, str]:
    """['MgCl2=MgCl2.6H2O'] to {'MgCl2': 'MgCl2.6H2O'}; InputError names the offending word."""
    return parse_pairs(words, "SALT=HYDRATE, as MgCl2=MgCl2.6H2O", "--from ")


def parse_assays(words: list[str]) -> dict[str, float]:
    """['CaCl2=0.77'] to {'CaCl2': 0.77}; InputError names the offending word."""
    return parse_amounts(words, "SALT=FRACTION, as CaCl2=0.77", "--assay ")


def weigh_text(found: dict) -> str:
    """The weigh-out for people, what to weigh first."""
    from thermo.present.command_line.text import table

    rows = [["weigh out", "g"], *[[label, f"{grams:.2f}"] for label, grams in found["weigh_g"].items()]]
    dry = [["holds, dry", "g"], *[[formula, f"{grams:.2f}"] for formula, grams in found["anhydrous_g"].items()]]
    lines = [table(rows), "", table(dry), "", f"water to drive off  {found['water_g']:.2f} g"]
    lines += [f"{name} to drive off  {grams:.2f} g" for name, grams in found["driven_g"].items()]
    lines += [f"{name} for the cure  {grams:.2f} g" for name, grams in found["reagents_g"].items()]
    if found["other_g"]:
        lines.append(f"impurity that stays  {found['other_g']:.2f} g")
    if any(step["water_g"] or step["nh4cl_g"] for step in found.get("drying", ())):
        lines += ["", table(_drying_rows(found["drying"]))]
    slip = found["weighed_as_dry"]
    if slip is not None:
        mix = ", ".join(f"{percent:.1f} {formula}" for formula, percent in slip["mole_percent"].items())
        lines.append(
            f"weighed as though dry it would be {mix} mol%, freezing at {slip['liquidus_C']:.0f} deg C instead of "
            f"{slip['intended_liquidus_C']:.0f}"
        )
    lines += closing_lines(found)
    return "\n".join(lines)


def _drying_rows(steps: list[dict]) -> list[list[str]]:
    """Steps that move water or ammonium chloride; litres at 25 deg C."""
    rows = [["drying", "deg C", "h", "g NH4Cl", "g water", "L steam", "L HCl", "L NH3", "under"]]
    for step in steps:
        if step["water_g"] or step["nh4cl_g"] or step["HCl_25C_L"]:
            litres = [f"{step[name]:.1f}" for name in ("steam_25C_L", "HCl_25C_L", "NH3_25C_L")]
            doses = [f"{step['nh4cl_g']:.2f}", f"{step['water_g']:.2f}"]
            head = [f"{step['bottle']}, {step['step']}", f"{step['T_C']:.0f}", f"{step['hours']:g}"]
            rows.append([*head, *doses, *litres, step["cover"]])
    return rows
