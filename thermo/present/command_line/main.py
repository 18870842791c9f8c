"""The command line: reads words, asks for an answer, prints it for people or as one JSON object.

Exit codes: 0 done; 1 `refit --check` found differing files, or the answer could not be written; 2 bad input, with one
line on standard error and nothing on standard output; 3 a fault of the program. Each command imports what it needs when
it runs, so that a quick question stays quick.
"""

import argparse
import math
import re
import sys
from functools import partial

from thermo import __version__
from thermo.present.command_line import atlas as atlas_command
from thermo.present.command_line import cell as cell_command
from thermo.present.command_line import cooling as cooling_command
from thermo.present.command_line import cryolite as cryolite_command
from thermo.present.command_line import evidence as evidence_command
from thermo.present.command_line import find as find_command
from thermo.present.command_line import notebook as notebook_command
from thermo.present.command_line import plan as plan_command
from thermo.present.command_line import refit as refit_command
from thermo.present.command_line import review as review_command
from thermo.present.command_line import weigh as weigh_command
from thermo.present.command_line.examples import epilog
from thermo.present.command_line.refusals import report
from thermo.present.command_line.shared import add_composition, composition, show
from thermo.records.composition import Composition, parse_amounts
from thermo.records.provenance import InputError, suggest
from thermo.records.substances import metal, salt
from thermo.records.units import ZERO_C, temperature_K

HOTTEST_C = 3000.0  # above every salt's boiling point: density and vapour laws mean nothing there
VOLTAGE_SPAN_C = (25.0, 1700.0)  # inside the fitted span of the elements' Gibbs energies
MOST_AMOUNT = 1e12  # moles or grams: above this an amount is a slip


class _Parser(argparse.ArgumentParser):
    """argparse that raises InputError in one line and takes option names in full only."""

    def __init__(self, **settings):
        self.known: list[str] = []  # option names, to suggest from
        super().__init__(allow_abbrev=False, **settings)

    def add_argument(self, *names: str, **settings):
        """As argparse does, and remember the name."""
        self.known += [name for name in names if name.startswith("--")]
        return super().add_argument(*names, **settings)

    def _print_message(self, message: str, file=None) -> None:
        """As argparse does, but a full disk is not passed over in silence."""
        (file or sys.stderr).write(message)

    def error(self, message: str):
        text = re.sub(r"^argument ", "", message)
        missing = re.fullmatch(r"the following arguments are required: (.*)", text)
        if missing:
            raise InputError(f"{self.prog.split()[-1]}: {missing[1]} is required; see {self.prog} --help")
        raise InputError(re.sub(r"invalid (float|int) value: (.*)$", _not_a_number, text))


def _not_a_number(found: re.Match) -> str:
    kind = {"float": "a number", "int": "a whole number"}[found[1]]
    return f"{found[2]} is not {kind}; allowed is {kind}"


def build_parser(command: str | None = None) -> argparse.ArgumentParser:
    """The parser of all commands; with the words of one alone, where it is named: others read tables for theirs."""
    parser = _Parser(prog="python -m thermo", description="Molten-salt baths for making reactive metals.")
    parser.add_argument("--version", action="version", version=f"Meltwright {__version__}")
    commands = parser.add_subparsers(dest="command", required=True, parser_class=_Parser, metavar="COMMAND")
    for name, (add, _, help_text) in COMMANDS.items():
        as_typed = argparse.RawDescriptionHelpFormatter
        sub = commands.add_parser(
            name, help=help_text, description=help_text, epilog=epilog(name), formatter_class=as_typed
        )
        sub.add_argument("--json", action="store_true", help="one JSON object instead of text")
        if command in (None, name):
            add(sub)
        sub.set_defaults(known=sub.known)
    return parser


def main(words: list[str]) -> int:
    """Run one command; returns the exit code."""
    try:
        options = _parsed(words)
        _, run, _ = COMMANDS[options.command]
        code = run(options)
        sys.stdout.flush()
    except KeyboardInterrupt:
        return 130  # as a shell says it
    except SystemExit as stop:  # --help and --version end here
        return _flushed(words, 0 if stop.code is None else int(stop.code))
    except Exception as error:  # noqa: BLE001  the last resort: a person is told in one line, not in a traceback
        return report(error, words)
    return code


def _flushed(words: list[str], code: int) -> int:
    try:
        sys.stdout.flush()
    except OSError as error:
        return report(error, words)
    return code


def _parsed(words: list[str]) -> argparse.Namespace:
    """Words to options; InputError for a missing or unknown command, an unknown or surplus word, a senseless value."""
    words = ["refit" if word == "assess" else word for word in words[:1]] + words[1:]  # its name until 0.9
    names = [word for word in words if not word.startswith("-")]
    if not names and not {"-h", "--help", "--version"} & set(words):
        raise InputError(f"no command; allowed are {', '.join(COMMANDS)}")
    if names and names[0] not in COMMANDS:
        raise InputError(f"command {names[0]!r} is not in the list{suggest(names[0], COMMANDS)}")
    anywhere = [word for word in words if word == "--json"]
    options, surplus = build_parser(*names[:1]).parse_known_args(
        [word for word in words if word != "--json"] + anywhere
    )
    if surplus:
        known = suggest(surplus[0], options.known) if surplus[0].startswith("-") else ""
        raise InputError(f"{surplus[0]!r}: {options.command} takes no such word{known}")
    _check_numbers(options)
    _check_names(options)
    return options


def _check_names(options: argparse.Namespace) -> None:
    """InputError for a mistyped salt or metal, before anything slow is imported."""
    if getattr(options, "amounts", None) and hasattr(options, "basis"):
        composition(options)
    named = options.salts if options.command in ("lowest", "pair", "evidence") else []
    for formula in named:
        salt(formula)
    if options.command == "pair" and len(named) != 2:
        raise InputError(f"pair {' '.join(named)}: allowed are two salts, as pair LiF NaF")
    if getattr(options, "metal", None) is not None:
        metal(options.metal)


def _check_numbers(options: argparse.Namespace) -> None:
    """InputError for numbers that no command can use: not finite, or beyond what the laws cover."""
    for name, value in vars(options).items():
        if isinstance(value, float) and not math.isfinite(value):
            raise InputError(f"--{name.replace('_', '-')} {value}: allowed is a finite number")
    for formula, amount in parse_amounts(getattr(options, "amounts", [])).items():
        if math.isfinite(amount) and amount > MOST_AMOUNT:
            raise InputError(f"amount of {formula} {amount:g}: allowed is up to {MOST_AMOUNT:g}")
    low_C, high_C = VOLTAGE_SPAN_C if options.command in ("cell", "find", "review") else (-ZERO_C, HOTTEST_C)
    for name in ("at", "below"):
        t_C = getattr(options, name, None)
        if t_C is not None and not low_C <= t_C <= high_C:
            raise InputError(f"--{name} {t_C:g} deg C: allowed is {low_C:g} to {high_C:g} deg C")
    superheat_K = getattr(options, "superheat", 0.0)
    if not 0 <= superheat_K <= 500:
        raise InputError(f"--superheat {superheat_K:g} K: allowed is 0 to 500")


def _add_salts(sub: argparse.ArgumentParser) -> None:
    pass


def _run_salts(options: argparse.Namespace) -> int:
    from thermo.present.as_json.melt import salts_json
    from thermo.present.command_line.text import salts_text

    return show(options, salts_json(), salts_text)


def _add_melt(sub: argparse.ArgumentParser) -> None:
    add_composition(sub)
    sub.add_argument("--metal", metavar="Mg", help="the metal wanted")
    sub.add_argument("--at", type=float, metavar="700", help="working temperature, deg C")
    sub.add_argument("--deposit", help="liquid or solid, when only one will do")
    sub.add_argument("--superheat", type=float, default=30.0, metavar="30", help="K above the liquidus (default 30)")
    sub.add_argument("--vessel", metavar="NAME", help="pot material, for its temperature limit")
    sub.add_argument("--atmosphere", default="inert", help="air or inert (default)")


def _run_melt(options: argparse.Namespace) -> int:
    from thermo.answers.melt import describe_melt
    from thermo.present.as_json.melt import melt_json
    from thermo.present.command_line.text import melt_text

    found = describe_melt(
        composition(options),
        options.metal,
        None if options.at is None else temperature_K(options.at, "--at"),
        options.deposit,
        options.superheat,
        options.vessel,
        options.atmosphere,
    )
    return show(options, melt_json(found), melt_text)


def _add_pair(sub: argparse.ArgumentParser) -> None:
    sub.add_argument("salts", nargs="+", metavar="SALT", help="two salts, as LiF NaF")
    sub.add_argument("--terms", action="store_true", help="show the mixing terms of the melt too")


def _run_pair(options: argparse.Namespace) -> int:
    from thermo.equilibrium.invariants.pair import pair_invariants
    from thermo.equilibrium.invariants.section import is_section, section
    from thermo.present.as_json.pair import pair_json, section_json
    from thermo.present.command_line.text import pair_text
    from thermo.records.fitted import pair_models

    a, b = options.salts
    if is_section(a, b):
        return show(options, section_json(section(a, b)), pair_text)
    points = pair_invariants(a, b)
    found = pair_json(a, b, points, pair_models()[frozenset((a, b))])
    return show(options, found, partial(pair_text, terms=options.terms))


def _add_lowest(sub: argparse.ArgumentParser) -> None:
    sub.add_argument("salts", nargs="+", metavar="SALT", help="two to six salts, of one anion or two")


def _run_lowest(options: argparse.Namespace) -> int:
    from thermo.answers.evidence.melts import coldest
    from thermo.equilibrium.invariants.lowest import lowest
    from thermo.present.as_json.pair import lowest_json
    from thermo.present.command_line.text import lowest_text
    from thermo.records.published import ternary_points

    point = lowest(options.salts)
    published = coldest(ternary_points(*point.salts))
    return show(options, lowest_json(point, Composition(point.salts, point.fractions), published), lowest_text)


COMMANDS = {
    "salts": (_add_salts, _run_salts, "salts, metals and pairs in the data"),
    "melt": (_add_melt, _run_melt, "freezing, density, float or sink and temperature window of one melt"),
    "pair": (_add_pair, _run_pair, "eutectics, peritectics, minima and compounds of two salts"),
    "lowest": (_add_lowest, _run_lowest, "the lowest-melting mix of some salts"),
    "cell": (cell_command.add_arguments, cell_command.run, cell_command.HELP),
    "weigh": (weigh_command.add_arguments, weigh_command.run, weigh_command.HELP),
    "find": (find_command.add_arguments, find_command.run, find_command.HELP),
    "atlas": (atlas_command.add_arguments, atlas_command.run, atlas_command.HELP),
    "plan": (plan_command.add_arguments, plan_command.run, plan_command.HELP),
    "review": (review_command.add_arguments, review_command.run, review_command.HELP),
    "cooling": (cooling_command.add_arguments, cooling_command.run, cooling_command.HELP),
    "cryolite": (cryolite_command.add_arguments, cryolite_command.run, cryolite_command.HELP),
    "evidence": (evidence_command.add_arguments, evidence_command.run, evidence_command.HELP),
    "notebook": (notebook_command.add_arguments, notebook_command.run, notebook_command.HELP),
    "refit": (refit_command.add_arguments, refit_command.run, refit_command.HELP),
}
