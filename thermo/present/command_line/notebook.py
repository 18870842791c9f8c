"""The `notebook` command: what is kept of melts and runs, listed, shown, added to, exported, imported.

    notebook list            notebook show 3           notebook add "bath 4" NaCl=48 CaCl2=52 --metal Na --at 600
    notebook list nacl mg    notebook export FILE      notebook import FILE    (- for standard output and input)
`list` with words lists the entries that hold them all, in any case, in name, salts, metal or notes. With --json each
prints {schema, entries}. The file is that of the page; --file names another.
Limits: words only; the file is thermo.notebook. Worked value: `notebook list` of a new notebook prints "no entries".
"""

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from thermo.present.command_line.shared import show
from thermo.records.composition import BASES
from thermo.records.provenance import InputError
from thermo.records.typed import shown_word

if TYPE_CHECKING:
    from thermo.notebook.store import Entry

HELP = "melts and runs that were kept: list, show, add, export, import"
ACTIONS = ("list", "show", "add", "export", "import")


def add_arguments(sub: argparse.ArgumentParser) -> None:
    """Words of the command."""
    sub.add_argument("action", metavar="ACTION", help=", ".join(ACTIONS))
    sub.add_argument(
        "rest",
        nargs="*",
        metavar="WORD",
        help="list: words an entry holds; show: number; add: name SALT=AMOUNT ...; else: file",
    )
    sub.add_argument("--basis", default="mol", help="of the amounts added: mol (default) or mass")
    sub.add_argument("--metal", metavar="Mg", help="the metal wanted, with add")
    sub.add_argument("--at", type=float, metavar="700", help="working temperature, deg C, with add")
    sub.add_argument("--file", metavar="PATH", help="another notebook than the usual one")


def run(options: argparse.Namespace) -> int:
    """Do it and print; the exit code."""
    from thermo.notebook.exchange import notebook_json
    from thermo.notebook.store import Notebook

    if options.action not in ACTIONS:
        raise InputError(f"notebook {options.action!r}: allowed are {', '.join(ACTIONS)}")
    book = Notebook(Path(options.file) if options.file else None)
    if options.action == "export":
        return _export(book, _one(options, "a file, or -"))
    if options.action == "import":
        _import(book, _one(options, "a file, or -"))
    added = _add(book, options) if options.action == "add" else None
    number = _number(_one(options, "a number")) if options.action == "show" else added
    entries = book.entries() if number is None else [book.entry(number)]
    if options.action == "list":
        entries = [entry for entry in entries if _holds(entry, options.rest)]
    return show(options, notebook_json(entries), notebook_text)


def _holds(entry: "Entry", words: Sequence[str]) -> bool:
    """Whether an entry holds all words, whatever their case."""
    melt, run = entry.melt, entry.run or {}
    notes = [run.get("note"), *(reading.get("note") for reading in run.get("readings", ()))]
    held = [entry.name, *melt.get("amounts", ()), melt.get("metal"), *notes]
    text = "\n".join(str(part) for part in held if part).casefold()
    return all(word.casefold() in text for word in words)


def _one(options: argparse.Namespace, what: str) -> str:
    if len(options.rest) != 1:
        raise InputError(f"notebook {options.action}: allowed is {what}")
    return options.rest[0]


def _number(word: str) -> int:
    if not word.isdecimal() or len(word) > 9:
        raise InputError(f"notebook show {word[:20]!r}: allowed is the number of an entry")
    return int(word)


def _add(book, options: argparse.Namespace) -> int:
    from thermo.notebook.exchange import checked_melt
    from thermo.records.recipe import read_recipe

    if len(options.rest) < 2:
        raise InputError('notebook add: allowed is a name and a melt, as notebook add "bath 4" NaCl=48 CaCl2=52')
    if options.basis not in BASES:
        raise InputError(f"--basis {options.basis!r}: allowed are {' and '.join(BASES)}")
    read = read_recipe(" ".join(options.rest[1:]), options.basis)
    melt = {"amounts": dict(read.amounts), "basis": read.basis, "metal": options.metal, "at_C": options.at}
    return book.add(options.rest[0], checked_melt(melt))


def _export(book, name: str) -> int:
    from thermo.notebook.exchange import write_entries

    text = write_entries(book.entries(photos=True))
    if name == "-":
        sys.stdout.write(text + "\n")
        return 0
    try:
        Path(name).write_text(text, encoding="utf-8")
    except (OSError, ValueError) as error:  # ValueError: a name that no file can have
        raise InputError(
            f"notebook export {shown_word(name, 60)}: {getattr(error, 'strerror', None) or error}"
        ) from None
    return 0


def _import(book, name: str) -> None:
    from thermo.notebook.exchange import read_entries

    try:
        text = sys.stdin.read() if name == "-" else Path(name).read_text(encoding="utf-8")
    except UnicodeDecodeError:
        raise InputError(f"notebook import {shown_word(name, 60)}: no text in UTF-8") from None
    except (OSError, ValueError) as error:  # ValueError: a name that no file can have
        raise InputError(
            f"notebook import {shown_word(name, 60)}: {getattr(error, 'strerror', None) or error}"
        ) from None
    book.import_entries(read_entries(text))


def notebook_text(found: dict) -> str:
    """Entries for people, one a line, a run's readings under it."""
    if not found["entries"]:
        return "no entries"
    lines = []
    for entry in found["entries"]:
        melt = entry["melt"]
        mix = " ".join(f"{salt}={amount:g}" for salt, amount in melt["amounts"].items())
        wanted = f", {melt['metal']}" if melt.get("metal") else ""
        at = f" at {melt['at_C']:g} deg C" if melt.get("at_C") is not None else ""
        lines.append(f"{entry['id']:>4}  {entry['kind']:<4}  {entry['name']}: {mix} ({melt['basis']}){wanted}{at}")
        for reading in (entry["run"] or {}).get("readings", ()):
            values = [f"{reading[key]:g} {unit}" for key, unit in _UNITS.items() if reading.get(key) is not None]
            lines.append(f"            {', '.join(values)} {reading.get('note', '')}".rstrip())
    return "\n".join(lines)


_UNITS = {"hours": "h", "volts": "V", "amps": "A", "T_C": "deg C"}
