"""What is changed in a mutation trial: one number of a table, or one sign or constant of a law.

A cell is a number of a hand-entered table, nudged by a share of itself; a fitted coefficient is moved by its own
standard deviation. In a law every numeric constant but 0, 1 and 2 is made 5 % larger, every + and - between two
terms and every minus before one is turned round. Worked value: 0.40 nudged by 5 % is written 0.42.
"""

import ast
import copy
import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from thermo.records import table_checks
from thermo.records.data_folder import DATA, MANIFEST, digest, names

ROOT = DATA.parent
PLAIN = ("year", "rows", "step", "points", "measured_pairs", "charge", "valence", "water", "c")  # counts and labels
SPREAD, SPAN = ("sigma", "scale_pct"), ("_lo_", "_hi_", "T_low", "T_high")


@dataclass(frozen=True)
class Cell:
    """One number of a table: row from 0, column, its text; sigma: the row's own for a fitted coefficient."""

    table: str
    row: int
    column: str
    text: str
    sigma: float = 0.0

    @property
    def kind(self) -> str:
        """value, spread (a standard deviation or weight) or span (where a line holds)."""
        if any(word in self.column for word in SPREAD):
            return "spread"
        return "span" if any(word in self.column for word in SPAN) else "value"

    def nudged(self, share: float) -> str:
        """The text with its number larger by this share."""
        return f"{float(self.text) * (1 + share):.10g}"


def _rows(table: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO((DATA / table).read_text(encoding="utf-8"))))


def _is_number(column: str) -> bool:
    numeric = table_checks.UNIT.search(column) or table_checks.WITHOUT_UNIT.match(column)
    return bool(numeric) and column not in (*table_checks.TEXT, *PLAIN)


def hand_entered() -> list[Cell]:
    """Every number but zero of every table that is entered by hand; counts and years left out."""
    return [
        Cell(table, n, column, text)
        for table in names()
        if not table.startswith("fitted/")
        for n, row in enumerate(_rows(table))
        for column, text in row.items()
        if _is_number(column) and text.strip() and float(text) != 0
    ]


FITTED = {  # table: value column, sigma column
    "fitted/interactions.csv": ("value", "sigma"),
    "fitted/density/excess_volume.csv": ("value_cm3_mol", "sigma_cm3_mol"),
    "fitted/ternary_terms.csv": ("value_J_mol", "sigma_J_mol"),
}


def fitted() -> list[Cell]:
    """Every fitted coefficient with its own standard deviation."""
    found = []
    for table, (value, sigma) in FITTED.items():
        rows = _rows(table)
        if rows and {value, sigma} <= set(rows[0]):
            found += [Cell(table, n, value, row[value], float(row[sigma] or 0)) for n, row in enumerate(rows)]
    return [cell for cell in found if cell.sigma > 0]


def rewritten(folder: Path, cell: Cell, text: str) -> bytes:
    """Put a nudged cell into the copy of data/ in `folder`, signed as though it were meant; the bytes before."""
    path = folder / cell.table
    before = path.read_bytes()
    rows = list(csv.DictReader(io.StringIO(before.decode("utf-8"))))
    rows[cell.row][cell.column] = text
    made = io.StringIO()
    writer = csv.DictWriter(made, list(rows[0]), lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    write_signed(folder, cell.table, made.getvalue().encode("utf-8"))
    return before


def write_signed(folder: Path, table: str, content: bytes) -> None:
    """Write a table of a copy of data/ and its line in the manifest."""
    (folder / table).write_bytes(content)
    manifest = folder / MANIFEST
    lines = manifest.read_text(encoding="utf-8").splitlines()
    known = [f"{table},{line.split(',')[1]},{len(content)},{digest(content)}" if line.startswith(f"{table},") else line
             for line in lines]  # fmt: skip
    manifest.write_text("\n".join(known) + "\n", encoding="utf-8")


@dataclass(frozen=True)
class Change:
    """One sign or constant of a law: where it stands, what was done, the changed tree.

    constant: the number before, None where a sign was turned; node: its place in the tree.
    """

    module: str
    path: Path
    where: str
    tree: ast.Module
    constant: float | int | None
    node: int


def of_laws() -> Iterator[Change]:
    """Every constant and sign of thermo/laws, one changed at a time."""
    for path in sorted((ROOT / "thermo" / "laws").glob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        module = f"thermo.laws.{path.stem}"
        for n, node in enumerate(ast.walk(tree)):
            if _changeable(node):
                other = copy.deepcopy(tree)
                said = _change(list(ast.walk(other))[n])
                constant = node.value if isinstance(node, ast.Constant) else None
                where = f"{path.name}:{node.lineno} {said}"
                yield Change(module, path, where, ast.fix_missing_locations(other), constant, n)


def replaced(change: Change, value: ast.expr) -> ast.Module:
    """The law with another expression in place of the constant."""
    tree = ast.parse(change.path.read_text(encoding="utf-8"))
    old = list(ast.walk(tree))[change.node]

    class Place(ast.NodeTransformer):
        def visit_Constant(self, node: ast.Constant) -> ast.expr:
            return ast.copy_location(copy.deepcopy(value), node) if node is old else node

    return ast.fix_missing_locations(Place().visit(tree))


def _changeable(node: ast.AST) -> bool:
    if isinstance(node, ast.Constant):
        return isinstance(node.value, float | int) and not isinstance(node.value, bool) and node.value not in (0, 1, 2)
    if isinstance(node, ast.BinOp):
        return isinstance(node.op, ast.Add | ast.Sub) and not _of_text(node) and not _nothing(node.right)
    return isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub)


def _nothing(node: ast.AST) -> bool:
    """Whether this is 0 times something, which only gives a sum its shape."""
    return isinstance(node, ast.BinOp) and isinstance(node.left, ast.Constant) and node.left.value == 0


def _of_text(node: ast.BinOp) -> bool:
    """Whether words are put together here, not numbers."""
    return any(
        isinstance(part, ast.JoinedStr) or isinstance(getattr(part, "value", None), str)
        for part in (node.left, node.right)
    )


def _change(node: ast.AST) -> str:
    if isinstance(node, ast.Constant):
        before = node.value
        node.value = before + 1 if isinstance(before, int) else before * 1.05
        return f"{before!r} -> {node.value!r}"
    if isinstance(node, ast.BinOp):
        turned = ast.Sub() if isinstance(node.op, ast.Add) else ast.Add()
        node.op = turned
        return f"sign of {ast.unparse(node.right)[:40]}"
    node.op = ast.UAdd()
    return f"minus before {ast.unparse(node.operand)[:40]}"
