"""Step 1: weigh and dry the salts, those for the feed with those for the charge.

Each dish has its weight after each step, so that the balance says when it is dry. Gas as litres at 25 deg C.
Oxides that are fed are ignited: rare-earth oxides and lime take up water and carbon dioxide in store (common practice,
no source).
Limits: those of the schedule (drying_schedule). Worked value: 448 g of carnallite weigh 332 g as the dihydrate.
"""

from thermo.answers.cautions import cautions as cautions_of
from thermo.answers.drying_schedule import DryingStep
from thermo.answers.plan.setting import Setting
from thermo.answers.plan.step import PRACTICE, PlanStep
from thermo.laws.ventilation import limit_words
from thermo.records.units import celsius

IGNITE_C = {"Al2O3": 500, "MgO": 800, "Li2O": 500}  # common practice, no source
IGNITE_REST_C = 900  # rare-earth oxides, lime: common practice, no source


def dry(setting: Setting) -> PlanStep:
    """The step."""
    drying, weighing, feed = setting.drying, setting.weighing, setting.feed
    do = [_weigh_words(setting, label, grams) for label, grams in weighing.weigh_g.items() if grams > 0]
    do += _oxide_words(setting)
    do.append("give each bottle a dish of its own: they dry side by side")
    do += [_step_words(step) for step in drying.steps]
    do += [f"{label}: no usual way of drying it in the data; buy it dry" for label in drying.unknown]
    dry_words = ", ".join(f"{grams:.2f} g {formula}" for formula, grams in weighing.anhydrous_g.items())
    do.append(f"weigh again warm; the charge then holds {dry_words}")
    figures: dict[str, float | str | None] = {f"weigh_{label}_g": g for label, g in weighing.weigh_g.items()}
    figures |= {f"dry_{formula}_g": g for formula, g in weighing.anhydrous_g.items()}
    for name in ("water_g", "nh4cl_g", "steam_L", "HCl_L", "NH3_L"):
        figures[name] = drying.total(name)
    figures |= {"feed_bottle_g": feed.bottle_g, "start_oxide_g": feed.start_g}
    until = "every dish has a constant weight within 0.1 %"
    if_not = "go on at the last temperature; a crust that stays grey is oxide: start again from new salt"
    cautions = (
        *(line for line in weighing.cautions if line not in cautions_of(setting.melt)),
        *_gas_limits(drying.total("HCl_L") > 0),
    )
    hot = max((step.T_K for step in drying.steps), default=None)
    return PlanStep(1, "Dry the salts", tuple(do), hot, drying.hours, figures, until, if_not, PRACTICE, cautions)


def _weigh_words(setting: Setting, label: str, grams: float) -> str:
    feed = setting.feed
    if label == feed.bottle:
        return (
            f"weigh {grams + feed.bottle_g:.2f} g {label}: {grams:.2f} g for the charge and {feed.bottle_g:.2f} g "
            "for the feed, which is dried with it and kept hot in a closed jar"
        )
    return f"weigh {grams:.2f} g {label}"


def _oxide_words(setting: Setting) -> list[str]:
    feed = setting.feed
    if not feed.is_oxide:
        return []
    hot = IGNITE_C.get(feed.substance, IGNITE_REST_C)
    takes = "water" if feed.substance in ("Al2O3", "MgO") else "water and carbon dioxide"
    start = f": {feed.start_g:.1f} g go in with the charge, {feed.g:.1f} g are the feed" if feed.start_g else ""
    return [
        f"weigh {feed.start_g + feed.g:.2f} g {feed.substance}{start}; ignite it 2 h at {hot} deg C (it takes up "
        f"{takes} in store) and keep it hot in a closed jar"
    ]


def _step_words(step: DryingStep) -> str:
    """One step of a dish: what, where, how long, until when, what leaves and what stays."""
    dose = f" with {step.nh4cl_g:.1f} g NH4Cl" if step.nh4cl_g else ""
    words = (
        f"{step.bottle}, {step.step}: {step.do}{dose}; {celsius(step.T_K):.0f} deg C, {step.hours:g} h, "
        f"{step.cover}; until {step.until}"
    )
    if step.water_g > 0.05:
        words += f"; {step.water_g:.1f} g of water leave ({step.steam_L:.0f} L counted as gas)"
    if step.HCl_L:
        words += f"; {step.HCl_L:.1f} L HCl and {step.NH3_L:.1f} L NH3 leave as white fume"
    if step.stays_g is not None:
        words += f"; {step.stays_g:.1f} g stay"
    return words


def _gas_limits(fumes: bool) -> tuple[str, ...]:
    """Exposure limits of what the drying gives off."""
    return tuple(limit_words(name) for name in ("HCl", "NH3", "NH4Cl")) if fumes else ()
