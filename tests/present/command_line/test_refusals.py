"""What is said when no answer comes: one line, no control characters, the code that says which kind."""

import argparse
import io
import json
import subprocess
import sys
from pathlib import Path

import pytest

from thermo import __version__
from thermo.present.command_line import main as command_line
from thermo.present.command_line.main import main
from thermo.present.command_line.refusals import LONGEST_LINE, LONGEST_WORD, one_line
from thermo.present.command_line.shared import show
from thermo.records.provenance import InputError

ROOT = Path(__file__).resolve().parents[3]


@pytest.mark.parametrize("word", ["\x07bell", "Na\x1b[31mCl=1", "NaCl=1\nKCl=2", "a\u202eb", "x\x00y"])
def test_control_characters_are_not_echoed(word, capsys):
    assert main(["melt", word]) == 2
    printed = capsys.readouterr().err
    assert printed.count("\n") == 1
    assert printed.rstrip("\n").isprintable()


def test_long_words_are_cut_and_counted(capsys):
    assert main(["melt", "x" * 6000]) == 2
    printed = capsys.readouterr().err
    assert len(printed) < 2 * LONGEST_WORD + 200
    assert "(6003 characters)" in printed  # with its quotes and colon
    assert len(one_line("word " * 5000)) < LONGEST_LINE + 50


def test_a_full_disk_is_one_line():
    for words in (["salts"], ["--help"], ["pair", "LiF", "NaF", "--json"]):
        with open("/dev/full", "w") as full:
            ran = subprocess.run(
                [sys.executable, "-m", "thermo", *words], cwd=ROOT, stdout=full, stderr=subprocess.PIPE, text=True
            )
        assert ran.returncode == 1
        assert ran.stderr == "standard output: No space left on device\n"


@pytest.mark.parametrize("command", [name for name in command_line.COMMANDS if name != "refit"])
def test_a_fault_of_the_program_is_one_line_with_what_to_report(command, monkeypatch, capsys):
    words = {
        "salts": [],
        "pair": ["LiF", "NaF"],
        "lowest": ["LiF", "NaF"],
        "cryolite": [],
        "atlas": [],
        "evidence": [],
    }.get(command, ["NaCl=1"])
    run = ["--metal", "Na", "--at", "850", "--amps", "5", "--hours", "2"]
    words += {
        "cell": run,
        "review": [*run, "--weighed-g", "1"],
        "weigh": ["--total-g", "9"],
        "plan": ["--metal", "Na", "--want-g", "9", "--total-g", "300"],
    }.get(command, [])
    words = ["--metal", "Na", "--salts", "NaCl"] if command == "find" else words

    def broken(*_):
        raise ZeroDivisionError("division by zero")

    add, _, text = command_line.COMMANDS[command]
    monkeypatch.setitem(command_line.COMMANDS, command, (add, broken, text))
    assert main([command, *words]) == 3
    out, err = capsys.readouterr()
    assert out == ""
    assert err.count("\n") == 1
    for part in ("report", "ZeroDivisionError", "test_refusals.py:", __version__, f"python -m thermo {command}"):
        assert part in err


def test_a_closed_standard_error_does_not_matter(monkeypatch):
    class Closed(io.StringIO):
        def write(self, _):
            raise OSError(9, "Bad file descriptor")

    monkeypatch.setattr(sys, "stderr", Closed())
    assert main(["bogus"]) == 2


def test_the_version(capsys):
    assert main(["--version"]) == 0
    assert capsys.readouterr().out == f"Meltwright {__version__}\n"


def test_the_old_name_of_refit_is_understood_but_not_listed(capsys):
    assert main(["assess", "--bogus"]) == 2
    assert "refit takes no such word" in capsys.readouterr().err
    assert main(["--help"]) == 0
    assert "assess" not in capsys.readouterr().out


@pytest.mark.parametrize("words", [["--help"], ["melt", "--help"], ["bogus"], ["melt", "NaC=1"], ["pair", "LiF"]])
def test_help_and_mistakes_need_no_numpy(words):
    lines = (
        f"import sys; from thermo.present.command_line.main import main; main({words!r}); print('numpy' in sys.modules)"
    )
    ran = subprocess.run([sys.executable, "-c", lines], cwd=ROOT, capture_output=True, text=True, check=True)
    assert ran.stdout.splitlines()[-1] == "False"


@pytest.mark.parametrize("figure", [float("inf"), float("nan")])
@pytest.mark.parametrize("form", [True, False])
def test_a_figure_that_is_not_finite_is_refused(figure, form):
    with pytest.raises(InputError, match="not finite"):
        show(argparse.Namespace(json=form, command="melt"), {"T_C": figure}, str)


@pytest.mark.parametrize("form", [True, False])
def test_a_terminal_of_plain_letters_gets_every_answer(form, monkeypatch):
    raw = io.BytesIO()
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(raw, encoding="ascii"))
    found = {"source": "Čujko ±"}
    assert show(argparse.Namespace(json=form, command="melt"), found, lambda answer: answer["source"]) == 0
    sys.stdout.flush()
    said = raw.getvalue().decode("ascii")
    assert json.loads(said) == found if form else said == "\\u010cujko \\xb1\n"


def test_stopped_by_hand_says_nothing(monkeypatch, capsys):
    def stopped(_):
        raise KeyboardInterrupt

    add, _, text = command_line.COMMANDS["salts"]
    monkeypatch.setitem(command_line.COMMANDS, "salts", (add, stopped, text))
    assert main(["salts"]) == 130
    assert capsys.readouterr() == ("", "")
