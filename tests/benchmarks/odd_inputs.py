"""Many odd inputs in one process: commands, links of the page, files to import. Does one end in a traceback?

    python -m tests.benchmarks.odd_inputs                                  20,000 commands, 5,000 links and imports
    python -m tests.benchmarks.odd_inputs --commands 2000 --links 500 --seconds 600 --keep

What is drawn, and what counts as a fault, is that of tests/test_odd_inputs.py: an answer must be an answer (JSON where
it was asked for, no number that is none), a refusal one plain line. Commands take turns by SHARES, quick ones more
often. A fault is counted and printed, and the trial goes on; inputs beyond --seconds are not tried, and the counts say
so. Exit code 1 where there was a fault.
Limits: the process is one, so what only a new process does (start-up, signals) is not in it.
"""

import argparse
import sys
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field

from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from hypothesis.errors import HypothesisException

from tests import odd_imports, odd_inputs, odd_links
from tests.benchmarks.clock import use_one_thread
from tests.benchmarks.measured import keep

COMMANDS, LINKS = 20000, 5000
STUCK = 5  # beginnings in a row without a single input before a kind is left
SLOW = {"find": 1, "lowest": 2, "cooling": 3, "pair": 4, "melt": 6, "cryolite": 8, "plan": 4}  # of 100; others share
NOTEBOOK, LOOSE = 8, 8
OF_LINKS = {"links of the page": 30, "fields of a link": 20, "notebook files": 20, "logs": 20, "recipes": 10}  # of 100


class Over(KeyboardInterrupt):
    """Time is up: the one kind of exception that ends a trial of hypothesis at once."""


@dataclass
class Tried:
    """Inputs of one kind: how many, how many were refused or failed, and the first faults."""

    wanted: int
    count: int = 0
    seconds: float = 0.0
    faults: Counter = field(default_factory=Counter)
    restarts: Counter = field(default_factory=Counter)  # drawings that hypothesis itself gave up, by its error

    def words(self) -> str:
        short = "" if self.count >= self.wanted else f" of {self.wanted} wanted"
        anew = "".join(f"; begun anew {n} times ({name})" for name, n in sorted(self.restarts.items()))
        return f"{self.count} tried{short}, {sum(self.faults.values())} faults{anew}"


def many(drawn: st.SearchStrategy, check: Callable[[object], list[str]], tried: Tried, end: float) -> None:
    """Try so many inputs of one kind, or those there is time for."""

    @settings(
        max_examples=max(tried.wanted, 1),
        deadline=None,
        database=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @given(drawn)
    def one(case):
        if time.perf_counter() > end or tried.count >= tried.wanted:
            raise Over
        start = time.perf_counter()
        for fault in _faults(check, case):
            tried.faults[fault] += 1
            print(f"    {case!r}: {fault}"[:400], flush=True)
        tried.count += 1
        tried.seconds += time.perf_counter() - start

    stuck = 0
    while tried.count < tried.wanted and time.perf_counter() < end and stuck < STUCK:
        before = tried.count
        try:
            one()
        except Over:
            pass
        except HypothesisException as error:  # of the drawing, not of what is tried: begun anew, and said
            tried.restarts[type(error).__name__] += 1
        stuck = stuck + 1 if tried.count == before else 0


def _faults(check: Callable[[object], list[str]], case: object) -> list[str]:
    try:
        return check(case)
    except AssertionError as error:
        return [f"assertion: {str(error)[:200]}"]
    except Exception as error:  # noqa: BLE001  whatever comes out is what is looked for
        return [f"{type(error).__name__}: {str(error)[:200]}"]


def commands(count: int) -> list[tuple[str, st.SearchStrategy, Callable, int]]:
    """(kind, inputs, check, how many) of the command line."""
    quick = [name for name in odd_inputs.COMMAND_NAMES if name not in SLOW]
    rest = 100 - NOTEBOOK - LOOSE - sum(SLOW[name] for name in odd_inputs.COMMAND_NAMES if name in SLOW)
    form = st.sampled_from([["--json"], []])
    found = []
    for name in odd_inputs.COMMAND_NAMES:
        share = SLOW.get(name, rest / len(quick))
        drawn = st.builds(lambda words, more: [*words, *more], odd_inputs.command_lines(name), form)
        found.append((name, drawn, odd_inputs.faults, round(count * share / 100)))
    loose = st.lists(
        st.one_of(odd_inputs.JUNK, st.sampled_from([*odd_inputs.COMMAND_NAMES, "--help", "--json", "--version"])),
        max_size=4,
    )
    found.append(("loose words", loose, odd_inputs.faults, round(count * LOOSE / 100)))
    words = odd_imports.notebook_words()
    return [*found, ("notebook", words, odd_imports.notebook_command_fault, round(count * NOTEBOOK / 100))]


def links(count: int) -> list[tuple[str, st.SearchStrategy, Callable, int]]:
    """The same of links and imports."""
    kinds = {
        "links of the page": (odd_links.PAGE_LINKS, odd_links.page_fault),
        "fields of a link": (odd_links.LINK_FIELDS, odd_links.fields_fault),
        "notebook files": (odd_imports.notebook_files(), odd_imports.notebook_fault),
        "logs": (odd_imports.log_files(), odd_imports.log_fault),
        "recipes": (odd_imports.RECIPES, odd_imports.recipe_fault),
    }
    return [(name, *kinds[name], round(count * share / 100)) for name, share in OF_LINKS.items()]


def main(arguments: list[str]) -> int:
    """Tries, prints, keeps; exit code 1 where something was wrong."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--commands", type=int, default=COMMANDS)
    parser.add_argument("--links", type=int, default=LINKS)
    parser.add_argument("--seconds", type=float, default=1e6)
    parser.add_argument("--keep", action="store_true")
    asked = parser.parse_args(arguments)
    kinds, end = [*commands(asked.commands), *links(asked.links)], time.perf_counter() + asked.seconds
    results, of_commands = {}, {kind[0] for kind in commands(asked.commands)}
    for place, (name, drawn, check, count) in enumerate(sorted(kinds, key=lambda kind: kind[0] in SLOW)):
        tried = results[name] = Tried(count)
        left = end - time.perf_counter()  # what is left is shared out, so that no kind goes without
        many(drawn, check, tried, time.perf_counter() + max(left, 0) / max(1, (len(kinds) - place) / 2))
        print(f"{name}: {tried.words()}, {tried.seconds:.0f} s", flush=True)
    figures = {
        what: f"{sum(t.count for t in own)} tried, {sum(sum(t.faults.values()) for t in own)} faults"
        for what, own in (
            ("commands", [t for name, t in results.items() if name in of_commands]),
            ("links and imports", [t for name, t in results.items() if name not in of_commands]),
        )
    }
    print(figures)
    if asked.keep:
        keep(
            "odd inputs",
            " ".join(["python -m tests.benchmarks.odd_inputs", *arguments]),
            figures | {name: t.words() for name, t in sorted(results.items())},
        )
    return 1 if any(tried.faults for tried in results.values()) else 0


if __name__ == "__main__":
    use_one_thread()
    sys.exit(main(sys.argv[1:]))
