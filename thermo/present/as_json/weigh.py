"""A weighing slip as the command line's dictionary: grams by bottle, water, cautions."""

from thermo.answers.weighing import WATER_AH_G, WeighedAsDry, Weighing
from thermo.present.as_json.melt import composition_json, rounded
from thermo.records.provenance import cite
from thermo.records.units import celsius


def weigh_json(weighing: Weighing, slip: WeighedAsDry | None = None) -> dict:
    """The weigh-out as a dictionary."""
    return {
        "composition": composition_json(weighing.composition),
        "total_g": weighing.total_g,
        "weigh_g": _grams(weighing.weigh_g),
        "anhydrous_g": _grams(weighing.anhydrous_g),
        "water_g": float(weighing.water_g),
        "driven_g": _grams(weighing.driven_g),
        "other_g": float(weighing.other_g),
        "reagents_g": _grams(weighing.reagents_g),
        "water_charge_Ah": rounded(weighing.water_charge_Ah, 4),
        "water_charge_Ah_per_g": rounded(WATER_AH_G, 4),
        "weighed_as_dry": None if slip is None else _slip_json(slip),
        "cautions": list(weighing.cautions),
        "notes": list(weighing.notes),
        "sources": cite(weighing.sources),
    }


def _slip_json(slip: WeighedAsDry) -> dict:
    return composition_json(slip.composition) | {
        "liquidus_C": rounded(celsius(slip.liquidus_T_K), 1),
        "intended_liquidus_C": rounded(celsius(slip.intended_liquidus_T_K), 1),
    }


def _grams(masses) -> dict[str, float]:
    """Grams unrounded: the balance of the JSON closes as that of the answer does."""
    return {name: float(mass) for name, mass in masses.items()}
