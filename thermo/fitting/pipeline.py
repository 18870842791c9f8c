"""All generated data files in one place: what `python -m thermo refit` rewrites and `--check` compares.

STEPS in their order: each reads data/ as the steps before left it. The pairs rest on the Gibbs functions and on what
each of them says by itself (strengths), the ternary terms and the model error on the pairs, the compounds of three
salts on all melts and on how far those may be off. The files of a step are rewritten together, and only where a number
moved by more than `agreement` allows, so that two machines do not undo each other's last digits.
"""

from collections.abc import Callable

from thermo.fitting import agreement, compound_fit, model_error, pair_files, ternary_fit, volume_fit
from thermo.fitting.gibbs import elements, reactants, salts
from thermo.records.data_folder import folder
from thermo.records.remembered import forget
from thermo.records.tables import sign, unsigned

Texts = dict[str, str]  # file name under data/ -> text
STEPS: tuple[tuple[str, Callable[[], Texts]], ...] = (
    ("Gibbs functions of the salts", salts.regenerate),
    ("Gibbs functions of the elements", elements.regenerate),
    ("Gibbs functions of what melts react with", reactants.regenerate),
    ("excess volumes", volume_fit.regenerate),
    ("what each pair says by itself", pair_files.regenerate_strengths),
    ("pairs", pair_files.regenerate),
    ("ternary terms", ternary_fit.regenerate),
    ("model error of several salts", model_error.regenerate),
    ("compounds of three salts", compound_fit.regenerate),
)


def regenerate() -> list[str]:
    """Check and sign all tables, rewrite every generated file that a fresh run changes; returns the files' names."""
    changed = sign()
    for _, fresh in STEPS:
        texts = fresh()
        if agreement.differing(_stored(texts), texts):
            changed += _write(texts)
            changed += sign()
            forget()
    return list(dict.fromkeys(changed))


def differences() -> list[str]:
    """What a fresh run would change, one line a row, a few rows of each file; writes nothing."""
    lines = unsigned()
    if lines:
        return lines
    for _, fresh in STEPS:
        texts = fresh()
        lines += agreement.differing(_stored(texts), texts)
    return lines


def _stored(texts: Texts) -> dict[str, str | None]:
    paths = {name: folder() / name for name in texts}
    return {name: path.read_text(encoding="utf-8") if path.exists() else None for name, path in paths.items()}


def _write(texts: Texts) -> list[str]:
    stored = _stored(texts)
    changed = [name for name, text in texts.items() if text != stored[name]]
    for name in changed:
        (folder() / name).write_text(texts[name], encoding="utf-8", newline="\n")
    return [f"data/{name}" for name in changed]
