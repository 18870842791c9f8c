"""Of nudged cells, which are noticed, and by what? The sample, its weights, and the figures of one trial.

Three ways are counted apart: the manifest; form and convention (what a cell of its column may hold, and
tests/conventions); physics or print (tests/witnesses, called for every cell of the sample, and for some of the cells
they leave over the other quick test files that read the table). Shares are of all cells: each column counts by its
number of cells, and what is left over is drawn by those weights.
"""

import random
from collections import defaultdict
from collections.abc import Callable
from pathlib import Path

from tests.benchmarks import in_place, nudges
from tests.benchmarks.nudges import Cell
from thermo.records.data_folder import reading_from
from thermo.records.errors import DataError
from thermo.records.table_checks import check_table
from thermo.records.tables import unsigned

SHARES = (0.05, 0.01)
KINDS = ("value", "span", "spread")
UNSEEN = "value columns of which no cell drawn was noticed by physics"
Asks = Callable[[Cell, str], str | None]  # the test file that notices a cell with this text; TimeoutError: too late


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

    def weight(self, cell: Cell) -> float:
        """How many cells of its column one drawn cell stands for."""
        key = cell.table, cell.column
        return len(self.columns[key]) / len(self.drawn[key])

    def share(self, seen: dict[Cell, bool], kind: str = "") -> float:
        """Share of all cells of a kind that is noticed."""
        own = [cell for cell in self.cells if kind in ("", cell.kind)]
        of = sum(map(self.weight, own))
        return sum(self.weight(cell) for cell in own if seen[cell]) / of if of else 0.0

    def unseen(self, seen: dict[Cell, bool]) -> str:
        """Tables with the columns of which no cell of the sample was noticed, as words."""
        found: dict[str, list[str]] = defaultdict(list)
        for (table, column), own in self.drawn.items():
            if own and own[0].kind == "value" and not any(seen[cell] for cell in own):
                found[table].append(column)
        return "; ".join(f"{table}: {', '.join(columns)}" for table, columns in sorted(found.items()))


def left_over(sample: Sample, seen: dict[Cell, bool], rest: int, draw: random.Random) -> list[Cell]:
    """Cells that the witnesses leave over, drawn by weight; one drawn twice counts twice.

    Spreads are not asked about and count as unnoticed: no other test file asks one to 5 %.
    """
    lone = [cell for cell in sample.cells if not seen[cell] and cell.kind != "spread"]
    return draw.choices(lone, [sample.weight(cell) for cell in lone], k=rest) if lone and rest else []


def trial(folder: Path, sample: Sample, rest: int, draw: random.Random, asks: Asks) -> dict[float, dict[str, str]]:
    """Figures of both shares, by name; a cell whose 5 % no witness sees is not shown to one again at 1 %."""
    sums = {cell: by_sums(folder, cell, cell.nudged(SHARES[-1])) for cell in sample.cells}
    told = {where: in_place.apart(sample.cells, SHARES, where) for where in in_place.FOLDERS}
    figures = {}
    for share in SHARES:
        physics = {cell: bool(told["witnesses"][cell, share]) for cell in sample.cells}
        form = {cell: bool(told["conventions"][cell, share]) or sums[cell][1] for cell in sample.cells}
        others = _others(left_over(sample, physics, rest, draw), share, asks)
        figures[share] = _figures(sample, sums, physics, form, others)
    return figures


def _others(drawn: list[Cell], share: float, asks: Asks) -> list[tuple[Cell, bool]]:
    """Which of these cells other test files notice; those that time did not reach are left out."""
    asked: dict[Cell, bool] = {}
    try:
        for cell in drawn:
            if cell not in asked:
                asked[cell] = bool(asks(cell, cell.nudged(share)))
    except TimeoutError:
        pass
    return [(cell, asked[cell]) for cell in drawn if cell in asked]


def _figures(
    sample: Sample,
    sums: dict[Cell, tuple[bool, bool]],
    physics: dict[Cell, bool],
    form: dict[Cell, bool],
    others: list[tuple[Cell, bool]],
) -> dict[str, str]:
    either = {cell: physics[cell] or form[cell] for cell in sample.cells}
    found = {
        "cells, columns, tables": f"{sum(map(len, sample.columns.values()))}, {len(sample.columns)}, "
        f"{len({table for table, _ in sample.columns})}; changed {len(sample.cells)}",
        "noticed by manifest": f"{sum(m for m, _ in sums.values())} of {len(sums)}",
        "form and convention, all cells": f"{sample.share(form):.0%}",
        "physics or print, all cells, second witnesses": f"{sample.share(physics):.0%}",
    }
    for kind in KINDS:
        found[f"physics or print, {kind} cells, second witnesses"] = f"{sample.share(physics, kind):.0%}"
    if others:

        def with_others(known: dict[Cell, bool], kind: str = "") -> str:
            own = [seen for cell, seen in others if not known[cell] and kind in ("", cell.kind)]
            left = {cell: not known[cell] and cell.kind != "spread" for cell in sample.cells}
            return _with(sample.share(known, kind), sample.share(left, kind), own)

        found["cells left over that other test files notice"] = f"{sum(seen for _, seen in others)} of {len(others)}"
        found["physics or print, all cells, with other test files"] = with_others(physics)
        found["physics or print, value cells, with other test files"] = with_others(physics, "value")
        found["anything but the manifest, all cells"] = with_others(either)
    else:
        found["anything but the manifest, all cells, second witnesses alone"] = f"{sample.share(either):.0%}"
    found[UNSEEN] = sample.unseen(physics)
    return found


def _with(share: float, left: float, others: list[bool]) -> str:
    """The share with what other test files notice of the rest, and one standard deviation of that from the draw."""
    if not others:
        return f"{share:.0%}"
    more = sum(others) / len(others)
    spread = left * (more * (1 - more) / len(others)) ** 0.5
    return f"{share + left * more:.0%} +- {spread:.0%}"
