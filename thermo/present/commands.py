"""The command line: reads words, asks for an answer, prints it for people or as one JSON object.

Exit codes: 0 done; 1 `assess --check` found differing files; 2 bad input, with one line on standard error and nothing
on standard output. Each command imports what it needs when it runs, so that a quick question stays quick.
"""

import argparse
import json
import sys
from collections.abc import Callable

from thermo.records.composition import BASES, Composition, from_amounts, parse_amounts
from thermo.records.provenance import InputError, RangeError
from thermo.records.units import temperature_K


class _Parser(argparse.ArgumentParser):
    """argparse that raises InputError instead of printing its usage over several lines."""

    def error(self, message: str):
        raise InputError(message)


def build_parser() -> argparse.ArgumentParser:
    """The parser of all commands."""
    parser = _Parser(prog="python -m thermo", description="Molten-salt baths for making reactive metals.")
    commands = parser.add_subparsers(dest="command", required=True, parser_class=_Parser, metavar="COMMAND")
    for name, (add, _, help_text) in COMMANDS.items():
        sub = commands.add_parser(name, help=help_text, description=help_text)
        sub.add_argument("--json", action="store_true", help="one JSON object instead of text")
        add(sub)
    return parser


def main(words: list[str]) -> int:
    """Run one command; returns the exit code."""
    try:
        options = build_parser().parse_args(words)
        _, run, _ = COMMANDS[options.command]
        return run(options)
    except (InputError, RangeError) as error:
        print(" ".join(str(error).split()), file=sys.stderr)
        return 2


def _print(options: argparse.Namespace, found: dict, text: Callable[[dict], str]) -> int:
    print(json.dumps(found, ensure_ascii=False) if options.json else text(found))
    return 0


def _add_composition(sub: argparse.ArgumentParser) -> None:
    sub.add_argument("amounts", nargs="+", metavar="SALT=AMOUNT", help="as KCl=68 MgCl2=32, in any total")
    sub.add_argument("--basis", default="mol", help="what the amounts count: mol (default) or mass")


def _composition(options: argparse.Namespace) -> Composition:
    if options.basis not in BASES:
        raise InputError(f"--basis {options.basis!r}: allowed are {' and '.join(BASES)}")
    return from_amounts(parse_amounts(options.amounts), options.basis)


def _add_salts(sub: argparse.ArgumentParser) -> None:
    pass


def _run_salts(options: argparse.Namespace) -> int:
    from thermo.present.answers_json import salts_json
    from thermo.present.answers_text import salts_text

    return _print(options, salts_json(), salts_text)


def _add_melt(sub: argparse.ArgumentParser) -> None:
    _add_composition(sub)
    sub.add_argument("--metal", metavar="Mg", help="the metal wanted")
    sub.add_argument("--at", type=float, metavar="700", help="working temperature, deg C")
    sub.add_argument("--deposit", help="liquid or solid, when only one will do")
    sub.add_argument("--superheat", type=float, default=30.0, metavar="30", help="K above the liquidus (default 30)")
    sub.add_argument("--vessel", metavar="NAME", help="pot material, for its temperature limit")
    sub.add_argument("--atmosphere", default="inert", help="air or inert (default)")


def _run_melt(options: argparse.Namespace) -> int:
    from thermo.answers.melt import describe_melt
    from thermo.present.answers_json import melt_json
    from thermo.present.answers_text import melt_text

    answer = describe_melt(
        _composition(options),
        options.metal,
        None if options.at is None else temperature_K(options.at, "--at"),
        options.deposit,
        options.superheat,
        options.vessel,
        options.atmosphere,
    )
    return _print(options, melt_json(answer), melt_text)


def _add_pair(sub: argparse.ArgumentParser) -> None:
    sub.add_argument("a", metavar="A", help="first salt")
    sub.add_argument("b", metavar="B", help="second salt")


def _run_pair(options: argparse.Namespace) -> int:
    from thermo.equilibrium.invariants import pair_invariants
    from thermo.present.answers_json import pair_json
    from thermo.present.answers_text import pair_text
    from thermo.records.interactions import pair_models

    a, b = options.a, options.b
    points = pair_invariants(a, b)
    return _print(options, pair_json(a, b, points, pair_models()[frozenset((a, b))]), pair_text)


def _add_lowest(sub: argparse.ArgumentParser) -> None:
    sub.add_argument("salts", nargs="+", metavar="SALT", help="two to six salts of one anion")


def _run_lowest(options: argparse.Namespace) -> int:
    from thermo.equilibrium.invariants import lowest
    from thermo.present.answers_json import lowest_json
    from thermo.present.answers_text import lowest_text

    point = lowest(options.salts)
    return _print(options, lowest_json(point, Composition(point.salts, point.fractions)), lowest_text)


def _add_assess(sub: argparse.ArgumentParser) -> None:
    sub.add_argument("--check", action="store_true", help="write nothing; exit 1 where the files would change")


def _run_assess(options: argparse.Namespace) -> int:
    from thermo.equilibrium.generated import differences, regenerate

    lines = differences() if options.check else regenerate()
    print(json.dumps({"changed": lines}) if options.json else "\n".join(lines) or "nothing to change")
    return 1 if options.check and lines else 0


COMMANDS = {
    "salts": (_add_salts, _run_salts, "salts, metals and pairs in the data"),
    "melt": (_add_melt, _run_melt, "freezing, density, float or sink and temperature window of one melt"),
    "pair": (_add_pair, _run_pair, "eutectics, peritectics, minima and compounds of two salts"),
    "lowest": (_add_lowest, _run_lowest, "the lowest-melting mix of some salts"),
    "assess": (_add_assess, _run_assess, "refit the generated coefficient files from the published data"),
}
