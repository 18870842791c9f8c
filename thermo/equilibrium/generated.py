"""All generated data files in one place: what `python -m thermo assess` rewrites and `--check` compares.

Gibbs functions (data/gibbs), excess volumes (data/density), pair interactions and the model error of several salts.
"""

from thermo.equilibrium import assessment_files, excess_volume, gibbs_fit
from thermo.records.provenance import DATA


def _text_files() -> dict[str, str]:
    return {**gibbs_fit.regenerate(), **excess_volume.regenerate()}


def regenerate() -> list[str]:
    """Rewrite every generated file; returns one line for each that changed."""
    changed = []
    for name, text in _text_files().items():
        path = DATA / name
        if not path.exists() or path.read_text(encoding="utf-8") != text:
            path.write_text(text, encoding="utf-8")
            changed.append(f"data/{name}")
    return changed + [f"data/{name}" for name in assessment_files.write(assessment_files.fitted_models())]


def differences() -> list[str]:
    """One line for every generated file or pair that a fresh run would change; writes nothing."""
    lines = []
    for name, text in _text_files().items():
        path = DATA / name
        if not path.exists() or path.read_text(encoding="utf-8") != text:
            lines.append(f"data/{name}: a fresh run writes other text")
    return lines + assessment_files.disagreements(assessment_files.fitted_models())
