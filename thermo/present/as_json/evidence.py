"""What is known too little, and what the joint update has seen, as the command line's dictionary.

Worked value: evidence_json(evidence_lists(("NaF", "LaF3")))["pairs_by_size_alone"] has one row.
"""

from thermo.answers.evidence.wanted import Lists, TakenUp, Wanted
from thermo.present.as_json.melt import rounded
from thermo.records.provenance import cite
from thermo.records.triple_salts import TripleSalt
from thermo.records.units import celsius


def evidence_json(found: Lists) -> dict:
    """The three lists; percentages are mole percent, temperatures deg C."""
    return {
        "salts": list(found.salts),
        "pairs_by_size_alone": [_wanted(row) for row in found.wanted],
        "compounds_without_energy": [_compound(row) for row in found.compounds],
        "melts_taken_up": [_taken_up(row) for row in found.taken_up],
        "sources": cite(found.sources),
    }


def _wanted(row: Wanted) -> dict:
    a, b = row.salts
    return {
        "salts": [a, b],
        "measure_start_of_freezing_at_mole_percent": {a: rounded(100 - 100 * row.x_b, 2), b: rounded(100 * row.x_b, 2)},
        "computed_C": rounded(celsius(row.T_K), 2),
        "sigma_K": rounded(row.sigma_K, 2),
        "first_solid": row.first_solid,
        "mean_sigma_K": rounded(row.mean_sigma_K, 2),
        "mean_sigma_after_K": rounded(row.after_K, 2),
    }


def _compound(row: TripleSalt) -> dict:
    (source,) = cite([row.source])
    return {
        "formula": row.formula,
        "counts": dict(row.stoichiometry),
        "suspected": row.suspected,
        "melting": row.melting,
        "T_C": None if row.T_K is None else rounded(celsius(row.T_K), 2),
        "source": source,
        "note": row.caveat,
    }


def _taken_up(row: TakenUp) -> dict:
    (source,) = cite([row.source])
    total = sum(row.fractions)
    return {
        "mole_percent": {f: rounded(100 * x / total, 3) for f, x in zip(row.salts, row.fractions, strict=True)},
        "T_C": rounded(celsius(row.T_K), 2),
        "solids": list(row.solids),
        "used": row.used,
        "source": source,
    }
