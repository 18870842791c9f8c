"""The command `plan`: what a person has and wants in, one ordered procedure out, as text or as JSON.

Exit code 0 also where the wish cannot be: that is an answer, with what would open one.
Worked value: MgCl2=20 KCl=20 NaCl=60 --metal Mg --want-g 10 --pot-mL 300: twelve steps.
"""

import argparse

from thermo.present.command_line.closing import closing_lines, folded
from thermo.present.command_line.shared import add_bottles, add_composition, composition, show
from thermo.present.command_line.weigh import parse_assays, parse_bottles
from thermo.records.units import temperature_K

HELP = "one run as an ordered plan, from drying the salts to storing the metal"


def add_arguments(sub: argparse.ArgumentParser) -> None:
    """Options of `plan`."""
    add_composition(sub)
    sub.add_argument("--metal", required=True, metavar="Mg", help="the metal wanted")
    sub.add_argument("--want-g", required=True, type=float, metavar="10", help="grams of it")
    for name, example, text in (
        ("--total-g", "400", "grams of dry melt (default: what the pot or the metal asks for)"),
        ("--supply-volts", "12", "what the supply can give, V"),
        ("--supply-amps", "40", "and at most, A"),
        ("--furnace-W", "1100", "furnace power, W"),
        ("--pot-mL", "300", "inside volume of the pot, mL"),
        ("--at", "720", "bath temperature, deg C (default: chosen inside the window)"),
    ):
        sub.add_argument(name, type=float, metavar=example, help=text)
    add_bottles(sub)
    sub.add_argument("--vessel", metavar="NAME", help="pot material")
    sub.add_argument("--deposit", metavar="liquid", help="liquid or solid (default: liquid where it can be)")
    sub.add_argument("--atmosphere", default="inert", help="air or inert (default)")
    sub.add_argument("--cathode", metavar="rod", help="rod, pool or contact")
    sub.add_argument("--cathode-metal", metavar="Sn", help="metal that takes the deposit up")
    sub.add_argument("--feed", metavar="Al2O3", help="oxide that is fed instead of the halide")
    sub.add_argument("--anode", default="carbon", help="with --feed: carbon (default) or inert")


def run(options: argparse.Namespace) -> int:
    """Answer one `plan` command; the exit code."""
    from thermo.answers.plan.make import make_plan
    from thermo.answers.plan.wish import PlanWish
    from thermo.present.as_json.plan import plan_json

    wish = PlanWish(
        composition=composition(options),
        symbol=options.metal,
        want_g=options.want_g,
        total_g=options.total_g,
        bottles=parse_bottles(options.bottles),
        assays=parse_assays(options.assays),
        supply_V=options.supply_volts,
        supply_A=options.supply_amps,
        furnace_W=options.furnace_W,
        vessel=options.vessel,
        pot_mL=options.pot_mL,
        deposit=options.deposit,
        atmosphere=options.atmosphere,
        T_K=None if options.at is None else temperature_K(options.at, "--at"),
        cathode=options.cathode,
        cathode_metal=options.cathode_metal,
        feed=options.feed,
        anode=options.anode,
    )
    return show(options, plan_json(make_plan(wish)), plan_text)


def plan_text(found: dict) -> str:
    """The plan for a terminal: the summary, then each step with boxes to tick."""
    if not found["possible"]:
        return folded(f"no plan  {found['why_not']}", "")
    weigh = ", ".join(f"{grams:.2f} g {label}" for label, grams in found["weigh_g"].items() if grams)
    lines = [
        f"plan              {found['want_g']:g} g {found['metal']} ({found['deposit']}) at {found['T_C']:.0f} deg C, "
        f"{found['amps_A']:.3g} A for {found['run_hours']:.2g} h, {found['hours_total']:.1f} h in all",
        folded(f"weigh             {weigh}{_feed_words(found['feed'])}", 18 * " "),
    ]
    for step in found["steps"]:
        hot = "" if step["T_C"] is None else f", {step['T_C']:.0f} deg C"
        lines += ["", f"{step['n']:2d}  {step['title']} ({step['hours']:.2g} h{hot}; {step['rests_on']})"]
        lines += [folded(f"    [ ] {line}", 8 * " ") for line in step["do"]]
        lines += [
            folded(f"    until   {step['until']}", 12 * " "),
            folded(f"    if not  {step['if_not']}", 12 * " "),
        ]
        lines += [folded(f"    ! {line}", 6 * " ") for line in step["cautions"]]
    lines += closing_lines(found, ("notes", "sources"))
    return "\n".join(lines)


def _feed_words(feed: dict | None) -> str:
    """What is weighed for the feed, after what is weighed for the charge."""
    if feed is None:
        return ""
    more = f"; for the charge too {feed['start_g']:.2f} g {feed['substance']}" if feed["start_g"] else ""
    if feed["bottle"] is None:
        return f"{more}; for the feed {feed['g']:.2f} g {feed['substance']}"
    return f"{more}; for the feed {feed['bottle_g']:.2f} g {feed['bottle']} more"
