"""All generated data files in one place: what `python -m thermo refit` rewrites and `--check` compares.

STEPS in their order: each reads data/ as the steps before left it. The pairs rest on the Gibbs functions and on what
each of them says by itself (strengths), the ternary terms and the model error on the pairs, the compounds of three
salts on all melts and on how far those may be off. The files of a step are rewritten together, and only where a number
moved by more than `agreement` allows, so that two machines do not undo each other's last digits.
"""

from collections.abc import Callable
from dataclasses import dataclass

from thermo.fitting import (
    agreement,
    atomic_masses,
    compound_fit,
    model_error,
    pair_files,
    ternary_fit,
    vapour_fit,
    volume_fit,
    wanted,
)
from thermo.fitting.gibbs import elements, reactants, salts
from thermo.fitting.joint import update
from thermo.fitting.moves import Move, moved_pairs
from thermo.records.data_folder import folder
from thermo.records.remembered import forget
from thermo.records.tables import sign, unsigned

Texts = dict[str, str]  # file name under data/ -> text
STEPS: tuple[tuple[str, Callable[[], Texts]], ...] = (
    ("atomic masses", atomic_masses.regenerate),
    ("Gibbs functions of the salts", salts.regenerate),
    ("Gibbs functions of the elements", elements.regenerate),
    ("Gibbs functions of what melts react with", reactants.regenerate),
    ("excess volumes", volume_fit.regenerate),
    ("what each pair says by itself", pair_files.regenerate_strengths),
    ("pairs", pair_files.regenerate),
    ("what would settle the estimated pairs", wanted.regenerate),
    ("ternary terms", ternary_fit.regenerate),
    ("model error of several salts", model_error.regenerate),
    ("joint update by the melts of several salts", update.regenerate),
    ("compounds of three salts", compound_fit.regenerate),
    ("double salts in the vapour", vapour_fit.regenerate),
)

LINKED, ROUNDS = 3, 1  # the last steps rest on each other: solids of the melts, energies of compounds, then the vapour


@dataclass(frozen=True)
class Refit:
    """What a refit changed (or would change): lines for a reader, and the pairs that moved."""

    changed: list[str]
    moved: list[Move]


def regenerate() -> Refit:
    """Check and sign all tables, rewrite every generated file that a fresh run changes; `changed`: the files' names."""
    changed, moved = sign(), []
    for n, (_, fresh) in enumerate((*STEPS, *ROUNDS * STEPS[-LINKED:])):
        if n >= len(STEPS) and not changed:
            break
        texts = fresh()
        stored = _stored(texts)
        if agreement.differing(stored, texts):
            moved += moved_pairs(stored, texts)
            changed += _write(texts, stored)
            changed += sign()
            forget()
    return Refit(list(dict.fromkeys(changed)), moved)


def differences() -> Refit:
    """What a fresh run would change, one line a row, a few rows of each file; writes nothing."""
    lines, moved = unsigned(), []
    if lines:
        return Refit(lines, [])
    for _, fresh in STEPS:
        texts = fresh()
        stored = _stored(texts)
        lines += agreement.differing(stored, texts)
        moved += moved_pairs(stored, texts)
    return Refit(lines, moved)


def _stored(texts: Texts) -> dict[str, str | None]:
    paths = {name: folder() / name for name in texts}
    return {name: path.read_text(encoding="utf-8") if path.exists() else None for name, path in paths.items()}


def _write(texts: Texts, stored: dict[str, str | None]) -> list[str]:
    changed = [name for name, text in texts.items() if text != stored[name]]
    for name in changed:
        (folder() / name).write_text(texts[name], encoding="utf-8", newline="\n")
    return [f"data/{name}" for name in changed]
