"""`python -m thermo refit`: check and sign the tables, fit anew, and say which pairs moved.

--check writes nothing and exits with 1 where something would change; --sign leaves the fits alone.
"""

import argparse
import os
from typing import TYPE_CHECKING

from thermo.present.command_line.shared import show

if TYPE_CHECKING:
    from thermo.fitting.pipeline import Refit

HELP = "check the tables of data/, sign them, and refit the generated files from them"


def add_arguments(sub: argparse.ArgumentParser) -> None:
    """--check and --sign."""
    sub.add_argument("--check", action="store_true", help="write nothing; exit 1 where the files would change")
    sub.add_argument("--sign", action="store_true", help="only check all tables and write data/MANIFEST.csv")


def run(options: argparse.Namespace) -> int:
    """What changed, as lines or one JSON object."""
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # small matrices: a second thread waits more than it works
    from thermo.fitting.pipeline import Refit, differences, regenerate
    from thermo.records.tables import sign, unsigned

    if options.sign:
        found = Refit(unsigned() if options.check else sign(), [])
    else:
        found = differences() if options.check else regenerate()
    lines = [*found.changed, *(move.line for move in found.moved)]
    show(options, _as_json(found), lambda _: "\n".join(lines) or "nothing to change")
    return 1 if options.check and found.changed else 0


def _as_json(found: "Refit") -> dict:
    moved = [
        {"salts": move.salts, "what": move.what, "sigmas": move.sigmas, "spread_pct": move.spread_pct}
        | {"parameter": None if move.parameter is None else str(move.parameter)}
        for move in found.moved
    ]
    return {"changed": found.changed, "moved": moved}
