"""How each bottle of a batch dries: by heat alone, or not, with the numbers that say so.

Uses the class and the pressures of thermo.laws.hydrolysis and the recipe of data/hydrates.csv. Water that leaves a bed
pushes the air out, so 1 bar of steam is taken at 300 deg C; the cover of HX is given over 0.01 bar of steam.
Limits: equilibrium of pure salts, an upper bound on damage; real drying is also a matter of thin beds and patience.
Worked value: MgCl2.6H2O does not dry by heat: at 300 deg C 2.1 HCl leave per H2O; at 500 deg C 0.065 bar HCl saves it.
"""

from collections.abc import Mapping

from thermo.laws.hydrolysis import (
    DRYING_K,
    MELT_K,
    Hydrolysis,
    cover_sigma,
    halide_cover_bar,
    hydrolysis_class,
    oxide_route,
    worst,
)
from thermo.records.composition import Composition
from thermo.records.hydrates import Hydrate
from thermo.records.units import celsius

WATER_BAR = 0.01  # steam over a melt in poorly dried gas: a judgement
COVER_K = 773.15
CLOSE = 1.0  # relative sigma above which only the order of magnitude is told


def drying_lines(melt: Composition, bottles: Mapping[str, Hydrate | None]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """(lines, source keys): one line a bottle that holds water or a salt that hydrolyses."""
    lines, keys = [], []
    for formula in melt.salts:
        hydrate, kind = bottles[formula], hydrolysis_class(formula)
        if hydrate is not None:
            lines.append(_hydrate_line(formula, hydrate, kind))
            keys.append(hydrate.source)
        elif kind == "hydrolyses":
            lines.append(f"{formula} hydrolyses when damp ({_balance(formula)}): keep it dry to the moment it melts.")
        if kind in ("hydrolyses", "hot only"):
            reaction = oxide_route(formula)
            keys += [] if reaction is None else reaction.sources
    return tuple(lines), tuple(dict.fromkeys(keys))


def _hydrate_line(formula: str, hydrate: Hydrate, kind: str) -> str:
    if kind == "hydrolyses" and (len(hydrate.salts) > 1 or hydrate.lost):
        head = f"{hydrate.label}: the double salt holds {formula} back from hydrolysing, free {formula} would not dry"
        return f"{head} ({_balance(formula)}). Steps: {hydrate.steps}. Way: {hydrate.cure}. {_cover(formula)}"
    if kind == "hydrolyses":
        head = f"{hydrate.label} hydrolyses instead of drying by heat alone ({_balance(formula)})"
        return f"{head}. Cure: {hydrate.cure}. {_cover(formula)}"
    if kind == "hot only":
        head = f"{hydrate.label} dries by heat, but wet and hot together it forms oxide ({_balance(formula, MELT_K)})"
    elif kind == "unknown":
        head = f"{hydrate.label}: no energies of hydrolysis for {formula}, so no computed warning"
    else:
        head = f"{hydrate.label} dries by heat ({_balance(formula)})"
    by = "" if hydrate.dry_by_C is None else f", dry by {hydrate.dry_by_C:g} deg C"
    return f"{head}. Steps: {hydrate.steps}{by}. Way: {hydrate.cure}."


def _balance(formula: str, T_K: float = DRYING_K) -> str:
    """'in balance with 1 bar of steam at 300 deg C 0.023 HCl leave per H2O: LaCl3 + ...'."""
    reaction = worst(formula, T_K)
    if reaction is None:
        return "no numbers"
    share = float(halide_cover_bar(reaction, T_K))
    return (
        f"in balance with steam at {celsius(T_K):.0f} deg C {share:.2g} {reaction.gas} leave per H2O"
        f"{doubt(reaction, T_K)}: {reaction.equation}"
    )


def _cover(formula: str) -> str:
    reaction = oxide_route(formula)
    if reaction is None:
        return ""
    bar = float(halide_cover_bar(reaction, COVER_K, WATER_BAR))
    return (
        f"At {celsius(COVER_K):.0f} deg C over {WATER_BAR:g} bar of steam more than {bar:.2g} bar {reaction.gas}"
        f"{doubt(reaction, COVER_K)} stops {reaction.product} (pure salt; use more in practice)."
    )


def doubt(reaction: Hydrolysis, T_K: float) -> str:
    """Words to put behind a pressure that is known by its order of magnitude only; '' otherwise."""
    return " (order of magnitude)" if cover_sigma(reaction, T_K) > CLOSE else ""
