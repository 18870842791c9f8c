"""A run of a cell as cards and tables: the figures of thermo.answers.cell put into words.

Limits: no physics; what was not asked for (bath mass, electrodes, weighing) has no card, or says what to type.
Worked value: 5 A for 2 h on magnesium: a card with "4.53 g at most".
"""

import math

from thermo.answers.cell import CellAnswer
from thermo.answers.deposition import SURE, DepositionOrder
from thermo.answers.droplet import Drop
from thermo.answers.heat import Heat
from thermo.answers.oxide_feed import OxideFeed
from thermo.answers.power import Range
from thermo.laws.ventilation import capture_note
from thermo.present.words.card import Card
from thermo.present.words.written import degrees, pretty
from thermo.records.substances import metal

GASES = {"Cl2": "Chlorine", "F2": "Fluorine"}


def cell_cards(answer: CellAnswer) -> tuple[Card, ...]:
    """Order of deposition, voltage, grams, halogen, bath, drops, heat."""
    cards = [first_card(answer.order, answer.metal), _voltage_card(answer), _grams_card(answer), _halogen_card(answer)]
    cards += [_bath_card(answer), _deposit_card(answer)]
    if answer.heat is not None:
        cards.append(_heat_card(answer.heat))
    return tuple(cards)


def first_card(order: DepositionOrder, wanted: str) -> Card:
    """Which metal comes first, with the gap to the next and what that means."""
    first, sure = order.first, order.p_first >= SURE
    answer = metal(first.metal).name
    if not sure:
        answer = f"{answer} or {metal(order.couples[1].metal).name}: too close to call"
    return Card("Deposits first", answer, order.notes, order.status, alarm=not sure or first.metal != wanted)


def _spread(entry: Range, unit: str) -> str:
    return f"about {entry.mid:.3g} {unit} ({entry.low:.3g} to {entry.high:.3g})"


def _voltage_card(answer: CellAnswer) -> Card:
    couple, voltage = answer.order.couple(answer.metal), answer.voltage
    state = " (its vapour at 1 bar)" if couple.metal_state == "gas" else ""
    kind = answer.kind
    details = [f"to take {pretty(couple.salt)} apart{state}; standard {couple.E0_V:.3f} V"]
    if kind.feed is not None:
        details = [f"to take {pretty(kind.feed.main.oxide)} apart, {kind.feed.main.gas} at the anode"]
    details += [] if kind.shift is None else [kind.shift.text]
    details += [answer.naming_note] if answer.naming_note else []
    if voltage is None:
        details.append("Type electrode area and gap for the cell voltage.")
    else:
        low, high = voltage.conductance.band
        details += [
            f"at the terminals {_spread(voltage.total_V, 'V')}; the supply must give {_spread(voltage.supply_V, 'V')}",
            f"of it in the bath {_spread(voltage.ohmic_V, 'V')}, at the electrodes "
            f"{_spread(voltage.overvoltage_V, 'V')}, in the leads {_spread(voltage.leads_V, 'V')}",
            f"bath {voltage.conductance.value:.2g} S/cm ({low:.2g} to {high:.2g}; {voltage.conductance.origin})",
            *(note for note in voltage.notes if note not in voltage.conductance.caveats),
        ]
    if answer.supply_A is not None:
        details.append(f"{answer.run.supply_V:g} V drive {_spread(answer.supply_A, 'A')}")
    if answer.energy_kWh_per_kg is not None:
        details.append(f"energy {answer.energy_kWh_per_kg:.3g} kWh per kg of metal at {answer.run.volts:g} V")
    else:
        details.append("Type the voltage for the energy per kilogram.")
    return Card("Voltage needed", f"{kind.E_V:.2f} ± {kind.sigma_V:.2f} V", tuple(details))


def _grams_card(answer: CellAnswer) -> Card:
    feed = answer.kind.feed
    takes = f"{answer.salt_g:.4g} g of salt" if feed is None else f"{feed.feed_g:.4g} g {pretty(feed.main.oxide)}"
    details = [f"from {answer.charge_Ah:.4g} A h; consumes {takes}"]
    if answer.run.efficiency is not None:
        details.append(f"{answer.metal_g_expected:.4g} g at the efficiency given")
    weighed = answer.weighed
    if weighed is not None:
        details.append(
            f"{weighed.weighed_g:.4g} g weighed: current efficiency {100 * weighed.value:.1f} ± "
            f"{100 * weighed.sigma:.1f} %"
        )
    name = metal(answer.metal).name.capitalize()
    return Card(f"{name} made", f"{answer.metal_g_max:.3g} g at most", tuple(details))


def _halogen_card(answer: CellAnswer) -> Card:
    gas, feed = answer.halogen, answer.kind.feed
    if feed is not None:
        return _oxide_gas_card(feed, capture_note(answer.air_m3_min))
    details = [
        f"{gas.L:.3g} L at 25 °C and 1 atm",
        f"scrubber: at least {gas.NaOH_g:.3g} g of NaOH, twice that is wise",
        capture_note(answer.air_m3_min),
        *gas.notes,
    ]
    return Card(f"{GASES[gas.formula]} set free", f"{gas.g:.3g} g", tuple(line for line in details if line))


def _oxide_gas_card(feed: OxideFeed, capture: str) -> Card:
    """The gas of a bath that is fed an oxide, the usual one first."""
    main, *others = feed.reactions
    details = [f"or {feed.litres(other):.3g} L {pretty(other.gas)}" for other in others]
    if feed.carbon_g[1]:
        details.append(f"the anode loses {feed.carbon_g[0]:.2g} to {feed.carbon_g[1]:.2g} g of carbon")
    details += ["at 25 °C and 1 atm: lead it outdoors", capture]
    answer = f"{feed.litres(main):.3g} L {pretty(main.gas)}"
    return Card("Gas of the anode", answer, tuple(line for line in details if line))


def _bath_card(answer: CellAnswer) -> Card:
    drift, title = answer.drift, "The bath starts to freeze"
    if answer.kind.feed is not None:
        oxide = pretty(answer.kind.feed.main.oxide)
        start = degrees(answer.liquidus.T_K, answer.liquidus.sigma_K)
        held = answer.liquidus.dissolved
        return Card(title, start, (f"fed with {oxide} the bath stays as it is", *([held.words] if held else ())))
    if drift is None:
        return Card(title, "not asked", ("Type the grams of bath to follow it while its salt is used up.",))
    feed = f"{drift.feed_g_per_Ah:.3g} g {pretty(drift.formula)} per A h holds the bath as it is"
    gone = f"its {pretty(drift.formula)} is gone at {drift.exhausted_Ah:.3g} A h"
    changes = [f"at {c.charge_Ah:.3g} A h: {c.before} turns to {c.after}" for c in drift.changes]
    if drift.freezes is None:
        return Card(title, "not before its salt is gone", (gone, feed, *changes))
    at = drift.freezes
    if at.charge_Ah == 0:
        return Card(title, "frozen in part already", (f"{pretty(at.solid)} comes first", gone, feed), alarm=True)
    inside = at.charge_Ah <= answer.charge_Ah
    when = "within this run" if inside else f"after this run of {answer.charge_Ah:.3g} A h"
    words = f"{pretty(at.solid)} comes first, {when}"
    answer_words = f"after {at.charge_Ah:.3g} ± {at.sigma_Ah:.2g} A h"
    return Card(title, answer_words, (words, gone, feed, *changes), alarm=inside)


def _deposit_card(answer: CellAnswer) -> Card:
    state, _, rest = answer.deposit.partition(": ")
    details = [rest, answer.loss.text]
    drops = answer.drops
    if drops is not None:
        times = "; ".join(f"{d.diameter_mm:g} mm in {_way(d)}" for d in drops.drops)
        details.append(f"a {drops.noun} {drops.direction} {drops.depth_cm:g} cm: {times}")
    if answer.loss.best_efficiency is not None:
        details.append(f"so at best about {100 * answer.loss.best_efficiency:.0f} % current efficiency")
    return Card("Deposit", state, tuple(details))


def _way(drop: Drop) -> str:
    slow = "no bound" if drop.slow_min is None else _minutes(drop.slow_min)
    return f"{_minutes(drop.minutes)} ({_minutes(drop.fast_min)} to {slow})"


def _minutes(value: float) -> str:
    if not math.isfinite(value):
        return "no time that can be told"
    return f"{60 * value:.2g} s" if value < 1 else f"{value:.0f} min" if value < 180 else f"{value / 60:.0f} h"


def _heat_card(heat: Heat) -> Card:
    details = [f"made in the cell; the cold feed takes {heat.feed_W:.3g} W"]
    if heat.open_W is not None and heat.lid_W is not None:
        details.append(f"lost from the open bath {heat.open_W:.3g} W, under a lid {heat.lid_W[0]:.3g} to "
                       f"{heat.lid_W[1]:.3g} W")  # fmt: skip
    return Card("Heat", f"{heat.made_W:.3g} W", (*details, heat.verdict))


ORDER_HEADER = ("metal", "from", "voltage", "behind the first", "activity of its salt", "activity in the deposit")


def order_rows(order: DepositionOrder) -> list[list[str]]:
    """One row a metal, in the order they deposit."""
    return [
        [
            c.metal + (" (vapour)" if c.metal_state == "gas" else ""),
            pretty(c.salt),
            f"{c.E_V:.3f} ± {c.sigma_V:.3f} V",
            "first" if k == 0 else f"{c.gap_V:.3f} ± {c.gap_sigma_V:.3f} V",
            f"{c.activity:.3g} ± {c.activity_sigma:.2g}",
            "" if k == 0 else _percent(c.in_deposit),
        ]
        for k, c in enumerate(order.couples)
    ]


def _percent(share: float) -> str:
    return f"{100 * share:.2g} %" if share > 1e-4 else "below 0.01 %"


def drift_header(answer: CellAnswer) -> tuple[str, ...]:
    """Columns of the drift table, of each salt one where the bath was followed."""
    shares = (f"{pretty(f)} mol%" for f in (answer.drift.salts if answer.drift else ()))
    voltage = f"voltage (± {answer.order.couple(answer.metal).sigma_V:.3f} V at the start)"
    return ("A h", *shares, "freezes from", "first solid", "melt g/cm³", "metal", voltage)


def drift_rows(answer: CellAnswer, most: int = 11) -> list[list[str]]:
    """The bath at some `most` charges along its way; no rows where it was not followed."""
    if answer.drift is None:
        return []
    points, salts = answer.drift.points, answer.drift.salts
    step = max(1, -(-(len(points) - 1) // (most - 1)))
    return [
        [
            f"{p.charge_Ah:.3g}",
            *(f"{p.composition.mole_percent.get(f, 0.0):.1f}" for f in salts),
            degrees(p.liquidus_K, p.sigma_K) + (" (frozen)" if p.frozen else ""),
            pretty(p.first_solid),
            f"{p.melt_g_cm3:.3f} ± {p.sigma_g_cm3:.3f}",
            p.verdict or "vapour",
            f"{p.E_V:.3f} V",
        ]
        for p in (*points[:-1:step], points[-1])
    ]
