"""How much of a small error would be noticed? Numbers of tables, fitted coefficients and laws changed one at a time.

    python -m tests.benchmarks.mutations                a sample (CELLS, COEFFICIENTS, CHANGES below)
    python -m tests.benchmarks.mutations --cells 500    more of them; --all for every one (hours)
    python -m tests.benchmarks.mutations --seconds 900  end after so long and say how far it came
    python -m tests.benchmarks.mutations --keep         store the figures for data/TRUST.md

Three ways to notice are counted apart: the manifest (the file's checksum), the form (what a cell of its column may
hold), and physics or published comparison: the manifest is signed anew and the quick tests that read the table are run
on the nudged copy, checksums, pinned sums and refits left out. A test file takes part in a table where it reads it.
Files that noticed something in the table before are asked first, then those that read the fewest tables, for CHANGE_S
in all. What 5 % does not show is counted as unnoticed at 1 % without asking.
Limits: only the quick test files are asked (QUICK_S each, unchanged), and not for long, so the whole suite would notice
more.
"""

import argparse
import random
import shutil
import sys
import time
from collections import Counter
from collections.abc import Iterable
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.benchmarks import nudges
from tests.benchmarks.asking import FAILED, PASSED, ROOT, Asked, ask, with_data, with_source
from tests.benchmarks.clock import use_one_thread
from tests.benchmarks.measured import keep
from tests.benchmarks.nudges import Cell
from thermo.records.data_folder import DATA, reading_from
from thermo.records.errors import DataError
from thermo.records.table_checks import check_table
from thermo.records.tables import unsigned

SHARES = (0.05, 0.01)
CELLS, COEFFICIENTS, CHANGES, QUICK_S, CHANGE_S, SEED = 40, 20, 20, 12, 30, 20261129
FOLDERS = ("tests/published", "tests/laws", "tests/records", "tests/answers", "tests/properties")
NOT_PHYSICS = ("test_data", "test_tables", "test_table_checks", "test_table_forms", "test_table_text")  # sums and forms


def quick_files(seconds: float) -> dict[str, Asked]:
    """Test files that pass on the data as they are, quickest first, each with the tables it reads."""
    files = [path for folder in FOLDERS for path in sorted((ROOT / folder).rglob("test_*.py"))]
    asked, end = {}, time.perf_counter() + seconds
    for path in files:
        if path.stem not in NOT_PHYSICS and time.perf_counter() < end:
            found = ask(path.relative_to(ROOT).as_posix(), with_data(DATA), QUICK_S)
            if found.code == PASSED:
                asked[path.relative_to(ROOT).as_posix()] = found
    return dict(sorted(asked.items(), key=lambda item: item[1].seconds))


def noticed(files: Iterable[str], change) -> str | None:
    """The first test file that fails; None where all pass or time is up."""
    end = time.perf_counter() + CHANGE_S
    for file in files:
        if ask(file, change, QUICK_S).code == FAILED:
            return file
        if time.perf_counter() > end:
            return None
    return None


class Files:
    """The quick test files in the order in which they are asked about a table or a law."""

    def __init__(self, quick: dict[str, Asked]):
        self.quick, self.before = quick, Counter()

    def of_table(self, table: str) -> list[str]:
        """Those that read the table: which noticed something there before, then those that read the fewest others."""
        own = [name for name, asked in self.quick.items() if table in asked.read]
        return sorted(own, key=lambda name: (-self.before[table, name], len(self.quick[name].read)))

    def of_law(self, stem: str) -> list[str]:
        """All, the law's own first; then the quickest."""
        return sorted(self.quick, key=lambda name: name != f"tests/laws/test_{stem}.py")

    def saw(self, table: str, name: str | None) -> str | None:
        """Remember who noticed."""
        if name is not None:
            self.before[table, name] += 1
        return name


def try_cell(folder: Path, cell: Cell, text: str, files: Files, ask_tests: bool) -> tuple[bool, bool, str | None]:
    """Whether manifest, form and physics notice a nudged cell of the copy in `folder`, which is put back."""
    manifest = (folder / "MANIFEST.csv").read_bytes()
    before = nudges.rewritten(folder, cell, text)
    try:
        signed = (folder / "MANIFEST.csv").read_bytes()
        (folder / "MANIFEST.csv").write_bytes(manifest)
        with reading_from(folder):
            by_manifest = any(cell.table in line for line in unsigned())
            by_form = not _allowed(cell.table, (folder / cell.table).read_bytes())
        (folder / "MANIFEST.csv").write_bytes(signed)
        found = noticed(files.of_table(cell.table), with_data(folder)) if ask_tests else None
        return by_manifest, by_form, files.saw(cell.table, found)
    finally:
        (folder / cell.table).write_bytes(before)
        (folder / "MANIFEST.csv").write_bytes(manifest)


def _allowed(table: str, content: bytes) -> bool:
    try:
        check_table(table, content)
    except DataError:
        return False
    return True


class Tally:
    """Counts of one kind of change, and the list of what nobody noticed."""

    def __init__(self, name: str):
        self.name, self.counts, self.missed = name, Counter(), []

    def add(self, where: str, manifest: bool, form: bool, file: str | None, kind: str = "") -> None:
        """One change and who noticed it."""
        for key, seen in (("manifest", manifest), ("form", form), ("physics", file is not None)):
            self.counts[key] += seen
        self.counts["tried"] += 1
        if kind:
            self.counts[f"{kind} tried"] += 1
            self.counts[f"{kind} physics"] += file is not None
        if file is None:
            self.missed.append(where)
        print(f"{self.name} {where}: {file or ('form' if form else 'not noticed by physics')}", flush=True)

    def figures(self) -> dict[str, str]:
        """Shares as words: noticed of tried."""
        tried = self.counts["tried"]
        found = {"changes tried": str(tried)}
        for key in ("manifest", "form", "physics"):
            if tried and (key == "physics" or self.counts["manifest"]):
                found[f"noticed by {key}"] = f"{self.counts[key]} of {tried} ({self.counts[key] / tried:.0%})"
        for kind in ("value", "span", "spread"):
            if self.counts[f"{kind} tried"]:
                found[f"physics, {kind} cells"] = f"{self.counts[f'{kind} physics']} of {self.counts[f'{kind} tried']}"
        return found


def run(cells: int, coefficients: int, changes: int, seconds: float, seed: int = SEED) -> list[Tally]:
    """The trial; counts below zero mean every one."""
    draw, end = random.Random(seed), time.perf_counter() + seconds
    files = Files(quick_files(seconds / 4))
    print(f"{len(files.quick)} quick test files", flush=True)
    laws = Tally("signs and constants of laws")
    for change in _some(draw, list(nudges.of_laws()), changes):
        if time.perf_counter() < end:
            to = with_source(change.module, change.path, change.tree)
            laws.add(change.where, False, False, noticed(files.of_law(change.path.stem), to))
    tallies = [Tally(f"cells, {share:.0%}") for share in SHARES]
    own = Tally("fitted coefficients, one sigma")
    with TemporaryDirectory() as place:
        folder = Path(place) / "data"
        shutil.copytree(DATA, folder)
        for cell in _some(draw, nudges.fitted(), coefficients):
            if time.perf_counter() < end:
                text = f"{float(cell.text) + cell.sigma:.10g}"
                own.add(_words(cell, text), *try_cell(folder, cell, text, files, True))
        for cell in _some(draw, nudges.hand_entered(), cells):
            if time.perf_counter() < end:
                seen = True
                for share, tally in zip(SHARES, tallies, strict=True):
                    text = cell.nudged(share)
                    tally.add(_words(cell, text), *(found := try_cell(folder, cell, text, files, seen)), cell.kind)
                    seen = found[2] is not None
    return [*tallies, own, laws]


def _some(draw: random.Random, listed: list, count: int) -> list:
    return listed if count < 0 else draw.sample(listed, min(count, len(listed)))


def _words(cell: Cell, text: str) -> str:
    return f"{cell.table} line {cell.row + 2} {cell.column} {cell.text} -> {text}"


def main(words: list[str]) -> int:
    """Runs and prints; exit code 1 where the manifest missed a nudged cell."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--cells", type=int, default=CELLS)
    parser.add_argument("--coefficients", type=int, default=COEFFICIENTS)
    parser.add_argument("--changes", type=int, default=CHANGES)
    parser.add_argument("--seconds", type=float, default=1e6)
    parser.add_argument("--all", action="store_true")
    parser.add_argument("--keep", action="store_true")
    asked = parser.parse_args(words)
    counts = (-1, -1, -1) if asked.all else (asked.cells, asked.coefficients, asked.changes)
    tallies = run(*counts, asked.seconds)
    for tally in tallies:
        print(f"\n{tally.name}", *(f"    {name}: {value}" for name, value in tally.figures().items()), sep="\n")
        print("  not noticed by physics:", *(f"    {line}" for line in tally.missed), sep="\n")
        if asked.keep and tally.counts["tried"]:
            keep(f"mutations: {tally.name}", "python -m tests.benchmarks.mutations --keep", tally.figures())
    missed = [tally for tally in tallies if 0 < tally.counts["manifest"] < tally.counts["tried"]]
    return 1 if missed else 0


if __name__ == "__main__":
    use_one_thread()
    sys.exit(main(sys.argv[1:]))
