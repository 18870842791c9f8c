"""How much of a small error would be noticed? Numbers of tables, fitted coefficients and laws changed one at a time.

    python -m tests.benchmarks.mutations                  a sample: PER_COLUMN cells of every column of every table
    python -m tests.benchmarks.mutations --per-column 20  more of them, or none (0); --all for every one (hours)
    python -m tests.benchmarks.mutations --seconds 900    end after so long and say how far it came
    python -m tests.benchmarks.mutations --again          only the changed laws that the stored trial did not notice
    python -m tests.benchmarks.mutations --log FILE       writes down who noticed a law; spares what FILE says
    python -m tests.benchmarks.mutations --each 0         asks one test file of a law, its own, and for no effect
    python -m tests.benchmarks.mutations --keep           store the figures for data/TRUST.md

Three ways to notice are counted apart (tests/benchmarks/cells.py): the manifest (the file's checksum); form and
convention; physics or print, with checksums, pinned sums and refits left out. For the last the second witnesses
(tests/witnesses) are asked about every cell of the sample; of the cells that they do not notice, REST are given to the
other quick test files that read the table (tests/benchmarks/readers.csv, traced; `python -m tests.benchmarks.asking`
renews it), those that read the fewest tables first, for CHANGE_S of processor time (--each). A fitted coefficient moved
by its own standard deviation is asked of the refit (`refit --check` compares by number) and of physics. Constants of
laws that nobody notices and of which 5 % changes no answer are listed apart (tests/benchmarks/effect.py).
Limits: a test file of more than QUICK_S takes no part, so the whole suite would notice more.
"""

import argparse
import random
import re
import shutil
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterable
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.benchmarks import cells, nudges
from tests.benchmarks.asking import FAILED, FOLDERS, PASSED, QUICK_S, ROOT, ask, readers, with_data, with_source
from tests.benchmarks.clock import use_one_thread
from tests.benchmarks.effect import Effect
from tests.benchmarks.measured import keep, kept
from tests.benchmarks.nudges import Cell
from thermo.fitting.agreement import disagreements
from thermo.records.data_folder import DATA

PER_COLUMN, REST, COEFFICIENTS, CHANGES, CHANGE_S, SEED = 2, 40, 20, 60, 20, 20261129
COMMAND = "python -m tests.benchmarks.mutations"
LAWS = "signs and constants of laws"
IDLE = "not noticed, steps and caps: 5 % of one changes no answer"


class Files:
    """The quick test files in the order in which they are asked about a table or a law."""

    def __init__(self, each: float = CHANGE_S):
        self.quick, self.before, self.sound, self.each = readers(), Counter(), {}, each

    def of_table(self, table: str) -> list[str]:
        """Those that read the table: which noticed something there before, then those that read the fewest others.

        Of a table entered by hand the witnesses have been asked.
        """
        own = [name for name, asked in self.quick.items() if table in asked.read]
        if not table.startswith("fitted/"):
            own = [name for name in own if not name.startswith("tests/witnesses/")]
        return sorted(own, key=lambda name: (-self.before[table, name], len(self.quick[name].read)))

    def of_law(self, stem: str) -> list[str]:
        """Those that name the law, its own first; then what noticed something, then those that use the fewest laws."""
        naming = [
            path.relative_to(ROOT).as_posix()
            for path in sorted((ROOT / "tests").rglob("test_*.py"))
            if re.search(rf"thermo\.laws\.{stem}\b", path.read_text(encoding="utf-8"))
        ]
        naming = [name for name in naming if name.split("/")[1] in FOLDERS]
        own = [name for name, asked in self.quick.items() if stem in asked.laws and name not in naming]
        first = f"tests/laws/test_{stem}.py"
        naming.sort(key=lambda name: (name != first, name.split("/")[1] != "laws"))
        return naming + sorted(own, key=lambda name: (-self.before[stem, name], len(self.quick[name].laws)))

    def notice(self, what: str, files: Iterable[str], change) -> str | None:
        """The first file that fails with the change and passes without; None where all pass or time is up."""
        left = self.each
        for name in files:
            found = ask(name, change, QUICK_S)
            left -= found.seconds
            if found.code in FAILED and self._passes(name):
                self.before[what, name] += 1
                return name
            if left < 0:
                return None
        return None

    def _passes(self, name: str) -> bool:
        if name not in self.sound:
            self.sound[name] = ask(name, with_data(DATA), 2 * QUICK_S).code == PASSED
        return self.sound[name]


def by_files(folder: Path, cell: Cell, text: str, files: Files) -> str | None:
    """The test file that notices a nudged and newly signed cell of the copy in `folder`, which is put back."""
    manifest = (folder / "MANIFEST.csv").read_bytes()
    before = nudges.rewritten(folder, cell, text)
    try:
        return files.notice(cell.table, files.of_table(cell.table), with_data(folder))
    finally:
        (folder / cell.table).write_bytes(before)
        (folder / "MANIFEST.csv").write_bytes(manifest)


class Tally:
    """Counts of one kind of change, and the list of what nobody noticed."""

    def __init__(self) -> None:
        self.tried, self.seen, self.missed, self.idle, self.also = 0, 0, [], [], Counter()

    def add(self, where: str, file: str | None, idle: Callable[[], bool] = lambda: False) -> None:
        """One change and who noticed it; where nobody did, whether it changes any answer."""
        self.tried, self.seen = self.tried + 1, self.seen + (file is not None)
        if file is None:
            file = "not noticed, without effect" if idle() else "not noticed by physics"
            (self.idle if "effect" in file else self.missed).append(where)
        print(f"{where}: {file}", flush=True)

    def figures(self) -> dict[str, str]:
        """Shares as words."""
        counts = {**self.also, "noticed by physics": self.seen}
        shares = {what: f"{count} of {self.tried} ({count / self.tried:.0%})" for what, count in counts.items()}
        found = {"changes tried": str(self.tried), **shares, "not noticed": "; ".join(self.missed)}
        if self.idle:
            found |= {"without effect": f"{len(self.idle)} of those not noticed", IDLE: "; ".join(self.idle)}
        return found


def laws_trial(draw: random.Random, changes: int, files: Files, end: float, log: Path | None = None) -> Tally:
    """Signs and constants of thermo/laws, one changed at a time, in an order by lot while there is time."""
    tally, listed = Tally(), _some(draw, list(nudges.of_laws()), changes)
    effect, told = Effect() if listed and files.each else None, _told(log)
    for change in listed:
        if time.perf_counter() > end:  # what is told comes by lot as well: a fair sample
            break
        file = told.get(change.where) or _of_law(change, files)
        tally.add(change.where, file, lambda change=change: effect is not None and effect.none(change))
        if log and file and change.where not in told:
            with log.open("a", encoding="utf-8") as lines:
                lines.write(f"{change.where}: {file}\n")
    return tally


def _told(log: Path | None) -> dict[str, str]:
    """The test file that noticed a change before the trial was ended, by its words; an earlier print will do."""
    lines = log.read_text(encoding="utf-8").splitlines() if log and log.exists() else []
    found = (line.rpartition(": ") for line in lines)
    return {where: file for where, _, file in found if (ROOT / file).exists()}


def _of_law(change: nudges.Change, files: Files) -> str | None:
    to = with_source(change.module, change.path, change.tree)
    return files.notice(change.path.stem, files.of_law(change.path.stem), to)


def laws_again(files: Files) -> Tally:
    """What the stored trial of laws did not notice, asked once more; what it noticed stays counted."""
    stored = {row["figure"]: row["value"] for row in kept() if row["trial"] == f"mutations: {LAWS}"}
    missed = [where for name in ("not noticed", IDLE) for where in stored.get(name, "").split("; ") if where]
    known = [change for change in nudges.of_laws() if change.where in missed]
    if {change.where for change in known} != set(missed):
        raise SystemExit("a law was edited since: lines that the stored trial names are not there; ask all of them")
    tally = Tally()
    tally.tried = tally.seen = int(stored["changes tried"]) - len(known)
    effect = Effect() if known else None
    for change in known:
        tally.add(change.where, _of_law(change, files), lambda change=change: effect.none(change))
    return tally


def coefficients_trial(
    folder: Path, draw: random.Random, count: int, files: Files, end: float, log: Path | None = None
) -> Tally:
    """Fitted coefficients, one moved by its own standard deviation at a time."""
    tally, told = Tally(), _told(log)
    for cell in _some(draw, nudges.fitted(), count):
        if time.perf_counter() > end:
            break
        text = f"{float(cell.text) + cell.sigma:.10g}"
        tally.also["noticed by manifest"] += cells.by_sums(folder, cell, text)[0]
        tally.also["noticed by refit --check"] += refit_says(folder, cell, text)
        words = _words(cell, text)
        tally.add(words, told.get(words) or by_files(folder, cell, text, files))
    return tally


def refit_says(folder: Path, cell: Cell, text: str) -> bool:
    """Whether a moved coefficient disagrees with the one that the refit gives, by the refit's own rule."""
    stored = (folder / cell.table).read_text(encoding="utf-8")
    manifest = (folder / "MANIFEST.csv").read_bytes()
    before = nudges.rewritten(folder, cell, text)
    moved = (folder / cell.table).read_text(encoding="utf-8")
    (folder / cell.table).write_bytes(before)
    (folder / "MANIFEST.csv").write_bytes(manifest)
    return bool(disagreements(cell.table, moved, stored))


def run(
    per_column: int,
    rest: int,
    coefficients: int,
    changes: int,
    seconds: float,
    each: float,
    log: Path | None,
) -> dict[str, dict[str, str]]:
    """The trial; counts below zero mean every one. Figures by trial."""
    draw, end, files = random.Random(SEED), time.perf_counter() + seconds, Files(each)
    print(f"{len(files.quick)} quick test files", flush=True)
    trials, laws = {}, laws_trial(draw, changes, files, end, log)
    with TemporaryDirectory() as place:
        folder = Path(place) / "data"
        shutil.copytree(DATA, folder)
        own = coefficients_trial(folder, draw, coefficients, files, end, log)

        def asks(cell: Cell, text: str) -> str | None:
            if time.perf_counter() > end:
                raise TimeoutError
            name = by_files(folder, cell, text, files)
            print(f"{_words(cell, text)}: {name or 'not noticed by physics'}", flush=True)
            return name

        sample = cells.Sample(per_column, draw)
        found = cells.trial(folder, sample, rest, draw, asks) if sample.cells else {}
    for share, figures in found.items():
        trials[f"mutations: cells, {share:.0%}"] = figures
    for name, tally in (("fitted coefficients, one sigma", own), (LAWS, laws)):
        if tally.tried:
            trials[f"mutations: {name}"] = tally.figures()
    return trials


def _some(draw: random.Random, listed: list, count: int) -> list:
    return draw.sample(listed, len(listed) if count < 0 else min(count, len(listed)))


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
    parser.add_argument("--each", type=float, default=CHANGE_S)
    parser.add_argument("--log", type=Path)
    parser.add_argument("--all", action="store_true")
    parser.add_argument("--again", action="store_true")
    parser.add_argument("--keep", action="store_true")
    asked = parser.parse_args(words)
    counts = (asked.per_column, asked.rest, asked.coefficients, asked.changes)
    if asked.again:
        trials = {f"mutations: {LAWS}": laws_again(Files(asked.each)).figures()}
    else:
        trials = run(*((-1, 10**9, -1, -1) if asked.all else counts), asked.seconds, asked.each, asked.log)
    for name, figures in trials.items():
        print(f"\n{name}", *(f"    {figure}: {value}" for figure, value in figures.items()), sep="\n")
        if asked.keep:
            keep(name, " ".join([COMMAND, *(Path(word).name for word in words)]), figures)
    seen = [figures["noticed by manifest"].split(" of ") for name, figures in trials.items() if ": cells" in name]
    return 0 if all(noticed == of for noticed, of in seen) else 1


if __name__ == "__main__":
    use_one_thread()
    sys.exit(main(sys.argv[1:]))
