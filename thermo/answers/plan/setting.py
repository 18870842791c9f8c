"""Everything a plan needs computed once: temperature, window, masses, pot, electrodes, hours, and what stops it.

The window is asked for a liquid deposit first and a solid one next, unless one is wished. Efficiency from published
cells, their low end for the hours; without any 0.5 to 0.8 (common practice, no source). Without a total mass: enough
bath that the metal's salt falls by a third (feed holds it beyond that), and at least what fills the pot.
What stops a plan is an obstacle in words, each with what would open it.
Worked value: 25 g of magnesium at 90 %: 63 A h.
"""

from dataclasses import dataclass

from thermo.answers.cell import CellAnswer, CellRun, describe_cell
from thermo.answers.deposition import ALLOY_V, deposition_order
from thermo.answers.drift import LITTLE_LEFT, Drift, consumed_salt
from thermo.answers.drying_schedule import DryingSchedule, drying_schedule
from thermo.answers.evidence.start_of_freezing import FreezingStart
from thermo.answers.flotation import FloatOrSink, float_or_sink
from thermo.answers.plan.electrodes import Electrodes, choose_electrodes
from thermo.answers.plan.pot import USUAL_FILL, Pot, pot_for
from thermo.answers.plan.wish import PlanWish
from thermo.answers.weighing import Weighing, weigh_out
from thermo.answers.window import Window, operating_window
from thermo.answers.window_limits import MARGIN_K
from thermo.laws.density import melt_density
from thermo.laws.faraday import metal_g_per_Ah, salt_g_per_Ah
from thermo.laws.oxide_cell import oxide_reaction
from thermo.records.attack import attacks
from thermo.records.cell_practice import host_named, printed_efficiency
from thermo.records.composition import Composition, halide_at_the_anode
from thermo.records.substances import metal, salt
from thermo.records.units import celsius
from thermo.records.vessels import vessel_named

NO_PRINT = (0.5, 0.8)  # current efficiency where nothing is printed: common practice, no source
THIRD = 1 / 3  # share of the metal's salt that may go before feed is called for: common practice, no source
CLOSE_K = 5.0  # from the ends of the window
HOST_K = 10.0  # above the lower end where a host takes the metal up: a judgement


@dataclass(frozen=True)
class Setting:
    """The choices and answers behind a plan. efficiency: low and high; feed_g: salt or oxide fed, dry."""

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
    feed_salt: str
    feed_g: float

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


def windows_of(wish: PlanWish, melt: Composition, freezing: FreezingStart) -> list[tuple[str, Window]]:
    """The windows for the deposits to try, liquid first."""
    start_K = freezing.T_K if freezing.known else None

    def window_for(deposit: str | None) -> Window:
        wishes = (wish.symbol, deposit, superheat_K(wish), wish.vessel, wish.atmosphere, None, freezing.dissolved)
        return operating_window(melt, start_K, freezing.sigma_K, *wishes)

    if into_host(wish):  # the metal need not melt: it goes into its host
        return [("liquid", window_for(None))]
    tried = ("liquid", "solid") if wish.deposit is None else (wish.deposit,)
    return [(state, window_for(state)) for state in tried]


def superheat_K(wish: PlanWish) -> float:
    """How far above the start of freezing: 30 K; fed with alumina 10 K (common practice of aluminium, no source)."""
    return 10.0 if wish.feed == "Al2O3" else 30.0


def into_host(wish: PlanWish) -> bool:
    """Whether another metal takes the deposit up."""
    return wish.cathode_metal not in (None, wish.symbol)


def first_obstacle(wish: PlanWish, melt: Composition, windows: list[tuple[str, Window]]) -> str:
    """Why no plan can be made before anything is weighed, and what would open one; '' where nothing is."""
    held = [salt(formula).cation for formula in melt.salts]
    if wish.symbol not in held:
        return f"no salt of this melt holds {wish.symbol} (it can give {', '.join(held)}): add a salt of {wish.symbol}"
    if not any(window.exists for _, window in windows):
        return " ".join(window.explanation for _, window in windows)
    return ""


def run_temperature_K(wish: PlanWish, window: Window) -> float:
    """The temperature wished, the middle of the preferred band of the window, or where a host is safely liquid."""
    if wish.T_K is not None:
        return wish.T_K
    if into_host(wish) and wish.cathode_metal is not None:
        host = host_named(wish.cathode_metal)
        melts = host.melting_point_K
        if host.alloy_melts_K is not None and host.alloy_with == wish.symbol:
            melts = host.alloy_melts_K
        return max(window.low_K or 0.0, melts + MARGIN_K) + HOST_K
    best = window.preferred
    low = best.low_K if best is not None else window.low_K or window.high_K
    high = best.high_K if best is not None else window.high_K
    return (low + high) / 2


def second_obstacle(wish: PlanWish, melt: Composition, T_K: float, window: Window) -> str:
    """Why the chosen temperature, metal, pot or pole cannot be; '' where nothing stands against it."""
    if wish.T_K is not None and not (window.low_K or 0) - CLOSE_K <= T_K <= window.high_K + CLOSE_K:
        return f"{celsius(T_K):.0f} deg C lies outside the window. {window.explanation}"
    order = deposition_order(melt, T_K, wish.symbol)
    own = order.couple(wish.symbol)
    if own.gap_V > ALLOY_V:
        first = order.first
        return (
            f"{first.metal} comes {own.gap_V:.2f} V before {wish.symbol}: this bath gives {first.metal}. What would "
            f"open it: leave {first.salt} out, or take {first.metal} instead"
        )
    if wish.vessel is not None:
        pot = vessel_named(wish.vessel)
        found = attacks().get((pot.name, wish.symbol))
        if found is not None and found.unfit(T_K):
            return f"{pot.name}: {found.words}. What would open it: a pot that the metal leaves alone"
        kind = pot.fluorides if halide_at_the_anode(melt) == "F" else pot.chlorides
        if kind == "no":
            return f"{pot.name} is dissolved by this melt. What would open it: graphite, or a metal pot that stands it"
    return ""


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
    E_V = _needed_V(wish, melt, T_K)
    poles = choose_electrodes(melt, wish.symbol, T_K, E_V, charge, pot, cathode, state == "solid", wish.supply_V,
                              wish.supply_A, wish.feed is not None)  # fmt: skip
    hours = charge / poles.amps
    run = CellRun(
        amps=poles.amps,
        hours=hours,
        bath_g=total_g,
        efficiency=efficiency[0],
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
    cell = describe_cell(melt, wish.symbol, T_K, run)
    feed_salt, feed_g = _feed(wish, melt, T_K, charge, efficiency[0], total_g, cell.drift)
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
        drying=drying_schedule(weighing, wish.bottles),
        pot=pot,
        electrodes=poles,
        hours=hours,
        charge_Ah=charge,
        cell=cell,
        feed_salt=feed_salt,
        feed_g=feed_g,
    )


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


def _feed(
    wish: PlanWish, melt: Composition, T_K: float, charge: float, efficiency: float, total_g: float, drift: Drift | None
) -> tuple[str, float]:
    """Salt or oxide that is fed in all, dry; ('', 0) where the bath carries the run alone."""
    if wish.feed is not None:
        used = oxide_reaction(wish.feed, "CO2" if wish.anode == "carbon" else "O2", T_K).feed_g_per_Ah
        return wish.feed, used * charge * efficiency
    formula = consumed_salt(melt, wish.symbol)
    consumed = salt_g_per_Ah(formula) * charge * efficiency
    held = total_g * melt.mass_percent.get(formula, 0.0) / 100
    left = 100 * (held - consumed) / max(total_g - consumed, 1e-9)
    freezes = drift.freezes if drift is not None else None
    thawed = freezes is None or freezes.charge_Ah > charge
    if consumed < THIRD * held and left > LITTLE_LEFT and thawed:
        return "", 0.0
    return formula, consumed


def third_obstacles(setting: Setting) -> list[str]:
    """What stands against it once masses and electrodes are known, each with what would open it."""
    found, wish = [], setting.wish
    if setting.pot.too_full:
        need = setting.pot.melt_mL / USUAL_FILL
        found.append(
            f"{setting.weighing.total_g:.0f} g of melt fill the {setting.pot.volume_mL:.0f} mL pot to "
            f"{100 * setting.pot.fill:.0f} %: take a pot of {need:.0f} mL or less bath"
        )
    if setting.hours > 24 and setting.electrodes.limited_by:
        found.append(
            f"{setting.hours:.0f} h at {setting.electrodes.amps:.2g} A, held down by {setting.electrodes.limited_by}: "
            "wish for less metal, or give it more"
        )
    if metal(wish.symbol).state(setting.T_K) == "vapour":
        found.append(f"{metal(wish.symbol).name} is a vapour at {celsius(setting.T_K):.0f} deg C: a colder bath")
    return found
