"""All generated data files in one place: what `python -m thermo refit` rewrites and `--check` compares.

Gibbs functions of salts, elements and reactants (data/gibbs), excess volumes (data/density), pair interactions, ternary
terms of AlF3 melts, energies of compounds of three salts and the model error of several salts.
Order matters: the pairs rest on the Gibbs functions and on what each of them says by itself (strengths), the ternary
terms and the model error on the pairs, the compounds on all melts and on how far those may be off.
"""

from thermo.equilibrium.phases.balance import phase_balance
from thermo.equilibrium.system.build import salt_system
from thermo.fitting import compound_fit as triple_fit
from thermo.fitting import model_error, pair_files
from thermo.fitting import ternary_fit as section_fit
from thermo.fitting import volume_fit as excess_volume
from thermo.fitting.gibbs import elements as elements_fit
from thermo.fitting.gibbs import reactants as reactants_fit
from thermo.fitting.gibbs import salts as gibbs_fit
from thermo.records.fitted import model_constant, own_strengths, pair_models, ternary_terms
from thermo.records.provenance import DATA
from thermo.records.triple_salts import triple_energies


def _write(texts: dict[str, str]) -> list[str]:
    changed = _changed(texts)
    for name in changed:
        (DATA / name).write_text(texts[name], encoding="utf-8")
    return [f"data/{name}" for name in changed]


def _changed(texts: dict[str, str]) -> list[str]:
    """Names of the files whose text differs from what stands in data/."""
    return [name for name, text in texts.items() if not (DATA / name).exists() or _stored(name) != text]


def _stored(name: str) -> str:
    return (DATA / name).read_text(encoding="utf-8")


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


def _tables() -> dict[str, str]:
    return {
        **gibbs_fit.regenerate(),
        **elements_fit.regenerate(),
        **reactants_fit.regenerate(),
        **excess_volume.regenerate(),
    }


def regenerate() -> list[str]:
    """Rewrite every generated file; returns the names of those that changed."""
    changed = _write(_tables())
    changed += _write(pair_files.strengths_text(pair_files.fitted_strengths()))
    _forget()
    changed += _write(pair_files.file_texts(pair_files.fitted_models()))
    _forget()
    changed += _write(section_fit.regenerate())
    _forget()
    changed += _write(model_error.regenerate())
    _forget()
    return changed + _write(triple_fit.regenerate())


def differences() -> list[str]:
    """One line for every generated file or pair that a fresh run would change; writes nothing."""
    texts = {**_tables(), **section_fit.regenerate(), **triple_fit.regenerate(), **model_error.regenerate()}
    lines = [f"data/{name}: a fresh run writes other text" for name in _changed(texts)]
    lines += pair_files.strength_disagreements(pair_files.fitted_strengths())
    return lines + pair_files.disagreements(pair_files.fitted_models())
