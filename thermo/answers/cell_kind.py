"""What kind of cell it is: the cathode, what takes the metal up, what is fed, and what print says of such cells.

E of the reaction that runs is that of the halide or of the oxide that is fed, less what a host metal takes off it.
Limits: a host's volts and an efficiency only where published; nothing is carried over from kin.
Worked value: calcium on tin at 650 deg C: efficiency 90 to 100 % in print, volts unknown (no activity published here).
"""

from dataclasses import dataclass

from thermo.answers.deposition import DepositionOrder
from thermo.answers.oxide_feed import OxideFeed, oxide_feed
from thermo.answers.power import check_cathode
from thermo.laws.alloy_cathode import AlloyShift, alloy_shift
from thermo.laws.density import melt_density
from thermo.laws.limiting_current import LimitingCurrent, limiting_current
from thermo.records.cell_practice import Host, PublishedCell, host_named, printed_efficiency
from thermo.records.composition import Composition, halide_at_the_anode
from thermo.records.provenance import InputError
from thermo.records.substances import salt
from thermo.records.units import celsius

ALLOY_X = 0.1  # mole fraction of the metal in the host where none is given: a judgement


@dataclass(frozen=True)
class CellKind:
    """The kind of a cell: cathode, host with its shift, feed, printed efficiency, limiting current and what joins."""

    cathode: str
    host: Host | None
    shift: AlloyShift | None
    feed: OxideFeed | None
    printed: PublishedCell | None
    limiting: LimitingCurrent | None
    joins: str
    E_V: float
    sigma_V: float
    notes: tuple[str, ...]

    @property
    def sources(self) -> tuple[str, ...]:
        """Keys of the sources, each once."""
        keys = [*(self.shift.sources if self.shift else ()), *(self.feed.sources if self.feed else ())]
        keys += [*(self.limiting.sources if self.limiting else ()), *([self.printed.source] if self.printed else [])]
        return tuple(dict.fromkeys(keys))


def cell_kind(
    melt: Composition,
    symbol: str,
    T_K: float,
    order: DepositionOrder,
    charge_Ah: float,
    used: float,
    cathode: str = "rod",
    cathode_metal: str | None = None,
    alloy_x: float | None = None,
    feed: str | None = None,
    anode: str = "carbon",
) -> CellKind:
    """Everything that the kind of cell changes. InputError for a cathode, host, feed or anode that is not to be had."""
    check_cathode(cathode)
    couple = order.couple(symbol)
    host, shift = _host(symbol, cathode_metal, ALLOY_X if alloy_x is None else alloy_x, T_K)
    fed = None
    if feed is not None:
        fed = oxide_feed(melt, symbol, T_K, feed, anode, charge_Ah, couple.E_V, used)
    E_V, sigma = (couple.E_V, couple.sigma_V) if fed is None else (fed.main.E_V, fed.main.sigma_V)
    if shift is not None and shift.value_V is not None:
        E_V -= shift.value_V
        sigma = (sigma**2 + shift.sigma_V**2) ** 0.5
    anion = halide_at_the_anode(melt)
    printed = printed_efficiency(symbol, anion, cathode, "" if host is None else host.symbol, feed or "")
    limiting = metal_limit(melt, symbol, T_K)
    joins = next((c.metal for c in order.couples if c.E_V > couple.E_V), "")
    notes = [*(fed.notes if fed else ()), *([shift.text] if shift else [])]
    notes += [*_host_notes(host, melt, symbol, T_K), *_limit_notes(limiting, joins), *_printed_notes(printed)]
    return CellKind(cathode, host, shift, fed, printed, limiting, joins, E_V, sigma, tuple(notes))


def _host(symbol: str, word: str | None, x: float, T_K: float) -> tuple[Host | None, AlloyShift | None]:
    """The host named and its shift; a pool of the metal itself shifts nothing."""
    if word is None or word == symbol:
        return None, None
    if not 0 < x < 1:
        raise InputError(f"mole fraction of {symbol} in {word} {x:g}: allowed is between 0 and 1")
    return host_named(word), alloy_shift(symbol, word, x, T_K)


def metal_limit(melt: Composition, symbol: str, T_K: float) -> LimitingCurrent | None:
    """The limiting current density of a metal's ions; None where it is the only cation, and in fluorides (no data)."""
    shares = dict(zip(melt.present.salts, melt.present.fractions, strict=True))
    own = sum(x for formula, x in shares.items() if salt(formula).cation == symbol)
    if own >= 1 - 1e-9 or halide_at_the_anode(melt) == "F":
        return None
    concentration = own * melt_density(melt, T_K).value_g_cm3 / melt.present.mean_formula_mass
    return limiting_current(symbol, T_K, concentration)


def _host_notes(host: Host | None, melt: Composition, symbol: str, T_K: float) -> list[str]:
    if host is None:
        return []
    bath = melt_density(melt, T_K).value_g_cm3
    side = "lies under" if host.density_g_cm3 > bath else "floats on"
    notes = [f"{host.name} ({host.density_g_cm3:g} g/cm3) {side} the bath ({bath:.2f} g/cm3): the metal goes there"]
    if host.melting_point_K > T_K:
        melts = (
            f"{host.name} melts at {celsius(host.melting_point_K):.0f} deg C: at {celsius(T_K):.0f} deg C it is solid"
        )
        if host.alloy_with == symbol and host.alloy_melts_K is not None and host.alloy_melts_K <= T_K:
            melts += f", but with {symbol} it melts from {celsius(host.alloy_melts_K):.0f} deg C and drips off as alloy"
        notes.append(melts)
    return notes


def _limit_notes(limiting: LimitingCurrent | None, joins: str) -> list[str]:
    if limiting is None:
        return []
    beyond = f"{joins} joins" if joins else "the cathode starves"
    return [
        f"limiting current density {limiting.low_A_cm2:.2g} (still pool) to {limiting.high_A_cm2:.2g} A/cm2 (well "
        f"stirred, brief): beyond it {beyond}"
    ]


def _printed_notes(printed: PublishedCell | None) -> list[str]:
    if printed is None or printed.efficiency is None:
        return []
    low, high = (100 * value for value in printed.efficiency)
    span = f"{low:.3g}" if low == high else f"{low:.3g} to {high:.3g}"
    if printed.source == "practice":
        return [f"current efficiency {span} % ({printed.name}): common practice, no source"]
    return [f"current efficiency in print: {span} % ({printed.name})"]
