"""A melt that a search has found: the full answers for it, and the rank they give it.

The same functions answer that answer for a melt typed by hand, so both say the same.
Limits: those of the answers. Worked value: a window from 600 to 883 deg C is 283 K wide.
"""

from dataclasses import dataclass

from thermo.answers.deposition import DepositionOrder, deposition_order
from thermo.answers.evidence.start_of_freezing import FreezingStart, start_of_freezing
from thermo.answers.finder.sweep import Candidate
from thermo.answers.finder.wish import WANTS, Wish
from thermo.answers.flotation import FloatOrSink, float_or_sink
from thermo.answers.ranking import Merits, Rank
from thermo.answers.window import Window
from thermo.records.composition import Composition


@dataclass(frozen=True)
class FoundMelt:
    """One melt that answers, at the temperature T_K it was judged at; price: money a kg where it was given."""

    composition: Composition
    T_K: float
    liquidus: FreezingStart
    flotation: FloatOrSink
    window: Window
    order: DepositionOrder
    price: float | None = None


def found_melt(wish: Wish, candidate: Candidate) -> FoundMelt:
    """The full answers for one melt: the same functions that answer for a melt typed by hand."""
    melt, T_K = candidate.composition, candidate.T_K
    freezing = start_of_freezing(melt)
    return FoundMelt(
        composition=melt,
        T_K=T_K,
        liquidus=freezing,
        flotation=float_or_sink(melt, wish.symbol, T_K),
        window=wish.window(melt, freezing.T_K if freezing.known else None, freezing.sigma_K),
        order=deposition_order(melt, T_K, wish.symbol),
        price=wish.price(melt.mass_percent) if wish.cost else None,
    )


def final_rank(wish: Wish, found: FoundMelt) -> Rank:
    """Sort key of a melt with its window and the spread of its liquidus."""
    order = WANTS[wish.want] if wish.want else ()
    verdict = found.flotation.verdict
    merits = Merits(
        found.liquidus.T_K,
        found.liquidus.sigma_K,
        found.window.holds(found.T_K),
        found.order.couple(wish.symbol).gap_V,
        order.index(verdict) if verdict in order else len(order),
        found.flotation.difference_g_cm3,
        width_K(found.window),
    )
    return wish.rank(merits)


def width_K(window: Window) -> float:
    """Width of a window, 0 where there is none."""
    return 0.0 if window.span_K is None else window.span_K[1] - window.span_K[0]
