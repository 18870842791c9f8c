"""The `review` command: what a weighed metal says of a run, and what most likely went wrong.

Temperatures in deg C, masses in g; the JSON keys are a contract with other tools: add, never rename.
Worked value: 20/40/40 mass% MgCl2-NaCl-KCl, Mg, 5 A for 2 h, 0.5 g weighed: current efficiency 0.110.
"""

import argparse
from typing import TYPE_CHECKING

from thermo.present.command_line.closing import closing_lines, folded
from thermo.present.command_line.log_file import add_log, log_of, plan_of
from thermo.present.command_line.shared import add_run, composition, show
from thermo.records.errors import InputError
from thermo.records.logger import Log
from thermo.records.seen_in_a_run import observations
from thermo.records.units import temperature_K

if TYPE_CHECKING:  # the answers are imported when the command runs: other commands stay quick
    pass

HELP = "what a weighed metal says of a run, and what most likely went wrong"


def add_arguments(sub: argparse.ArgumentParser) -> None:
    """Words of the command."""
    add_run(sub, required=False)
    sub.add_argument("--weighed-g", type=float, required=True, metavar="0.5", help="metal weighed, g")
    words = ", ".join(observations())
    sub.add_argument("--saw", nargs="+", action="extend", default=[], metavar="WORD", help=f"what was seen: {words}")
    sub.add_argument("--bath-g", type=float, metavar="500", help="mass of the bath, g")
    sub.add_argument("--volts", type=float, metavar="5", help="cell voltage, V")
    sub.add_argument("--plan", metavar="FILE", help="what `plan --json` wrote: planned beside read")
    add_log(sub)
    sub.add_argument("--vessel", metavar="NAME", help="pot material")
    sub.add_argument("--atmosphere", default="inert", help="air or inert (default)")
    sub.add_argument(
        "--hydrate", nargs="+", action="extend", default=[], metavar="SALT", help="salts brought as hydrate"
    )


def run(options: argparse.Namespace) -> int:
    """Answer and print; the exit code."""
    from thermo.answers.run.facts import run_of
    from thermo.answers.run.planned import beside, planned_of
    from thermo.answers.run.review import review
    from thermo.present.as_json.review import beside_json, review_json

    log = log_of(options)
    at_C, amps, hours, volts, shown = _run_words(options, log)
    done = run_of(
        composition(options),
        options.metal,
        temperature_K(at_C, "--at"),
        amps,
        hours,
        options.weighed_g,
        options.bath_g,
        volts,
        options.vessel,
        options.atmosphere,
        tuple(options.hydrate),
    )
    lines = None
    if options.plan is not None:
        plan = planned_of(plan_of(options.plan), f"--plan {options.plan}")
        lines = beside_json(beside(plan, at_C, amps, hours, options.weighed_g, volts))
    found = review_json(review(done, tuple(options.saw))) | {"log": shown, "planned": lines}
    return show(options, found, review_text)


def _run_words(
    options: argparse.Namespace, log: Log | None
) -> tuple[float, float, float, float | None, dict[str, float | None] | None]:
    """Temperature, current, time and volts as typed, else as the log has them; and what is shown of the log."""
    from thermo.answers.run.log import read_run
    from thermo.present.as_json.review import log_json

    if log is None:
        for name, value in (("--at", options.at), ("--amps", options.amps), ("--hours", options.hours)):
            if value is None:
                raise InputError(f"review: {name} is required, or --log FILE with its column; see review --help")
        return options.at, options.amps, options.hours, options.volts, None
    shown = log_json(read_run(log))
    at_C = _needed("--at", options.at, shown["T_C"])
    amps, hours = (_needed(f"--{n}", v, shown[k]) for n, v, k in (
        ("amps", options.amps, "mean_A"), ("hours", options.hours, "hours")))  # fmt: skip
    return at_C, amps, hours, options.volts if options.volts is not None else shown["mean_V"], shown


def _needed(name: str, typed: float | None, read: float | None) -> float:
    """What was typed, else what the log has; InputError where neither is there."""
    value = typed if typed is not None else read
    if value is None:
        raise InputError(f"review: {name} is required: the log has no column for it; see review --help")
    return value


def review_text(found: dict) -> str:
    """The review for people, the efficiency first."""
    percent, sigma = 100 * found["current_efficiency"], 100 * found["sigma_current_efficiency"]
    made = f"{found['weighed_g']:.3g} g of {found['metal_g_max']:.3g} g {found['metal']}"
    lines = [f"current efficiency  {percent:.1f} +- {sigma:.1f} % ({made} from {found['charge_Ah']:.3g} A h)"]
    lines += [*_log_lines(found.get("log")), *_planned_lines(found.get("planned")), ""]
    for cause in found["likely_causes"]:
        lines += [
            f"{cause['weight']:.2f}  {cause['cause']}",
            folded(f"      because: {cause['evidence']}", 15 * " "),
            folded(f"      remedy:  {cause['remedy']}", 15 * " "),
        ]
    if not found["likely_causes"]:
        lines.append("no cause with a number behind it")
    lines += closing_lines(found, ("unexplained", "notes", "sources"))
    return "\n".join(lines)


def _log_lines(log: dict | None) -> list[str]:
    if log is None or log["charge_Ah"] is None:
        return []
    gaps = f", {log['gap_hours']:.2g} h without reading" if log["gap_hours"] else ""
    return [f"log                 {log['charge_Ah']:.4g} A h in {log['hours']:.3g} h, {log['mean_A']:.3g} A{gaps}"]


def _planned_lines(rows: list[dict] | None) -> list[str]:
    if rows is None:
        return []
    from thermo.present.command_line.text import table

    cells = [["", "planned", "read", ""]]
    cells += [[row["name"], _short(row["planned"]), _short(row["read"]), row["says"] or ""] for row in rows]
    return ["", table(cells)]


def _short(value: float | None) -> str:
    return "" if value is None else f"{value:.4g}"
