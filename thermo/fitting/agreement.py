"""Whether a generated file and a fresh one say the same: by number, by one rule for all files.

Rows, words and counts must be the same. Two numbers agree when they differ by no more than the largest of
    one step of the last digit written,
    RELATIVE (1e-5) of the number,
    OF_SIGMA (1e-3) of the standard deviation: the row's own, or the product of the two that a covariance belongs to.
Another processor's linear algebra moves a number by 2e-6 of itself at most (five BLAS kernels tried), and by 1e-15 of
its standard deviation where it is nothing but rounding; `table_text.digits` writes that as 0. Less than this moves no
answer. Worked value: -4686.54 +- 810 agrees with -4686.00, 1.57e+03 with 1.58e+03, but 1.57e+03 not with 1.60e+03.
"""

import csv
import io
import math
from collections.abc import Mapping
from decimal import Decimal

RELATIVE = 1e-5
OF_SIGMA = 1e-3
COUNTS = ("points", "rows", "measured_pairs")  # columns whose numbers are counted, not computed
IN_UNITS_OF_SIGMA = ("value", "energy", "fusion", "sigma", "covariance")  # first words of columns sigma is for
SHOWN = 3  # rows of one file


def disagreements(name: str, stored: str, fresh: str) -> list[str]:
    """One line for each row of the file `name` that differs; one alone where columns or the number of rows do."""
    old, new = _rows(stored), _rows(fresh)
    if not old or not new or old[0] != new[0]:
        return [f"data/{name}: other columns"]
    if len(old) != len(new):
        return [f"data/{name}: {len(new) - 1} rows instead of {len(old) - 1}"]
    header, lines, scales = new[0], [], _scales(new)
    for number, (was, now, scale) in enumerate(zip(old[1:], new[1:], scales, strict=True), start=2):
        apart = [c for c, a, b in zip(header, was, now, strict=True) if a != b and not _agree(c, a, b, scale)]
        if apart:
            moved = ", ".join(f"{c} {was[header.index(c)]} is now {now[header.index(c)]}" for c in apart)
            lines.append(f"data/{name}, line {number}: {moved}")
    return lines


def _rows(text: str) -> list[list[str]]:
    return list(csv.reader(io.StringIO(text), strict=True))


def _agree(column: str, a: str, b: str, scale: float) -> bool:
    x, y = _number(a), _number(b)
    if x is None or y is None or column in COUNTS:
        return False  # they differ as words
    sigmas = OF_SIGMA * scale if column.startswith(IN_UNITS_OF_SIGMA) else 0.0
    return abs(x - y) <= 1.0001 * max(min(_step(a), _step(b)), RELATIVE * abs(x), sigmas)


def _number(text: str) -> float | None:
    try:
        value = float(text)
    except ValueError:
        return None
    return value if math.isfinite(value) else None


def _step(text: str) -> float:
    """One step of the last digit written; %g drops zeros at the end, so at most a tenth of a number without a point."""
    step = 10.0 ** int(Decimal(text).as_tuple().exponent)  # a finite number: _number has seen it
    return step if "." in text else min(step, abs(float(text)) / 10)


def _scales(rows: list[list[str]]) -> list[float]:
    """The standard deviation that numbers of each row are measured by; 0 where the file has none."""
    header, body = rows[0], rows[1:]
    if header[-1].startswith("covariance"):  # one pair of a covariance a row, named in the two columns before
        variance = {(*row[:-3], row[-2]): abs(float(row[-1])) for row in body if row[-3] == row[-2]}
        both = [((*row[:-3], row[-3]), (*row[:-3], row[-2])) for row in body]
        return [math.sqrt(variance.get(r, 0.0) * variance.get(c, 0.0)) for r, c in both]
    sigma = next((k for k, column in enumerate(header) if column.startswith("sigma")), None)
    return [0.0 if sigma is None else _number(row[sigma]) or 0.0 for row in body]


def differing(stored: Mapping[str, str | None], fresh: Mapping[str, str]) -> list[str]:
    """`disagreements` of several files by name, the first few rows of each; a file that is not there (None) is told."""
    lines = []
    for name, text in fresh.items():
        was = stored[name]
        rows = [f"data/{name}: missing"] if was is None else disagreements(name, was, text)
        lines += rows[:SHOWN]
        if len(rows) > SHOWN:
            lines.append(f"data/{name}: {len(rows) - SHOWN} rows more")
    return lines
