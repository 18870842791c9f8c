"""An answer for a notebook: the command line's dictionary, read by attribute, shown as a table, handed on as a frame.

Keys are those of the JSON, units in their names (`T_C` is degrees Celsius); an unknown value is None.
Limits: read only. Worked value: Answer({"liquidus": {"T_C": 505.9}}).liquidus.T_C = 505.9.
"""

import json
from collections.abc import Iterator, Mapping
from html import escape
from typing import Any

MOST_IN_REPR = 4  # figures of a short repr
_CELL = '<td style="text-align:left;vertical-align:top">'


class Answer(Mapping):
    """One answer. `rows`: the key of the list that makes the lines of a frame, where there is one.

    >>> Answer({"liquidus": {"T_C": 505.9, "sigma_K": 4.1}}).liquidus
    <liquidus: T_C=505.9, sigma_K=4.1>
    """

    def __init__(self, found: Mapping[str, Any], title: str = "answer", rows: str = ""):
        self._found, self._title, self._rows = dict(found), title, rows

    def __getitem__(self, key: str) -> Any:
        return _wrapped(self._found[key], key)

    def __iter__(self) -> Iterator[str]:
        return iter(self._found)

    def __len__(self) -> int:
        return len(self._found)

    def __getattr__(self, name: str) -> Any:
        found = self.__dict__.get("_found", {})
        if name not in found:
            raise AttributeError(f"{self.__dict__.get('_title', 'answer')} has no {name!r}; it has {', '.join(found)}")
        return _wrapped(found[name], name)

    def __dir__(self) -> list[str]:
        return [*super().__dir__(), *(key for key in self._found if key.isidentifier())]

    def as_dict(self) -> dict[str, Any]:
        """A copy, equal to the JSON that the command prints."""
        return json.loads(json.dumps(self._found))

    def __repr__(self) -> str:
        plain = [(k, v) for k, v in self._found.items() if not isinstance(v, list | dict | tuple)][:MOST_IN_REPR]
        return f"<{self._title}{': ' if plain else ''}{', '.join(f'{k}={v!r}' for k, v in plain)}>"[:160]

    def _repr_html_(self) -> str:
        return f"<table><caption>{escape(self._title)}</caption>{_html_rows(self._found)}</table>"

    def to_frame(self):
        """A pandas DataFrame: the answer's list where it is one, else one line; ImportError without pandas."""
        import pandas as pd  # optional: nothing else here needs it

        return pd.json_normalize(self._found[self._rows] if self._rows else [self._found])


class MeltAt(Answer):
    """A melt at one temperature, as `melt --at` answers; float or sink and its chance also by themselves.

    >>> MeltAt({"float_or_sink": {"verdict": "floats", "p_float": 0.99}}).verdict
    'floats'
    """

    @property
    def verdict(self) -> str | None:
        """Whether the metal floats; None without a metal or where it is a vapour."""
        return self._found.get("float_or_sink", {}).get("verdict")

    @property
    def p_float(self) -> float | None:
        """Chance that it floats, 0 to 1."""
        return self._found.get("float_or_sink", {}).get("p_float")


class Answers(tuple):
    """Several answers of one kind, in order, with a table of all of them."""

    __slots__ = ()

    def as_dict(self) -> list[dict[str, Any]]:
        """Copies, equal to the list that the command prints."""
        return [entry.as_dict() for entry in self]

    def _repr_html_(self) -> str:
        return f"<table>{_html_list([entry.as_dict() for entry in self])}</table>"

    def to_frame(self):
        """A pandas DataFrame with one line for each."""
        import pandas as pd  # optional: nothing else here needs it

        return pd.json_normalize(self.as_dict())


def _wrapped(value: Any, key: str) -> Any:
    if isinstance(value, dict):
        return Answer(value, key)
    if isinstance(value, list) and value and all(isinstance(entry, dict) for entry in value):
        return Answers(Answer(entry, key) for entry in value)
    return tuple(value) if isinstance(value, list) else value


def _html_rows(found: Mapping[str, Any]) -> str:
    return "".join(
        f'<tr><th style="text-align:left">{escape(k)}</th>{_CELL}{_html(v)}</td></tr>' for k, v in found.items()
    )


def _html(value: Any) -> str:
    if isinstance(value, Mapping):
        return f"<table>{_html_rows(value)}</table>"
    if isinstance(value, list) and value and all(isinstance(entry, Mapping) for entry in value):
        return f"<table>{_html_list(value)}</table>"
    if isinstance(value, list):
        return "<br>".join(escape(str(entry)) for entry in value)
    return "unknown" if value is None else escape(str(value))


def _html_list(rows: list[Mapping[str, Any]]) -> str:
    names = list(dict.fromkeys(key for row in rows for key in row))
    head = "".join(f"<th>{escape(name)}</th>" for name in names)
    body = ("".join(f"{_CELL}{_html(row.get(name))}</td>" for name in names) for row in rows)
    return f"<tr>{head}</tr>" + "".join(f"<tr>{cells}</tr>" for cells in body)
