"""Steps 9 to 11: harvest, weigh and review, neutralise and store.

What a metal survives is data/harvest.csv. Bath left over keeps its salt; wash water of barium and fluoride is waste.
Limits: common practice; the figures to compare with are those of the run. Worked value: magnesium stands a brief rinse
in cold water, lithium none.
"""

from thermo.answers.cautions import CLOSING, fire_line
from thermo.answers.plan.poles_step import pool_g
from thermo.answers.plan.setting import Setting
from thermo.answers.plan.step import COMPUTED, PRACTICE, PlanStep
from thermo.records.practice_steps import harvest_of
from thermo.records.substances import metal, salt


def steps_after(setting: Setting) -> tuple[PlanStep, ...]:
    """The three steps after the metal is out."""
    return (_harvest(setting), _review(setting), _store(setting))


def _harvest(setting: Setting) -> PlanStep:
    symbol = setting.wish.symbol
    way, name = harvest_of(symbol), metal(symbol).name
    host = setting.cell.kind.host
    do = [
        f"does {name} stand water: {way.water}; dilute acid: {way.acid}; alcohol: {way.alcohol}",
        way.wash,
        f"remelt: {way.remelt.removeprefix('remelt ')}; cover: {way.flux}",
    ]
    if host is not None:
        do = [
            f"the metal is in the {host.name}: distil it off, refine it on, or use the alloy as it is",
            f"chip the salt off cold; with much {name} in it the alloy stands no more than {name} itself (water: "
            f"{way.water})",
        ]
    until = "the metal is bright where it is cut and no salt sweats out after a day in its store"
    if_not = "salt sweats out: remelt it once more"
    cautions = (
        f"Never: {way.never}.",
        "Frozen salt that holds metal gives hydrogen and heat when washed: small pieces, hood, no flame.",
        fire_line(symbol),
    )
    figures = {"water": way.water, "acid": way.acid, "alcohol": way.alcohol}
    return PlanStep(9, "Harvest, wash, remelt", tuple(do), None, 1.0, figures, until, if_not, PRACTICE, cautions)


def _review(setting: Setting) -> PlanStep:
    low, high = setting.efficiency
    most, pool = setting.cell.metal_g_max, pool_g(setting)
    less = f" and take off the {pool:.0f} g of the first pool" if pool else ""
    do = (
        f"weigh the metal{less}: {_span(low * most, high * most)} g are planned, {most:.3g} g is the most",
        "the plan has the efficiency of practised hands in print; a first run often gives half",
        "give weight, ampere hours, temperature and what was seen to the review (`review`): it sets what was "
        "planned beside what was read and names causes",
        "write down what the bath weighs: it is the next charge",
    )
    figures = {
        "planned_low_g": low * most,
        "planned_high_g": high * most,
        "most_g": most,
        "charge_Ah": setting.charge_Ah,
    }
    until = "every gram and every ampere hour is written down"
    if_not = "less than planned: look on the floor, on the wall and in the frozen bath before the next run"
    return PlanStep(10, "Weigh and review", do, None, 0.5, figures, until, if_not, COMPUTED)


def _span(low: float, high: float) -> str:
    """'25 to 27.8', or one figure where both print alike."""
    return f"{low:.3g}" if f"{low:.3g}" == f"{high:.3g}" else f"{low:.3g} to {high:.3g}"


def _store(setting: Setting) -> PlanStep:
    symbol, melt = setting.wish.symbol, setting.melt
    way = harvest_of(symbol)
    do = [
        f"{metal(symbol).name}: {way.store}",
        "bath: broken up while warm into a dry tin that closes tight, with its mix and date on it",
    ]
    if setting.cell.halogen.NaOH_g > 0 and setting.cell.halogen.formula == "Cl2":
        do.append(
            "scrubber: it holds bleach now; thiosulphate until it no longer smells makes it harmless; never acid or "
            "ammonia to it"
        )
    if any(salt(f).anion == "F" for f in melt.salts):
        do.append("fluoride residues: lime water binds them; gluconate gel stays at hand until all is washed up")
    if any(salt(f).cation == "Ba" for f in melt.salts):
        do.append("barium residues: sodium sulphate (0.58 g a gram of BaCl2.2H2O) makes them harmless; separate waste")
    if metal(symbol).valence == 1:
        do.append(
            "tools: crumbs of metal on them react in dry isopropanol outdoors, one small piece at a time; no water"
        )
    else:
        do.append("tools: crumbs of metal on them react in a bucket of water outdoors, one small piece at a time")
    until = "nothing smells of chlorine, nothing is warm, everything has a label"
    if_not = "keep the hood running and watch; a tin that warms up is opened outdoors"
    return PlanStep(11, "Neutralise and store", tuple(do), None, 0.5, {}, until, if_not, PRACTICE, (CLOSING,))
