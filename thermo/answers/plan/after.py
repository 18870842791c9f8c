"""Steps 9 to 11: harvest, weigh and review, neutralise and store.

What a metal survives is data/harvest.csv. Bath left over keeps its salt; wash water of barium and fluoride is waste.
Limits: common practice; the figures to compare with are those of the run. Worked value: magnesium stands a brief rinse
in cold water, lithium none.
"""

from thermo.answers.cautions import CLOSING, fire_line
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
        f"{name} stands water: {way.water}; dilute acid: {way.acid}; alcohol: {way.alcohol}",
        way.wash,
        f"remelt: {way.remelt} (flux: {way.flux})",
    ]
    if host is not None:
        do.insert(0, f"the metal is in the {host.name}: distil it off, refine it on, or use the alloy as it is")
    until = "the metal is bright where it is cut and no salt sweats out after a day in its store"
    if_not = "salt sweats out: remelt under flux and press"
    cautions = (
        f"Never: {way.never}.",
        "Frozen salt that holds metal gives hydrogen and heat when washed: small pieces, hood, no flame.",
        fire_line(symbol),
    )
    figures = {"water": way.water, "acid": way.acid, "alcohol": way.alcohol}
    return PlanStep(9, "Harvest, wash, remelt", tuple(do), None, 1.0, figures, until, if_not, PRACTICE, cautions)


def _review(setting: Setting) -> PlanStep:
    low, high = setting.efficiency
    most = setting.cell.metal_g_max
    do = (
        f"weigh the metal: {low * most:.3g} to {high * most:.3g} g are planned, {most:.3g} g is the most",
        "hand weight, ampere hours, temperature and what was seen to `review`: planned beside read, cause by cause",
        "write down what the bath weighs: it is the next charge",
    )
    figures = {
        "planned_low_g": low * most,
        "planned_high_g": high * most,
        "most_g": most,
        "charge_Ah": setting.charge_Ah,
    }
    until = "every gram and ampere hour has a line"
    if_not = "less than planned: look on the floor, on the wall and in the frozen bath before the next run"
    return PlanStep(10, "Weigh and review", do, None, 0.5, figures, until, if_not, COMPUTED)


def _store(setting: Setting) -> PlanStep:
    symbol, melt = setting.wish.symbol, setting.melt
    way = harvest_of(symbol)
    do = [
        f"{metal(symbol).name}: {way.store}",
        "bath: broken warm into a closed dry tin, labelled with its mix and date",
    ]
    if setting.cell.halogen.NaOH_g > 0 and setting.cell.halogen.formula == "Cl2":
        do.append(
            "scrubber: bleach; reduce it with thiosulphate or let it age in the hood; never acid, never ammonia to it"
        )
    if any(salt(f).anion == "F" for f in melt.salts):
        do.append("fluoride residues: lime water binds them; gluconate gel stays at hand until all is washed up")
    if any(salt(f).cation == "Ba" for f in melt.salts):
        do.append("barium residues: sodium sulphate (0.58 g a gram of BaCl2.2H2O) makes them harmless; separate waste")
    do.append("tools: small pieces of metal on them react in a bucket outdoors, one at a time")
    until = "nothing smells of chlorine, nothing is warm, everything has a label"
    if_not = "keep the hood running and watch; a tin that warms up is opened outdoors"
    return PlanStep(11, "Neutralise and store", tuple(do), None, 0.5, {}, until, if_not, PRACTICE, (CLOSING,))
