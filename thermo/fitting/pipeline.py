"""All generated data files in one place: what `python -m thermo refit` rewrites and `--check` compares.

STEPS in their order: each reads data/ as the steps before left it. The pairs rest on the Gibbs functions and on what
each of them says by itself (strengths), the ternary terms and the model error on the pairs, the compounds of three
salts on all melts and on how far those may be off. The files of a step are rewritten together, and only where a number
moved by more than `agreement` allows, so that two machines do not undo each other's last digits.
"""

from collections.abc import Callable

from thermo.equilibrium.phases.balance import phase_balance
from thermo.equilibrium.system.build import salt_system
from thermo.fitting import agreement, compound_fit, model_error, pair_files, ternary_fit, volume_fit
from thermo.fitting.gibbs import elements, reactants, salts
from thermo.records.fitted import model_constant, own_strengths, pair_models, ternary_terms
from thermo.records.provenance import DATA
from thermo.records.triple_salts import triple_energies

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
    """Rewrite every generated file that a fresh run changes; returns their names."""
    changed = []
    for _, fresh in STEPS:
        texts = fresh()
        if agreement.differing(_stored(texts), texts):
            changed += _write(texts)
            _forget()
    return changed


def differences() -> list[str]:
    """What a fresh run would change, one line a row, a few rows of each file; writes nothing."""
    lines = []
    for _, fresh in STEPS:
        texts = fresh()
        lines += agreement.differing(_stored(texts), texts)
    return lines


def _stored(texts: Texts) -> dict[str, str | None]:
    paths = {name: DATA / name for name in texts}
    return {name: path.read_text(encoding="utf-8") if path.exists() else None for name, path in paths.items()}


def _write(texts: Texts) -> list[str]:
    stored = _stored(texts)
    changed = [name for name, text in texts.items() if text != stored[name]]
    for name in changed:
        (DATA / name).write_text(texts[name], encoding="utf-8")
    return [f"data/{name}" for name in changed]


def _forget() -> None:
    """Drops what was read from files that have just been rewritten."""
    for read in (
        own_strengths,
        pair_models,
        ternary_terms,
        model_constant,
        triple_energies,
        salt_system,
        phase_balance,
    ):
        read.cache_clear()
