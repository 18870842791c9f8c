"""What the page asks about one state of its inputs: answers, messages and the density chart, as plain records.

Every part is computed by itself; where the inputs or the data cannot support one, its message stands in its place and
the other parts stay. Temperatures in K inside, deg C in the text. Limits: no physics here, only questions to
thermo/answers, thermo/equilibrium and thermo/laws. Only `bath` counts dissolved alumina; the other parts are those of
the salts alone.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import lru_cache

from thermo.answers.bath import BathAnswer, describe_bath
from thermo.answers.deposition import DepositionOrder, deposition_order
from thermo.answers.evidence.near import PublishedMelt, published_near
from thermo.answers.flotation import FloatOrSink, float_or_sink
from thermo.answers.window import Window, operating_window
from thermo.equilibrium.freezing.cryolite import bath_liquidus
from thermo.equilibrium.freezing.liquidus import Liquidus, liquidus
from thermo.equilibrium.freezing.solidus import Solidus, solidus
from thermo.present.charts.density import DensityChart, density_chart
from thermo.present.page.state import PageState
from thermo.present.words.written import degrees
from thermo.records.composition import Composition, from_amounts
from thermo.records.provenance import InputError, RangeError
from thermo.records.units import kelvin

WORTH_SAYING_K = 3.0  # a liquidus shift below this is inside everybody's spread


@dataclass
class ReadOut:
    """All answers for one state; a part that could not be had is None and has a line in `messages`."""

    state: PageState
    composition: Composition | None = None
    liquidus: Liquidus | None = None
    solidus: Solidus | None = None
    published: tuple[PublishedMelt, ...] = ()
    flotation: FloatOrSink | None = None
    order: DepositionOrder | None = None
    window: Window | None = None
    chart: DensityChart | None = None
    bath: BathAnswer | None = None
    messages: dict[str, str] = field(default_factory=dict)

    def attempt(self, part: str, question: Callable, *arguments):
        """The answer to a question, or None with its one-line refusal kept under `part`."""
        try:
            return question(*arguments)
        except (InputError, RangeError) as error:
            self.messages[part] = str(error)
            return None


_solidus = lru_cache(maxsize=256)(solidus)


@lru_cache(maxsize=256)
def _bath(melt: Composition, alumina_pct: float, T_K: float) -> BathAnswer:
    """The bath at T_K, whatever superheat that is."""
    return describe_bath(melt, alumina_pct, T_K - bath_liquidus(melt, alumina_pct).T_K)


def read_out(state: PageState, with_solidus: bool = False, alumina_pct: float = 0.0) -> ReadOut:
    """Ask every question the page shows, the slower solidus on request; never raises InputError or RangeError.

    alumina_pct: mass% of the whole bath, counted where the melt holds NaF and AlF3.
    """
    out = ReadOut(state)
    out.composition = out.attempt("composition", state.composition)
    if out.composition is None:
        return out
    melt, T_K = out.composition.present, kelvin(state.t_C)
    out.liquidus = out.attempt("liquidus", liquidus, melt)
    out.published = published_near(melt)
    if with_solidus:
        out.solidus = out.attempt("solidus", _solidus, melt)
    if {"NaF", "AlF3"} <= set(melt.salts):
        out.bath = out.attempt("bath", _bath, melt, alumina_pct, T_K)
    if state.metal:
        out.flotation = out.attempt("flotation", float_or_sink, melt, state.metal, T_K)
        out.order = out.attempt("order", deposition_order, melt, T_K)
    if out.liquidus is not None:
        out.window = out.attempt("window", _window, state, melt, out.liquidus)
        if state.metal:
            out.chart = out.attempt("chart", density_chart, melt, state.metal, T_K, out.liquidus, out.flotation)
    return out


def _window(state: PageState, melt: Composition, start: Liquidus) -> Window:
    """The window of the melt for what the page wants of it."""
    return operating_window(
        melt,
        start.T_K if start.known else None,
        start.sigma_K,
        symbol=state.metal or None,
        deposit=state.deposit if state.metal and state.deposit != "either" else None,
        superheat_K=state.superheat_K,
        vessel=state.vessel or None,
        atmosphere=state.atmosphere,
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
