"""What the page says about one state of its inputs: cards, warnings and the density chart, as plain records.

Every part is computed by itself; where the inputs or the data cannot support one, its message stands in its place and
the other parts stay. Temperatures in K inside, deg C in the text. Limits: no physics here, only questions to
thermo/answers, thermo/equilibrium and thermo/laws, put into words.
"""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import lru_cache

import numpy as np

from thermo.answers.deposition import SURE, DepositionOrder, deposition_order
from thermo.answers.flotation import FloatOrSink, float_or_sink
from thermo.answers.window import Window, operating_window
from thermo.equilibrium.freezing import Solidus, solidus
from thermo.equilibrium.freezing_point import Liquidus, liquidus
from thermo.laws.density import melt_density_field, metal_density
from thermo.present.page_state import PageState
from thermo.present.wording import VERDICT_SIGNS, degrees, percent_of_chance, pretty, signed_density
from thermo.records.composition import Composition, from_amounts
from thermo.records.provenance import InputError, RangeError
from thermo.records.substances import metal, salt
from thermo.records.units import celsius, kelvin

CHART_POINTS = 25
CHART_SPAN_K = 400.0
NEAR_BOILING_K = 150.0  # common practice, no source: vapour losses are felt well before the boiling point
WORTH_SAYING_K = 3.0  # a liquidus shift below this is inside everybody's spread


@dataclass(frozen=True)
class Card:
    """One read-out: title, answer in large type, lines of detail, and how it is known (assessed, estimated or '')."""

    title: str
    answer: str
    details: tuple[str, ...] = ()
    status: str = ""
    alarm: bool = False


@dataclass(frozen=True)
class DensityChart:
    """Densities (g/cm3) with one sigma against T_K; crossings (T_K, sigma_K, density); rules (T_K, label)."""

    T_K: np.ndarray
    melt: np.ndarray
    melt_sigma: np.ndarray
    metal_T_K: np.ndarray
    metal: np.ndarray
    metal_sigma: np.ndarray
    metal_name: str
    crossings: tuple[tuple[float, float, float], ...]
    rules: tuple[tuple[float, str], ...]


@dataclass
class ReadOut:
    """All answers for one state; a part that could not be had is None and has a line in `messages`."""

    state: PageState
    composition: Composition | None = None
    liquidus: Liquidus | None = None
    solidus: Solidus | None = None
    flotation: FloatOrSink | None = None
    order: DepositionOrder | None = None
    window: Window | None = None
    chart: DensityChart | None = None
    messages: dict[str, str] = field(default_factory=dict)

    def attempt(self, part: str, question: Callable, *arguments):
        """The answer to a question, or None with its one-line refusal kept under `part`."""
        try:
            return question(*arguments)
        except (InputError, RangeError) as error:
            self.messages[part] = str(error)
            return None


_solidus = lru_cache(maxsize=256)(solidus)


def read_out(state: PageState, with_solidus: bool = False) -> ReadOut:
    """Ask every question the page shows, the slower solidus on request; never raises InputError or RangeError."""
    out = ReadOut(state)
    out.composition = out.attempt("composition", state.composition)
    if out.composition is None:
        return out
    melt, T_K = out.composition.present, kelvin(state.t_C)
    out.liquidus = out.attempt("liquidus", liquidus, melt)
    if with_solidus:
        out.solidus = out.attempt("solidus", _solidus, melt)
    if state.metal:
        out.flotation = out.attempt("flotation", float_or_sink, melt, state.metal, T_K)
        out.order = out.attempt("order", deposition_order, melt, T_K)
    if out.liquidus is not None:
        out.window = out.attempt("window", _window, state, melt, out.liquidus)
        if state.metal:
            out.chart = out.attempt("chart", density_chart, melt, state.metal, T_K, out.liquidus, out.flotation)
    return out


def _window(state: PageState, melt: Composition, start: Liquidus) -> Window:
    """The window; without the freezing limit where the freezing start is unknown, RangeError where that was its end."""
    window = operating_window(
        melt,
        start.T_K,
        start.sigma_K,
        symbol=state.metal or None,
        deposit=state.deposit if state.metal and state.deposit != "either" else None,
        superheat_K=state.superheat_K,
        vessel=state.vessel or None,
        atmosphere=state.atmosphere,
    )
    if start.known:
        return window
    if any(limit.kind == "liquidus" and limit.binding for limit in window.limits):
        raise RangeError("window: where this melt starts to freeze is not known, and nothing else sets its lower end")
    return replace(window, limits=tuple(limit for limit in window.limits if limit.kind != "liquidus"))


def density_chart(
    melt: Composition, symbol: str, T_K: float, start: Liquidus, flotation: FloatOrSink | None
) -> DensityChart:
    """Density of melt and metal over a span that holds the liquidus, the metal's melting point if near, and T_K."""
    element = metal(symbol)
    low = min(start.T_K - 50, T_K - 50) if start.known else T_K - 100
    high = min(max(low + CHART_SPAN_K, T_K + 50), element.boiling_point_K - 1)
    if high <= low:
        raise RangeError(f"density chart: {element.name} boils at {degrees(element.boiling_point_K)}, below this melt")
    T = np.linspace(low, high, CHART_POINTS)
    rho, sigma = melt_density_field(melt.salts, np.repeat(melt.array[None, :], len(T), axis=0), T)
    if np.isnan(rho).any():
        raise RangeError("density chart: no density is known for this melt")
    turn = element.melting_point_K
    metal_T = np.sort(np.append(T, [turn - 0.05, turn + 0.05])) if low < turn < high else T
    densities = [metal_density(symbol, float(t)) for t in metal_T]
    crossings = flotation.crossings if flotation is not None else ()
    rules = [(start.T_K, f"starts to freeze {degrees(start.T_K, start.sigma_K)}")] if start.known else []
    if low < turn < high:
        rules.append((turn, f"{element.name} melts {degrees(turn, element.melting_point_sigma_K)}"))
    return DensityChart(
        T,
        rho,
        sigma,
        metal_T,
        np.array([density.value_g_cm3 for density in densities]),
        np.array([density.sigma_g_cm3 for density in densities]),
        element.name,
        tuple((c.T_K, c.sigma_K, float(np.interp(c.T_K, T, rho))) for c in crossings if low < c.T_K < high),
        tuple(rules),
    )


def cards(out: ReadOut) -> tuple[Card, ...]:
    """The read-outs in the order a person needs them: freezing, metal, float or sink, window."""
    shown = [_freezing_card(out)]
    if out.state.metal:
        shown += [_metal_card(out), _flotation_card(out)]
    return (*shown, _window_card(out))


def _refused(out: ReadOut, title: str, part: str) -> Card:
    return Card(title, "not known", (out.messages.get(part, "waits for a melt that can be read"),), alarm=True)


def _freezing_card(out: ReadOut) -> Card:
    title = "Starts to freeze at"
    if out.liquidus is None:
        return _refused(out, title, "liquidus" if out.composition else "composition")
    if not out.liquidus.known:
        return Card(title, "not known", out.liquidus.notes[:1], out.liquidus.status, alarm=True)
    start, T_K = out.liquidus, kelvin(out.state.t_C)
    details = [f"first solid {pretty(start.first_solid)}"]
    if start.T_K > T_K:
        details.append(f"At {out.state.t_C:.0f} °C this melt is already partly frozen.")
    else:
        details.append(f"{T_K - start.T_K:.0f} K of superheat at {out.state.t_C:.0f} °C")
    if out.solidus is not None and out.solidus.T_K is not None:
        details.append(f"all solid below {degrees(out.solidus.T_K, out.solidus.sigma_K)}")
    return Card(title, degrees(start.T_K, start.sigma_K), tuple(details), start.status, alarm=start.T_K > T_K)


def _metal_card(out: ReadOut) -> Card:
    element, T_K = metal(out.state.metal), kelvin(out.state.t_C)
    state = element.state(T_K)
    melt = out.composition.present.salts if out.composition else ()
    melts = degrees(element.melting_point_K, element.melting_point_sigma_K)
    details = [f"melts {melts}, boils {degrees(element.boiling_point_K)}"]
    unwanted = out.state.deposit not in ("either", state)
    if unwanted:
        details.append(f"Not the {out.state.deposit} deposit that is wanted.")
    if state == "solid":
        details.append("A solid deposit grows as sponge or branches that hold salt.")
    elif state == "liquid" and element.boiling_point_K - T_K < NEAR_BOILING_K:
        details.append(f"Only {element.boiling_point_K - T_K:.0f} K below boiling: expect vapour losses and fire.")
    if melt and all(salt(name).cation != element.symbol for name in melt):
        details.append(f"No salt of this melt holds {element.symbol}: none can be deposited from it.")
    words, late = order_line(out.order, element.symbol)
    if words:
        details.append(words)
    return Card(
        f"{element.name.capitalize()} at {out.state.t_C:.0f} °C",
        state,
        tuple(details),
        alarm=state == "vapour" or unwanted or late,
    )


def order_line(order: DepositionOrder | None, symbol: str) -> tuple[str, bool]:
    """Whether this metal deposits first from its melt, in one line ('' where it is in none); True where it does not."""
    own = next((c for c in order.couples if c.metal == symbol), None) if order is not None else None
    if own is None or len(order.couples) < 2:
        return "", False
    first, second = order.couples[:2]
    if order.p_first < SURE and symbol in (first.metal, second.metal):
        other = second if own is first else first
        return f"Whether {symbol} or {other.metal} deposits first is too close to call.", False
    if own is not first:
        return f"Not first to deposit: {first.metal} comes {own.gap_V:.2f} ± {own.gap_sigma_V:.2f} V before it.", True
    return f"Deposits first, {second.gap_V:.2f} ± {second.gap_sigma_V:.2f} V before {second.metal}.", False


def _flotation_card(out: ReadOut) -> Card:
    name = metal(out.state.metal).name
    title = f"Does {name} float?"
    if out.flotation is None:
        return _refused(out, title, "flotation" if out.composition else "composition")
    result = out.flotation
    if result.verdict is None:
        return Card(title, "leaves as vapour", result.notes[:1], alarm=True)
    details = [
        f"margin {signed_density(result.difference_g_cm3, result.sigma_g_cm3)} "
        f"(melt {result.melt_density.value_g_cm3:.3f} ± {result.melt_density.sigma_g_cm3:.3f}, "
        f"metal {result.metal_density.value_g_cm3:.3f} ± {result.metal_density.sigma_g_cm3:.3f})",
        f"chance that it floats: {percent_of_chance(result.p_float)}",
    ]
    details += [note for note in result.notes if result.verdict == "too close to call"]
    details += [
        f"turns at {celsius(c.T_K):.0f} ± {max(1.0, c.sigma_K):.0f} °C: {c.above} above" for c in result.crossings
    ]
    status = "estimated" if result.melt_density.origin == "estimated" else "measured"
    verdict = VERDICT_SIGNS.get(result.verdict, result.verdict)
    return Card(title, verdict, tuple(details), status, alarm=result.verdict == "too close to call")


def _window_card(out: ReadOut) -> Card:
    title = "Run the cell between"
    if out.window is None:
        return _refused(out, title, "window" if out.liquidus else "liquidus")
    window, t_C = out.window, out.state.t_C
    binding = [
        f"{'not below' if limit.side == 'low' else 'not above'} {degrees(limit.T_K)}: {limit.reason}"
        for limit in sorted(window.limits, key=lambda limit: limit.side, reverse=True)
        if limit.binding
    ]
    if not window.exists:
        return Card(title, "no window", (window.explanation,), alarm=True)
    inside = window.low_K <= kelvin(t_C) <= window.high_K
    narrow = window.high_K - window.low_K < 2 * window.sigma_low_K
    low_sigma = (f"lower end ± {window.sigma_low_K:.0f} K, as the freezing start",) * (window.sigma_low_K > 0)
    doubt = ("Where this melt starts to freeze is not known: it may be above the lower end.",) * (
        not out.liquidus.known
    )
    doubt += (
        f"Narrower than the doubt in the freezing start (± {window.sigma_low_K:.0f} K): it may not exist.",
    ) * narrow
    place = "inside" if inside else "below" if kelvin(t_C) < window.low_K else "above"
    return Card(
        title,
        f"{celsius(window.low_K):.0f} and {celsius(window.high_K):.0f} °C",
        (f"{t_C:.0f} °C is {place} the window", *binding, *low_sigma, *doubt),
        alarm=not inside,
    )


def other_basis_line(state: PageState, start: Liquidus) -> str:
    """How far the freezing start moves if the amounts were meant in the other basis; '' where it makes no odds."""
    other = "mass" if state.basis == "mol" else "mol"
    try:
        meant = liquidus(from_amounts(dict(state.amounts), other).present)
    except (InputError, RangeError):
        return ""
    if not (start.known and meant.known):
        return ""
    shift = meant.T_K - start.T_K
    if abs(shift) < WORTH_SAYING_K:
        return ""
    words = {"mol": "moles (mol%)", "mass": "grams (mass%)"}
    return (
        f"Read as {words[state.basis]}. If {words[other]} were meant, freezing would start at "
        f"{degrees(meant.T_K, meant.sigma_K)}, {abs(shift):.0f} K {'higher' if shift > 0 else 'lower'}."
    )
