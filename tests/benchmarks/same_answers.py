"""Does a change of the code leave the answers alone? Stores the JSON of many questions and compares them later.

    python -m tests.benchmarks.same_answers store FILE      ask and keep the answers
    python -m tests.benchmarks.same_answers compare FILE    ask again; prints what differs, exit code 1 where
    something does

300 melts of one to six salts (both anions, AlF3 in a third of the fluorides), all pairs, 60 lowest melts, 40 cells. The
questions are stored with the answers, so that both sides ask the same. Keys that came later are left out; words that
were renamed on purpose stand in RENAMED.
"""

import contextlib
import io
import json
import runpy
import sys
from pathlib import Path

import numpy as np

RENAMED = {"assessed": "fitted", "assess": "refit"}
CHLORIDE_METALS = {"LiCl": "Li", "NaCl": "Na", "MgCl2": "Mg", "CaCl2": "Ca", "KCl": "K", "LaCl3": "La", "ZnCl2": "Zn"}


def asked(words: list[str]) -> dict:
    """What `python -m thermo WORDS --json` answers: {'answer': JSON} or {'refused': the line}."""
    out, err, before = io.StringIO(), io.StringIO(), sys.argv
    sys.argv = ["thermo", *words, "--json"]
    try:
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            runpy.run_module("thermo", run_name="__main__")
    except SystemExit as stop:
        if stop.code:
            return {"refused": err.getvalue().strip()}
    finally:
        sys.argv = before
    return {"answer": json.loads(out.getvalue())}


def questions(seed: int = 20261129) -> list[list[str]]:
    """All questions, as words of the command line, the same for one seed and one list of salts."""
    draw = np.random.default_rng(seed)
    listed = asked(["salts"])["answer"]
    salts = [row["formula"] for row in listed["salts"]]
    metals = [row["symbol"] for row in listed["metals"]]
    chlorides, fluorides = ([f for f in salts if ("F" in f) == fluoride] for fluoride in (False, True))
    found = []
    for n in range(300):
        size = int(draw.integers(1, 7))
        pool = (chlorides, fluorides, salts)[n % 3]
        names = draw.choice(pool, size, replace=False).tolist()
        if n % 9 == 1 and "AlF3" not in names:
            names = [*names[: max(size - 1, 1)], "AlF3"]
        parts = draw.dirichlet(np.ones(len(names)))
        amounts = [f"{f}={100 * part:.4f}" for f, part in zip(names, parts, strict=True)]
        words = ["melt", *amounts]
        if n % 2:
            words += ["--metal", str(draw.choice(metals)), "--at", f"{draw.uniform(450, 1100):.0f}"]
        found.append(words)
    found += [["pair", *row["salts"]] for row in listed["pairs"]]
    for n in range(60):
        pool = [f for f in (chlorides, fluorides)[n % 2] if f != "AlF3" or n % 8 == 1]
        found.append(["lowest", *draw.choice(pool, int(draw.integers(2, 5)), replace=False).tolist()])
    for n in range(40):
        metal_salt = str(draw.choice(list(CHLORIDE_METALS)))
        others = [f for f in (chlorides if n % 4 else salts) if f not in (metal_salt, "AlF3")]
        names = [metal_salt, *draw.choice(others, int(draw.integers(1, 4)), replace=False).tolist()]
        amounts = [f"{f}={100 * p:.3f}" for f, p in zip(names, draw.dirichlet(np.ones(len(names))), strict=True)]
        words = ["cell", *amounts, "--metal", CHLORIDE_METALS[metal_salt], "--at", f"{draw.uniform(500, 900):.0f}"]
        found.append([*words, "--amps", "5", "--hours", "2", "--bath-g", "500"])
    return found


def renamed(value):
    """A stored answer in today's words."""
    if isinstance(value, str):
        for old, new in RENAMED.items():
            value = value.replace(old, new)
        return value
    if isinstance(value, list):
        return [renamed(v) for v in value]
    if isinstance(value, dict):
        return {k: renamed(v) for k, v in value.items()}
    return value


def different(old, new, at: str = "") -> list[str]:
    """Where two answers differ, by path; keys and notes that only the new one has are additions, not differences."""
    if isinstance(old, dict) and isinstance(new, dict):
        gone = [f"{at}/{k}: gone" for k in old if k not in new]
        return gone + [line for k in old if k in new for line in different(old[k], new[k], f"{at}/{k}")]
    if at.endswith("/notes") and isinstance(new, list):
        return [f"{at}: gone: {line}" for line in old if line not in new]
    if isinstance(old, list) and isinstance(new, list) and len(old) == len(new):
        return [line for n, (o, w) in enumerate(zip(old, new, strict=True)) for line in different(o, w, f"{at}[{n}]")]
    return [] if old == new else [f"{at}: {old!r} -> {new!r}"]


def main(words: list[str]) -> int:
    """Store or compare; returns the exit code."""
    action, path = words[0], Path(words[1])
    if action == "store":
        rows = [{"words": q, **asked(q)} for q in questions()]
        path.write_text("\n".join(json.dumps(row) for row in rows), encoding="utf-8")
        print(f"{len(rows)} answers stored, {sum('refused' in row for row in rows)} of them refusals")
        return 0
    rows = [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]
    changed = 0
    for row in rows:
        question = row.pop("words")
        if lines := different(renamed(row), asked(question)):
            changed += 1
            print(" ".join(question), *lines[:6], sep="\n    ")
    print(f"{changed} of {len(rows)} answers differ")
    return 1 if changed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
