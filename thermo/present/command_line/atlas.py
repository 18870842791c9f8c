"""The `atlas` command: computes data/fitted/atlas.csv, the best baths for each metal out of all salts in the data.

The file is written whole or not at all: beside itself first, then moved. `--cost` says what a run costs, and what one
over every set of four salts would, from a sample timed here; a run says so of itself. With `--journal` one that was
killed goes on where it was. Worked value: --metal Na --cost takes seconds.
"""

import argparse
import os
import random
import subprocess
import sys
import time
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from thermo.present.command_line.shared import show
from thermo.records.provenance import DATA, InputError

if TYPE_CHECKING:
    from thermo.answers.finder.atlas_sets import SetTask

HELP = "compute the best baths for each metal out of all salts, into data/fitted/atlas.csv (minutes)"
_SAMPLE = 60  # sets timed for the estimate, a tenth of them on a grid of so many steps
_FINE = 25
CLUSTER = 64  # cores


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
    sub.add_argument(
        "--journal", metavar="FILE", help="write results down as they come; a run that was killed goes on from there"
    )
    sub.add_argument("--workers", type=int, default=1, metavar="2", help="processes that share the work (default 1)")
    sub.add_argument("--scheduler", metavar="tcp://HOST:8786", help="a cluster's scheduler, instead of --workers")


def run(options: argparse.Namespace) -> int:
    """Compute and write, or print; the exit code."""
    from thermo.answers.finder.atlas import compute
    from thermo.answers.finder.atlas_sets import KINDS, metals_of_the_atlas
    from thermo.answers.finder.atlas_table import kept_on, table
    from thermo.engine.journal import Journal
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
    path = Path(options.journal) if options.journal else None
    with Workers(options.workers, options.scheduler) as workers, Journal(path) as journal:
        rows, searched = compute(symbols, workers, _progress if sys.stderr.isatty() else None, kinds, journal)
        if options.anew is not None:
            rows = kept_on(rows, symbols, kinds, workers)
    made, commit = datetime.now(UTC).date().isoformat(), _commit()
    entries = table(rows, made, commit)
    if options.metal is None:
        _write(entries, DATA / "fitted" / "atlas.csv")
    return show(options, {"rows": entries, **spent(searched, time.perf_counter() - start, journal.taken)}, atlas_text)


def spent(searched: int, seconds: float, taken: int = 0) -> dict:
    """What a run took, workers of this machine included, and by that a search of every set of four salts.

    taken: results that came from the journal of an earlier run.
    """
    core_s, peak_MB = _used()
    line = f"{searched} melts looked at in {seconds / 60:.1f} minutes: {core_s / 3600:.3f} core-hours"
    lines = [f"{line}, {peak_MB:.0f} MB the largest process"]
    if taken:
        lines.append(f"{taken} results were in the journal: the times are of the rest")
    elif searched:
        lines.append(_of_every_four(core_s / searched)[1])
    used = {"hours": seconds / 3600, "core_hours": core_s / 3600, "peak_MB": peak_MB, "from_journal": taken}
    return {"searched": searched, **used, "lines": lines}


def _of_every_four(each_s: float) -> tuple[dict[str, float], str]:
    """What a search of every set of four salts would take at so many seconds a melt: numbers and words."""
    from thermo.answers.finder.atlas_sets import sets_of_every_four

    sets, melts = sets_of_every_four()
    hours = each_s * melts / 3600
    words = (
        f"every set of four salts in steps of 2 mol%: {sets} sets, {melts:.3g} melts, {hours:.1f} core-hours; "
        f"on a cluster of {CLUSTER} cores {hours / CLUSTER:.2f} hours"
    )
    return {"sets_of_four": sets, "melts_of_four": melts, "core_hours_of_four": hours}, words


def _used() -> tuple[float, float]:
    """Core seconds and the largest process, MB, of this process and those it waited for; the latter 0 where unknown."""
    try:
        import resource
    except ImportError:  # not on every system
        return time.process_time(), 0.0
    used = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    unit = 1024 * 1024 if sys.platform == "darwin" else 1024  # bytes there, kB elsewhere
    return sum(u.ru_utime + u.ru_stime for u in used), max(u.ru_maxrss for u in used) / unit


def cost_json(symbols: tuple[str, ...]) -> dict:
    """Sets and melts of each stage and core-hours by a timed sample; the same for every set of four at 2 mol%."""
    from thermo.answers.finder.atlas_sets import STEP, cost, metals_of_the_atlas, sets_of_four, sets_of_three

    stages, fours = cost(symbols), sets_of_four(symbols)
    samples = [sets_of_three(symbols), fours, [replace(task, steps=STEP) for task in fours]]
    lines, total = [], 0.0
    for (words, (sets, melts)), tasks in zip(stages.items(), samples, strict=True):
        each = _seconds_each(tasks)
        hours = each * melts / 3600
        total += hours
        lines.append(f"{words}: {sets} sets, {melts} melts, {hours:.3f} core-hours ({1e6 * each:.0f} us a melt)")
    every = [replace(task, steps=STEP) for task in sets_of_four(metals_of_the_atlas())]
    found, of_four = _of_every_four(_seconds_each(every))
    peak_MB = _used()[1]
    more = f"in all {total:.2f} core-hours, and a fifth more for refining and answering"
    lines += [f"{more}; {peak_MB:.0f} MB a process, whatever the number of melts", of_four]
    whole = {"sets": sum(sets for sets, _ in stages.values()), "melts": sum(melts for _, melts in stages.values())}
    return {**whole, "core_hours": total, "peak_MB": peak_MB, **found, "lines": lines}


def _seconds_each(tasks: "list[SetTask]") -> float:
    """CPU seconds a melt of a sample of these sets."""
    from thermo.answers.finder.atlas_sets import look

    count = _SAMPLE if len(tasks[0].names) < 4 or tasks[0].steps < _FINE else _SAMPLE // 10
    sample = random.Random(0).sample(tasks, min(count, len(tasks)))
    start = time.process_time()
    looked = sum(look(task).searched for task in sample)
    return (time.process_time() - start) / looked


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
    return "\n".join([table([head, *rows]), "", *found["lines"]])
