"""Steps 0 to 4: look everything over, dry, charge and melt, check the freezing start, take the last water out.

Water left after drying: 0.5 mass% of the bath, 2 mass% where a salt came as a hydrate or hydrolyses (common
practice, no source); its charge is 2 F a mole. The pre-electrolysis runs 0.3 V below the metal, at most 2 V.
Limits: hours of looking and weighing are common practice. Worked value: 400 g with 0.5 % of water takes 6.0 A h.
"""

from thermo.answers.cautions import WET
from thermo.answers.cautions import cautions as cautions_of
from thermo.answers.materials import MaterialVerdict, judge_materials
from thermo.answers.plan.setting import Setting
from thermo.answers.plan.step import COMPUTED, PRACTICE, PlanStep
from thermo.answers.run.losses import HELD_WATER, OVEN_DRY
from thermo.answers.weighing import WATER_AH_G
from thermo.laws.hydrolysis import hydrolysis_class
from thermo.laws.ventilation import limit_words
from thermo.records.composition import halide_at_the_anode
from thermo.records.units import celsius
from thermo.records.vessels import vessel_named

BELOW_METAL_V = 0.3
MOST_PRE_V = 2.0
PRE_SHARE = 0.1  # of the run's current
PREHEAT_C = 150.0
NODES = 20  # readings on the way down


def steps_before(setting: Setting) -> tuple[PlanStep, ...]:
    """The five steps before the metal is made."""
    return (
        _check(setting),
        _dry(setting),
        _melt(setting),
        _freezing(setting),
        _water(setting),
    )


def _pot_verdict(setting: Setting) -> MaterialVerdict | None:
    wish = setting.wish
    if wish.vessel is None:
        return None
    name = vessel_named(wish.vessel).name
    found = judge_materials(setting.melt, wish.symbol, setting.T_K, wish.atmosphere)
    return next((verdict for verdict in found if verdict.name == name), None)


def _check(setting: Setting) -> PlanStep:
    pot, cell = setting.pot, setting.cell
    verdict = _pot_verdict(setting)
    do = [
        f"pot: {pot.volume_mL:.0f} mL, the melt fills {100 * pot.fill:.0f} % of it and stands "
        f"{pot.depth_cm:.1f} cm deep" + ("" if pot.named else " (no pot was named: this is the one to take)")
    ]
    if verdict is not None:
        do.append(
            f"{verdict.name}: {verdict.verdict}" + (f" ({'; '.join(verdict.reasons)})" if verdict.reasons else "")
        )
    if cell.voltage is not None:
        need = cell.voltage.supply_V
        do.append(f"supply: {need.low:.1f} to {need.high:.1f} V at {setting.electrodes.amps:.2g} A, leads included")
    if cell.melting is not None and cell.melting.minutes is not None:
        quick, slow = cell.melting.minutes
        do.append(f"furnace: {cell.melting.J / 1000:.0f} kJ melt the charge, {quick:.0f} to {slow:.0f} min")
    if cell.heat is not None and cell.heat.lid_W is not None:
        low, high = cell.heat.lid_W
        do.append(f"to hold it under a lid {low:.0f} to {high:.0f} W, made by the current {cell.heat.made_W:.0f} W")
    do += [
        "hood running, gas led from the anode through an empty trap into the scrubber, no flame near",
        "class D powder, tongs, face shield, leather; a second person; no water in the room",
    ]
    figures = {
        "pot_mL": pot.volume_mL,
        "melt_mL": pot.melt_mL,
        "fill_percent": 100 * pot.fill,
        "depth_cm": pot.depth_cm,
        "supply_V": None if cell.voltage is None else cell.voltage.supply_V.mid,
        "melting_kJ": None if cell.melting is None else cell.melting.J / 1000,
        "hold_W": None if cell.heat is None or cell.heat.lid_W is None else cell.heat.lid_W[1],
    }
    until = "everything on the list is there, dry and warm"
    if_not = "do not light the furnace; what is missing is found cold"
    return PlanStep(0, "Look everything over", tuple(do), None, 0.5, figures, until, if_not, COMPUTED, cell.cautions)


def _dry(setting: Setting) -> PlanStep:
    drying, weighing = setting.drying, setting.weighing
    do = [f"weigh {grams:.2f} g {label}" for label, grams in weighing.weigh_g.items() if grams > 0]
    for step in drying.steps:
        dose = f" with {step.nh4cl_g:.1f} g NH4Cl" if step.nh4cl_g else ""
        gas = f", {step.steam_L:.1f} L of steam" if step.steam_L > 0.05 else ""
        gas += f", {step.HCl_L:.1f} L HCl and {step.NH3_L:.1f} L NH3" if step.HCl_L else ""
        do.append(
            f"{step.bottle}, {step.step}: {step.do}{dose}; {celsius(step.T_K):.0f} deg C, {step.hours:g} h, "
            f"{step.cover}; "
            f"until {step.until}{gas}"
        )
    do += [f"{label}: no usual way of drying it in the data; buy it dry" for label in drying.unknown]
    do.append("weigh again warm: what is dry weighs " + _dry_words(setting))
    figures: dict[str, float | str | None] = {f"weigh_{label}_g": g for label, g in weighing.weigh_g.items()}
    figures |= {f"dry_{formula}_g": g for formula, g in weighing.anhydrous_g.items()}
    for name in ("water_g", "nh4cl_g", "steam_L", "HCl_L", "NH3_L"):
        figures[name] = drying.total(name)
    until = "every dish has a constant weight within 0.1 %"
    if_not = (
        "go on at the last temperature; a crust that stays grey or will not dissolve is oxide: start "
        "again from new salt"
    )
    cautions = (
        *(line for line in setting.weighing.cautions if line not in cautions_of(setting.melt)),
        *_gas_limits(drying.total("HCl_L") > 0),
    )
    return PlanStep(
        1, "Dry the salts", tuple(do), _hottest(setting), drying.hours, figures, until, if_not, PRACTICE, cautions
    )


def _dry_words(setting: Setting) -> str:
    return ", ".join(f"{g:.2f} g {formula}" for formula, g in setting.weighing.anhydrous_g.items())


def _gas_limits(fumes: bool) -> tuple[str, ...]:
    return tuple(limit_words(name) for name in ("HCl", "NH3", "NH4Cl")) if fumes else ()


def _hottest(setting: Setting) -> float | None:
    return max((step.T_K for step in setting.drying.steps), default=None)


def _melt(setting: Setting) -> PlanStep:
    melt, cell = setting.melt, setting.cell
    share = dict(zip(melt.salts, setting.weighing.anhydrous_g.values(), strict=True))
    order = sorted(
        share, key=lambda formula: (hydrolysis_class(formula) in ("hydrolyses", "hot only"), -share[formula])
    )
    minutes = None if cell.melting is None else cell.melting.minutes
    hours = 1.0 if minutes is None else minutes[1] / 60 + 0.25
    do = [
        f"preheat pot, lid and tools above {PREHEAT_C:.0f} deg C",
        f"fill in the order {', '.join(order)}: what water spoils goes in last, hot from the oven, under "
        + ("argon" if setting.wish.atmosphere == "inert" else "a lid"),
        f"heat to {celsius(setting.T_K):.0f} deg C; it takes {cell.melting.J / 1000:.0f} kJ"
        if cell.melting
        else "heat",
        "top up by small warm portions as the heap sinks",
    ]
    figures: dict[str, float | str | None] = {f"charge_{formula}_g": g for formula, g in share.items()}
    figures |= {
        "total_g": setting.weighing.total_g,
        "melting_kJ": None if cell.melting is None else cell.melting.J / 1000,
    }
    if minutes is not None:
        figures |= {"quick_minutes": minutes[0], "slow_minutes": minutes[1]}
    until = "the melt is clear to the floor of the pot and lies still: no froth, no grains"
    if_not = (
        "froth is water: hold it just above freezing until it stops; a cloudy melt holds oxide: let it settle, decant"
    )
    return PlanStep(2, "Charge and melt", tuple(do), setting.T_K, hours, figures, until, if_not, COMPUTED, (WET,))


def _freezing(setting: Setting) -> PlanStep:
    start = setting.freezing
    start_C, spread = celsius(start.T_K), max(2 * start.sigma_K, 10.0)
    do = [
        f"lower the furnace past {start_C + spread:.0f} deg C, one reading every half minute, thermocouple in the melt",
        f"the first arrest is expected at {start_C:.0f} +- {start.sigma_K:.0f} deg C ({start.first_solid} first)",
        f"stop at {start_C - spread:.0f} deg C at the latest and heat again",
    ]
    figures = {"freezing_C": start_C, "sigma_K": start.sigma_K, "first_solid": start.first_solid}
    until = "an arrest is read within two standard deviations of it"
    if_not = (
        "hand the reading to `cooling`: it names salts or water that would explain it; correct before "
        "the current goes on"
    )
    return PlanStep(3, "Check the freezing start", tuple(do), start.T_K, 0.5, figures, until, if_not, COMPUTED)


def _water(setting: Setting) -> PlanStep:
    wish, total = setting.wish, setting.weighing.total_g
    wet = bool(wish.bottles) or any(hydrolysis_class(f) == "hydrolyses" for f in setting.melt.salts)
    share = HELD_WATER if wet else OVEN_DRY
    charge = share * total * WATER_AH_G
    amps = max(PRE_SHARE * setting.electrodes.amps, 0.05)
    volts = min(setting.cell.kind.E_V - BELOW_METAL_V, MOST_PRE_V)
    do = [
        f"graphite anode and a spare steel or tungsten rod, {volts:.1f} V at the terminals: below the metal "
        f"({setting.cell.kind.E_V:.2f} V)",
        f"the current starts near {amps:.2g} A and falls; {100 * share:.1g} % of water would take {charge:.2g} A h",
        "take the spare rod out with what grew on it (iron, zinc, carbon) and do not use it again",
    ]
    figures = {"volts_V": volts, "amps_A": amps, "charge_Ah": charge, "water_g": share * total}
    until = "the current no longer falls: a few mA a cm2"
    if_not = "hours without a fall: the salts were not dry; lead dry argon through the melt, or dry a new charge"
    gas = "chlorine" if halide_at_the_anode(setting.melt) == "Cl" else "hydrogen fluoride or carbon oxides"
    cautions = (f"Hydrogen leaves at the cathode and {gas} at the anode: keep them apart, no flame, no bright light.",)
    hours = min(charge / amps, 6.0)
    T_K = setting.T_K
    return PlanStep(
        4, "Take the last water out by current", tuple(do), T_K, hours, figures, until, if_not, COMPUTED, cautions
    )
