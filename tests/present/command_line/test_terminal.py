"""Tables are drawn where a person sits at a terminal, and plain, without a single escape code, everywhere else."""

import os
import pty
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[3]
WORDS = [sys.executable, "-m", "thermo", "pair", "KCl", "MgCl2"]


def at_a_terminal(**settings):
    """What the command writes to a terminal of its own."""
    ours, theirs = pty.openpty()
    surroundings = {k: v for k, v in os.environ.items() if k not in ("NO_COLOR", "COLUMNS", "FORCE_COLOR", "CI")}
    started = subprocess.Popen(
        WORDS, cwd=ROOT, stdout=theirs, stderr=theirs, env=surroundings | {"TERM": "xterm-256color"} | settings
    )
    os.close(theirs)
    pieces = []
    while True:
        try:
            piece = os.read(ours, 65536)
        except OSError:  # Linux says so when the other side is closed
            break
        if not piece:
            break
        pieces.append(piece)
    os.close(ours)
    assert started.wait() == 0
    return b"".join(pieces).decode()


def plain():
    return subprocess.run(WORDS, cwd=ROOT, capture_output=True, text=True, check=True).stdout


def test_a_file_gets_no_codes_and_no_lines_drawn():
    assert plain().isascii()
    assert "\x1b" not in plain()


def test_a_terminal_gets_a_table_of_the_same_figures():
    drawn = at_a_terminal(COLUMNS="100")
    assert "\x1b[1m" in drawn
    assert "─" in drawn
    figures = re.findall(r"\d+\.\d", plain())
    assert re.findall(r"\d+\.\d", re.sub(r"\x1b\[[0-9;]*m", "", drawn)) == figures


@pytest.mark.parametrize("settings", [{"NO_COLOR": "1"}, {"TERM": "dumb"}])
def test_a_terminal_without_colours_gets_none(settings):
    assert not re.search(r"\x1b\[[0-9;]*3[0-9]m", at_a_terminal(**settings))


def test_a_narrow_terminal_folds_and_loses_nothing():
    drawn = re.sub(r"\x1b\[[0-9;]*m", "", at_a_terminal(COLUMNS="40"))
    top = drawn.split("sources:")[0].splitlines()[1:]
    assert max(len(line.rstrip("\r")) for line in top[:-2]) <= 40
