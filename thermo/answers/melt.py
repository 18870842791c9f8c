"""Everything about one melt before the furnace is lit: freezing, density, float or sink, window, cautions, sources.

Puts the single answers together and nothing more; command line, page, run sheet and public names all show this record,
so their figures, notes and sources cannot differ. A part that the data cannot support is `Refused`, which holds the
one line why; the others stay.
Worked value: 48/52 mol% NaCl-CaCl2 with sodium at 600 deg C: liquid sodium floats.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Literal, TypeVar

from thermo.answers.cautions import cautions
from thermo.answers.deposition import DepositionOrder, deposition_order
from thermo.answers.dissolves import Dissolved, dissolves
from thermo.answers.evidence.end_of_freezing import end_of_freezing
from thermo.answers.evidence.near import PublishedMelt, published_near
from thermo.answers.evidence.start_of_freezing import FreezingStart, start_of_freezing
from thermo.answers.fed_bath import fed_start
from thermo.answers.flotation import FloatOrSink, float_or_sink
from thermo.answers.little_solid import LittleSolid, little_solid
from thermo.answers.window import Window, check_wishes, operating_window
from thermo.equilibrium.freezing.solidus import Solidus
from thermo.laws.density import Density, melt_density
from thermo.laws.metal_density import metal_density
from thermo.records.baths import bath_name
from thermo.records.composition import Composition
from thermo.records.provenance import InputError, RangeError
from thermo.records.substances import metal, salts
from thermo.records.units import celsius

Answer = TypeVar("Answer")
PARTS = ("solidus", "density", "metal_density", "float_or_sink", "window", "order")  # that may be refused


@dataclass(frozen=True)
class Refused:
    """What stands in place of an answer that could not be had: the one line why. False, as nothing is known."""

    reason: str

    def __bool__(self) -> Literal[False]:
        return False


def attempt(question: Callable[..., Answer], *arguments) -> Answer | Refused:
    """The answer to a question, or its refusal where input or data cannot support one."""
    try:
        return question(*arguments)
    except (InputError, RangeError) as error:
        return Refused(str(error))


@dataclass(frozen=True)
class MeltAnswer:
    """One melt at one temperature, with or without a metal.

    The solidus is the slow part: it is asked when first read, and so are the notes, which need it. T_given: False
    where T_K is the liquidus plus superheat. metal_density: None without a metal and where it is a vapour.
    """

    composition: Composition
    symbol: str | None
    T_K: float
    T_given: bool
    superheat_K: float
    liquidus: FreezingStart
    published: tuple[PublishedMelt, ...]
    density: Density | Refused
    metal_density: Density | Refused | None
    float_or_sink: FloatOrSink | Refused | None
    window: Window | Refused
    cautions: tuple[str, ...]
    little_solid: LittleSolid | None = None

    @cached_property
    def solidus(self) -> Solidus | Refused:
        """Where the last of it freezes."""
        return attempt(end_of_freezing, self.liquidus)

    @cached_property
    def order(self) -> DepositionOrder | Refused | None:
        """Which metal of the melt deposits first at T_K; None without a metal."""
        return None if self.symbol is None else attempt(deposition_order, self.composition, self.T_K)

    @cached_property
    def dissolves(self) -> tuple[Dissolved, ...]:
        """What dissolves of every fluoride at T_K; empty with one anion."""
        return dissolves(self.composition, self.T_K)

    @property
    def refusals(self) -> dict[str, str]:
        """Why a part could not be had, by the part's name."""
        parts = {name: getattr(self, name) for name in PARTS}
        return {name: part.reason for name, part in parts.items() if isinstance(part, Refused)}

    @property
    def sources(self) -> tuple[str, ...]:
        """Keys of the sources behind every part, each once."""
        keys = [*self.liquidus.sources, *(self.density.sources if self.density else ())]
        keys += [row.source for row in self.published]
        if self.symbol is not None:
            keys += [*metal(self.symbol).sources, *(self.metal_density.sources if self.metal_density else ())]
            keys += self.order.sources if self.order else ()
        return tuple(dict.fromkeys(keys))

    @cached_property
    def notes(self) -> tuple[str, ...]:
        """What must be said about the parts, each once."""
        return tuple(dict.fromkeys(self._notes()))

    @property
    def holds_metal(self) -> bool:
        """Whether a salt of this melt holds the metal; True without one."""
        return self.symbol is None or any(salts()[f].cation == self.symbol for f in self.composition.salts)

    @property
    def above_all(self) -> str:
        """What leads every answer: the metal asked for cannot come from this melt, or another comes first; else ''."""
        if self.symbol is None:
            return ""
        if not self.holds_metal:
            brought = "the verdict holds for metal brought in, none can be deposited"
            return f"no salt of this melt contains {self.symbol}: {brought}"
        order = self.order
        if not order or not order.standing(self.symbol)[1]:
            return ""
        first, own = order.first.metal, order.couple(self.symbol)
        return (
            f"{self.symbol} is not the first to deposit: {first} comes {own.behind} V before it, so this bath gives "
            f"{first}; what is said of {self.symbol} holds for metal brought in"
        )

    def _notes(self) -> Iterator[str]:
        if self.above_all:
            yield self.above_all
        yield from self.liquidus.notes
        yield from self.solidus.notes if self.solidus else ()
        if not self.T_given:
            above = "the liquidus" if self.liquidus.known else "the highest melting point of its salts"
            yield f"no temperature was given: shown at {above} plus {self.superheat_K:g} K"
        if self.liquidus.T_K > self.T_K:
            yield self._frozen()
        yield from self.density.caveats if self.density else ()
        yield from self.float_or_sink.notes if self.float_or_sink else ()
        yield from self.metal_density.caveats if self.metal_density else ()
        yield from self.refusals.values()
        if self.symbol == "Al" and bath_name(self.composition) is not None:
            yield from self._with_alumina()

    def _with_alumina(self) -> Iterator[str]:
        """Where an aluminium bath starts to freeze with the alumina that it is fed."""
        fed = fed_start(self.composition, "Al2O3")
        if fed.dissolved is not None and fed.dissolved.mass_percent is not None:
            yield (
                f"without alumina: fed with it, {fed.dissolved.mass_percent:.1f} mass% dissolved, this bath starts to "
                f"freeze at {celsius(fed.T_K):.0f} +- {fed.sigma_K:.0f} deg C, and the window opens as much lower"
            )

    def _frozen(self) -> str:
        """What is frozen at T_K, below the liquidus."""
        if self.little_solid:
            return (
                f"at {celsius(self.T_K):.0f} deg C {self.little_solid.words} lies undissolved (it starts to come out "
                f"at {celsius(self.liquidus.T_K):.0f}): the window is that of the melt above it"
            )
        wholly = self.solidus and self.solidus.T_K is not None and self.T_K < self.solidus.T_K
        return (
            f"at {celsius(self.T_K):.0f} deg C this melt is {'wholly' if wholly else 'partly'} frozen (it starts to "
            f"freeze at {celsius(self.liquidus.T_K):.0f}): densities are those of the whole melt kept liquid"
        )


def describe_melt(
    composition: Composition,
    symbol: str | None = None,
    T_K: float | None = None,
    deposit: str | None = None,
    superheat_K: float = 30.0,
    vessel: str | None = None,
    atmosphere: str = "inert",
) -> MeltAnswer:
    """All answers for one melt; without T_K at its liquidus plus superheat, if known. InputError for a wrong choice."""
    check_wishes(symbol, deposit, superheat_K, vessel, atmosphere)
    melt = composition.present
    freezing = start_of_freezing(melt)
    start_K = freezing.T_K if freezing.known else None
    at_K = T_K
    if at_K is None:
        at_K = superheat_K + (max(salts()[f].melting_point_K for f in melt.salts) if start_K is None else start_K)
    state = None if symbol is None else metal(symbol).state(at_K)
    little = None if T_K is None or start_K is None or start_K <= T_K else little_solid(melt, T_K)
    wishes = (symbol, deposit, superheat_K, vessel, atmosphere, little)
    return MeltAnswer(
        composition=melt,
        symbol=symbol,
        T_K=at_K,
        T_given=T_K is not None,
        superheat_K=superheat_K,
        liquidus=freezing,
        published=published_near(melt),
        density=attempt(melt_density, melt, at_K),
        metal_density=None if state in (None, "vapour") else attempt(metal_density, symbol, at_K),
        float_or_sink=None if symbol is None else attempt(float_or_sink, melt, symbol, at_K),
        window=attempt(operating_window, melt, start_K, freezing.sigma_K, *wishes),
        cautions=cautions(melt, symbol),
        little_solid=little,
    )
