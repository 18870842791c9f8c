"""What the page asks about one state of its inputs: answers, messages and the density chart, as plain records.

Every part is computed by itself; where the inputs or the data cannot support one, its message stands in its place and
the other parts stay. Temperatures in K inside, deg C in the text. Limits: no physics here, only questions to
thermo/answers, thermo/equilibrium and thermo/laws. Only `bath` counts dissolved alumina; the other parts are those of
the salts alone.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TypeVar

from thermo.answers.bath import BathAnswer, bath_start, describe_bath
from thermo.answers.deposition import DepositionOrder
from thermo.answers.evidence.near import PublishedMelt
from thermo.answers.evidence.start_of_freezing import FreezingStart, start_of_freezing
from thermo.answers.flotation import FloatOrSink
from thermo.answers.melt import MeltAnswer, Refused, attempt, describe_melt
from thermo.answers.window import Window
from thermo.equilibrium.freezing.solidus import Solidus
from thermo.present.charts.density import DensityChart, density_chart
from thermo.present.page.state import PageState
from thermo.present.words.written import degrees
from thermo.records.composition import Composition, from_amounts
from thermo.records.provenance import InputError, RangeError, cite
from thermo.records.remembered import remembered_last
from thermo.records.units import celsius, kelvin

WORTH_SAYING_K = 3.0  # a liquidus shift below this is inside everybody's spread


Answer = TypeVar("Answer")


@dataclass
class ReadOut:
    """All answers for one state; a part that could not be had is None and has a line in `messages`.

    melt: the record that command line and run sheet show too; chart and bath stand beside it.
    """

    state: PageState
    composition: Composition | None = None
    melt: MeltAnswer | None = None
    solidus: Solidus | None = None
    order: DepositionOrder | None = None
    chart: DensityChart | None = None
    bath: BathAnswer | None = None
    messages: dict[str, str] = field(default_factory=dict)

    @property
    def named(self) -> Composition:
        """The melt as it is typed; InputError where none can be read."""
        if self.composition is None:
            raise InputError(self.messages.get("composition", "the melt waits for amounts that can be read"))
        return self.composition

    @property
    def mix(self) -> Composition:
        """The same without salts of which there is nothing."""
        return self.named.present

    @property
    def liquidus(self) -> FreezingStart | None:
        """Where freezing starts."""
        return self.melt.liquidus if self.melt else None

    @property
    def published(self) -> tuple[PublishedMelt, ...]:
        """Published melts like this one."""
        return self.melt.published if self.melt else ()

    @property
    def flotation(self) -> FloatOrSink | None:
        """Whether the metal floats."""
        return (self.melt.float_or_sink or None) if self.melt else None

    @property
    def window(self) -> Window | None:
        """Between which temperatures the cell can run."""
        return (self.melt.window or None) if self.melt else None

    @property
    def notes(self) -> tuple[str, ...]:
        """The notes of the melt's record; the slow solidus is asked for them."""
        return self.melt.notes if self.melt else ()

    @property
    def sources(self) -> list[str]:
        """Full citations of the melt's record."""
        return cite(self.melt.sources) if self.melt else []

    def attempt(self, part: str, question: Callable[..., Answer], *arguments) -> Answer | None:
        """The answer to a question, or None with its one-line refusal kept under `part`."""
        return self.kept(part, attempt(question, *arguments))

    def kept(self, part: str, found: Answer | Refused | None) -> Answer | None:
        """An answer as it is; of a refusal None, its line kept under `part`."""
        if isinstance(found, Refused):
            self.messages[part] = found.reason
            return None
        return found


described = remembered_last(256)(describe_melt)


@remembered_last(256)
def _bath(melt: Composition, alumina_pct: float, T_K: float) -> BathAnswer:
    """The bath at T_K, whatever superheat that is."""
    return describe_bath(melt, alumina_pct, T_K - bath_start(melt, alumina_pct)[0].T_K)


def read_out(state: PageState, with_solidus: bool = False, alumina_pct: float = 0.0) -> ReadOut:
    """Ask every question the page shows, the slower solidus on request; never raises InputError or RangeError.

    alumina_pct: mass% of the whole bath, counted where the melt holds NaF and AlF3.
    """
    out = ReadOut(state)
    out.composition = out.attempt("composition", state.composition)
    if out.composition is None:
        return out
    melt, T_K = out.composition.present, kelvin(state.t_C)
    out.melt = out.attempt("liquidus", _described, state, melt)
    if {"NaF", "AlF3"} <= set(melt.salts):
        out.bath = out.attempt("bath", _bath, melt, alumina_pct, T_K)
    if out.melt is None:
        return out
    out.order = out.kept("order", out.melt.order)
    out.kept("flotation", out.melt.float_or_sink)
    out.kept("window", out.melt.window)
    if with_solidus:
        out.solidus = out.kept("solidus", out.melt.solidus)
    if state.metal:
        out.chart = out.attempt("chart", density_chart, melt, state.metal, T_K, out.liquidus, out.flotation)
    return out


def _described(state: PageState, melt: Composition) -> MeltAnswer:
    """The melt's record for what the page wants of it."""
    deposit = state.deposit if state.metal and state.deposit != "either" else None
    T_K, metal = kelvin(state.t_C), state.metal or None
    return described(melt, metal, T_K, deposit, state.superheat_K, state.vessel or None, state.atmosphere)


def other_basis_line(state: PageState, start: FreezingStart) -> str:
    """How far the freezing start moves if the amounts were meant in the other basis; '' where it makes no odds."""
    other = "mass" if state.basis == "mol" else "mol"
    try:
        meant = start_of_freezing(from_amounts(dict(state.amounts), other).present)
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


def into_window(window: Window | None) -> float | None:
    """A whole temperature, deg C, where the trade runs it: 20 K over the low end, or its middle; None without a window.

    The preferred stretch of the window where there is one, else all of it.
    """
    if window is None or window.span_K is None:
        return None
    best = window.preferred
    low, high = map(celsius, window.span_K if best is None else (best.low_K, best.high_K))
    return float(round(low + min(20.0, (high - low) / 2)))


def inside_window(state: PageState) -> float | None:
    """Where a working temperature that lies outside the window should go; None where it may stay or there is none.

    InputError or RangeError where there is no melt to ask about.
    """
    window = _described(state, state.composition().present).window or None
    return None if window is None or window.holds(kelvin(state.t_C)) else into_window(window)
