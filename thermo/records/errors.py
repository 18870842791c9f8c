"""The errors of the package: each is one line that says what, where and what is allowed."""


class InputError(ValueError):
    """What the user typed cannot be used: one line that says what, where and what is allowed."""


class RangeError(ValueError):
    """A law was asked for a value outside the span its data support: value, span and physical reason."""


class DataError(Exception):
    """A table of data/ cannot be used: file, line, column, value, and what is allowed there.

    No InputError: a part of an answer may be refused for what was asked, but a damaged table must stop the whole.
    """
