"""A logger's file on the command line: its options, its reading, and what is shown of it.

Worked value: `--log run.csv --column time=1 --column amps=3 --time-unit min` gives current and charge of a run.
"""

import argparse
import json
from pathlib import Path
from typing import Any

from thermo.records.errors import InputError
from thermo.records.logger import Log, parse_columns, read_log

MOST_BYTES = 100_000_000


def add_log(sub: argparse.ArgumentParser) -> None:
    """Options of a logger's file."""
    sub.add_argument("--log", metavar="FILE", help="a logger's table: comma, semicolon or tab; decimal point or comma")
    sub.add_argument(
        "--column",
        action="append",
        default=[],
        metavar="QUANTITY=COLUMN",
        help="time, T (deg C), amps or volts by the name or the number of its column, as time=1 T=Temp",
    )
    sub.add_argument("--time-unit", default="s", metavar="min", help="unit of a plain time: s (default), min or h")


def log_of(options: argparse.Namespace) -> Log | None:
    """The log that was named; None where none was. InputError for a file that cannot be read as one."""
    if options.log is None:
        if options.column:
            raise InputError("--column: allowed only with --log FILE")
        return None
    text = _text(options.log, "--log")
    return read_log(text, parse_columns(options.column), options.time_unit, Path(options.log).name)


def plan_of(path: str) -> dict[str, Any]:
    """A plan that `plan --json` wrote to a file."""
    try:
        found = json.loads(_text(path, "--plan"))
    except json.JSONDecodeError:
        raise InputError(f"--plan {path}: not JSON; allowed is what `plan --json` writes") from None
    if not isinstance(found, dict):
        raise InputError(f"--plan {path}: not a plan; allowed is what `plan --json` writes")
    return found


def _text(path: str, option: str) -> str:
    try:
        raw = Path(path).read_bytes()
    except OSError as error:
        why = error.strerror or "cannot be read"
        raise InputError(f"{option} {path[:200]!r}: {why.lower()}; allowed is a file that can be read") from None
    if len(raw) > MOST_BYTES:
        raise InputError(f"{option} {path[:200]!r}: {len(raw)} bytes; allowed are {MOST_BYTES}")
    for coding in ("utf-8", "cp1252"):
        try:
            return raw.decode(coding)
        except UnicodeDecodeError:
            continue
    raise InputError(f"{option} {path[:200]!r}: not text; allowed is a text table")
