"""A search as the command line's dictionary: melts best first, with what was searched."""

from thermo.answers.cautions import cautions
from thermo.answers.finder import FoundMelt, Search, Wish
from thermo.answers.finder.improve import Addition, Improvement, changes
from thermo.answers.finder.sensitivity import Slip, sensitivity
from thermo.present.as_json.melt import composition_json, rounded, window_json
from thermo.records.composition import Composition
from thermo.records.provenance import cite
from thermo.records.units import celsius


def find_json(wish: Wish, search: Search) -> dict:
    """The search as a dictionary."""
    used = tuple(dict.fromkeys(f for melt in search.melts for f in melt.composition.salts)) or wish.salts
    keys = [key for melt in search.melts for key in (*melt.liquidus.sources, *melt.flotation.sources)]
    return {
        "metal": wish.symbol,
        "melts": [_melt_json(melt) for melt in search.melts],
        "pareto": list(search.pareto),
        "searched": search.searched,
        "notes": list(search.notes),
        "cautions": list(cautions(Composition(used, (1 / len(used),) * len(used)), wish.symbol)),
        "sources": cite(keys),
    }


def improve_json(wish: Wish, found: Improvement) -> dict:
    """Smallest additions to a melt, and what small slips do to it, as a dictionary with the keys of a search."""
    melt = found.melt
    slips = sensitivity(melt.composition, wish.symbol, melt.T_K)
    held = tuple(dict.fromkeys((*melt.composition.salts, *(entry.salt for entry in found.additions))))
    keys = [key for entry in found.additions for key in entry.melt.liquidus.sources]
    return {
        "metal": wish.symbol,
        "melt": _melt_json(melt),
        "melts": [],
        "pareto": [],
        "searched": found.searched,
        "add": [_addition_json(melt, entry) for entry in found.additions],
        "sensitivity": [_slip_json(slip) for slip in slips],
        "notes": list(found.notes),
        "cautions": list(cautions(Composition(held, (1 / len(held),) * len(held)), wish.symbol)),
        "sources": cite([*melt.liquidus.sources, *melt.flotation.sources, *keys]),
    }


def _slip_json(slip: Slip) -> dict:
    return {
        "change": slip.what,
        "liquidus_K": rounded(slip.liquidus_K, 2),
        "difference_g_cm3": rounded(slip.difference_g_cm3, 4),
        "verdict": slip.verdict,
    }


def _addition_json(now: FoundMelt, entry: Addition) -> dict:
    return {
        "salt": entry.salt,
        "mole_percent": rounded(100 * entry.fraction, 2),
        "sigma_mole_percent": rounded(100 * entry.sigma, 2),
        "turns": entry.turns,
        "changes": changes(now, entry.melt),
        "melt": _melt_json(entry.melt),
    }


def _melt_json(found: FoundMelt) -> dict:
    verdict, order = found.flotation, found.order
    return composition_json(found.composition) | {
        "T_C": rounded(celsius(found.T_K), 2),
        "liquidus_C": rounded(celsius(found.liquidus.T_K), 2),
        "sigma_K": rounded(found.liquidus.sigma_K, 2),
        "first_solid": found.liquidus.first_solid,
        "status": found.liquidus.status,
        "difference_g_cm3": rounded(verdict.difference_g_cm3, 4),
        "sigma_g_cm3": rounded(verdict.sigma_g_cm3, 4),
        "p_float": rounded(verdict.p_float, 4),
        "verdict": verdict.verdict,
        "metal_state": verdict.state,
        "window": window_json(found.window),
        "first_metal": order.first.metal,
        "margin_V": rounded(order.margin_V, 4),
        "p_first": rounded(order.p_first, 4),
        "deposits_words": order.first_words,
        "price_per_kg": rounded(found.price, 4),
    }
