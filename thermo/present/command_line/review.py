"""The `review` command: what a weighed metal says of a run, and what most likely went wrong.

Temperatures in deg C, masses in g; the JSON keys are a contract with other tools: add, never rename.
Worked value: 20/40/40 mass% MgCl2-NaCl-KCl, Mg, 5 A for 2 h, 0.5 g weighed: current efficiency 0.110.
"""

import argparse
from typing import TYPE_CHECKING

from thermo.present.command_line.shared import add_run, composition, show
from thermo.records.seen_in_a_run import observations
from thermo.records.units import temperature_K

if TYPE_CHECKING:  # the answers are imported when the command runs: other commands stay quick
    pass

HELP = "what a weighed metal says of a run, and what most likely went wrong"


def add_arguments(sub: argparse.ArgumentParser) -> None:
    """Words of the command."""
    add_run(sub)
    sub.add_argument("--weighed-g", type=float, required=True, metavar="0.5", help="metal weighed, g")
    words = ", ".join(observations())
    sub.add_argument("--saw", nargs="+", action="extend", default=[], metavar="WORD", help=f"what was seen: {words}")
    sub.add_argument("--bath-g", type=float, metavar="500", help="mass of the bath, g")
    sub.add_argument("--volts", type=float, metavar="5", help="cell voltage, V")
    sub.add_argument("--vessel", metavar="NAME", help="pot material")
    sub.add_argument("--atmosphere", default="inert", help="air or inert (default)")
    sub.add_argument(
        "--hydrate", nargs="+", action="extend", default=[], metavar="SALT", help="salts brought as hydrate"
    )


def run(options: argparse.Namespace) -> int:
    """Answer and print; the exit code."""
    from thermo.answers.run.facts import run_of
    from thermo.answers.run.review import review
    from thermo.present.as_json.review import review_json

    done = run_of(
        composition(options),
        options.metal,
        temperature_K(options.at, "--at"),
        options.amps,
        options.hours,
        options.weighed_g,
        options.bath_g,
        options.volts,
        options.vessel,
        options.atmosphere,
        tuple(options.hydrate),
    )
    return show(options, review_json(review(done, tuple(options.saw))), review_text)


def review_text(found: dict) -> str:
    """The review for people, the efficiency first."""
    percent, sigma = 100 * found["current_efficiency"], 100 * found["sigma_current_efficiency"]
    made = f"{found['weighed_g']:.3g} g of {found['metal_g_max']:.3g} g {found['metal']}"
    lines = [f"current efficiency  {percent:.1f} +- {sigma:.1f} % ({made} from {found['charge_Ah']:.3g} A h)", ""]
    for cause in found["likely_causes"]:
        lines += [
            f"{cause['weight']:.2f}  {cause['cause']}",
            f"      because: {cause['evidence']}",
            f"      remedy:  {cause['remedy']}",
        ]
    if not found["likely_causes"]:
        lines.append("no cause with a number behind it")
    for title in ("unexplained", "notes", "sources"):
        if found[title]:
            lines += ["", title + ":", *[f"  - {entry}" for entry in found[title]]]
    return "\n".join(lines)
