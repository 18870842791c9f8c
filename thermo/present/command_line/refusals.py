"""What is said when no answer comes: one line on standard error, and the exit code.

2: the input cannot be used; 1: the answer could not be written, or nobody reads on; 3: a fault of the program itself.
Words from outside are shown as they were typed, but with control characters as escapes and cut where they are long.
Worked value: one_line("a\\x07  b") = "a\\\\x07 b".
"""

import contextlib
import os
import shlex
import sys
import traceback

from thermo import __version__
from thermo.records.provenance import DataError, InputError, RangeError

LONGEST_WORD, LONGEST_LINE = 100, 1200  # characters


def one_line(text: str) -> str:
    """The text in one line that is safe to print: runs of blanks made one, long words cut, no control characters."""
    words = ("".join(c if c.isprintable() else repr(c)[1:-1] for c in word) for word in text.split())
    line = " ".join(_short(word, LONGEST_WORD) for word in words)
    return _short(line, LONGEST_LINE)


def _short(word: str, most: int) -> str:
    return word if len(word) <= most else f"{word[: most // 2]}... ({len(word)} characters)"


def report(error: BaseException, words: list[str]) -> int:
    """Say why there is no answer to these words of the command line; the exit code."""
    if isinstance(error, InputError | RangeError | DataError):
        return _said(str(error), 2)
    if isinstance(error, BrokenPipeError):  # the reader has seen enough, as in `... | head`
        _close_output()
        return 1
    if isinstance(error, OSError):
        _close_output()
        return _said(f"{error.filename or 'standard output'}: {error.strerror or error}", 1)
    where = traceback.extract_tb(error.__traceback__)[-1]
    place = f"{os.path.basename(os.path.dirname(where.filename))}/{os.path.basename(where.filename)}:{where.lineno}"
    asked = shlex.join(["python", "-m", "thermo", *words])
    return _said(
        f"a fault in the program, not in your input: {type(error).__name__} at {place} ({error}). Please report this "
        f"line, with version {__version__}, for the command: {asked}",
        3,
    )


def _said(text: str, code: int) -> int:
    with contextlib.suppress(OSError):  # standard error may be closed too
        sys.stderr.write(one_line(text) + "\n")
    return code


def _close_output() -> None:
    """Nothing more can be written: what is left in the buffer goes nowhere, also when the interpreter ends."""
    with contextlib.suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
