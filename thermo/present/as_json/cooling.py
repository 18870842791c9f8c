"""The cooling check as the command line's dictionary: temperatures in deg C, unknown is None."""

from thermo.answers.cooling.curve import Arrest, Candidate, CoolingCheck
from thermo.present.as_json.melt import composition_json, rounded
from thermo.present.words.cooling import candidate_words
from thermo.records.provenance import cite
from thermo.records.units import celsius


def cooling_json(check: CoolingCheck) -> dict:
    """The check as a dictionary; read_from_log is null where arrests were typed."""
    return {
        "read_from_log": None,
        "composition": composition_json(check.composition),
        "liquidus": {
            "T_C": _t_C(check.liquidus.T_K),
            "sigma_K": rounded(check.liquidus.sigma_K, 2),
            "first_solid": check.liquidus.first_solid,
            "status": check.liquidus.status,
        },
        "solidus": {"T_C": _t_C(check.solidus_K), "sigma_K": rounded(check.sigma_solidus_K, 2)},
        "events": [
            {"stage": e.stage, "T_C": _t_C(e.T_K), "sigma_K": rounded(e.sigma_K, 2), "solids": list(e.solids)}
            for e in check.events
        ],
        "verdict": check.verdict,
        "arrests": [_arrest_json(arrest) for arrest in check.arrests],
        "compositions": [_candidate_json(entry, check) for entry in check.candidates],
        "other_explanations": [
            {"key": e.key, "verdict": e.verdict, "evidence": e.evidence, "check": e.check}
            | _value_json(e.value, e.unit)
            for e in check.explanations
        ],
        "notes": list(check.notes),
        "sources": cite(check.sources),
    }


def _t_C(T_K: float | None) -> float | None:
    return None if T_K is None else round(float(celsius(T_K)), 2)


def _arrest_json(arrest: Arrest) -> dict:
    return {
        "T_C": _t_C(arrest.T_K),
        "verdict": arrest.verdict,
        "stage": arrest.stage,
        "difference_K": rounded(arrest.difference_K, 2),
        "sigma_K": rounded(arrest.sigma_K, 2),
        "evidence": arrest.words,
    }


def _value_json(value: float | None, unit: str) -> dict:
    """The number of an explanation under a key that ends in its unit."""
    if not unit:
        return {}
    name = {"K": "value_K", "mol%": "value_percent"}[unit]
    return {name: None if value is None else round(float(value), 2)}


def _candidate_json(entry: Candidate, check: CoolingCheck) -> dict:
    melt = entry.melt
    return {
        "words": candidate_words(entry, check),
        "range_percent": {f: [rounded(100 * low, 2), rounded(100 * high, 2)] for f, (low, high) in melt.ranges.items()},
        "best": composition_json(melt.composition),
        "liquidus_C": rounded(celsius(melt.T_K), 2),
        "off_per_100_g": {f: rounded(grams, 2) for f, grams in melt.grams.items()},
        "includes_intended": melt.includes_intended,
        "reaches_edge_of_search": melt.open_end,
        "explains_C": None if entry.explains_K is None else [rounded(celsius(T), 2) for T in entry.explains_K],
    }
