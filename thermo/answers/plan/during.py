"""Steps 5 to 8: set the electrodes, run, hold and coalesce, take out.

Feed portions: every quarter of an hour or, where that is less than a twentieth of a gram, every hour (common
practice, no source). Hold: until drops of 0.3 mm have crossed the bath, between 0.25 and 1 h.
Limits: no computed step says how well drops join. Worked value: 1.78 g MgCl2 an ampere hour at 10 A: 4.4 g each 15 min.
"""

from thermo.answers.plan.electrodes import Electrodes
from thermo.answers.plan.setting import Setting
from thermo.answers.plan.step import COMPUTED, PRACTICE, PlanStep
from thermo.laws.ventilation import capture_note
from thermo.records.hydrates import hydrate_named
from thermo.records.practice_steps import harvest_of
from thermo.records.substances import metal
from thermo.records.units import celsius

FEED_MIN = 15.0
LEAST_PORTION_G = 0.05
WHERE = {
    "top": "the metal rises and collects on top: a dry inverted cup or bell of {cup} round the cathode keeps "
    "chlorine and "
    "air off it; skim inside the bell",
    "bottom": "the metal sinks and collects at the bottom: a dry cup of {cup} under the cathode, anode above and aside",
    "either": "whether the metal floats or sinks is too close to call: a bell above and a cup below, and look in both",
    "rod": "the metal stays on the rod: hang it so that it can be lifted out without touching the pot",
}
CUPS = {"Mg": "mild steel or magnesia", "Li": "mild steel", "Ca": "mild steel", "Na": "mild steel", "Al": "graphite"}


def steps_during(setting: Setting) -> tuple[PlanStep, ...]:
    """The four steps in which the metal is made and taken out."""
    return (_electrodes(setting), _run(setting), _hold(setting), _take_out(setting))


def _rod(poles: Electrodes, setting: Setting) -> str:
    kind = setting.cell.kind
    if kind.cathode == "pool":
        name = metal(setting.wish.symbol).name if kind.host is None else kind.host.name
        return (
            f"cathode: a pool of {name} on the floor, {poles.geometry.cathode_cm2:.1f} cm2 or more, lead "
            f"sleeved through"
        )
    if kind.cathode == "contact":
        return f"cathode: a rod that just touches the melt, {poles.cathode_cm:.1f} cm thick, lifted as the stick grows"
    return (
        f"cathode: {_cathode_material(setting)} rod, {poles.cathode_cm:.1f} cm thick, "
        f"{poles.cathode_deep_cm:.1f} cm deep "
        f"({poles.geometry.cathode_cm2:.1f} cm2, {poles.cathode_A_cm2:.2g} A/cm2)"
    )


def _cathode_material(setting: Setting) -> str:
    return {"La": "tungsten", "Ce": "tungsten", "Nd": "tungsten", "Ca": "tungsten or mild steel", "Zn": "graphite",
            "Al": "graphite", "Pb": "graphite"}.get(setting.wish.symbol, "mild steel")  # fmt: skip


def _electrodes(setting: Setting) -> PlanStep:
    poles, symbol = setting.electrodes, setting.wish.symbol
    cup = CUPS.get(symbol, "molybdenum or tantalum")
    inert = "an inert anode that stands oxygen" if setting.wish.anode == "inert" else "graphite"
    do = [
        f"plus pole: {inert}, {poles.anode_cm:.1f} cm thick, {poles.anode_deep_cm:.1f} cm deep "
        f"({poles.geometry.anode_area_cm2:.1f} cm2, {poles.anode_A_cm2:.2g} A/cm2), in a sleeve that leads "
        f"its gas away",
        f"minus pole: {_rod(poles, setting)}",
        f"gap {poles.geometry.gap_cm:.1f} cm; the pot itself on neither pole",
        WHERE[setting.collects].format(cup=cup),
        "lower them warm and slowly; read the voltage of rest, then the meter's sign: the anode is the graphite",
    ]
    figures: dict[str, float | str | None] = {
        "cathode_cm2": poles.geometry.cathode_cm2,
        "anode_cm2": poles.geometry.anode_area_cm2,
        "cathode_A_cm2": poles.cathode_A_cm2,
        "anode_A_cm2": poles.anode_A_cm2,
        "cathode_diameter_cm": poles.cathode_cm,
        "anode_diameter_cm": poles.anode_cm,
        "cathode_deep_cm": poles.cathode_deep_cm,
        "anode_deep_cm": poles.anode_deep_cm,
        "gap_cm": poles.geometry.gap_cm,
        "collects": setting.collects,
    }
    until = "no short between them, no froth, gas only from the anode"
    if_not = "sparks or a jump of the voltage: anode effect, halve the current, wipe the anode; a short: raise and look"
    return PlanStep(5, "Set the electrodes", tuple(do), setting.T_K, 0.25, figures, until, if_not, COMPUTED)


def _feed_words(setting: Setting) -> tuple[list[str], float, float]:
    """Lines on the feed, grams a portion, minutes between them; nothing fed: 0 and 0."""
    if not setting.feed_g:
        freezes = setting.cell.drift.freezes if setting.cell.drift else None
        end = "" if freezes is None else f"; without feed it would freeze after {freezes.charge_Ah:.0f} A h"
        return [f"no feed is needed in this run{end}"], 0.0, 0.0
    per_hour = setting.feed_g / setting.hours
    minutes = FEED_MIN if per_hour * FEED_MIN / 60 >= LEAST_PORTION_G else 60.0
    portion = per_hour * minutes / 60
    return (
        [
            f"feed {portion:.2g} g of dry warm {setting.feed_salt} every {minutes:.0f} min, "
            f"{setting.feed_g:.3g} g in all"
            f"{_feed_bottle(setting)}"
        ],
        portion,
        minutes,
    )


def _feed_bottle(setting: Setting) -> str:
    """What the feed is weighed from: its bottle, dried as the charge; other salts it brings are named."""
    label = setting.wish.bottles.get(setting.feed_salt)
    if label is None:
        return " (weighed dry beside the charge)"
    bottle = hydrate_named(label, setting.feed_salt)
    grams = setting.feed_g * bottle.grams_per_gram
    others = [formula for formula in bottle.salts if formula != setting.feed_salt]
    brings = f"; it brings {', '.join(others)} too, so the bath grows" if others else ""
    return f" (from {grams:.3g} g {bottle.label} more, dried as the charge{brings})"


def _run(setting: Setting) -> PlanStep:
    cell, poles = setting.cell, setting.electrodes
    low, high = setting.efficiency
    lines, portion, minutes = _feed_words(setting)
    held = f", held down by {poles.limited_by}" if poles.limited_by else ""
    do = [f"{poles.amps:.3g} A for {setting.hours:.2g} h ({setting.charge_Ah:.3g} A h){held}"]
    if cell.voltage is not None:
        total = cell.voltage.total_V
        do.append(
            f"at the terminals about {total.mid:.1f} V ({total.low:.1f} to {total.high:.1f}); start at half and climb"
        )
    do += lines
    do += _gas_lines(setting)
    do.append("every quarter of an hour write: time, deg C, A, V, A h, what is seen; never leave it")
    figures: dict[str, float | str | None] = {
        "amps_A": poles.amps,
        "run_hours": setting.hours,
        "charge_Ah": setting.charge_Ah,
        "efficiency_low": low,
        "efficiency_high": high,
        "metal_low_g": cell.metal_g_max * low,
        "metal_high_g": cell.metal_g_max * high,
        "terminal_V": None if cell.voltage is None else cell.voltage.total_V.mid,
        "feed_g": setting.feed_g,
        "feed_portion_g": portion,
        "feed_minutes": minutes,
        **_gas_figures(setting),
    }
    limiting = cell.kind.limiting
    if limiting is not None:
        figures |= {"limiting_low_A_cm2": limiting.low_A_cm2, "limiting_high_A_cm2": limiting.high_A_cm2}
    until = f"{setting.charge_Ah:.3g} A h have passed: stop on ampere hours, not on the clock"
    if_not = (
        "voltage climbs: salt runs short or the bath freezes, feed or heat; voltage falls: metal shorts the "
        "gap; burning on "
        "top: flux over it, current off, powder at hand; no chlorine: water or a short"
    )
    note = capture_note(cell.air_m3_min)
    cautions = tuple(line for line in (*cell.cautions[:1], note) if line)
    return PlanStep(6, "Run", tuple(do), setting.T_K, setting.hours, figures, until, if_not, COMPUTED, cautions)


def _gas_lines(setting: Setting) -> list[str]:
    cell, feed = setting.cell, setting.cell.kind.feed
    if feed is not None:
        gases = " or ".join(f"{feed.litres(r):.3g} L {r.gas}" for r in feed.reactions)
        return [
            f"the anode gives {gases} (25 deg C): lead it outdoors; {feed.carbon_g[1]:.2g} g of carbon burn at most"
        ]
    gas = cell.halogen
    return [
        f"the anode gives {gas.g:.3g} g, {gas.L:.3g} L of {gas.formula} (25 deg C): at least {gas.NaOH_g:.0f} "
        f"g NaOH in the "
        f"scrubber, take {1.5 * gas.NaOH_g:.0f} g as 10 % lye, keep it cool"
    ]


def _gas_figures(setting: Setting) -> dict[str, float | str | None]:
    feed, gas = setting.cell.kind.feed, setting.cell.halogen
    if feed is not None:
        return {"gas": feed.main.gas, "gas_L": feed.litres(feed.main), "carbon_g": feed.carbon_g[1]}
    return {"gas": gas.formula, "gas_L": gas.L, "gas_g": gas.g, "NaOH_g": gas.NaOH_g}


def _hold(setting: Setting) -> PlanStep:
    element, way = metal(setting.wish.symbol), harvest_of(setting.wish.symbol)
    if setting.deposit == "solid":
        lift = (
            "current off; the deposit stays on the rod: lift it slowly, let salt drip off above the melt under argon",
        )
        return PlanStep(7, "Hold and lift", lift, setting.T_K, 0.25, {}, "no more salt drips", "chip the salt off cold",
                        PRACTICE)  # fmt: skip
    T_K = min(max(setting.T_K, element.melting_point_K + way.coalesce_above_K), setting.window.high_K)
    drops = setting.cell.drops
    minutes = next((d.minutes for d in drops.drops if d.diameter_mm == 0.3), 15.0) if drops else 15.0
    hours = min(max(minutes / 60, 0.25), 1.0)
    do = (
        f"current off, anode out; hold at {celsius(T_K):.0f} deg C so that drops join",
        f"a drop of 0.3 mm needs about {minutes:.0f} min through the bath",
        "stir once or twice gently with a warm dry rod; 1 mass% of NaF, CaF2 or MgF2 strips the film that "
        "keeps drops apart",
    )
    figures = {"hold_C": celsius(T_K), "drop_minutes": minutes}
    if_not = "drops stay apart: oxide; add the fluoride, stir, wait; do not heat further"
    return PlanStep(7, "Hold and coalesce", do, T_K, hours, figures, "one pool of metal, bright when scratched", if_not,
                    PRACTICE)  # fmt: skip


def _take_out(setting: Setting) -> PlanStep:
    way = harvest_of(setting.wish.symbol)
    do = (
        way.take_out,
        "keep argon over the metal while it is hot"
        if setting.wish.atmosphere == "inert"
        else "flux over the metal while hot",
        "pour the bath into a warm dry steel tray, or let it freeze in the pot: it is used again",
    )
    until = "the metal lies under argon, oil or flux and is below red heat"
    if_not = "it burns: lid on, powder on it, leave; never water"
    cautions = setting.cell.cautions[-5:-1]
    return PlanStep(8, "Take the metal out", do, setting.T_K, 0.5, {}, until, if_not, PRACTICE, cautions)
