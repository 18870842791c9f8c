"""The notebook as one JSON object, out and in: {"schema": 1, "entries": [{id, uid, name, kind, made, melt, run}]}.

melt: amounts {salt: amount}, basis, and where set metal, at_C, deposit, superheat_K, vessel, atmosphere, address (the
page's link). run: readings [{hours, volts, amps, T_C, note}], weighed_g, note. photo: the run's photograph, JPEG as
base64.
Limits: everything read from a file is checked before anything is written; the first fault is named with its place.
Worked value: read_entries(write_entries([])) = [].
"""

import json
import math
from collections.abc import Mapping, Sequence
from datetime import datetime
from uuid import uuid4

from thermo.notebook.photo import photo_of_text, photo_text
from thermo.notebook.store import KINDS, READINGS, Entry, checked_name
from thermo.records.composition import from_amounts
from thermo.records.provenance import InputError
from thermo.records.typed import shown_word

FORMAT = 1  # of the JSON file
LARGEST = 100_000_000  # characters of a file that are read: some hundred photographs
WORDS = ("metal", "deposit", "vessel", "atmosphere", "address")
NUMBERS = ("at_C", "superheat_K")


def entry_json(entry: Entry) -> dict:
    """One entry as plain values."""
    melt, run = dict(entry.melt), None if entry.run is None else dict(entry.run)
    return {
        "id": entry.id,
        "uid": entry.uid,
        "name": entry.name,
        "kind": entry.kind,
        "made": entry.made,
        "changed": entry.changed,
        "melt": melt,
        "run": run,
        **({"photo_bytes": entry.photo_bytes} if entry.photo_bytes else {}),
    }


def notebook_json(entries: Sequence[Entry]) -> dict:
    """All of a notebook as plain values."""
    return {"schema": FORMAT, "entries": [entry_json(entry) for entry in entries]}


def write_entries(entries: Sequence[Entry]) -> str:
    """The JSON text of entries, with the photographs that were read with them."""
    found = notebook_json(entries)
    for entry, fields in zip(entries, found["entries"], strict=True):
        if entry.photo is not None:
            fields["photo"] = photo_text(entry.photo)
    return json.dumps(found, ensure_ascii=False, indent=1, allow_nan=False)


def read_entries(text: str) -> list[Entry]:
    """Entries of a JSON text; InputError with the place of the first fault."""
    if len(text) > LARGEST:
        raise InputError(f"notebook file: more than {LARGEST} characters")
    try:
        found = json.loads(text)
    except (ValueError, RecursionError) as error:  # ValueError: no JSON, or a number of thousands of digits
        raise InputError(f"notebook file: no JSON ({str(error)[:60]})") from None
    if not isinstance(found, Mapping) or not isinstance(found.get("entries"), list):
        raise InputError('notebook file: allowed is {"schema": 1, "entries": [...]}')
    schema = found.get("schema")
    if isinstance(schema, bool) or not isinstance(schema, int) or not 1 <= schema <= FORMAT:
        raise InputError(f"notebook file: schema {shown_word(str(schema), 20)}; allowed is {FORMAT}")
    return [_entry(raw, f"notebook file, entry {k}") for k, raw in enumerate(found["entries"], 1)]


def _entry(raw: object, where: str) -> Entry:
    fields = _mapping(raw, where)
    name, kind = _text(fields.get("name"), f"{where}, name"), fields.get("kind")
    checked_name(name)
    if kind not in KINDS:
        raise InputError(f"{where}, kind: allowed are {' and '.join(KINDS)}")
    melt = checked_melt(fields.get("melt"), f"{where}, melt")
    run = _run(fields.get("run"), f"{where}, run") if kind == "run" else None
    made = _time(fields.get("made"), f"{where}, made")
    changed = _time(fields.get("changed", made), f"{where}, changed")
    uid = _text(fields.get("uid", uuid4().hex), f"{where}, uid")[:64]
    jpeg = None
    if kind == "run" and fields.get("photo") is not None:
        jpeg = photo_of_text(fields["photo"], f"{where}, photo")
    return Entry(0, uid, name, kind, made, changed, melt, run, jpeg, len(jpeg or b""))


def checked_melt(raw: object, where: str = "melt") -> dict:
    """A melt as it is kept; InputError where its amounts are none or a value has the wrong kind."""
    fields = _mapping(raw, where)
    amounts = _mapping(fields.get("amounts"), f"{where}, amounts")
    numbers = {
        str(salt): _number(value, f"{where}, amount of {shown_word(str(salt), 20)}") for salt, value in amounts.items()
    }
    basis = fields.get("basis", "mol")
    from_amounts(numbers, basis if isinstance(basis, str) else "")
    melt: dict = {"amounts": numbers, "basis": basis}
    melt |= {key: _text(fields[key], f"{where}, {key}", 4000) for key in WORDS if fields.get(key) is not None}
    return melt | {key: _number(fields[key], f"{where}, {key}") for key in NUMBERS if fields.get(key) is not None}


def _run(raw: object, where: str) -> dict:
    fields = _mapping(raw, where)
    readings = fields.get("readings", [])
    if not isinstance(readings, list):
        raise InputError(f"{where}, readings: allowed is a list")
    run: dict = {"readings": [_reading(one, f"{where}, reading {k}") for k, one in enumerate(readings, 1)]}
    if fields.get("weighed_g") is not None:
        run["weighed_g"] = _number(fields["weighed_g"], f"{where}, weighed_g")
    if fields.get("note"):
        run["note"] = _text(fields["note"], f"{where}, note", 2000)
    return run


def _reading(raw: object, where: str) -> dict:
    fields = _mapping(raw, where)
    values = {key: fields.get(key) for key in READINGS}
    numbers = {k: None if v is None else _number(v, f"{where}, {k}") for k, v in values.items()}
    return {**numbers, "note": _text(fields.get("note", ""), f"{where}, note")}


def _mapping(raw: object, where: str) -> Mapping:
    if not isinstance(raw, Mapping):
        raise InputError(f"{where}: missing or no object")
    return raw


def _text(raw: object, where: str, most: int = 200) -> str:
    if not isinstance(raw, str) or len(raw) > most or any("\ud800" <= c <= "\udfff" for c in raw):  # half a character
        raise InputError(f"{where}: allowed is text of up to {most} characters")
    return raw


def _number(raw: object, where: str) -> float:
    if isinstance(raw, bool) or not isinstance(raw, int | float):
        raise InputError(f"{where}: allowed is a number")
    try:
        value = float(raw)
    except OverflowError:
        value = math.inf
    if not math.isfinite(value):
        raise InputError(f"{where}: allowed is a finite number")
    return value


def _time(raw: object, where: str) -> str:
    text = _text(raw, where)
    try:
        datetime.fromisoformat(text)
    except ValueError:
        raise InputError(f"{where}: allowed is a time as 2026-11-29T09:00:00+00:00") from None
    return text
