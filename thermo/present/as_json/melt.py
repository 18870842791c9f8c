"""Answers as plain dictionaries: the machine-readable form of the command line and of the page's downloads.

Units stand in the key names, temperatures in deg C, one standard deviation as sigma_*; unknown is None.
"""

from thermo.answers.evidence.near import PublishedMelt
from thermo.answers.evidence.start_of_freezing import FreezingStart
from thermo.answers.melt import MeltAnswer, Refused
from thermo.answers.window import Limit, Window
from thermo.equilibrium.freezing.solidus import Solidus
from thermo.equilibrium.invariants.coldest_near import WITHIN
from thermo.records.composition import Composition, anions
from thermo.records.fitted import pair_models
from thermo.records.provenance import cite, sources
from thermo.records.published import MeltPoint
from thermo.records.substances import metal, metals, salts
from thermo.records.units import celsius


def rounded(value: float | None, digits: int) -> float | None:
    """The value with a fixed number of decimals; None stays None."""
    return None if value is None else round(float(value), digits)


def composition_json(composition: Composition) -> dict:
    """Mole and mass percent by salt."""
    return {
        "mole_percent": {f: rounded(v, 4) for f, v in composition.mole_percent.items()},
        "mass_percent": {f: rounded(v, 4) for f, v in composition.mass_percent.items()},
    }


def salts_json() -> dict:
    """The lists of salts, metals and pairs."""
    from thermo.laws.density import density_span

    return {
        "salts": [
            {
                "formula": s.formula,
                "name": s.name,
                "melting_point_C": rounded(celsius(s.melting_point_K), 1),
                "boiling_point_C": None if s.boiling_point_K is None else rounded(celsius(s.boiling_point_K), 0),
                "density_span_C": [rounded(celsius(T), 0) for T in density_span(s.formula)],
                "origin": s.origin,
                "provenance": s.provenance,
                "caveat": s.caveat,
            }
            for s in salts().values()
        ],
        "metals": [
            {
                "symbol": m.symbol,
                "name": m.name,
                "melting_point_C": rounded(celsius(m.melting_point_K), 1),
                "boiling_point_C": rounded(celsius(m.boiling_point_K), 0),
            }
            for m in metals().values()
        ],
        "pairs": [{"salts": list(model.salts), "status": model.status} for model in pair_models().values()],
    }


def melt_json(answer: MeltAnswer) -> dict:
    """The whole answer about one melt; of a part that could not be had the values are null, why is in `refused`."""
    found: dict = {
        "above_all": answer.above_all or None,
        "composition": composition_json(answer.composition),
        "liquidus": start_json(answer.liquidus),
        "coldest_near": coldest_json(answer.liquidus),
        "solidus": _solidus_json(answer.solidus),
        "published": [_near_json(row) for row in answer.published],
        "density": {
            "T_C": rounded(celsius(answer.T_K), 2),
            "melt_g_cm3": rounded(answer.density.value_g_cm3 if answer.density else None, 4),
            "sigma_g_cm3": rounded(answer.density.sigma_g_cm3 if answer.density else None, 4),
        },
    }
    if answer.symbol is not None:
        found |= _metal_json(answer, answer.symbol) | {"deposits": _order_json(answer, answer.symbol)}
    found["window"] = window_json(answer.window)
    if len(anions(answer.composition.salts)) > 1:
        found |= dissolved_json(answer)
    found |= {"sources": cite(answer.sources), "cautions": list(answer.cautions), "notes": list(answer.notes)}
    return found | {"refused": answer.refusals}


def dissolved_json(answer: MeltAnswer) -> dict:
    """With fluoride and chloride together: what dissolves of each fluoride, and the little that does not."""
    little = answer.little_solid
    rows = [
        {
            "salt": one.salt,
            "solid": one.solid,
            "T_C": rounded(celsius(one.T_K), 2),
            "mass_percent": rounded(one.mass_percent, 2),
            "sigma_mass_percent": rounded(one.sigma_mass_percent, 2),
            "low_mass_percent": rounded(one.low_mass_percent, 2),
            "high_mass_percent": rounded(one.high_mass_percent, 2),
            "in_the_bath_mass_percent": rounded(one.in_the_bath_mass_percent, 2),
        }
        for one in answer.dissolves
    ]
    undissolved = None if little is None else {name: rounded(percent, 2) for name, percent in little.solids}
    return {"dissolves": rows, "undissolved_mass_percent": undissolved}


def start_json(start: FreezingStart) -> dict:
    """What leads where freezing starts, what was computed and what was measured near by."""
    own, said = start.computed, start.measured
    known = start.known
    return {
        "T_C": rounded(celsius(start.T_K), 2) if known else None,
        "sigma_K": rounded(start.sigma_K, 2) if known else None,
        "sigma_low_K": rounded(start.sigma_low_K, 2) if known else None,
        "sigma_high_K": rounded(start.sigma_high_K, 2) if known else None,
        "first_solid": start.first_solid if own.known else None,
        "status": start.status,
        "rests_on": start.rests_on,
        "computed_C": rounded(celsius(own.T_K), 2) if own.known else None,
        "computed_sigma_K": rounded(own.sigma_K, 2) if own.known else None,
        "measured_C": None if said is None else rounded(celsius(said.T_K), 2),
        "measured_sigma_K": None if said is None else rounded(said.sigma_K, 2),
    }


def coldest_json(start: FreezingStart) -> dict | None:
    """The coldest computed melt near; null for one salt and where nothing is known."""
    near = start.coldest_near
    if near is None:
        return None
    return {
        "T_C": rounded(celsius(near.T_K), 2),
        "sigma_K": rounded(near.sigma_K, 2),
        "mole_percent": {f: rounded(x, 2) for f, x in near.composition.mole_percent.items()},
        "within_mole_percent": rounded(100 * WITHIN, 1),
    }


def _solidus_json(found: Solidus | Refused) -> dict:
    if not found or found.T_K is None:
        return {"T_C": None, "sigma_K": None, "solids": []}
    T_C = rounded(celsius(found.T_K), 2)
    return {"T_C": T_C, "sigma_K": rounded(found.sigma_K, 2), "solids": list(found.solids)}


def published_json(row: PublishedMelt | MeltPoint) -> dict:
    """One published melt; mole_percent is null where only its temperature was published."""
    shares = {f: rounded(100 * x, 2) for f, x in zip(row.salts, row.fractions, strict=True)} if row.fractions else None
    return {
        "kind": row.kind,
        "T_C": rounded(celsius(row.T_K), 1),
        "sigma_K": rounded(row.T_sigma_K, 1),
        "mole_percent": shares,
        "source": sources()[row.source].short,
    }


def _near_json(row: PublishedMelt) -> dict:
    return published_json(row) | {
        "away_mole_percent": rounded(100 * row.away, 2),
        "fitted": row.fitted,
        "sure": row.sure,
    }


def window_json(window: Window | Refused) -> dict:
    """The operating window with every limit; of a refused one the explanation says why."""
    if isinstance(window, Refused):
        unknown = dict.fromkeys(("low_C", "high_C", "preferred_low_C", "preferred_high_C", "preferred_reason"))
        nothing: dict = {"limits": [], "advice": [], "cautions": []}
        return {"exists": False, **unknown, **nothing, "explanation": window.reason}
    return {
        "exists": window.exists,
        "low_C": None if window.low_K is None else rounded(celsius(window.low_K), 1),
        "high_C": None if window.high_K is None else rounded(celsius(window.high_K), 1),
        "preferred_low_C": None if window.preferred is None else rounded(celsius(window.preferred.low_K), 1),
        "preferred_high_C": None if window.preferred is None else rounded(celsius(window.preferred.high_K), 1),
        "preferred_reason": None if window.preferred is None else window.preferred.reason,
        "limits": [_limit_json(limit) for limit in window.limits],
        "advice": [_limit_json(limit) for limit in window.advice],
        "cautions": list(window.cautions),
        "explanation": window.explanation,
    }


def _limit_json(limit: Limit) -> dict:
    return {
        "side": limit.side,
        "T_C": rounded(celsius(limit.T_K), 1),
        "reason": limit.reason,
        "binding": limit.binding,
        "origin": limit.origin,
    }


def _metal_json(answer: MeltAnswer, symbol: str) -> dict:
    known, own = answer.float_or_sink or None, answer.metal_density or None
    return {
        "metal": {
            "symbol": symbol,
            "state": metal(symbol).state(answer.T_K),
            "density_g_cm3": rounded(own and own.value_g_cm3, 4),
            "sigma_g_cm3": rounded(own and own.sigma_g_cm3, 4),
        },
        "float_or_sink": {
            "difference_g_cm3": rounded(known and known.difference_g_cm3, 4),
            "sigma_g_cm3": rounded(known and known.sigma_g_cm3, 4),
            "p_float": rounded(known and known.p_float, 4),
            "verdict": known and known.verdict,
            "crossings_C": [
                {"T_C": rounded(celsius(c.T_K), 1), "sigma_K": rounded(c.sigma_K, 1), "above": c.above}
                for c in (known.crossings_above(answer.liquidus.T_K if answer.liquidus.known else 0.0) if known else ())
            ],
        },
    }


def _order_json(answer: MeltAnswer, symbol: str) -> dict | None:
    """Which metal deposits first, and how far from it the one asked for is; null where that could not be had."""
    if not answer.order:
        return None
    order, own = answer.order, next((c for c in answer.order.couples if c.metal == symbol), None)
    return {
        "first_metal": order.first.metal,
        "p_first": rounded(order.p_first, 4),
        "margin_V": rounded(order.margin_V, 4),
        "gap_V": rounded(own.gap_V if own else None, 4),
        "sigma_gap_V": rounded(own.gap_sigma_V if own else None, 4),
        "words": order.standing(symbol)[0],
    }
