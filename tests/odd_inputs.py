"""Odd input for property tests: words of every command and fields of page links, some right, most wrong.

The commands' options are read from the parser itself, so a new command or option takes part without being named here.
TRIALS: how many inputs each test draws; MELTWRIGHT_TRIALS=10000 asks for a long trial.
"""

import argparse
import contextlib
import io
import json
import os
import re

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st

from thermo.answers.window import ATMOSPHERES, DEPOSITS
from thermo.present.command_line.main import COMMANDS, build_parser, main
from thermo.records.hydrates import hydrates_of
from thermo.records.seen_in_a_run import observations
from thermo.records.substances import metals, salts
from thermo.records.vessels import vessels

TRIALS = int(os.environ.get("MELTWRIGHT_TRIALS", "0"))
LEFT_OUT = ("refit", "notebook", "atlas")  # they rewrite data/, keep a file of the person's, take minutes
MOST_SALTS = 6 if TRIALS else 3  # of a melt: short trials keep to quick ones
ANY = list(HealthCheck)


def trial(examples: int, share: float = 1.0) -> settings:
    """Settings of one test: so many inputs, or its share of a long trial; always the same ones in a short one."""
    count = max(1, int(TRIALS * share)) if TRIALS else examples
    return settings(
        max_examples=count,
        deadline=None,
        derandomize=not TRIALS,
        database=None,
        suppress_health_check=list(HealthCheck),
    )


JUNK = st.one_of(
    st.text(max_size=8),
    st.sampled_from(
        ["", " ", "-", "--", "=", "NaCl=", "=1", "Ünïcode", "\x1b[31m", "\x00", "a\nb", "x" * 6000, "💥", "१२"]
    ),
)
FORMULAS = st.one_of(
    st.sampled_from(sorted(salts())), st.sampled_from(sorted(salts())), st.sampled_from(["NaC", "nacl"])
)
SYMBOLS = st.sampled_from([*metals(), "mg", "Xx"])
ODD_NUMBERS = ("nan", "inf", "-inf", "1e400", "-1", "0", "-0", "1e-300", "1e300", "1_0", "1,5", "0x1", "", "9" * 400)
NUMBERS = st.one_of(
    st.floats(0.5, 2000).map(lambda v: f"{v:.6g}"),
    st.floats(0.01, 10).map(lambda v: f"{v:.4g}"),
    st.integers(1, 9).map(str),
    st.floats(allow_nan=True).map(repr),
    st.sampled_from(ODD_NUMBERS),
)
AMOUNTS = st.one_of(st.floats(0.01, 100).map(lambda v: f"{v:.5g}"), st.integers(1, 100).map(str))
RARE_AMOUNTS = st.one_of(AMOUNTS, AMOUNTS, AMOUNTS, st.floats(1e-12, 1e-3).map(repr), NUMBERS)
WORDS = {  # what an option may well be given, by its name
    "--metal": SYMBOLS,
    "--basis": st.sampled_from(["mol", "mass", "volume"]),
    "--deposit": st.sampled_from([*DEPOSITS, "gas"]),
    "--vessel": st.sampled_from([*vessels(), "steel", "cheese"]),
    "--atmosphere": st.sampled_from([*ATMOSPHERES, "helium"]),
    "--want": st.sampled_from(["floats", "sinks", "hovers"]),
    "--salts": st.lists(FORMULAS, min_size=1, max_size=3).map(",".join),
    "--max-salts": st.sampled_from(["1", "2", "9", "2.5"]),
    "--saw": st.sampled_from([*observations(), "dragons"]),
    "--hydrate": FORMULAS,
    "--from": st.sampled_from([f"{f}={h.label}" for f in salts() for h in hydrates_of(f)] + ["NaCl=NaCl.9H2O"]),
    "--assay": st.builds("{}={}".format, FORMULAS, st.sampled_from(["0.77", "1", "77", "nan"])),
    "--at": st.one_of(st.integers(20, 1600).map(str), NUMBERS),
}


@st.composite
def melts(draw: st.DrawFn) -> list[str]:
    """Words of a melt, SALT=AMOUNT each: mostly of one anion and right, now and then anything."""
    anion = draw(st.sampled_from(["Cl", "F"]))
    own = sorted(f for f, s in salts().items() if s.anion == anion)
    names = draw(st.lists(st.sampled_from(own), min_size=1, max_size=MOST_SALTS, unique=True))
    words = [f"{name}={draw(RARE_AMOUNTS)}" for name in names]
    if draw(st.integers(0, 9)) == 0:
        words.append(draw(st.one_of(JUNK, st.builds("{}={}".format, FORMULAS, NUMBERS))))
    return words


def _options(command: str) -> list[argparse.Action]:
    (commands,) = (action for action in build_parser()._actions if isinstance(action, argparse._SubParsersAction))
    return [action for action in commands.choices[command]._actions if action.dest != "help"]


def _value(action: argparse.Action) -> st.SearchStrategy[str]:
    name = action.option_strings[0] if action.option_strings else action.dest
    usual = WORDS.get(name, NUMBERS if action.type in (int, float) else FORMULAS)
    return st.one_of(usual, usual, usual, usual, usual, usual, usual, NUMBERS if action.type else JUNK)


@st.composite
def command_lines(draw: st.DrawFn, command: str) -> list[str]:
    """Words of one command: what it needs and some of what it takes, now and then less or more."""
    careless = draw(st.integers(0, 7)) == 0
    words = [command]
    for action in _options(command):
        wanted = action.required and not (careless and draw(st.booleans()))
        if not wanted and draw(st.integers(0, 3)):
            continue
        words += action.option_strings[:1]
        if action.nargs == 0:
            continue
        if action.dest == "amounts":
            words += draw(melts())
        elif action.nargs == "+":
            words += draw(st.lists(_value(action), min_size=1, max_size=3))
        else:
            words.append(draw(_value(action)))
    return [*words, draw(JUNK)] if careless and draw(st.booleans()) else words


COMMAND_NAMES = [name for name in COMMANDS if name not in LEFT_OUT]


NO_NUMBER = re.compile(r"(?<![\w.])-?(nan|inf)(?!\w)")


def faults(words: list[str]) -> list[str]:
    """What is wrong with how the command line takes these words; none for a good answer or a good refusal."""
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = main(words)
    said, refused = out.getvalue(), err.getvalue()
    if code == 2:
        plain = refused.endswith("\n") and refused[:-1].isprintable()
        return ([] if plain else ["not one plain line: " + refused[:300]]) + (
            ["output beside a refusal"] if said else []
        )
    if code != 0 or refused:
        return [f"exit code {code}: {refused[:300]}"]
    options = words[: words.index("--")] if "--" in words else words  # behind it nothing is an option
    if "--json" not in options or {"--help", "-h", "--version"} & set(words):
        return ["a number that is none: " + said[:300]] if NO_NUMBER.search(said) else []
    try:
        json.loads(said, parse_constant=_no_number)
    except ValueError as error:
        return [f"{error}: {said[:300]}"]
    return [] if said.count("\n") == 1 else ["more than one line of JSON"]


def _no_number(word: str) -> None:
    raise ValueError(f"{word} in JSON")


LINK_FIELDS = {
    "basis": st.sampled_from(["mol", "mass", "kg"]),
    "metal": st.one_of(SYMBOLS, st.just("")),
    "deposit": st.sampled_from([*DEPOSITS, "either", "gas"]),
    "vessel": st.sampled_from([*vessels(), "cheese"]),
    "atmosphere": st.sampled_from([*ATMOSPHERES, "helium"]),
    "saw": st.lists(st.sampled_from([*observations(), "dragons"]), max_size=3).map(",".join),
    "title": JUNK,
    "arrests": st.lists(NUMBERS, max_size=10).map(",".join),
    "bottles": st.lists(st.sampled_from(["CaCl2:CaCl2.2H2O", "MgCl2:x", "::"]), max_size=3).map(",".join),
    "assays": st.lists(st.builds("{}:{}".format, FORMULAS, NUMBERS), max_size=3).map(",".join),
}


@st.composite
def links(draw: st.DrawFn, known: list[str]) -> dict[str, str]:
    """Fields of a page link; `known`: names of further fields, which are given numbers."""
    fields = {}
    for name in draw(st.lists(st.sampled_from([*LINK_FIELDS, *known]), max_size=6, unique=True)):
        fields[name] = draw(st.one_of(LINK_FIELDS.get(name, NUMBERS), LINK_FIELDS.get(name, NUMBERS), JUNK))
    return fields
