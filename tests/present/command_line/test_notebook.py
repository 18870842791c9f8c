"""`notebook` on the command line: add, list, show, export, import, and mistakes in one line."""

import json

import pytest

from thermo.notebook.store import VARIABLE, Notebook
from thermo.present.command_line.main import main


@pytest.fixture(autouse=True)
def own_file(monkeypatch, tmp_path):
    monkeypatch.setenv(VARIABLE, str(tmp_path / "notebook.sqlite3"))


def printed(capsys, *words):
    assert main(["notebook", *words]) == 0
    return capsys.readouterr().out


def test_a_new_one_is_empty(capsys):
    assert printed(capsys, "list") == "no entries\n"
    assert json.loads(printed(capsys, "list", "--json")) == {"schema": 1, "entries": []}


def test_what_is_added_is_listed_shown_and_carried_over(capsys, tmp_path):
    found = json.loads(
        printed(capsys, "add", "bath 4", "nacl", "48", "CaCl2=52", "--metal", "Na", "--at", "600", "--json")
    )
    (entry,) = found["entries"]
    assert entry["melt"] == {"amounts": {"NaCl": 48, "CaCl2": 52}, "basis": "mol", "metal": "Na", "at_C": 600}
    assert {"id", "name", "kind", "made", "melt", "run"} <= set(entry)
    assert "bath 4: NaCl=48 CaCl2=52 (mol), Na at 600 deg C" in printed(capsys, "show", str(entry["id"]))
    file = tmp_path / "all.json"
    printed(capsys, "export", str(file))
    assert json.loads(file.read_text(encoding="utf-8"))["schema"] == 1
    other = str(tmp_path / "other.sqlite3")
    assert "bath 4" in printed(capsys, "import", str(file), "--file", other)
    assert json.loads(printed(capsys, "export", "-"))["entries"][0]["name"] == "bath 4"


def test_words_after_list_choose_entries(capsys, tmp_path):
    """All of them, in any case, in name, salts, metal and notes; one nobody holds leaves none."""
    printed(capsys, "add", "Bath four", "NaCl=48", "CaCl2=52", "--metal", "Na")
    printed(capsys, "add", "carnallite", "KCl=50", "MgCl2=50", "--metal", "Mg")
    noted = {"amounts": {"LiCl": 59, "KCl": 41}, "basis": "mol"}
    Notebook().add("third", noted, "run", {"readings": [{"hours": 1.0, "note": "Green flame"}], "note": "dry argon"})
    for words, named in [
        ([], ["Bath four", "carnallite", "third"]),
        (["bath", "FOUR"], ["Bath four"]),
        (["kcl"], ["carnallite", "third"]),
        (["mg", "kcl"], ["carnallite"]),
        (["flame", "argon"], ["third"]),
        (["bath", "kcl"], []),
    ]:
        found = json.loads(printed(capsys, "list", *words, "--json"))["entries"]
        assert sorted(entry["name"] for entry in found) == named, words


@pytest.mark.parametrize(
    ("words", "named"),
    [
        (["burn"], "allowed are list, show, add, export, import"),
        (["show", "first"], "allowed is the number"),
        (["show", "7"], "no entry 7"),
        (["show"], "allowed is a number"),
        (["add", "bath"], "a name and a melt"),
        (["add", "bath", "NaCI=3"], "did you mean"),
        (["add", "bath", "NaCl=3", "--metal", "Xx"], "Xx"),
        (["import", "nowhere.json"], "No such file"),
        (["export", "no/such/folder/x.json"], "No such file"),
    ],
)
def test_a_mistake_is_one_line(capsys, words, named):
    assert main(["notebook", *words]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.count("\n") == 1
    assert named in err
