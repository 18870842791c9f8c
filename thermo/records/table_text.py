"""Text of a generated data file: a header and rows as comma-separated lines that end in a bare newline.

Limits: everything is written as str() gives it, so numbers are formatted before. Worked value: table_text("a,b",
[[1, "x, y"]]) is the line a,b and the line 1,"x, y".
"""

import csv
import io
from collections.abc import Iterable


def table_text(header: str, rows: Iterable[Iterable[object]]) -> str:
    """The whole file; header: column names with commas between."""
    text = io.StringIO()
    text.write(header + "\n")
    csv.writer(text, lineterminator="\n").writerows(rows)
    return text.getvalue()
