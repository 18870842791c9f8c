"""A logger's table of a run: time with temperature, amps or volts, as text files of loggers hold them.

Separator comma, semicolon or tab (the one that most lines of the start agree on, outside quotes); decimal point, or
decimal comma where the separator is none or the number stands in quotes; columns by name or by number from 1, chosen by
the person. Time as a number in s, min or h, as H:MM:SS (past midnight it goes on), or as a date with time, year first
(2026-03-01) or day first with dots (01.03.2026). An empty cell, `-`, `NaN` or `OL` is a gap. Lines before the header
and after the end that hold no number in the time column are passed over only at the start.
Limits: one file, times that rise. A cell that is none of this is an error that names file, line and column.
Worked value: `0;25,5` is 0 and 25.5 where `;` parts the columns.
"""

import csv
import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime

from thermo.records.errors import InputError
from thermo.records.provenance import suggest

SEPARATORS = (";", "\t", ",")
QUANTITIES = ("time", "T", "amps", "volts")
UNITS_S = {"s": 1.0, "min": 60.0, "h": 3600.0}
QUOTED = re.compile(r'"[^"]*"')
GAPS = ("", "-", "--", "---", "nan", "n/a", "na", "ol", "null", "none")
CLOCK = re.compile(r"^(\d+):(\d{2})(?::(\d{2}(?:[.,]\d+)?))?$")
DAY_FIRST = re.compile(r"^(\d{1,2})\.(\d{1,2})\.(\d{4})\b")
DAY_S = 86400.0
MOST_LINES = 2_000_000


@dataclass(frozen=True)
class Log:
    """Readings in order: seconds from the first, and for each quantity chosen a value or None (gap)."""

    name: str
    seconds: tuple[float, ...]
    values: Mapping[str, tuple[float | None, ...]]

    def of(self, quantity: str) -> tuple[float | None, ...]:
        """One column; InputError where it was not chosen."""
        if quantity not in self.values:
            chosen = ", ".join(self.values)
            raise InputError(f"log {self.name}: no column was chosen for {quantity} (chosen: {chosen})")
        return self.values[quantity]

    def pairs(self, quantity: str) -> list[tuple[float, float]]:
        """(seconds, value) without the gaps."""
        found = zip(self.seconds, self.of(quantity), strict=True)
        return [(t, value) for t, value in found if value is not None]


def parse_columns(words: list[str]) -> dict[str, str]:
    """['time=1', 'T=Temp'] to {'time': '1', 'T': 'Temp'}; InputError for a quantity that is not in the list."""
    found: dict[str, str] = {}
    for word in words:
        name, mark, column = word.partition("=")
        if not mark or not column or name not in QUANTITIES:
            raise InputError(f"--column {word!r}: allowed is QUANTITY=NAME or NUMBER with {', '.join(QUANTITIES)}")
        if name in found:
            raise InputError(f"--column {word!r}: {name} is chosen twice; allowed is once")
        found[name] = column
    if "time" not in found:
        raise InputError("--column: time is not chosen; allowed is time=NAME or time=NUMBER")
    return found


def separator_of(lines: list[str]) -> str:
    """The separator that parts the first lines into the most columns alike."""
    start = [line for line in lines[:50] if line.strip()]

    def score(mark: str) -> tuple[int, int]:
        counts = [QUOTED.sub("", line).count(mark) for line in start]
        usual = max(set(counts), key=counts.count, default=0)
        return counts.count(usual) if usual else 0, -SEPARATORS.index(mark)

    best = max(SEPARATORS, key=score)
    if score(best)[0] == 0:
        raise InputError("log: no comma, semicolon or tab parts its columns; allowed are those three")
    return best


def read_log(text: str, columns: Mapping[str, str], unit: str = "s", name: str = "log") -> Log:
    """The readings of a logger's text; unit of a plain time: s, min or h. InputError names line and column."""
    if unit not in UNITS_S:
        raise InputError(f"--time-unit {unit!r}: allowed are {', '.join(UNITS_S)}")
    lines = text.lstrip("\ufeff").splitlines()
    if len(lines) > MOST_LINES:
        raise InputError(f"log {name}: {len(lines)} lines; allowed are {MOST_LINES}")
    mark = separator_of(lines)
    header, places = _places(lines, mark, columns, name)
    seconds: list[float] = []
    values: dict[str, list[float | None]] = {quantity: [] for quantity in places if quantity != "time"}
    first: float | None = None
    days = 0.0
    for number, line in enumerate(lines[header:], header + 1):
        if not line.strip():
            continue
        cells = _cells(line, mark)
        cell = _cell(cells, places["time"])
        if first is None and _clock_or_none(cell, unit) is None:
            continue  # units under the header
        at = _time(cells, places["time"], unit, name, number) + days
        first = at if first is None else first
        if seconds and CLOCK.match(cell) and seconds[-1] - (at - first) > DAY_S / 2:
            days, at = days + DAY_S, at + DAY_S  # past midnight
        if seconds and at - first < seconds[-1]:
            raise InputError(
                f"log {name}, line {number}, column {places['time'] + 1}: time falls; allowed is rising time"
            )
        seconds.append(at - first)
        for quantity, column in values.items():
            column.append(_value(cells, places[quantity], name, number, quantity))
    if len(seconds) < 2:
        raise InputError(
            f"log {name}: {len(seconds)} readings with a time in column {places['time'] + 1}; allowed are two or more"
        )
    return Log(name, tuple(seconds), {quantity: tuple(column) for quantity, column in values.items()})


def _places(lines: list[str], mark: str, columns: Mapping[str, str], name: str) -> tuple[int, dict[str, int]]:
    """(lines before the readings, place of each quantity); by names where a header has them, else by numbers."""
    if all(word.isdigit() for word in columns.values()):
        return 0, {quantity: _number_of(word, name) for quantity, word in columns.items()}
    wanted = [word for word in columns.values() if not word.isdigit()]
    for number, line in enumerate(lines[:200]):
        cells = _cells(line, mark)
        if all(word in cells for word in wanted):
            places = {
                quantity: _number_of(word, name) if word.isdigit() else cells.index(word)
                for quantity, word in columns.items()
            }
            return number + 1, places
    heads = ["".join(c for c in head if c.isprintable()) for head in _cells(lines[0] if lines else "", mark)]
    raise InputError(f"log {name}, line 1: no column {wanted[0]!r}{suggest(wanted[0], heads)}")


def _number_of(word: str, name: str) -> int:
    if int(word) < 1:
        raise InputError(f"log {name}: column {word}; allowed are numbers from 1")
    return int(word) - 1


def _cell(cells: list[str], place: int) -> str:
    return cells[place] if place < len(cells) else ""


def _cells(line: str, mark: str) -> list[str]:
    """The cells of a line; what stands in quotes is one cell."""
    try:
        return [cell.strip() for cell in next(csv.reader([line], delimiter=mark, skipinitialspace=True), [])]
    except csv.Error:  # a cell beyond 130 000 letters
        return line.split(mark)


def _plain(cell: str) -> str:
    """A number's text with a decimal point: a comma inside a cell parts no columns."""
    return cell.replace(",", ".")


def _value(cells: list[str], place: int, name: str, line: int, quantity: str) -> float | None:
    cell = _cell(cells, place)
    if cell.lower() in GAPS:
        return None
    try:
        value = float(_plain(cell))
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise InputError(
            f"log {name}, line {line}, column {place + 1} ({quantity}): {cell[:40]!r} is not a number; "
            f"allowed is a number "
            "or an empty cell"
        )
    return value


def _time(cells: list[str], place: int, unit: str, name: str, line: int) -> float:
    cell = _cell(cells, place)
    found = _clock_or_none(cell, unit)
    if found is None:
        raise InputError(
            f"log {name}, line {line}, column {place + 1} (time): {cell[:40]!r} is no time; allowed are a "
            f"number, H:MM:SS or "
            "a date with time"
        )
    return found


def _clock_or_none(cell: str, unit: str) -> float | None:
    """Seconds of a time cell; None where it is none."""
    clock = CLOCK.match(cell)
    if clock:
        hours, minutes, seconds = clock.groups()
        return 3600.0 * int(hours) + 60.0 * int(minutes) + float(_plain(seconds or "0"))
    try:
        value = float(_plain(cell))
        return value * UNITS_S[unit] if math.isfinite(value) else None
    except ValueError:
        pass
    try:
        return datetime.fromisoformat(DAY_FIRST.sub(_year_first, cell)).replace(tzinfo=UTC).timestamp()
    except ValueError:
        return None


def _year_first(day: re.Match[str]) -> str:
    return f"{day.group(3)}-{int(day.group(2)):02d}-{int(day.group(1)):02d}"
