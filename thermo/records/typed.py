"""Numbers as people type them: decimal point or decimal comma, a real minus sign, spaces between groups of digits.

"12,5" and "12.5" are the same number; an empty box is no number and never zero.
Limits: "1,000" may mean one or a thousand, so a comma before exactly three digits is refused unless a 0 stands alone
before it ("0,125" is read). Infinity, not-a-number, words and what is larger than LARGEST are refused.
Worked value: read_number("12,5") = 12.5.
"""

import re

from thermo.records.provenance import InputError

LONGEST_NUMBER = 40
LARGEST = 1e300  # of a number anywhere: near 1.8e308 ten written digits round up to infinity
_THOUSANDS = re.compile(r"[-+]?[1-9]\d{0,2}(,\d{3})+(\.\d*)?")
_NUMBER = re.compile(r"[-+]?(\d+([.,]\d*)?|[.,]\d+)([eE][-+]?\d{1,3})?")
_GROUPS = re.compile(r"(?<=\d)[ \u00a0\u2009\u202f'](?=\d{3}(\D|$))")


def shown_word(text: str, most: int = 24) -> str:
    """What was typed, fit for one line of a message: printable, cut to `most` characters, in quotes."""
    whole = "".join(c if c.isprintable() else "\ufffd" for c in text[: most + 1])
    return f"'{whole[:most]}…'" if len(text) > most else f"'{whole}'"


def read_number(text: str, what: str = "number") -> float:
    """The number typed; InputError, beginning with `what`, for an empty box or anything that is not one number."""
    bare = _GROUPS.sub("", text.strip().replace("\u2212", "-"))
    if not bare:
        raise InputError(f"{what}: empty; type a number")
    if len(bare) > LONGEST_NUMBER:
        raise InputError(f"{what}: {shown_word(text)} is too long; allowed is a number")
    if _THOUSANDS.fullmatch(bare):
        raise InputError(f"{what}: {shown_word(bare)} may be a decimal or thousands; write it without the comma")
    if not _NUMBER.fullmatch(bare):
        raise InputError(f"{what}: {shown_word(text)} is not a number")
    value = float(bare.replace(",", "."))
    if abs(value) > LARGEST:
        raise InputError(f"{what}: {shown_word(text)} is too large")
    return value


def number_text(value: float) -> str:
    """A number as it stands in a box: at most ten digits, no trailing zeros."""
    return f"{value:.10g}"
