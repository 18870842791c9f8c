"""The `find` command: words in, the melts that do better out, best first, as text for people or as JSON.

Temperatures in deg C, densities in g/cm3; the JSON keys are a contract with other tools: add, never rename.
Worked value: --metal Na --salts NaCl,CaCl2 lists near 48/52 mol%, liquidus 500 deg C, first.
"""

import argparse
import sys
from typing import TYPE_CHECKING

from thermo.present.command_line.closing import closing_lines
from thermo.present.command_line.shared import show
from thermo.records.composition import Composition, from_amounts, parse_amounts
from thermo.records.provenance import InputError
from thermo.records.substances import salt, salts
from thermo.records.units import temperature_K

if TYPE_CHECKING:  # the answers are imported when the command runs: other commands stay quick
    from thermo.answers.finder import Wish

HELP = "melts of the salts at hand that suit a metal, best first"


def add_arguments(sub: argparse.ArgumentParser) -> None:
    """Options of `find`."""
    sub.add_argument("--metal", required=True, metavar="Mg", help="the metal wanted")
    sub.add_argument("--salts", metavar="NaCl,KCl,...", help="salts at hand, one that holds the metal")
    sub.add_argument(
        "--all",
        action="store_true",
        help="every salt in the data instead of --salts: out of the atlas, or searched with --workers",
    )
    sub.add_argument("--max-salts", type=int, default=3, metavar="3", help="most salts in one melt, 1 to 5 (default 3)")
    sub.add_argument("--at", type=float, metavar="720", help="working temperature, deg C (default: just above melting)")
    sub.add_argument("--want", metavar="floats", help="floats or sinks: what the metal should do, at least likely")
    sub.add_argument("--below", type=float, metavar="600", help="highest liquidus, deg C")
    sub.add_argument("--superheat", type=float, default=30.0, metavar="30", help="K above the liquidus (default 30)")
    sub.add_argument("--deposit", help="liquid or solid, when only one will do")
    sub.add_argument("--vessel", metavar="NAME", help="pot material, for its temperature limit")
    sub.add_argument("--atmosphere", default="inert", help="air or inert (default)")
    sub.add_argument("--improve", nargs="+", metavar="SALT=AMOUNT", help="the smallest addition that helps this melt")
    sub.add_argument("--basis", default="mol", help="what the amounts of --improve count: mol (default) or mass")
    _add_wishes(sub)
    sub.add_argument("--workers", type=int, default=1, metavar="2", help="processes that share the search (default 1)")
    sub.add_argument("--scheduler", metavar="tcp://HOST:8786", help="a cluster's scheduler, instead of --workers")


def _add_wishes(sub: argparse.ArgumentParser) -> None:
    sub.add_argument("--chance", type=float, metavar="0.9", help="how likely the side and the liquidus have to be")
    sub.add_argument("--margin", type=float, metavar="0.1", help="V by which the metal has to come first")
    sub.add_argument(
        "--share-least", type=float, default=8.0, metavar="8", help="mass%% of the metal's salt (default 8)"
    )
    sub.add_argument(
        "--share-most", type=float, default=100.0, metavar="40", help="mass%% of the metal's salt, at most"
    )
    sub.add_argument("--vapour", type=float, metavar="100", help="most salt vapour, Pa")
    sub.add_argument("--window", type=float, metavar="100", help="least width of the window, K")
    sub.add_argument("--no-poison", action="store_true", help="no barium salts")
    sub.add_argument("--no-wet", action="store_true", help="no salts that drying decomposes")
    sub.add_argument("--cost", action="append", default=[], metavar="NaCl=1.5", help="your price of a kg; once a salt")
    sub.add_argument("--cost-most", type=float, metavar="4", help="most that a kg of the mix may cost")


def run(options: argparse.Namespace) -> int:
    """Answer one `find` command; returns the exit code."""
    listed = _listed(options)
    from thermo.answers.finder import find_melts
    from thermo.answers.finder.atlas_table import search_atlas
    from thermo.answers.finder.improve import improve
    from thermo.engine.workers import Workers
    from thermo.present.as_json.find import find_json, improve_json

    wish = _wish(options, listed)
    if options.improve:
        return show(options, improve_json(wish, improve(wish, _typed(options))), improve_text)
    wish.check()
    if options.all and options.workers == 1 and options.scheduler is None:
        return show(options, find_json(wish, search_atlas(wish)), find_text)
    with Workers(options.workers, options.scheduler) as workers:
        found = find_melts(wish, workers, _progress if sys.stderr.isatty() else None)
    return show(options, find_json(wish, found), find_text)


def _listed(options: argparse.Namespace) -> tuple[str, ...]:
    """The salts at hand; InputError for none, or both ways to name them."""
    if options.all == (options.salts is not None):
        raise InputError("--salts or --all: allowed is one of the two, as --salts NaCl,KCl,MgCl2")
    return tuple(salts()) if options.all else parse_salts(options.salts)


def _typed(options: argparse.Namespace) -> Composition:
    """The melt of --improve."""
    return from_amounts(parse_amounts(options.improve, where="--improve "), options.basis)


def _wish(options: argparse.Namespace, listed: tuple[str, ...]) -> "Wish":
    from thermo.answers.finder import Wish

    cost = parse_amounts(options.cost, "SALT=PRICE, as NaCl=1.5", "--cost ")
    for formula in cost:
        salt(formula)
    return Wish(
        symbol=options.metal,
        salts=listed,
        most=options.max_salts,
        T_K=None if options.at is None else temperature_K(options.at, "--at"),
        want=options.want,
        below_K=None if options.below is None else temperature_K(options.below, "--below"),
        superheat_K=options.superheat,
        deposit=options.deposit,
        vessel=options.vessel,
        atmosphere=options.atmosphere,
        chance=options.chance,
        margin_V=options.margin,
        share=(options.share_least / 100, options.share_most / 100),
        vapour_Pa=options.vapour,
        window_K=options.window,
        poison=not options.no_poison,
        wet=not options.no_wet,
        cost=cost,
        most_cost=options.cost_most,
    )


def _progress(done: int, total: int) -> None:
    """One line on a terminal that is written over; Ctrl-C ends the search."""
    sys.stderr.write(f"\r{done} of {total} sets" + ("\n" if done == total else ""))
    sys.stderr.flush()


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

    rows = [
        ["mol%", "melts at", "+-", "judged at", found["metal"], "verdict", "melt - metal", "window", "deposits first"]
    ]
    for melt in found["melts"]:
        window, difference = melt["window"], melt["difference_g_cm3"]
        ends = f"{window['low_C']:.0f} to {window['high_C']:.0f}" if window["exists"] else "none"
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
                melt["deposits_words"],
            ]
        )
    lines = [table(rows) if found["melts"] else "no melt passes", "", f"{found['searched']} melts looked at"]
    if 1 < len(found["pareto"]) < len(found["melts"]):
        unbeaten = ", ".join(str(n + 1) for n in found["pareto"])
        lines.append(f"none beats numbers {unbeaten} in low end, margins, window and cost together")
    lines += closing_lines(found)
    return "\n".join(lines)


def improve_text(found: dict) -> str:
    """Additions and slips for a terminal, the smallest addition first."""
    from thermo.present.command_line.text import table

    rows = [["turns", "add mol%", "+-", "salt", "and then"]]
    rows += [[a["turns"], f"{a['mole_percent']:.1f}", f"{a['sigma_mole_percent']:.1f}", a["salt"], a["changes"]]
             for a in found["add"]]  # fmt: skip
    slips = [["slip", "freezes by K", "melt - metal by g/cm3", "verdict"]]
    for slip in found["sensitivity"]:
        moved = slip["difference_g_cm3"]
        slips.append([slip["change"], f"{slip['liquidus_K']:+.1f}", "" if moved is None else f"{moved:+.4f}",
                      slip["verdict"] or "vapour"])  # fmt: skip
    lines = [table(rows) if found["add"] else "no addition helps", "", table(slips)]
    lines += closing_lines(found)
    return "\n".join(lines)
