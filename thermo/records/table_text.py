"""Text of a generated data file: a header and rows as comma-separated lines that end in a bare newline.

Limits: everything is written as str() gives it, so numbers are formatted before. Worked value: table_text("a,b",
[[1, "x, y"]]) is the line a,b and the line 1,"x, y"; digits(1e-14, beside=2.0) is 0.
"""

import csv
import io
from collections.abc import Iterable

ROUNDING = 1e-9  # of its scale: a number below is the last bits of one machine's linear algebra


def digits(value: float, beside: float, count: int = 6) -> str:
    """Six (or `count`) significant digits, and a plain 0 for what is only rounding beside the scale given."""
    return "0" if abs(value) <= ROUNDING * beside else f"{value:.{count}g}"


def table_text(header: str, rows: Iterable[Iterable[object]]) -> str:
    """The whole file; header: column names with commas between."""
    text = io.StringIO()
    text.write(header + "\n")
    csv.writer(text, lineterminator="\n").writerows(rows)
    return text.getvalue()
