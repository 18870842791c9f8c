"""The notebook's JSON: what goes out comes back, and a file with a fault is refused with its place."""

import json

import pytest

from thermo.notebook.exchange import read_entries, write_entries
from thermo.notebook.store import Notebook
from thermo.records.provenance import InputError

MELT = {"amounts": {"NaCl": 48.0, "CaCl2": 52.0}, "basis": "mol", "metal": "Na", "at_C": 600.0, "address": "?v=1&m=x"}


@pytest.fixture
def book(tmp_path):
    book = Notebook(tmp_path / "notebook.sqlite3")
    book.add("bath 4", MELT)
    number = book.add("run 1", MELT, "run", {"weighed_g": 3.0})
    book.add_reading(number, {"hours": 0.5, "T_C": 602.0}, "skimmed")
    return book


def test_it_goes_to_another_machine_and_back(book, tmp_path):
    other = Notebook(tmp_path / "other.sqlite3")
    assert other.import_entries(read_entries(write_entries(book.entries()))) == 2
    mine, theirs = ({e.uid: (e.name, e.kind, e.made, e.melt, e.run) for e in b.entries()} for b in (book, other))
    assert mine == theirs
    assert other.import_entries(read_entries(write_entries(book.entries()))) == 0


def damaged(book, change):
    found = json.loads(write_entries(book.entries()))
    change(found)
    return json.dumps(found)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda f: f.update(schema=99), "schema '99'; allowed is 1"),
        (lambda f: f.update(schema=True), "schema 'True'"),
        (lambda f: f.update(entries="none"), "allowed is"),
        (lambda f: f["entries"].append(7), "entry 3: missing or no object"),
        (lambda f: f["entries"][1].update(name="a\nb"), "name: allowed are 1 to 80"),
        (lambda f: f["entries"][0].update(kind="poem"), "entry 1, kind"),
        (lambda f: f["entries"][0]["melt"]["amounts"].update(XyCl=1), "XyCl"),
        (lambda f: f["entries"][0]["melt"]["amounts"].update(NaCl=-1), "amount of NaCl -1"),
        (lambda f: f["entries"][0]["melt"]["amounts"].update(NaCl=10**400), "finite number"),
        (lambda f: f["entries"][0]["melt"].update(basis="volume"), "basis"),
        (lambda f: f["entries"][0]["melt"].update(metal=["Na"]), "melt, metal"),
        (lambda f: f["entries"][0].update(made="yesterday"), "entry 1, made"),
        (lambda f: f["entries"][0]["run"]["readings"][0].update(volts="four"), "reading 1, volts: allowed is a number"),
    ],
)
def test_a_fault_is_named_with_its_place(book, change, words):
    with pytest.raises(InputError, match=words) as refusal:
        read_entries(damaged(book, change))
    assert "\n" not in str(refusal.value)


@pytest.mark.parametrize("text", ["", "{", "[]", "null", "[" * 100000, '{"schema": 1}'])
def test_what_is_no_notebook_is_refused(text):
    with pytest.raises(InputError, match="notebook file"):
        read_entries(text)
