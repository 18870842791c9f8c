"""The `atlas` command: computes data/fitted/atlas.csv, the best baths for each metal out of all salts in the data.

The file is written whole or not at all: beside itself first, then moved. `--cost` says what a run costs, and what one
over every set of four salts would, from a sample timed here. Worked value: --metal Na --cost takes seconds.
"""

import argparse
import os
import random
import subprocess
import sys
import time
from datetime import UTC, datetime
from pathlib import Path

from thermo.present.command_line.shared import show
from thermo.records.provenance import DATA, InputError

HELP = "compute the best baths for each metal out of all salts, into data/fitted/atlas.csv (minutes)"
_SAMPLE = 60  # sets timed for the estimate


def add_arguments(sub: argparse.ArgumentParser) -> None:
    """Options of `atlas`."""
    sub.add_argument("--metal", metavar="Mg", help="this metal only, printed and not written")
    sub.add_argument(
        "--kinds", default="chlorides,fluorides,both", help="which baths, with commas between (default all)"
    )
    sub.add_argument(
        "--anew",
        metavar="Mg,Li",
        help="compute these metals alone and answer the stored baths of the others again, by today's data; none: ''",
    )
    sub.add_argument("--cost", action="store_true", help="only say what a run costs")
    sub.add_argument("--workers", type=int, default=1, metavar="2", help="processes that share the work (default 1)")
    sub.add_argument("--scheduler", metavar="tcp://HOST:8786", help="a cluster's scheduler, instead of --workers")


def run(options: argparse.Namespace) -> int:
    """Compute and write, or print; the exit code."""
    from thermo.answers.finder.atlas import KINDS, compute, metals_of_the_atlas
    from thermo.answers.finder.atlas_table import kept_on, table
    from thermo.engine.workers import Workers

    symbols = metals_of_the_atlas() if options.metal is None else (options.metal,)
    if options.anew is not None:
        symbols = tuple(filter(None, options.anew.split(",")))
        if options.metal is not None or not set(symbols) <= set(metals_of_the_atlas()):
            raise InputError(
                f"--anew {options.anew!r}: allowed are metals of the atlas with commas between, no --metal"
            )
    if options.cost:
        return show(options, cost_json(symbols), lambda found: "\n".join(found["lines"]))
    kinds = tuple(options.kinds.split(","))
    if not set(kinds) <= set(KINDS):
        raise InputError(f"--kinds {options.kinds!r}: allowed are {', '.join(KINDS)}")
    start = time.perf_counter()
    with Workers(options.workers, options.scheduler) as workers:
        rows, searched = compute(symbols, workers, _progress if sys.stderr.isatty() else None, kinds)
        if options.anew is not None:
            rows = kept_on(rows, symbols, kinds, workers)
    made, commit = datetime.now(UTC).date().isoformat(), _commit()
    entries = table(rows, made, commit)
    if options.metal is None:
        _write(entries, DATA / "fitted" / "atlas.csv")
    found = {"rows": entries, "searched": searched, "hours": (time.perf_counter() - start) / 3600}
    return show(options, found, atlas_text)


def cost_json(symbols: tuple[str, ...]) -> dict:
    """Sets and melts, core-hours by a timed sample, and the same for every set of four salts in steps of 2 mol%."""
    from thermo.answers.finder.atlas import cost, look, sets_of_every_four, sets_of_three

    sets, melts = cost(symbols)
    sample = random.Random(0).sample(list(sets_of_three(symbols)), min(_SAMPLE, sets))
    start, looked = time.process_time(), 0
    for task in sample:
        looked += look(task).searched
    each = (time.process_time() - start) / looked
    fours, four_melts = sets_of_every_four(symbols)
    hours, hours_of_four = each * melts / 3600, each * four_melts / 3600
    lines = [
        f"one to three salts: {sets} sets, {melts} melts, {hours:.3f} core-hours ({1e6 * each:.0f} us a melt)",
        "a fourth salt beside the best, refining and answering take about five times as long again",
        f"every set of four salts in steps of 2 mol%: {fours} sets, {four_melts:.3g} melts, {hours_of_four:.0f} "
        f"core-hours; on a cluster of 64 cores {hours_of_four / 64:.1f} hours",
        "memory: about 200 MB a worker, whatever the number of melts",
    ]
    return {"sets": sets, "melts": melts, "core_hours": hours, "sets_of_four": fours,
            "melts_of_four": four_melts, "core_hours_of_four": hours_of_four, "lines": lines}  # fmt: skip


def _write(rows: list[dict[str, str]], path: Path) -> None:
    import csv

    beside = path.with_name(path.name + ".new")
    try:
        with beside.open("w", encoding="utf-8", newline="") as handle:
            writer = csv.DictWriter(handle, list(rows[0]), lineterminator="\n")
            writer.writeheader()
            writer.writerows(rows)
        os.replace(beside, path)
    finally:
        beside.unlink(missing_ok=True)


def _commit() -> str:
    """The commit the code stands at, shortened; `unknown` outside a clone."""
    words = ["git", "-C", str(DATA), "rev-parse", "--short", "HEAD"]
    try:
        found = subprocess.run(words, capture_output=True, text=True, check=False)
    except OSError:
        return "unknown"
    return found.stdout.strip() or "unknown"


def _progress(done: int, total: int) -> None:
    sys.stderr.write(f"\r{done} of {total} sets" + ("\n" if done == total else ""))
    sys.stderr.flush()


def atlas_text(found: dict) -> str:
    """The rows for a terminal."""
    from thermo.present.command_line.text import table

    head = [
        "metal",
        "kind",
        "rank",
        "mol%",
        "melts at",
        "+-",
        "verdict",
        "window K",
        "first metal",
        "status",
        "published",
        "ranks behind by",
    ]
    keys = ("metal", "kind", "rank", "bath", "liquidus_C", "sigma_K", "verdict", "window_K",
            "first_metal", "status", "published", "behind")  # fmt: skip
    rows = [[row[key] for key in keys] for row in found["rows"]]
    return f"{table([head, *rows])}\n\n{found['searched']} melts looked at in {60 * found['hours']:.1f} minutes"
