"""Steps 2 to 4: charge and melt, check the freezing start, take the last water out by current.

Water that may be left: 0.5 mass% of the bath, 2 mass% where a salt came as a hydrate or hydrolyses (common practice, no
source); its charge is 2 F a mole. Current takes out a little, not that much: the step ends after LONGEST_H at most, and
what is left then means salts that were not dry. It runs 0.3 V below the metal, at most 2 V, with a tenth of the run's
current or 1 mA a gram of bath. In a bath that is fed oxide water has become oxide before: only iron and the like are
plated out.
Limits: hours are common practice. Worked value: 400 g with 0.5 % of water takes 6.0 A h.
"""

from thermo.answers.cautions import WET
from thermo.answers.drying_schedule import dried_g
from thermo.answers.plan.poles_step import pool_g
from thermo.answers.plan.setting import Setting
from thermo.answers.plan.step import COMPUTED, PlanStep
from thermo.answers.run.losses import HELD_WATER, OVEN_DRY
from thermo.answers.weighing import WATER_AH_G
from thermo.laws.hydrolysis import hydrolysis_class
from thermo.records.composition import halide_at_the_anode
from thermo.records.hydrates import hydrates
from thermo.records.units import celsius

BELOW_METAL_V = 0.3
MOST_PRE_V = 2.0
PRE_SHARE = 0.1  # of the run's current
PRE_A_PER_G = 1e-3  # of bath: a small run in much bath dries it as fast
LEAST_PRE_A = 0.05
LONGEST_H, PLATING_H = 6.0, 1.0
PREHEAT_C = 150.0
POT_H = 0.25  # until the heap has sunk and the melt is clear, beside the heat for it


def steps_before(setting: Setting) -> tuple[PlanStep, ...]:
    """The three steps from the dry salts to the clean bath."""
    return (_melt(setting), _freezing(setting), _water(setting))


def _filling(setting: Setting) -> list[str]:
    """Dried bottles in the order in which they go in, those that water spoils last."""
    dried = dried_g(setting.weighing, setting.wish.bottles)

    def spoils(label: str) -> bool:
        salts = hydrates()[label].salts if label in hydrates() else (label,)
        return any(hydrolysis_class(formula) in ("hydrolyses", "hot only") for formula in salts)

    order = sorted(dried, key=lambda label: (spoils(label), -dried[label]))
    named = {label: f"dried {label}" if label in hydrates() else label for label in order}
    words = [f"{dried[label]:.1f} g {named[label]}" for label in order]
    oxide, pool = setting.feed.start_g, pool_g(setting)
    first = [f"{pool:.0f} g of the pool's metal on the floor"] if pool else []
    first += [f"{oxide:.1f} g {setting.feed.substance}"] if oxide else []
    return [*first, *words]


def _melt(setting: Setting) -> PlanStep:
    cell = setting.cell
    minutes = None if cell.melting is None else cell.melting.minutes
    hours = 1.0 if minutes is None else minutes[1] / 60 + POT_H
    kJ = "" if cell.melting is None else f"; the salts take {cell.melting.J / 1000:.0f} kJ, the pot its own on top"
    do = [
        f"preheat pot, lid and tools above {PREHEAT_C:.0f} deg C",
        f"fill in this order: {', '.join(_filling(setting))}; what water spoils goes in last, hot from the oven, under "
        + ("argon" if setting.wish.atmosphere == "inert" else "a lid"),
        f"heat to {celsius(setting.T_K):.0f} deg C{kJ}",
        "top up by small warm portions as the heap sinks; never press cold salt under the melt",
    ]
    figures: dict[str, float | str | None] = {
        f"charge_{formula}_g": g for formula, g in setting.weighing.anhydrous_g.items()
    }
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
        f"thermocouple in the melt; let it cool past {start_C + spread:.0f} deg C, one reading every half minute",
        f"the readings stand still or bend (the arrest) near {start_C:.0f} +- {start.sigma_K:.0f} deg C, where "
        f"{start.first_solid} freezes first",
        f"stop at {start_C - spread:.0f} deg C at the latest and heat again to {celsius(setting.T_K):.0f} deg C",
    ]
    figures = {"freezing_C": start_C, "sigma_K": start.sigma_K, "first_solid": start.first_solid}
    until = f"the arrest is read between {start_C - spread:.0f} and {start_C + spread:.0f} deg C"
    if_not = (
        "give the reading to the check of the cooling curve (`cooling`): it names the slips in weighing and the "
        "water that would explain it; correct the charge before the current goes on"
    )
    return PlanStep(3, "Check the freezing start", tuple(do), start.T_K, 0.5, figures, until, if_not, COMPUTED)


def _water(setting: Setting) -> PlanStep:
    full = setting.electrodes.amps
    amps = max(PRE_SHARE * full, min(PRE_A_PER_G * setting.weighing.total_g, full), LEAST_PRE_A)
    volts = min(setting.cell.kind.E_V - BELOW_METAL_V, MOST_PRE_V)
    if setting.feed.is_oxide:
        return _plating(setting, volts, amps)
    total, wish = setting.weighing.total_g, setting.wish
    wet = bool(wish.bottles) or any(hydrolysis_class(f) == "hydrolyses" for f in setting.melt.salts)
    share = HELD_WATER if wet else OVEN_DRY
    charge = share * total * WATER_AH_G
    hours = min(charge / amps, LONGEST_H)
    takes = 100 * hours * amps / WATER_AH_G / total
    do = [
        "hang in the graphite anode and a spare steel rod (graphite plus, steel minus); set the supply to "
        f"{volts:.1f} V and leave it there: below the {setting.cell.kind.E_V:.2f} V of the metal",
        f"the current starts near {amps:.2g} A (is it more, lower the volts) and falls; {hours:.1f} h of {amps:.2g} "
        f"A are {hours * amps:.2g} A h, enough for {takes:.2g} % of water in the bath; such salts may keep "
        f"{100 * share:.1g} % ({charge:.2g} A h)",
        "take the spare rod out with what grew on it (iron, zinc, carbon) and do not use it again",
    ]
    figures = {"volts_V": volts, "amps_A": amps, "charge_Ah": charge, "water_g": share * total}
    until = "the current stays low and no longer falls: about 10 mA a cm2 of rod"
    if_not = f"after {hours:.0f} h it has not fallen: the salts were not dry; pour out, dry a new charge"
    gas = "chlorine" if halide_at_the_anode(setting.melt) == "Cl" else "hydrogen fluoride"
    cautions = (f"Hydrogen leaves at the cathode and {gas} at the anode: keep them apart, no flame, no bright light.",)
    return PlanStep(4, "Take the last water out by current", tuple(do), setting.T_K, hours, figures, until, if_not,
                    COMPUTED, cautions)  # fmt: skip


def _plating(setting: Setting, volts: float, amps: float) -> PlanStep:
    """The same where oxide is fed: water is oxide by now, iron and silicon come out."""
    do = (
        "what water the salts held has become oxide and hydrogen fluoride while they melted; the oxide is fed "
        "anyway, so there is no water left to take out",
        f"hang in the graphite anode and a spare steel rod (graphite plus, steel minus); {volts:.1f} V for an hour, "
        f"below the {setting.cell.kind.E_V:.2f} V of the metal: iron and silicon grow on the rod",
        "take the spare rod out and do not use it again",
    )
    figures = {"volts_V": volts, "amps_A": amps, "charge_Ah": amps * PLATING_H, "water_g": 0.0}
    until = "the current stays low and no longer falls"
    if_not = "it does not fall: a short, or impure salts; look, then give it another hour"
    cautions = ("Hydrogen fluoride and carbon monoxide may leave: gas led away, gluconate gel at hand.",)
    return PlanStep(4, "Take the last water out by current", do, setting.T_K, PLATING_H, figures, until, if_not,
                    COMPUTED, cautions)  # fmt: skip
