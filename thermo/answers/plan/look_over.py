"""Step 0: look everything over before anything is lit: pot, supply, furnace, what holds it hot, scrubber, help.

Radiation of the melt's surface is what the bath itself loses; what the furnace loses through its wall comes on top and
is not known here. Limits: hours of looking are common practice. Worked value: 91 g of NaOH are needed, half as much
again is taken, as 10 % lye.
"""

from thermo.answers.materials import MaterialVerdict, judge_materials
from thermo.answers.plan.setting import Setting
from thermo.answers.plan.step import COMPUTED, PlanStep
from thermo.records.vessels import vessel_named

LYE_SPARE, LYE_SHARE = 1.5, 0.10


def look_over(setting: Setting, through_h: float) -> PlanStep:
    """The step; through_h: hours of the steps that run without a break."""
    pot, cell = setting.pot, setting.cell
    do = [
        f"pot: {pot.volume_mL:.0f} mL, the melt fills {100 * pot.fill:.0f} % of it and stands "
        f"{pot.depth_cm:.1f} cm deep" + ("" if pot.named else " (no pot was named: this is the one to take)"),
        *_pot_words(setting),
        *_heat_words(setting),
        _gas_words(setting),
        "powder that puts out this metal, dry tongs, face shield, leather; a second person; no water near the melt",
        f"steps 2 to 8 run without a break, {through_h:.0f} h: start in the morning; step 1 may be done days before "
        "if the salts stay hot or sealed",
    ]
    lid = None if cell.heat is None else cell.heat.lid_W
    figures = {
        "pot_mL": pot.volume_mL,
        "melt_mL": pot.melt_mL,
        "fill_percent": 100 * pot.fill,
        "depth_cm": pot.depth_cm,
        "supply_V": None if cell.voltage is None else cell.voltage.supply_V.mid,
        "melting_kJ": None if cell.melting is None else cell.melting.J / 1000,
        "hold_W": None if lid is None else lid[1],
        "through_hours": through_h,
    }
    until = "everything on the list is there, dry and warm"
    if_not = "do not light the furnace; what is missing is found cold"
    return PlanStep(0, "Look everything over", tuple(do), None, 0.5, figures, until, if_not, COMPUTED, cell.cautions)


def _pot_verdict(setting: Setting) -> MaterialVerdict | None:
    wish = setting.wish
    if wish.vessel is None:
        return None
    name = vessel_named(wish.vessel).name
    found = judge_materials(setting.melt, wish.symbol, setting.T_K, wish.atmosphere)
    return next((verdict for verdict in found if verdict.name == name), None)


def _pot_words(setting: Setting) -> list[str]:
    verdict = _pot_verdict(setting)
    if verdict is None:
        return []
    return [f"{verdict.name}: {verdict.verdict}" + (f" ({'; '.join(verdict.reasons)})" if verdict.reasons else "")]


def _heat_words(setting: Setting) -> list[str]:
    cell, found = setting.cell, []
    if cell.voltage is not None:
        need = cell.voltage.supply_V
        found.append(f"supply: {need.low:.1f} to {need.high:.1f} V at {setting.electrodes.amps:.2g} A, leads included")
    if cell.melting is not None and cell.melting.minutes is not None:
        quick, slow = cell.melting.minutes
        found.append(
            f"furnace: the charge takes {cell.melting.J / 1000:.0f} kJ to melt, {quick:.0f} to {slow:.0f} min at "
            f"{setting.wish.furnace_W:.0f} W; the pot and the lining take theirs on top"
        )
    if cell.heat is not None and cell.heat.lid_W is not None:
        low, high = cell.heat.lid_W
        found.append(
            f"to hold it hot: the melt's surface loses {low:.0f} to {high:.0f} W under a lid and the feed takes "
            f"{cell.heat.feed_W:.0f} W, beside what the furnace loses; the current makes {cell.heat.made_W:.0f} W of "
            "heat"
        )
    return found


def _gas_words(setting: Setting) -> str:
    gas = setting.cell.halogen
    if setting.feed.is_oxide:
        return (
            "hood running, the anode's gas led outdoors (carbon monoxide), an alarm for it in the room; no flame near"
        )
    lye = LYE_SPARE * gas.NaOH_g
    return (
        f"hood running, gas led from the anode through an empty trap into a scrubber with {lye:.0f} g NaOH in "
        f"{lye / LYE_SHARE / 1000 - lye / 1000:.1f} L of water; no flame near"
    )
