"""Everything about one melt before the furnace is lit: freezing, density, float or sink, window, cautions, sources.

Puts the single answers together and nothing more; the command line, the page and the run sheet all show this record,
so their figures cannot differ.
Worked value: 48/52 mol% NaCl-CaCl2 with sodium at 600 deg C: liquid sodium floats.
"""

from dataclasses import dataclass

from thermo.answers.cautions import cautions
from thermo.answers.evidence.near import PublishedMelt, published_near, published_warnings
from thermo.answers.flotation import FloatOrSink, float_or_sink
from thermo.answers.window import Window, operating_window
from thermo.equilibrium.freezing.liquidus import Liquidus, liquidus
from thermo.equilibrium.freezing.solidus import Solidus, solidus
from thermo.laws.density import Density, melt_density
from thermo.records.composition import Composition
from thermo.records.substances import metal, salts
from thermo.records.units import celsius


@dataclass(frozen=True)
class MeltAnswer:
    """One melt at one temperature, with or without a metal."""

    composition: Composition
    T_K: float
    liquidus: Liquidus
    solidus: Solidus
    published: tuple[PublishedMelt, ...]
    density: Density
    float_or_sink: FloatOrSink | None
    window: Window
    sources: tuple[str, ...]
    cautions: tuple[str, ...]
    notes: tuple[str, ...]


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
    melt = composition.present
    freezing, frozen = liquidus(melt), solidus(melt)
    published = published_near(melt)
    notes = [*published_warnings(published, freezing), *freezing.notes, *frozen.notes]
    if T_K is None:
        above = "the liquidus" if freezing.known else "the highest melting point of its salts"
        T_K = superheat_K + (freezing.T_K if freezing.known else max(salts()[f].melting_point_K for f in melt.salts))
        notes.append(f"no temperature was given: shown at {above} plus {superheat_K:g} K")
    density = melt_density(melt, T_K)
    verdict = None if symbol is None else float_or_sink(melt, symbol, T_K)
    start_K = freezing.T_K if freezing.known else None
    window = operating_window(melt, start_K, freezing.sigma_K, symbol, deposit, superheat_K, vessel, atmosphere)
    notes += [*_frozen(freezing, frozen, T_K), *density.caveats]
    notes += [*(verdict.notes if verdict else ()), *_not_a_source(melt, symbol)]
    keys = [*freezing.sources, *density.sources, *(row.source for row in published)]
    if symbol is not None:
        keys += [*metal(symbol).sources, *(verdict.sources if verdict else ())]
    return MeltAnswer(
        composition=melt,
        T_K=T_K,
        liquidus=freezing,
        solidus=frozen,
        published=published,
        density=density,
        float_or_sink=verdict,
        window=window,
        sources=tuple(dict.fromkeys(keys)),
        cautions=cautions(melt, symbol),
        notes=tuple(dict.fromkeys(notes)),
    )


def _frozen(freezing: Liquidus, frozen: Solidus, T_K: float) -> list[str]:
    """A note when the melt is not all liquid at T_K."""
    if freezing.T_K <= T_K:
        return []
    share = "wholly" if frozen.T_K is not None and T_K < frozen.T_K else "partly"
    return [
        f"at {celsius(T_K):.0f} deg C this melt is {share} frozen (it starts to freeze at "
        f"{celsius(freezing.T_K):.0f}): densities are those of the whole melt kept liquid"
    ]


def _not_a_source(melt: Composition, symbol: str | None) -> list[str]:
    """A note when the metal wanted is in none of the salts."""
    if symbol is None or any(salts()[f].cation == symbol for f in melt.salts):
        return []
    return [f"no salt of this melt contains {symbol}: the verdict holds for metal brought in, none can be deposited"]
