"""The lines of the solid half of a pair's phase diagram, as records: what `pair_solids` computes and a drawing shows.

x is the mole fraction of the second salt of the pair, T in K, sigma one standard deviation.
Limits: no physics here. Worked value: Horizontal("eutectic", 626, 2, 0.41, (End("LiCl", 0, 0), End("KCl", 1, 0))).span
= (0, 1).
"""

from dataclasses import dataclass

import numpy as np

from thermo.records.provenance import Origin


@dataclass(frozen=True)
class End:
    """One solid at a horizontal: its name and composition (fraction of the second salt), one standard deviation."""

    name: str
    x: float
    sigma: float


@dataclass(frozen=True)
class Horizontal:
    """Phases that meet at one temperature.

    kind: eutectic, peritectic (two solids and melt); eutectoid, peritectoid (three solids: the middle one stable above
    or below); transition (a pure salt changes form beside its neighbour, sigma unknown). ends: the solids from left to
    right. x_liquid: the melt, nan without one.
    """

    kind: str
    T_K: float
    sigma_K: float
    x_liquid: float
    ends: tuple[End, ...]

    @property
    def span(self) -> tuple[float, float]:
        """From the leftmost to the rightmost of its phases."""
        xs = [end.x for end in self.ends] + ([self.x_liquid] if np.isfinite(self.x_liquid) else [])
        return min(xs), max(xs)


@dataclass(frozen=True)
class SolidusBranch:
    """One solid solution along the liquidus: the melt, the solid in balance with it, T; arrays of one length."""

    name: str
    x_liquid: np.ndarray
    x_solid: np.ndarray
    T_K: np.ndarray

    @property
    def whole(self) -> bool:
        """Whether this one solid freezes from every melt of the pair."""
        return bool(self.x_liquid[0] == 0.0 and self.x_liquid[-1] == 1.0)


@dataclass(frozen=True)
class TwoSolids:
    """Two solids side by side: compositions left and right against T (ascending), with standard deviations.

    gap: one solid solution that splits in two, or the crystals of both salts of which at least one dissolves the other.
    top_sigma_K: of the temperature where the gap closes, nan where melt or another solid cuts it off.
    """

    names: tuple[str, str]
    gap: bool
    T_K: np.ndarray
    left: np.ndarray
    right: np.ndarray
    left_sigma: np.ndarray
    right_sigma: np.ndarray
    top_sigma_K: float

    @property
    def closes(self) -> bool:
        """Whether the two become one before anything melts."""
        return bool(np.isfinite(self.top_sigma_K))


@dataclass(frozen=True)
class FixedLine:
    """A double salt's vertical line: formula, composition, from low_K (the floor or where it forms) to high_K."""

    formula: str
    x: float
    low_K: float
    high_K: float


@dataclass(frozen=True)
class PairSolids:
    """All lines of a pair's diagram below the liquidus.

    status: 'fitted' or 'estimated' for the pair; gap_status for its solid solution: 'fitted' only where a published
    limit or top of the gap is known, 'estimated' where only the liquidus speaks, '' without a solution.
    """

    salts: tuple[str, str]
    solidus: tuple[SolidusBranch, ...]
    horizontals: tuple[Horizontal, ...]
    regions: tuple[TwoSolids, ...]
    doubles: tuple[FixedLine, ...]
    floor_K: float
    status: Origin
    gap_status: str
    notes: tuple[str, ...]

    @property
    def gaps(self) -> tuple[TwoSolids, ...]:
        """The regions that say how far the salts' own crystals dissolve each other."""
        return tuple(region for region in self.regions if region.gap)
