"""Reading data/: where it lies, whether a file is the one that was signed, and its rows as text.

data/MANIFEST.csv holds rows, bytes and SHA-256 of each table; `python -m thermo refit` (or `refit --sign` alone) writes
it after it has checked every row (`records/table_checks`). A file that still has its signature was checked then, so
reading stays quick; one that has not is checked again, for the cell that is wrong, and refused in any case: a cut or
nudged file must not pass for the one that was fitted. Line ends may be those of another system.
Limits: a signature guards against accidents, not against somebody who signs again.
"""

import csv
import io
from collections.abc import Mapping

from thermo.records.data_folder import AGAIN, MANIFEST, digest, folder, names, raw
from thermo.records.errors import DataError
from thermo.records.remembered import forget, remembered
from thermo.records.table_checks import check_table


@remembered
def signatures() -> Mapping[str, str]:
    """File name -> SHA-256 as the manifest has it."""
    rows = csv.DictReader(io.StringIO(raw(MANIFEST).decode("utf-8", errors="replace")))
    if rows.fieldnames != ["file", "rows", "bytes", "sha256"]:
        raise DataError(f"data/{MANIFEST}: columns are not file, rows, bytes, sha256; run: python -m thermo refit")
    return {row["file"]: row["sha256"] for row in rows}


def read_table(name: str) -> list[dict[str, str]]:
    """Rows of data/<name> (CSV with one header line) as dictionaries of text; DataError where it is not as signed."""
    return read_rows(table_text(name))


def table_text(name: str) -> str:
    """The text of data/<name>; DataError where it is not as signed."""
    content = raw(name)
    if digest(content) != signatures().get(name):
        check_table(name, content)
        raise DataError(f"data/{name}: differs from its signature in data/{MANIFEST}; {AGAIN}")
    return content.decode("utf-8")


def read_rows(text: str) -> list[dict[str, str]]:
    """Rows of a table, or of a part of one under its header line, as dictionaries of text."""
    return list(csv.DictReader(io.StringIO(text, newline=""), strict=True))


def unsigned() -> list[str]:
    """One line for each table that differs from its signature, has none, or is signed and missing."""
    known = signatures()
    lines = [f"data/{name}: differs from its signature" for name in names() if digest(raw(name)) != known.get(name)]
    return lines + [f"data/{name}: signed, but missing" for name in known if name not in names()]


def sign() -> list[str]:
    """Check every row of every table and write the manifest; returns its name where it changed.

    DataError for the first cell that is wrong; nothing is written then.
    """
    text = "file,rows,bytes,sha256\n"
    for name in names():
        content = raw(name)
        rows = check_table(name, content)
        text += f"{name},{len(rows)},{len(content)},{digest(content)}\n"
    path = folder() / MANIFEST
    if path.exists() and path.read_text(encoding="utf-8") == text:
        return []
    path.write_text(text, encoding="utf-8", newline="\n")
    forget()
    return [f"data/{MANIFEST}"]
