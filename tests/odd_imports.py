"""Odd files for property tests: notebooks as JSON, tables of a logger, recipes, and words of the notebook's command.

Most are right but for one thing: a value of another kind somewhere in a good notebook, a cell of a good table, a file
that was cut. Each `..._fault` returns what is wrong with how the program takes it; none for an answer or a refusal.
"""

import contextlib
import copy
import json
import math
import os
import tempfile
from collections.abc import Iterator
from pathlib import Path

from hypothesis import strategies as st

from tests.odd_inputs import FORMULAS, JUNK, NUMBERS, SYMBOLS, faults, melts
from thermo.notebook.exchange import read_entries, write_entries
from thermo.notebook.store import VARIABLE, Notebook
from thermo.records.errors import InputError
from thermo.records.logger import QUANTITIES, UNITS_S, read_log
from thermo.records.recipe import read_recipe

GOOD = {
    "schema": 1,
    "entries": [
        {
            "uid": "6f1c0f0e-6f0a-4c1e-9c57-0d6f2b1f7a01",
            "name": "bath 4",
            "kind": "melt",
            "made": "2026-11-29T09:00:00+00:00",
            "melt": {"amounts": {"NaCl": 48.0, "CaCl2": 52.0}, "basis": "mol", "metal": "Na", "at_C": 600.0},
            "run": {},
        },
        {
            "uid": "6f1c0f0e-6f0a-4c1e-9c57-0d6f2b1f7a02",
            "name": "run 1",
            "kind": "run",
            "made": "2026-11-29T10:00:00+00:00",
            "melt": {"amounts": {"LiCl": 58.0, "KCl": 42.0}, "basis": "mol"},
            "run": {"weighed_g": 3.0, "readings": [{"hours": 0.5, "T_C": 602.0, "note": "skimmed"}]},
        },
    ],
}
ODD_VALUES = st.one_of(
    st.none(),
    st.booleans(),
    st.floats(),
    st.integers(-(10**400), 10**400),
    st.text(max_size=90),
    st.sampled_from(["", "x" * 5000, "\ud800", "a\nb", "\x00", "NaCl", [], {}, [[]], {"": 1}, {"NaCl": -1.0}]),
)


def _places(value, at: tuple = ()) -> Iterator[tuple]:
    """The way to every value inside a JSON value."""
    inside = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, part in inside:
        yield (*at, key)
        yield from _places(part, (*at, key))


@st.composite
def notebook_files(draw: st.DrawFn) -> str:
    """A notebook's JSON with up to three values changed or taken out, now and then cut or no JSON at all."""
    made = copy.deepcopy(GOOD)
    for _ in range(draw(st.integers(0, 3))):
        if not (places := list(_places(made))):
            break
        place = draw(st.sampled_from(places))
        holder = made
        for key in place[:-1]:
            holder = holder[key]
        if draw(st.integers(0, 4)) == 0 and isinstance(holder, dict):
            del holder[place[-1]]
        else:
            holder[place[-1]] = copy.deepcopy(draw(ODD_VALUES))  # a list changed later must not be the next one drawn
    text = json.dumps(made)
    how = draw(st.integers(0, 9))
    if how == 0:
        return text[: draw(st.integers(0, len(text)))]
    return draw(st.text(max_size=60)) if how == 1 else text


def _one_line(error: InputError) -> list[str]:
    return [] if str(error).isprintable() and str(error) else [f"not one plain line: {str(error)[:200]!r}"]


def notebook_fault(text: str) -> list[str]:
    """Read as an import; what was read is kept, read back and written as JSON again."""
    try:
        entries = read_entries(text)
    except InputError as error:
        return _one_line(error)
    with tempfile.TemporaryDirectory() as place:
        book = Notebook(Path(place) / "notebook.sqlite3")
        try:
            book.import_entries(entries)
        except InputError as error:
            return _one_line(error)
        again = read_entries(write_entries(book.entries()))
    return [] if len(again) == len(book_uids(entries)) else [f"{len(entries)} entries came back as {len(again)}"]


def book_uids(entries) -> set[str]:
    """Each entry counts once, however often a file holds it."""
    return {entry.uid for entry in entries}


CELLS = st.one_of(
    st.floats(0, 2000).map(lambda v: f"{v:.6g}"),
    st.floats(0, 2000).map(lambda v: f"{v:.2f}".replace(".", ",")),
    st.sampled_from(["", "-", "NaN", "OL", "0:05:10", "25:61", "2026-11-29 09:00", "1e400", "-1", "٣", "x", '"', "°C"]),
    NUMBERS,
)


@st.composite
def log_files(draw: st.DrawFn) -> tuple[str, dict[str, str], str]:
    """Text of a logger, columns chosen, unit of time: mostly a rising time with temperatures."""
    mark = draw(st.sampled_from([",", ";", "\t", " "]))
    lines = [mark.join(["time", "T", "amps"])] if draw(st.booleans()) else []
    for n in range(draw(st.integers(0, 8))):
        cells = [str(60 * n), f"{700 - n}", "5"]
        if draw(st.integers(0, 3)) == 0:
            cells[draw(st.integers(0, 2))] = draw(CELLS)
        lines.append(mark.join(cells))
    text = draw(st.sampled_from(["\n", "\r\n", "\r"])).join(lines)
    if draw(st.integers(0, 9)) == 0:
        text = draw(st.text(max_size=80))
    names = st.sampled_from(["time", "T", "amps", "1", "2", "3", "0", "9", "t", ""])
    columns = draw(st.dictionaries(st.sampled_from(QUANTITIES), names, max_size=3)) | {"time": draw(names)}
    return text, columns, draw(st.sampled_from([*UNITS_S, "d"]))


def log_fault(case: tuple[str, dict[str, str], str]) -> list[str]:
    """Times must rise from 0 and every value be a finite number or a gap."""
    text, columns, unit = case
    try:
        found = read_log(text, columns, unit)
    except InputError as error:
        return _one_line(error)
    rising = found.seconds[0] == 0 and all(a <= b for a, b in zip(found.seconds, found.seconds[1:], strict=False))
    values = [v for column in found.values.values() for v in column if v is not None]
    return [] if rising and all(map(math.isfinite, (*values, *found.seconds))) else [f"read as {found}"]


RECIPES = st.one_of(st.text(max_size=40), melts().map(" ".join), melts().map("; ".join))


def recipe_fault(text: str) -> list[str]:
    """Every amount of a recipe that is taken is a finite number."""
    try:
        found = read_recipe(text)
    except InputError as error:
        return _one_line(error)
    return [] if all(math.isfinite(amount) for _, amount in found.amounts) else [f"read as {found}"]


@st.composite
def notebook_words(draw: st.DrawFn) -> list[str]:
    """Words of `notebook`: an action with what it wants, now and then anything."""
    action = draw(st.sampled_from(["list", "show", "add", "add", "import", "export", "burn"]))
    words = ["notebook", action]
    if action == "add":
        words += [draw(st.one_of(st.text(max_size=90), st.just("bath"))), *draw(melts())]
        if draw(st.booleans()):
            words += ["--metal", draw(SYMBOLS), "--at", draw(NUMBERS)]
    elif action == "show":
        words.append(draw(st.one_of(st.integers(-1, 5).map(str), NUMBERS, JUNK)))
    elif action == "import":
        words.append(draw(st.sampled_from(["nowhere.json", "/", "/dev/null", "", "\x00"])))
    elif action == "export":
        words.append(draw(st.sampled_from(["-", "no/such/folder/x.json", "/", "\x00"])))
    if draw(st.integers(0, 9)) == 0:
        words.append(draw(st.one_of(JUNK, FORMULAS)))
    return [*words, "--json"] if action != "export" and draw(st.booleans()) else words  # a file has its own lines


@contextlib.contextmanager
def notebook_of_its_own() -> Iterator[None]:
    """For a while the program keeps its notebook in a folder that is thrown away."""
    before = os.environ.get(VARIABLE)
    with tempfile.TemporaryDirectory() as place:
        os.environ[VARIABLE] = str(Path(place) / "notebook.sqlite3")
        try:
            yield
        finally:
            if before is None:
                del os.environ[VARIABLE]
            else:
                os.environ[VARIABLE] = before


def notebook_command_fault(words: list[str]) -> list[str]:
    """The command's own answer is JSON where it is asked for; what `export -` writes is JSON in any case."""
    with notebook_of_its_own():
        return faults(words)
