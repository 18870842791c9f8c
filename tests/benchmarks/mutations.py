"""How much of a small error would be noticed? Numbers of tables, fitted coefficients and laws changed one at a time.

    python -m tests.benchmarks.mutations                  a sample: PER_COLUMN cells of every column of every table
    python -m tests.benchmarks.mutations --per-column 20  more of them, or none (0); --all for every one (hours)
    python -m tests.benchmarks.mutations --seconds 900    end after so long and say how far it came
    python -m tests.benchmarks.mutations --keep           store the figures for data/TRUST.md

Three ways to notice are counted apart: the manifest (the file's checksum), the form (what a cell of its column may
hold), and physics or published comparison with checksums, pinned sums and refits left out. For the last the second
witnesses (tests/witnesses) are asked about every cell of the sample; of the cells that they do not notice, REST are
given to the other quick test files that read the table (tests/benchmarks/readers.csv, traced; `python -m
tests.benchmarks.asking` renews it), those that read the fewest tables first, for CHANGE_S of processor time. Shares are
weighted by the number of cells of each column, so they are those of all cells. What 5 % does not show is counted as
unnoticed at 1 % without asking.
Limits: a test file of more than QUICK_S takes no part, so the whole suite would notice more.
"""

import argparse
import random
import shutil
import sys
import time
from collections import Counter, defaultdict
from collections.abc import Iterable
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.benchmarks import in_place, nudges
from tests.benchmarks.asking import FAILED, PASSED, QUICK_S, ask, readers, with_data, with_source
from tests.benchmarks.clock import use_one_thread
from tests.benchmarks.measured import keep
from tests.benchmarks.nudges import Cell
from thermo.records.data_folder import DATA, reading_from
from thermo.records.errors import DataError
from thermo.records.table_checks import check_table
from thermo.records.tables import unsigned

SHARES = (0.05, 0.01)
PER_COLUMN, REST, COEFFICIENTS, CHANGES, CHANGE_S, SEED = 2, 40, 20, 30, 20, 20261129
KINDS = ("value", "span", "spread")
COMMAND = "python -m tests.benchmarks.mutations"


class Files:
    """The quick test files in the order in which they are asked about a table or a law."""

    def __init__(self):
        self.quick, self.before, self.sound = readers(), Counter(), {}

    def of_table(self, table: str) -> list[str]:
        """Those that read the table: which noticed something there before, then those that read the fewest others."""
        own = [name for name, asked in self.quick.items() if table in asked.read]
        return sorted(own, key=lambda name: (-self.before[table, name], len(self.quick[name].read)))

    def of_law(self, stem: str) -> list[str]:
        """Those that use the law: its own first, then what noticed something, then those that use the fewest laws."""
        own = [name for name, asked in self.quick.items() if stem in asked.laws]
        first = f"tests/laws/test_{stem}.py"
        return sorted(own, key=lambda name: (name != first, -self.before[stem, name], len(self.quick[name].laws)))

    def notice(self, what: str, files: Iterable[str], change) -> str | None:
        """The first file that fails with the change and passes without; None where all pass or time is up."""
        left = float(CHANGE_S)
        for name in files:
            found = ask(name, change, QUICK_S)
            left -= found.seconds
            if found.code == FAILED and self._passes(name):
                self.before[what, name] += 1
                return name
            if left < 0:
                return None
        return None

    def _passes(self, name: str) -> bool:
        if name not in self.sound:
            self.sound[name] = ask(name, with_data(DATA), 2 * QUICK_S).code == PASSED
        return self.sound[name]


def by_sums(folder: Path, cell: Cell, text: str) -> tuple[bool, bool]:
    """Whether the manifest and the form notice a nudged cell of the copy in `folder`, which is put back."""
    manifest = (folder / "MANIFEST.csv").read_bytes()
    before = nudges.rewritten(folder, cell, text)
    (folder / "MANIFEST.csv").write_bytes(manifest)
    try:
        with reading_from(folder):
            return any(cell.table in line for line in unsigned()), not _allowed(cell.table, folder)
    finally:
        (folder / cell.table).write_bytes(before)


def by_files(folder: Path, cell: Cell, text: str, files: Files) -> str | None:
    """The test file that notices a nudged and newly signed cell of the copy in `folder`, which is put back."""
    manifest = (folder / "MANIFEST.csv").read_bytes()
    before = nudges.rewritten(folder, cell, text)
    try:
        return files.notice(cell.table, files.of_table(cell.table), with_data(folder))
    finally:
        (folder / cell.table).write_bytes(before)
        (folder / "MANIFEST.csv").write_bytes(manifest)


def _allowed(table: str, folder: Path) -> bool:
    try:
        check_table(table, (folder / table).read_bytes())
    except DataError:
        return False
    return True


class Sample:
    """Cells drawn from every column, what is known of each at each share, and the weights of the columns."""

    def __init__(self, per_column: int, draw: random.Random):
        self.columns: dict[tuple[str, str], list[Cell]] = defaultdict(list)
        for cell in nudges.hand_entered():
            self.columns[cell.table, cell.column].append(cell)
        self.drawn = {
            key: own if per_column < 0 else draw.sample(own, min(per_column, len(own)))
            for key, own in self.columns.items()
        }
        self.cells = [cell for own in self.drawn.values() for cell in own]

    def share(self, seen: dict[Cell, bool], kind: str = "") -> float:
        """Share of all cells of a kind that is noticed, each column counted by its number of cells."""
        of, noticed = 0.0, 0.0
        for key, own in self.drawn.items():
            if own and kind in ("", own[0].kind):
                of += len(self.columns[key])
                noticed += len(self.columns[key]) * sum(seen[cell] for cell in own) / len(own)
        return noticed / of if of else 0.0

    def unseen(self, seen: dict[Cell, bool]) -> str:
        """Tables with the columns of which no cell of the sample was noticed, as words."""
        found: dict[str, list[str]] = defaultdict(list)
        for (table, column), own in self.drawn.items():
            if own and own[0].kind == "value" and not any(seen[cell] for cell in own):
                found[table].append(column)
        return "; ".join(f"{table}: {', '.join(columns)}" for table, columns in sorted(found.items()))


def cells_trial(folder: Path, files: Files, sample: Sample, rest: int, draw: random.Random, end: float) -> dict:
    """Figures of both shares, by name."""
    sums = {cell: by_sums(folder, cell, cell.nudged(SHARES[-1])) for cell in sample.cells}
    told = in_place.apart(sample.cells, SHARES)
    figures: dict[float, dict[str, str]] = {}
    lone = [cell for cell in sample.cells if not told[cell, SHARES[0]] and cell.kind == "value"]
    asked = {cell: [] for cell in draw.sample(lone, min(rest, len(lone)))}
    for cell in list(asked):
        if time.perf_counter() > end:
            del asked[cell]
            continue
        for share in SHARES:
            seen = not asked[cell] or asked[cell][-1]
            asked[cell].append(by_files(folder, cell, cell.nudged(share), files) if seen else None)
        print(f"{_words(cell, cell.nudged(SHARES[0]))}: {asked[cell][0] or 'not noticed by physics'}", flush=True)
    for n, share in enumerate(SHARES):
        witnesses = {cell: bool(told[cell, share]) for cell in sample.cells}
        more = sum(bool(found_by[n]) for found_by in asked.values()) / len(asked) if asked else 0.0
        values = sample.share(witnesses, "value")
        lone_now = [cell for cell in asked if not told[cell, share]]
        found = {
            "cells, columns, tables": f"{sum(map(len, sample.columns.values()))}, {len(sample.columns)}, "
            f"{len({table for table, _ in sample.columns})}; changed {len(sample.cells)}",
            "noticed by manifest": f"{sum(m for m, _ in sums.values())} of {len(sums)}",
            "noticed by form": f"{sum(f for _, f in sums.values())} of {len(sums)}",
            "physics, all cells, second witnesses alone": f"{sample.share(witnesses):.0%}",
        }
        for kind in KINDS:
            found[f"physics, {kind} cells, second witnesses alone"] = f"{sample.share(witnesses, kind):.0%}"
        if asked:
            noticed = sum(bool(found_by[n]) for found_by in asked.values())
            found["physics, value cells left over, other test files"] = f"{noticed} of {len(lone_now)} asked"
            found["physics, value cells, both together"] = f"{values + (1 - values) * more:.0%}"
        found["value columns of which no cell drawn was noticed"] = sample.unseen(witnesses)
        figures[share] = found
    return figures


class Tally:
    """Counts of one kind of change, and the list of what nobody noticed."""

    def __init__(self):
        self.tried, self.seen, self.missed = 0, 0, []

    def add(self, where: str, file: str | None) -> None:
        """One change and who noticed it."""
        self.tried, self.seen = self.tried + 1, self.seen + (file is not None)
        if file is None:
            self.missed.append(where)
        print(f"{where}: {file or 'not noticed by physics'}", flush=True)

    def figures(self) -> dict[str, str]:
        """Shares as words."""
        share = f" ({self.seen / self.tried:.0%})" if self.tried else ""
        return {"changes tried": str(self.tried), "noticed by physics": f"{self.seen} of {self.tried}{share}",
                "not noticed": "; ".join(self.missed)}  # fmt: skip


def run(per_column: int, rest: int, coefficients: int, changes: int, seconds: float) -> dict[str, dict[str, str]]:
    """The trial; counts below zero mean every one. Figures by trial."""
    draw, start, files = random.Random(SEED), time.perf_counter(), Files()
    print(f"{len(files.quick)} quick test files", flush=True)
    laws, own, trials = Tally(), Tally(), {}
    for change in _some(draw, list(nudges.of_laws()), changes):
        if time.perf_counter() < start + seconds / 3:
            to = with_source(change.module, change.path, change.tree)
            laws.add(change.where, files.notice(change.path.stem, files.of_law(change.path.stem), to))
    with TemporaryDirectory() as place:
        folder = Path(place) / "data"
        shutil.copytree(DATA, folder)
        for cell in _some(draw, nudges.fitted(), coefficients):
            if time.perf_counter() < start + seconds / 2:
                text = f"{float(cell.text) + cell.sigma:.10g}"
                own.add(_words(cell, text), by_files(folder, cell, text, files))
        sample = Sample(per_column, draw)
        found = cells_trial(folder, files, sample, rest, draw, start + seconds) if sample.cells else {}
    for share, figures in found.items():
        trials[f"mutations: cells, {share:.0%}"] = figures
    for name, tally in (("fitted coefficients, one sigma", own), ("signs and constants of laws", laws)):
        if tally.tried:
            trials[f"mutations: {name}"] = tally.figures()
    return trials


def _some(draw: random.Random, listed: list, count: int) -> list:
    return listed if count < 0 else draw.sample(listed, min(count, len(listed)))


def _words(cell: Cell, text: str) -> str:
    return f"{cell.table} line {cell.row + 2} {cell.column} {cell.text} -> {text}"


def main(words: list[str]) -> int:
    """Runs and prints; exit code 1 where the manifest missed a nudged cell."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--per-column", type=int, default=PER_COLUMN)
    parser.add_argument("--rest", type=int, default=REST)
    parser.add_argument("--coefficients", type=int, default=COEFFICIENTS)
    parser.add_argument("--changes", type=int, default=CHANGES)
    parser.add_argument("--seconds", type=float, default=1e6)
    parser.add_argument("--all", action="store_true")
    parser.add_argument("--keep", action="store_true")
    asked = parser.parse_args(words)
    counts = (asked.per_column, asked.rest, asked.coefficients, asked.changes)
    trials = run(*((-1, 10**9, -1, -1) if asked.all else counts), asked.seconds)
    for name, figures in trials.items():
        print(f"\n{name}", *(f"    {figure}: {value}" for figure, value in figures.items()), sep="\n")
        if asked.keep:
            keep(name, " ".join([COMMAND, *words]), figures)
    seen = [figures["noticed by manifest"].split(" of ") for name, figures in trials.items() if ": cells" in name]
    return 0 if all(noticed == of for noticed, of in seen) else 1


if __name__ == "__main__":
    use_one_thread()
    sys.exit(main(sys.argv[1:]))
