"""Writes data/TRUST.md: what was tried, how often, what was found, from the figures that the trials stored.

    python -m tests.benchmarks.trust

Nothing is measured here and no figure is typed here: they come from tests/benchmarks/measured.csv, each with the date,
commit and command it was measured with. LINES is what is to be shown, each with the trial whose figures show it and
what the suite asserts of it every time; a line without figures says that it was not measured. FOUND is the list of
faults that the trials showed, with what became of them.
"""

from itertools import groupby
from pathlib import Path

from tests.benchmarks.measured import kept

TARGET = Path(__file__).resolve().parents[2] / "data" / "TRUST.md"
HEAD = """# What was tried

Written by `python -m tests.benchmarks.trust` from the figures that the commands below stored when they were run with
`--keep`; none is typed by hand. A + after a commit: files differed from it. The machine was shared with other work.
"""
ANYTHING = "anything but the manifest, all cells"
# what; (trial, figure) whose value is shown, or the trial alone for all; what the suite asserts
LINES = (
    ("laws hold for any melt, ten times the suite's cases", (("property tests", "cases"), ("property tests", "laws")),
     "tests/properties, a fixed number of cases each time"),
    ("commands: an answer or one line", (("odd inputs", "commands"),), "tests/test_odd_inputs.py"),
    ("links and imports: an answer or one line", (("odd inputs", "links and imports"),), "tests/test_odd_inputs.py"),
    ("hand-entered cells 5 % off, noticed by the manifest",
     (("mutations: cells, 5%", "noticed by manifest"),), "tests/records/test_tables.py"),
    ("... by anything but the manifest",
     (("mutations: cells, 5%", ANYTHING), ("mutations: cells, 5%", f"{ANYTHING}, second witnesses alone")),
     "tests/witnesses, tests/conventions, and the rest"),
    ("... by form and convention alone (what a cell may hold, how spreads were given)",
     (("mutations: cells, 5%", "form and convention, all cells"),), "tests/conventions, tests/records"),
    ("... by physics or print",
     (("mutations: cells, 5%", "physics or print, all cells, second witnesses"),
      ("mutations: cells, 5%", "physics or print, all cells, with other test files"),
      ("mutations: cells, 5%", "physics or print, value cells, second witnesses"),
      ("mutations: cells, 5%", "physics or print, value cells, with other test files")),
     "tests/witnesses, tests/published"),
    ("hand-entered cells 1 % off, by physics or print",
     (("mutations: cells, 1%", "physics or print, all cells, second witnesses"),
      ("mutations: cells, 1%", "physics or print, value cells, second witnesses")), "tests/witnesses"),
    ("fitted coefficients off by their own sigma",
     (("mutations: fitted coefficients, one sigma", "noticed by refit --check"),
      ("mutations: fitted coefficients, one sigma", "noticed by physics")), "tests/fitting, tests/published"),
    ("a sign or constant of a law changed",
     (("mutations: signs and constants of laws", "noticed by physics"),
      ("mutations: signs and constants of laws", "without effect")), "tests/laws, tests/published"),
    ("40 sessions, an update every 2 s", (("load", "40 sessions, 8 updates each"),), "nothing"),
    ("five sessions for five minutes or an hour, without growth", (("load for long", ""),), "nothing"),
    ("killed in a notebook's write",
     (("kills in a notebook's write", "kills"), ("kills in a notebook's write", "lost")),
     "tests/notebook/test_faults.py: 40 kills"),
    ("full disk, read-only disk", (), "tests/notebook/test_own_disk.py, tests/browser/test_faults.py: own disks"),
    ("two tabs on one entry; a table cut; a server started anew", (),
     "tests/browser/test_faults.py, tests/browser/test_jobs.py"),
    ("a worker killed in a search", (), "tests/present/command_line/test_find_workers.py, tests/engine/test_spread.py"),
    ("packages pinned exactly, licences listed", (), "tests/test_supply.py; tests.benchmarks.bill_of_materials"),
    ("security headers; nothing asked of another machine", (),
     "tests/test_listening.py, tests/browser/conftest.py, tests/browser/test_faults.py"),
    ("the same answers: kernels, hash seeds, threads, Python versions", (("same everywhere", "as it is"),
     ("same everywhere", "kernel Nehalem"), ("same everywhere", "Python 3.13.0")), "nothing"),
    ("the whole suite under other kernels", (("the suite under other kernels", ""),),
     ".ci/run: the refit under two kernels"),
)  # fmt: skip
NOT_NOTICED = """\
Three ways to notice are counted apart. The manifest sees every change. Form and convention see what a column may not
hold and a spread that breaks the rule by which it was given: they catch a cell in the wrong row, not a wrong rule.
Physics or print is another number that says the same: a second print, a handbook, a neighbour in a series, a balance,
a law.

What physics cannot notice, and why. A lone published number has no second witness: a drying time, a voltage of one
cell, a viscosity recalled, a temperature at which a material gives way; only its signature guards it, and a second
reading of its print where one was at hand (tests/witnesses/second_prints.csv: limits of exposure, metals dissolved in
their salts, currents, alloys). A standard deviation is a judgement: only where a report states it for a system can
a print contradict 5 %. An invariant or a melt of three salts lies within the scatter of its own source when it is moved
by 1 %, and often by 5 % in its composition. A coefficient moved by its own standard deviation is, by definition, still
what the data allow two times in three: the refit sees it, the data hardly do. A constant that is a judgement (how far a
line is followed, how wide an estimate) contradicts no measurement; the tests of its law hold it by a worked value. A
step, a cap or a guard of a solver of which 5 % changes no answer, and a sign that only moves where a solver starts, are
nothing that a measurement could see.
"""
LISTS = (  # shown below the figures
    "value columns of which no cell drawn was noticed by physics",
    "not noticed",
    "not noticed, steps and caps: 5 % of one changes no answer",
)
FOUND = (
    ("a link with a number near 1.8e308", "written to ten digits it became infinite; more than 1e300 is refused"),
    (
        "`find` with zinc and caesium chloride",
        "a window was shown that rested on an unknown liquidus; now it says unknown",
    ),
    ("a reading for a run that another tab took out", "the database's own words; now: there is no such entry"),
    ("a notebook on a full disk", "`disk I/O error`, and nothing could be read; now the disk is named, and it is read"),
    ("a notebook on a read-only disk", "`unable to open`, and nothing could be read; now it is named, and it is read"),
    (
        "a table of data/ cut under the page",
        "Streamlit's box without the file's name, offering to ask two companies; now one line",
    ),
    ("import from a file name with a zero byte", "a fault of the program; now one line"),
    (
        "a notebook file with unprintable words, half a character or a number of thousands of digits",
        "now one plain line",
    ),
    (
        "`notebook export - --json`",
        "more than one line of JSON: the file's own lines; a fault of the trial, which no longer asks it",
    ),
    (
        "a fluoride melt with a billionth of AlF3",
        "its band grew up to threefold (47 to 63 K); what AlF3 does to it now counts by its share up to 5 mol%",
    ),
    (
        "two salts with a trace of a third",
        "the band changed 0.37 to 2.65 times, since the update counted from three salts on; now in a pair too",
    ),
    (
        "density/salts.csv, aluminium fluoride",
        "its line misses the printed 26.9 cm3/mol at 600 deg C by 3 %: it is drawn through the print at 800 and the "
        "straight volume at 1050 deg C, where baths run; within its own spread there, and its row says so",
    ),
    (
        "density/metals.csv, potassium, rubidium, caesium",
        "their lines ended at 1000, 950 and 900 K, in the handbook named at 773, 1073 and 783; mended, and volumes "
        "printed up to 1000 K lie within their spreads",
    ),
    (
        "metal_solubility.csv, caesium in its chloride",
        "50 mol% where the report has 47: found on reading it a second time; mended",
    ),
)


def summary() -> str:
    """A line for everything that is to be shown: figures, or that there are none, and what the suite asserts."""
    known = {(row["trial"], row["figure"]): row["value"] for row in kept()}
    rows = ["| what | figures | asserted each time by |", "|---|---|---|"]
    for what, wanted, suite in LINES:
        values = [f"{figure}: {known[trial, figure]}" for trial, figure in wanted if (trial, figure) in known]
        for trial, figure in wanted:
            if not figure:
                values += [f"{name}: {value}" for (of, name), value in known.items() if of == trial]
        said = "; ".join(values) if values else ("not measured" if wanted else "see the tests")
        rows.append(f"| {what} | {said} | {suite} |")
    return "\n".join(rows) + "\n"


def below(figure: str, value: str) -> str:
    """A long figure as a list: its parts stand between semicolons."""
    lines = "\n".join(f"- {part}" for part in value.split("; "))
    return f"{figure[0].upper()}{figure[1:]}:\n\n{lines}\n"


def page() -> str:
    """The text of data/TRUST.md."""
    parts = [HEAD, summary(), NOT_NOTICED]
    for trial, rows in groupby(kept(), key=lambda row: row["trial"]):
        listed = list(rows)
        first = listed[0]
        parts.append(f"## {trial[0].upper()}{trial[1:]}\n\n`{first['command']}`, {first['date']}, {first['commit']}\n")
        parts.append("| figure | value |\n|---|---|")
        parts += [f"| {row['figure']} | {row['value']} |" for row in listed if row["figure"] not in LISTS]
        parts[-1] += "\n"
        parts += [below(row["figure"], row["value"]) for row in listed if row["figure"] in LISTS and row["value"]]
    parts.append("## What the trials found\n\n| where | what, and what became of it |\n|---|---|")
    parts += [f"| {where} | {what} |" for where, what in FOUND]
    return "\n".join(parts) + "\n"


if __name__ == "__main__":
    TARGET.write_text(page(), encoding="utf-8", newline="\n")
