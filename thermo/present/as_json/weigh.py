"""A weighing slip as the command line's dictionary: grams by bottle, water, cautions."""

from thermo.answers.drying_schedule import DryingSchedule, DryingStep
from thermo.answers.weighing import WATER_AH_G, WeighedAsDry, Weighing
from thermo.present.as_json.melt import composition_json, rounded
from thermo.records.provenance import cite
from thermo.records.units import celsius


def weigh_json(weighing: Weighing, slip: WeighedAsDry | None = None, schedule: DryingSchedule | None = None) -> dict:
    """The weigh-out as a dictionary; with a schedule also the steps of drying."""
    drying = {} if schedule is None else {"drying": [step_json(step) for step in schedule.steps]}
    return drying | {
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


def step_json(step: DryingStep) -> dict:
    """One step of drying: what, how hot, how long, with what, what leaves, until when."""
    return {
        "bottle": step.bottle,
        "step": step.step,
        "do": step.do,
        "T_C": rounded(celsius(step.T_K), 1),
        "hours": step.hours,
        "cover": step.cover,
        "bottle_g": rounded(step.grams, 4),
        "nh4cl_g": rounded(step.nh4cl_g, 4),
        "water_g": rounded(step.water_g, 4),
        "steam_25C_L": rounded(step.steam_L, 3),
        "HCl_25C_L": rounded(step.HCl_L, 3),
        "NH3_25C_L": rounded(step.NH3_L, 3),
        "until": step.until,
    }


def _slip_json(slip: WeighedAsDry) -> dict:
    return composition_json(slip.composition) | {
        "liquidus_C": rounded(celsius(slip.liquidus_T_K), 1),
        "intended_liquidus_C": rounded(celsius(slip.intended_liquidus_T_K), 1),
    }


def _grams(masses) -> dict[str, float]:
    """Grams unrounded: the balance of the JSON closes as that of the answer does."""
    return {name: float(mass) for name, mass in masses.items()}
