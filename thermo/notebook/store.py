"""The notebook file: named melts and runs, and the readings typed while a run goes.

One SQLite file (through peewee), by default `notebook.sqlite3` in the user's data folder (platformdirs), or where the
environment variable MELTWRIGHT_NOTEBOOK says. Every change is one transaction, on disk before the call returns: a
program killed in mid-write leaves the file as it was before the change. Two programs may write at once; each waits for
the other up to WAIT_S. On a full or read-only disk the file is still read. Its schema is PRAGMA user_version.
Limits: what the disk refuses (full, read-only, damaged, newer schema) is a NotebookError in one line; nothing is
changed then. Worked value: a new file has schema 2 and no entries.
"""

import json
import os
import sqlite3
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from urllib.parse import quote
from uuid import uuid4

import peewee
import platformdirs

from thermo.notebook.disk import WAIT_S, stands_alone, why
from thermo.records.provenance import InputError

SCHEMA = 2  # 2 keeps photographs
KINDS = ("melt", "run")
LONGEST_NAME = 80
READINGS = ("hours", "volts", "amps", "T_C")
VARIABLE = "MELTWRIGHT_NOTEBOOK"


class NotebookError(InputError):
    """The notebook's file cannot be read or written; one line, with the file's path."""


@dataclass(frozen=True)
class Entry:
    """One melt or run. melt: what is set (amounts, basis, metal, ...); run: readings, weighed grams, note; or None.

    photo: a JPEG, only where it was asked for; photo_bytes: how large it is, 0 for none.
    """

    id: int
    uid: str
    name: str
    kind: str
    made: str
    changed: str
    melt: Mapping
    run: Mapping | None
    photo: bytes | None = None
    photo_bytes: int = 0


def usual_path() -> Path:
    """Where the notebook is kept."""
    named = os.environ.get(VARIABLE)
    return Path(named) if named else platformdirs.user_data_path("meltwright", appauthor=False) / "notebook.sqlite3"


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="seconds")


class Notebook:
    """An open notebook. Each call opens and closes its own connection: threads and programs may share the file."""

    def __init__(self, path: Path | None = None):
        self.path = path or usual_path()
        pragmas = {"journal_mode": "wal", "synchronous": "full", "foreign_keys": 1}
        self._database = peewee.SqliteDatabase(str(self.path), pragmas=pragmas, timeout=WAIT_S)
        self._entry, self._reading, self._photo = _tables(self._database)

    @contextmanager
    def _open(self, write: bool) -> Iterator[None]:
        """A connection and a transaction; what SQLite or the disk refuses comes out as NotebookError."""
        try:
            if write:
                self.path.parent.mkdir(parents=True, exist_ok=True)
            elif stands_alone(self.path):
                with self._as_it_stands():
                    yield
                return
            with self._database.connection_context():
                self._upgrade()
                with self._database.atomic("IMMEDIATE" if write else "DEFERRED"):
                    yield
        except (peewee.DatabaseError, OSError) as error:
            raise NotebookError(f"notebook {self.path}: {why(self.path, _first(error))}") from None

    @contextmanager
    def _as_it_stands(self) -> Iterator[None]:
        """The file read without a change beside it; NotebookError where its schema is another."""
        models = (self._entry, self._reading, self._photo)
        alone = peewee.SqliteDatabase(f"file:{quote(str(self.path))}?immutable=1", uri=True)
        with alone.bind_ctx(models, False, False), alone.connection_context():
            found = alone.pragma("user_version")
            if found != SCHEMA:
                raise NotebookError(
                    f"notebook {self.path}: schema {found} is not {SCHEMA}, and nothing can be written there"
                )
            yield

    def _upgrade(self) -> None:
        """Bring an older file to this schema; NotebookError for a newer one."""
        found = self._database.pragma("user_version")
        if found > SCHEMA:
            raise NotebookError(f"notebook {self.path}: schema {found} is newer than this program's {SCHEMA}")
        if found < SCHEMA:
            with self._database.atomic("IMMEDIATE"):
                self._database.create_tables([self._entry, self._reading, self._photo])
                self._database.pragma("user_version", SCHEMA)

    def entries(self, kind: str | None = None, photos: bool = False) -> list[Entry]:
        """All entries, the newest first, with their photographs if asked for; none where there is no file yet."""
        if not self.path.exists():
            return []
        with self._open(write=False):
            query = self._entry.select().order_by(self._entry.id.desc())
            rows = list(query if kind is None else query.where(self._entry.kind == kind))
            return [self._record(row, photos) for row in rows]

    def entry(self, number: int, photos: bool = False) -> Entry:
        """One entry; InputError where there is none of this number."""
        found = next((entry for entry in self.entries(photos=photos) if entry.id == number), None)
        if found is None:
            raise InputError(f"notebook: no entry {number}; `notebook list` shows what there is")
        return found

    def add(self, name: str, melt: Mapping, kind: str = "melt", run: Mapping | None = None, uid: str = "") -> int:
        """A new entry; its number."""
        checked_name(name)
        if kind not in KINDS:
            raise InputError(f"notebook, kind {kind!r}: allowed are {' and '.join(KINDS)}")
        now = _now()
        with self._open(write=True):
            return self._insert(name, kind, now, now, melt, run, uid or uuid4().hex)

    def _insert(self, name, kind, made, changed, melt, run, uid) -> int:
        facts = {key: value for key, value in (run or {}).items() if key != "readings"}
        row = self._entry.create(
            uid=uid,
            name=name.strip(),
            kind=kind,
            made=made,
            changed=changed,
            melt=json.dumps(dict(melt), allow_nan=False),
            run=json.dumps(facts, allow_nan=False) if kind == "run" else None,
        )
        for reading in (run or {}).get("readings", ()):
            self._reading.create(entry=row, **reading)
        return row.id

    def import_entries(self, entries: list[Entry]) -> int:
        """Add entries that are not here yet (by uid), all or none; how many were added."""
        with self._open(write=True):
            here = {row.uid for row in self._entry.select(self._entry.uid)}
            new = [entry for entry in entries if entry.uid not in here]
            for e in new:
                number = self._insert(e.name, e.kind, e.made, e.changed, e.melt, e.run, e.uid)
                if e.photo is not None:
                    self._photo.create(entry=number, jpeg=e.photo)
            return len(new)

    def rename(self, number: int, name: str) -> None:
        """Another name for an entry."""
        checked_name(name)
        self._change(number, name=name.strip())

    def write_run(self, number: int, facts: Mapping) -> None:
        """What is known of a run beside its readings: weighed_g, note, ..."""
        self._change(number, run=json.dumps(dict(facts), allow_nan=False))

    def set_photo(self, number: int, jpeg: bytes | None) -> None:
        """A run's one photograph (see `photo.small_photo`), in the place of the one before; None takes it out."""
        with self._open(write=True):
            if not self._entry.select().where(self._entry.id == number).exists():
                raise InputError(f"notebook: no entry {number}")
            self._photo.delete().where(self._photo.entry == number).execute()
            if jpeg is not None:
                self._photo.create(entry=number, jpeg=jpeg)

    def photo(self, number: int) -> bytes | None:
        """The photograph of an entry; None where there is none."""
        if not self.path.exists():
            return None
        with self._open(write=False):
            row = self._photo.get_or_none(self._photo.entry == number)
            return None if row is None else bytes(row.jpeg)

    def _change(self, number: int, **columns) -> None:
        with self._open(write=True):
            query = self._entry.update(changed=_now(), **columns).where(self._entry.id == number)
            if not query.execute():
                raise InputError(f"notebook: no entry {number}")

    def add_reading(self, number: int, reading: Mapping[str, float | None], note: str = "") -> None:
        """One line of a run's log: hours since the start, volts, amps, deg C; what was not read is None."""
        if all(reading.get(key) is None for key in READINGS[1:]) and not note:
            raise InputError("reading: type at least one of volts, amps, temperature")
        with self._open(write=True):
            if not self._entry.select().where(self._entry.id == number).exists():  # another tab took it out
                raise InputError(f"notebook: no entry {number}")
            values = {key: reading.get(key) for key in READINGS}
            self._reading.create(entry=number, note=note[:LONGEST_NAME], **values)

    def remove(self, number: int) -> Entry:
        """Take an entry out; what it held, so that it can be put back."""
        gone = self.entry(number, photos=True)
        with self._open(write=True):
            for rows in (self._reading, self._photo):
                rows.delete().where(rows.entry == number).execute()
            self._entry.delete().where(self._entry.id == number).execute()
        return gone

    def _record(self, row, photos: bool) -> Entry:
        run = None
        if row.kind == "run":
            readings = self._reading.select().where(self._reading.entry == row.id).order_by(self._reading.id)
            log = [{**{key: getattr(r, key) for key in READINGS}, "note": r.note} for r in readings]
            run = {**json.loads(row.run or "{}"), "readings": log}
        mine = self._photo.select(peewee.fn.length(self._photo.jpeg)).where(self._photo.entry == row.id)
        size = mine.scalar() or 0
        jpeg = bytes(self._photo.get(self._photo.entry == row.id).jpeg) if photos and size else None
        melt = json.loads(row.melt)
        return Entry(row.id, row.uid, row.name, row.kind, row.made, row.changed, melt, run, jpeg, size)


def _first(error: BaseException) -> BaseException:
    """The error that came first: a full disk undoes the transaction, and undoing it once more fails as well."""
    while isinstance(error.__context__, peewee.DatabaseError | sqlite3.Error | OSError):
        error = error.__context__
    return error


def checked_name(name: str) -> None:
    """InputError for a name that cannot be one."""
    if not name.strip() or len(name) > LONGEST_NAME or not name.isprintable():
        raise InputError(f"name: allowed are 1 to {LONGEST_NAME} printable characters")


def _tables(database: peewee.SqliteDatabase):
    """The tables, bound to this database alone."""

    class EntryRow(peewee.Model):
        uid = peewee.CharField(unique=True)
        name = peewee.CharField()
        kind = peewee.CharField()
        made = peewee.CharField()
        changed = peewee.CharField()
        melt = peewee.TextField()
        run = peewee.TextField(null=True)

        class Meta:
            table_name = "entry"

    class ReadingRow(peewee.Model):
        entry = peewee.ForeignKeyField(EntryRow, backref="readings", on_delete="CASCADE")
        hours = peewee.FloatField(null=True)
        volts = peewee.FloatField(null=True)
        amps = peewee.FloatField(null=True)
        T_C = peewee.FloatField(null=True)
        note = peewee.CharField(default="")

        class Meta:
            table_name = "reading"

    class PhotoRow(peewee.Model):
        entry = peewee.ForeignKeyField(EntryRow, backref="photos", on_delete="CASCADE", unique=True)
        jpeg = peewee.BlobField()

        class Meta:
            table_name = "photo"

    database.bind([EntryRow, ReadingRow, PhotoRow])
    return EntryRow, ReadingRow, PhotoRow
