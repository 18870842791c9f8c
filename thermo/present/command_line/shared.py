"""What the commands share: the words of a melt and of a run, and how an answer is printed.

Limits: words only; each command imports its answer when it runs. Worked value: `NaCl=1 --basis mass` is pure NaCl.
"""

import argparse
import json
import sys
from collections.abc import Callable

from thermo.records.composition import BASES, Composition, from_amounts, parse_amounts
from thermo.records.provenance import InputError


def add_composition(sub: argparse.ArgumentParser) -> None:
    """The words of a melt."""
    sub.add_argument("amounts", nargs="+", metavar="SALT=AMOUNT", help="as NaCl=48 CaCl2=52, in any total")
    sub.add_argument("--basis", default="mol", help="what the amounts count: mol (default) or mass")


def add_bottles(sub: argparse.ArgumentParser) -> None:
    """What stands in the bottles: hydrates and purities."""
    sub.add_argument(
        "--from", dest="bottles", action="append", default=[], metavar="SALT=HYDRATE", help="MgCl2=MgCl2.6H2O"
    )
    sub.add_argument(
        "--assay",
        dest="assays",
        action="append",
        default=[],
        metavar="SALT=FRACTION",
        help="CaCl2=0.77 (mass fraction)",
    )


def composition(options: argparse.Namespace) -> Composition:
    """The melt that was typed; InputError where it is none."""
    if options.basis not in BASES:
        raise InputError(f"--basis {options.basis!r}: allowed are {' and '.join(BASES)}")
    return from_amounts(parse_amounts(options.amounts), options.basis)


def add_run(sub: argparse.ArgumentParser, hours: bool = True, required: bool = True) -> None:
    """The words of a run of a cell: melt, metal, temperature, current and, unless left out, time.

    required: False where a logger's file may stand for temperature, current and time.
    """
    add_composition(sub)
    sub.add_argument("--metal", required=True, metavar="Mg", help="the metal wanted")
    sub.add_argument("--at", required=required, type=float, metavar="700", help="bath temperature, deg C")
    sub.add_argument("--amps", required=required, type=float, metavar="5", help="current, A")
    if hours:
        sub.add_argument("--hours", required=required, type=float, metavar="2", help="time, h")


def show(options: argparse.Namespace, found: dict, text: Callable[[dict], str]) -> int:
    """Print an answer, for people or as one JSON object; the exit code. InputError for a number without end."""
    try:
        written = json.dumps(found, ensure_ascii=False, allow_nan=False)
    except ValueError:
        too = "an amount is too large or too small"
        raise InputError(f"{options.command}: a figure of the answer is not finite: {too}") from None
    shown = (written if options.json else text(found)) + "\n"
    try:
        sys.stdout.write(shown)
    except UnicodeEncodeError:  # letters that the terminal's encoding lacks: escaped, never an error
        plain = json.dumps(found) + "\n" if options.json else shown.encode("ascii", "backslashreplace").decode()
        sys.stdout.write(plain)
    return 0
