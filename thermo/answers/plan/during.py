"""Step 6: the run: amps and ampere hours, feed, gas, what to write down, what to do when it goes otherwise.

Feed portions: every quarter of an hour or, where that is less than a twentieth of a gram, every hour (common practice,
no source). The current is raised from half in ten minutes.
Limits: no computed step says how well drops join. Worked value: 1.78 g MgCl2 an ampere hour at 10 A: 4.4 g each 15 min.
"""

from thermo.answers.plan.setting import Setting
from thermo.answers.plan.step import COMPUTED, PlanStep
from thermo.laws.ventilation import capture_note
from thermo.records.composition import halide_at_the_anode

FEED_MIN = 15.0
LEAST_PORTION_G = 0.05


def run_step(setting: Setting) -> PlanStep:
    """The step."""
    cell, poles = setting.cell, setting.electrodes
    low, high = setting.efficiency
    lines, portion, minutes = _feed_words(setting)
    held = f"; held down by {poles.limited_by}" if poles.limited_by else ""
    do = [f"{poles.amps:.3g} A for {setting.hours:.2g} h ({setting.charge_Ah:.3g} A h){held}"]
    if cell.voltage is not None:
        total = cell.voltage.total_V
        do.append(
            "start at half the current and raise it in ten minutes; the voltage at the electrodes is then about "
            f"{total.mid:.1f} V ({total.low:.1f} to {total.high:.1f})"
        )
    do += lines
    do += _gas_lines(setting)
    do.append("every quarter of an hour write: time, deg C, A, V, A h, what is seen; never leave it alone")
    figures: dict[str, float | str | None] = {
        "amps_A": poles.amps,
        "run_hours": setting.hours,
        "charge_Ah": setting.charge_Ah,
        "efficiency_low": low,
        "efficiency_high": high,
        "metal_low_g": cell.metal_g_max * low,
        "metal_high_g": cell.metal_g_max * high,
        "terminal_V": None if cell.voltage is None else cell.voltage.total_V.mid,
        "feed_g": setting.feed.g,
        "feed_portion_g": portion,
        "feed_minutes": minutes,
        **_gas_figures(setting),
    }
    limiting = cell.kind.limiting
    if limiting is not None:
        figures |= {"limiting_low_A_cm2": limiting.low_A_cm2, "limiting_high_A_cm2": limiting.high_A_cm2}
    until = f"{setting.charge_Ah:.3g} A h have passed: stop on ampere hours, not on the clock"
    note = capture_note(cell.air_m3_min)
    cautions = tuple(line for line in (*cell.cautions[:1], note) if line)
    return PlanStep(6, "Run", tuple(do), setting.T_K, setting.hours, figures, until, _if_not(setting), COMPUTED,
                    cautions)  # fmt: skip


def _feed_words(setting: Setting) -> tuple[list[str], float, float]:
    """Lines on the feed, grams a portion, minutes between them; nothing fed: 0 and 0."""
    feed = setting.feed
    if not feed.g:
        freezes = setting.cell.drift.freezes if setting.cell.drift else None
        end = "" if freezes is None else f"; a run of more than {freezes.charge_Ah:.0f} A h would freeze without feed"
        return [f"no feed is needed in this run{end}"], 0.0, 0.0
    per_hour = feed.g / setting.hours
    minutes = FEED_MIN if per_hour * FEED_MIN / 60 >= LEAST_PORTION_G else 60.0
    portion = per_hour * minutes / 60
    line = f"every {minutes:.0f} min feed {portion:.2g} g {feed.substance}, {feed.g:.3g} g in all, dry and hot"
    if feed.is_oxide and not feed.start_g:
        line += ", the first portion before the current goes on"
    if feed.brings_g:
        share = feed.g / (feed.g + sum(feed.brings_g.values()))
        brings = ", ".join(f"{grams:.3g} g {formula}" for formula, grams in feed.brings_g.items())
        line += (
            f": that is {portion / share:.2g} g of the dried {feed.bottle}; it brings {brings} too, so the bath "
            f"grows and fills the pot to {100 * setting.end_fill:.0f} % at the end"
        )
    return [line], portion, minutes


def _gas_lines(setting: Setting) -> list[str]:
    cell, feed = setting.cell, setting.cell.kind.feed
    if feed is not None:
        gases = " or ".join(f"{feed.litres(r):.3g} L {r.gas}" for r in feed.reactions)
        carbon = f"; the anode loses {feed.carbon_g[0]:.2g} to {feed.carbon_g[1]:.2g} g" if feed.carbon_g[1] else ""
        return [f"the anode gives {gases} (25 deg C): lead it outdoors{carbon}"]
    gas = cell.halogen
    return [
        f"the anode gives {gas.g:.3g} g or {gas.L:.3g} L of {gas.formula} (25 deg C), which takes {gas.NaOH_g:.0f} g "
        "of the NaOH in the scrubber; keep the lye cool"
    ]


def _gas_figures(setting: Setting) -> dict[str, float | str | None]:
    feed, gas = setting.cell.kind.feed, setting.cell.halogen
    if feed is not None:
        return {"gas": feed.main.gas, "gas_L": feed.litres(feed.main), "carbon_g": feed.carbon_g[1]}
    return {"gas": gas.formula, "gas_L": gas.L, "gas_g": gas.g, "NaOH_g": gas.NaOH_g}


def _if_not(setting: Setting) -> str:
    """What to do when it goes otherwise."""
    if setting.feed.is_oxide:
        first = (
            "voltage jumps far up: the oxide has run out (anode effect, CF4), feed at once, dip the anode out and in"
        )
    else:
        first = "voltage climbs: the salt runs short or the bath freezes, feed or heat"
    last = "; no chlorine: water or a short" if halide_at_the_anode(setting.melt) == "Cl" else ""
    return (
        f"{first}; voltage falls: metal shorts the gap, current off and look; burning on top: current off, flux over "
        f"it, powder at hand{last}"
    )
