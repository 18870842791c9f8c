"""Everything a plan needs computed once: temperature, masses, pot, electrodes, hours, feed, and what stops it then.

Efficiency from published cells, their low end for the hours; without any 0.5 to 0.8 (common practice, no source).
Without a total mass: enough bath that the metal's salt falls by a third (feed holds it beyond that), and at least what
fills the pot. What stops a plan is an obstacle in words, each with what would open it.
Limits: one run, one pot, one pair of electrodes.
Worked value: 25 g of magnesium at 90 %: 63 A h.
"""

from dataclasses import dataclass, replace

from thermo.answers.cell import CellAnswer, CellRun, describe_cell
from thermo.answers.deposition import deposition_order
from thermo.answers.drift import consumed_salt
from thermo.answers.drying_schedule import DryingSchedule, drying_schedule
from thermo.answers.evidence.start_of_freezing import FreezingStart
from thermo.answers.flotation import FloatOrSink, float_or_sink
from thermo.answers.heat import melting_heat
from thermo.answers.plan.electrodes import Electrodes, PoleWish, choose_electrodes
from thermo.answers.plan.feasible import run_temperature_K
from thermo.answers.plan.feed import THIRD, Feed, feed_of
from thermo.answers.plan.pot import USUAL_FILL, Pot, pot_for
from thermo.answers.plan.wish import PlanWish
from thermo.answers.weighing import Weighing, weigh_out
from thermo.answers.window import Window
from thermo.laws.density import melt_density
from thermo.laws.faraday import metal_g_per_Ah, salt_g_per_Ah
from thermo.laws.metal_density import metal_density
from thermo.laws.oxide_cell import oxide_reaction
from thermo.records.cell_practice import printed_efficiency
from thermo.records.composition import Composition, halide_at_the_anode
from thermo.records.substances import metal
from thermo.records.units import celsius

NO_PRINT = (0.5, 0.8)  # current efficiency where nothing is printed: common practice, no source
MOST_DRIFT = 0.9  # share of the metal's salt up to which the drift without feed is told
FULL_AT_THE_END = 0.85  # of the pot, with metal and what the feed brings: common practice, no source


@dataclass(frozen=True)
class Setting:
    """The choices and answers behind a plan. efficiency: low and high; feed: what goes in while it runs."""

    wish: PlanWish
    melt: Composition
    T_K: float
    deposit: str
    window: Window
    freezing: FreezingStart
    flotation: FloatOrSink
    efficiency: tuple[float, float]
    efficiency_source: str
    weighing: Weighing
    drying: DryingSchedule
    pot: Pot
    electrodes: Electrodes
    hours: float
    charge_Ah: float
    cell: CellAnswer
    feed: Feed

    @property
    def end_fill(self) -> float:
        """Share of the pot that is full at the end, with the metal made and what the feed brings along."""
        more = sum(self.feed.brings_g.values()) / melt_density(self.melt, self.T_K).value_g_cm3
        if metal(self.wish.symbol).state(self.T_K) != "vapour":
            more += self.wish.want_g / metal_density(self.wish.symbol, self.T_K).value_g_cm3
        return self.pot.fill + more / self.pot.volume_mL

    @property
    def collects(self) -> str:
        """Where the metal is found: 'top', 'bottom', 'either' (too close to call) or 'rod'."""
        if self.cell.kind.host is not None or self.wish.cathode == "pool":
            return "bottom"
        if self.deposit == "solid" or self.flotation.verdict is None:
            return "rod"
        return {"floats": "top", "likely floats": "top", "sinks": "bottom", "likely sinks": "bottom"}.get(
            self.flotation.verdict, "either"
        )


def efficiency_of(wish: PlanWish, melt: Composition, cathode: str) -> tuple[tuple[float, float], str]:
    """Low and high current efficiency and where they come from."""
    found = printed_efficiency(
        wish.symbol, halide_at_the_anode(melt), cathode, wish.cathode_metal or "", wish.feed or ""
    )
    if found is None or found.efficiency is None:
        return NO_PRINT, "practice"
    return found.efficiency, found.source


def settle(wish: PlanWish, melt: Composition, state: str, window: Window, freezing: FreezingStart) -> Setting:
    """All figures of a run that nothing stands against so far. InputError where supply or bath cannot do it."""
    T_K = run_temperature_K(wish, window)
    cathode = wish.cathode or ("pool" if wish.feed and wish.symbol == "Al" else "rod")
    efficiency, source = efficiency_of(wish, melt, cathode)
    charge = wish.want_g / (metal_g_per_Ah(wish.symbol) * efficiency[0])
    total_g = _total_g(wish, melt, T_K, charge, efficiency[0])
    weighing = weigh_out(melt, total_g, dict(wish.bottles), dict(wish.assays))
    pot = pot_for(total_g / melt_density(melt, T_K).value_g_cm3, wish.pot_mL)
    poles = choose_electrodes(
        melt, T_K, _needed_V(wish, melt, T_K), charge, pot, PoleWish.of(wish, cathode, state == "solid")
    )
    cell = _cell(wish, melt, T_K, charge, total_g, efficiency[0], pot, poles, cathode)
    feed = feed_of(wish, melt, T_K, charge, efficiency[0], total_g, cell.drift, freezing.dissolved)
    more = {feed.bottle: feed.bottle_g} if feed.bottle else {}
    return Setting(
        wish=wish,
        melt=melt,
        T_K=T_K,
        deposit=state,
        window=window,
        freezing=freezing,
        flotation=float_or_sink(melt, wish.symbol, T_K),
        efficiency=efficiency,
        efficiency_source=source,
        weighing=weighing,
        drying=drying_schedule(weighing, wish.bottles, more),
        pot=pot,
        electrodes=poles,
        hours=charge / poles.amps,
        charge_Ah=charge,
        cell=cell,
        feed=feed,
    )


def _cell(
    wish: PlanWish,
    melt: Composition,
    T_K: float,
    charge_Ah: float,
    total_g: float,
    efficiency: float,
    pot: Pot,
    poles: Electrodes,
    cathode: str,
) -> CellAnswer:
    """The run as the cell answers it; without drift where feed brings more salt than the bath held."""
    formula = consumed_salt(melt, wish.symbol)
    held = total_g * melt.mass_percent.get(formula, 0.0) / 100
    drifts = wish.feed is None and salt_g_per_Ah(formula) * charge_Ah * efficiency < MOST_DRIFT * held
    run = CellRun(
        amps=poles.amps,
        hours=charge_Ah / poles.amps,
        bath_g=total_g if drifts else None,
        efficiency=efficiency,
        geometry=poles.geometry,
        surface_cm2=pot.surface_cm2,
        depth_cm=pot.depth_cm,
        cathode=cathode,
        cathode_metal=wish.cathode_metal,
        feed=wish.feed,
        anode=wish.anode,
        supply_V=wish.supply_V,
        supply_A=wish.supply_A,
        furnace_W=wish.furnace_W,
    )
    found = describe_cell(melt, wish.symbol, T_K, run)
    return replace(found, melting=melting_heat(melt, total_g, T_K, wish.furnace_W))


def _needed_V(wish: PlanWish, melt: Composition, T_K: float) -> float:
    if wish.feed is not None:
        return oxide_reaction(wish.feed, "O2" if wish.anode == "inert" else "CO2", T_K).E_V
    return deposition_order(melt, T_K, wish.symbol).couple(wish.symbol).E_V


def _total_g(wish: PlanWish, melt: Composition, T_K: float, charge: float, efficiency: float) -> float:
    """Grams of bath: as wished, else what the pot holds, else what gives the metal without starving."""
    if wish.total_g is not None:
        return wish.total_g
    if wish.pot_mL is not None:
        return USUAL_FILL * wish.pot_mL * melt_density(melt, T_K).value_g_cm3
    formula = consumed_salt(melt, wish.symbol)
    consumed = salt_g_per_Ah(formula) * charge * efficiency
    share = melt.mass_percent.get(formula, max(melt.mass_percent.values())) / 100
    return max(consumed / (THIRD * share), 100.0)


def third_obstacles(setting: Setting) -> list[str]:
    """What stands against it once masses and electrodes are known, each with what would open it."""
    found, wish = [], setting.wish
    if setting.end_fill > FULL_AT_THE_END:
        dry = f", or feed dry {setting.feed.substance}" if setting.feed.brings_g else ""
        found.append(
            f"the metal and what the feed brings fill the pot to {100 * setting.end_fill:.0f} % by the end: "
            f"take a larger pot, wish for less{dry}"
        )
    if setting.pot.too_full:
        need = setting.pot.melt_mL / USUAL_FILL
        found.append(
            f"{setting.weighing.total_g:.0f} g of melt fill the {setting.pot.volume_mL:.0f} mL pot to "
            f"{100 * setting.pot.fill:.0f} %: take a pot of {need:.0f} mL or less bath"
        )
    if setting.hours > 24 and setting.electrodes.limited_by:
        found.append(
            f"{setting.hours:.0f} h at {setting.electrodes.amps:.2g} A, held down by "
            f"{setting.electrodes.limited_by}: wish for less metal, or give it more"
        )
    if metal(wish.symbol).state(setting.T_K) == "vapour":
        found.append(f"{metal(wish.symbol).name} is a vapour at {celsius(setting.T_K):.0f} deg C: a colder bath")
    return found
