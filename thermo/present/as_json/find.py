"""A search as the command line's dictionary: melts best first, with what was searched."""

from thermo.answers.cautions import cautions
from thermo.answers.finder import FoundMelt, Search, Wish
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
        "price_per_kg": rounded(found.price, 4),
    }
