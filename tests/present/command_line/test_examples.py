"""The examples of the help run, and show more than one metal and both kinds of bath."""

import shlex
from itertools import pairwise

import pytest

from thermo.present.command_line.examples import EXAMPLES, epilog
from thermo.present.command_line.main import COMMANDS, main
from thermo.records.composition import anions

LEFT_OUT = ("refit", "notebook")  # some ten seconds, tested by itself; the person's own file
SHOWN = [line for name in COMMANDS if name not in LEFT_OUT for line in EXAMPLES[name]]


def test_every_command_has_an_example_of_its_own_name():
    assert set(COMMANDS) <= set(EXAMPLES)
    assert [line for name in EXAMPLES for line in EXAMPLES[name] if line.split()[0] != name] == []


@pytest.mark.parametrize("line", SHOWN)
def test_an_example_runs(line, capsys):
    assert main(shlex.split(line)) == 0
    assert capsys.readouterr().err == ""


@pytest.mark.parametrize("command", list(COMMANDS))
def test_the_help_ends_with_them(command, capsys):
    assert main([command, "--help"]) == 0
    assert capsys.readouterr().out.rstrip().endswith(epilog(command))


def test_they_show_several_metals_and_both_kinds_of_bath():
    words = [word for line in SHOWN for word in line.split()]
    metals = {after for word, after in pairwise(words) if word == "--metal"}
    assert len(metals) >= 3
    named = [word.split("=")[0] for word in words if "=" in word and word.split("=")[1].replace(".", "").isdigit()]
    assert anions([name for name in named if "." not in name]) == ("F", "Cl")
