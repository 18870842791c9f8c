"""What stands against a run before anything is weighed: no window, another metal first, a pot that is eaten.

The window is asked for a liquid deposit first and a solid one next, unless one is wished; for a metal that goes into a
host for neither. What stops a plan is an obstacle in words, each with what would open it.
Limits: the masses and electrodes are judged later (setting). Worked value: potassium from KCl: no window, and why.
"""

from dataclasses import replace

from thermo.answers.deposition import ALLOY_V, deposition_order
from thermo.answers.evidence.start_of_freezing import FreezingStart
from thermo.answers.plan.wish import PlanWish
from thermo.answers.window import Window, operating_window
from thermo.answers.window_limits import MARGIN_K
from thermo.records.attack import attacks
from thermo.records.cell_practice import host_named
from thermo.records.composition import Composition, halide_at_the_anode
from thermo.records.substances import salt
from thermo.records.units import celsius
from thermo.records.vessels import vessel_named

CLOSE_K = 5.0  # from the ends of the window
WIDE_K = 60.0  # in a wide window the run stays near its cold end: less vapour, less dissolves
HOST_K = 10.0  # above the lower end where a host takes the metal up: a judgement


def windows_of(wish: PlanWish, melt: Composition, freezing: FreezingStart) -> list[tuple[str, Window]]:
    """The windows for the deposits to try, liquid first."""
    start_K = freezing.T_K if freezing.known else None

    def window_for(deposit: str | None) -> Window:
        wishes = (wish.symbol, deposit, superheat_K(wish), wish.vessel, wish.atmosphere, None, freezing.dissolved)
        return operating_window(melt, start_K, freezing.sigma_K, *wishes)

    if into_host(wish):  # the metal need not melt: it goes into its host
        free = window_for(None)
        told = f"Possible {free.explanation.partition('Possible ')[2]}" if free.preferred else free.explanation
        return [("liquid", replace(free, preferred=None, explanation=told))]  # where the metal alone is run is no guide
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
    """The temperature wished, the middle of the preferred band (WIDE_K up at most), or where a host is liquid."""
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
    return low + min((high - low) / 2, WIDE_K)


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
