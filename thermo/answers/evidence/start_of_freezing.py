"""Where a melt starts to freeze, as far as anybody knows: what was measured leads, the computed value fills the rest.

Published melts of three and more salts, and of two salts without a common ion (the law of two anions is never fitted
to them), that were measured within REACH of the melt speak with the weight
    w(d) = 1 up to 1 mol%, 0 from 3 mol% on, 1 - 3 u^2 + 2 u^3 between, u = (d - 1 mol%) / 2 mol%
d: greatest difference of a mole fraction. Several sources are averaged with w / sigma^2, and their scatter counts.
What leads is T = W T_measured + (1 - W) T_computed, W the greatest weight, so nothing jumps while a knob is dragged
past; its spread holds the spread of both and how far they lie apart. A measured value speaks for a melt d away with an
error FLANK_K sqrt(d^2 + READ_X^2) beside its own: compositions of one melt from two laboratories lie up to 2 mol%
apart; beside a fluoride that dissolves little the liquidus is steeper, STEEP_K. Rows marked unsure do not lead, nor do
those that a fit has weighed already: of pairs with a common ion, and of AlF3 where its terms were fitted to them.
Two readings of what is computed: at exactly this composition, and the coldest melt within 3 mol% (`coldest_near`): at a
eutectic the first is the highest of several uncertain surfaces and lies too high. So the band is not even: its low end
reaches as far as that of the coldest melt near.
Limits: one melt at a time, or a field without bands. Worked value: LiCl 55, KCl 40, MgCl2 5: 323 deg C, as published.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations

import numpy as np

from thermo.answers.evidence.near import PublishedMelt, published_of
from thermo.answers.evidence.wide import why_wide
from thermo.equilibrium.freezing.liquidus import WIDEST_K, Liquidus, bottomless, liquidus
from thermo.equilibrium.invariants.coldest_near import WITHIN, coldest_near, coldest_sigma
from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.driving_force import LiquidusField, liquidus_field
from thermo.records.composition import Composition, anions
from thermo.records.published import ternary_points
from thermo.records.remembered import remembered_last
from thermo.records.substances import salt, shares_an_ion
from thermo.records.substances import salts as known_salts
from thermo.records.units import NINETY, celsius

FULL, REACH = 0.01, 0.03  # mole fraction: a measured melt speaks fully up to the first, no more beyond the second
FLANK_K, READ_X = 500.0, 0.01  # K a mole fraction: near a eutectic liquidi climb 4 to 7 K a mol%; mole fraction
STEEP_K = 2500.0  # K a mole fraction: computed branches of MgF2 and CaF2 in NaCl climb 20 to 30 K a mol%
CLEARLY_K = 10.0  # what 2 mol% alone may explain
COMPUTED, MEASURED, BOTH = "computed", "measured", "both"


@dataclass(frozen=True)
class Measured:
    """What published melts near by say: T with one standard deviation, weight 0 to 1, the rows, the nearest first."""

    T_K: float
    sigma_K: float
    weight: float
    rows: tuple[PublishedMelt, ...]


@dataclass(frozen=True)
class ColdestNear:
    """The coldest computed melt within WITHIN of every mole fraction: T, standard deviation, the melt."""

    T_K: float
    sigma_K: float
    composition: Composition


@dataclass(frozen=True)
class DissolvedOxide:
    """Oxide that a fed bath holds, mass% of the bath (None: not known), and how far it lowers the start of freezing."""

    formula: str
    mass_percent: float | None
    lowering_K: float
    sources: tuple[str, ...]

    @property
    def words(self) -> str:
        """One line on what was counted."""
        if self.mass_percent is None:
            return f"dissolved {self.formula} lowers the start of freezing: nothing published here, so not counted"
        return (
            f"with {self.mass_percent:.1f} mass% {self.formula} dissolved (half of what the bath takes up) it starts "
            f"to freeze {self.lowering_K:.0f} K lower than without: this is counted"
        )


@dataclass(frozen=True)
class FreezingStart:
    """Start of freezing of one melt. T_K and sigma_K lead; `computed` is the model's at exactly this composition.

    dissolved: oxide that a fed bath holds, whose lowering T_K counts but not `computed` (None: no oxide is fed).
    """

    composition: Composition
    T_K: float
    sigma_K: float
    computed: Liquidus
    measured: Measured | None
    dissolved: DissolvedOxide | None = None

    @property
    def known(self) -> bool:
        """Whether the temperature says anything."""
        return not bottomless(self.T_K) and self.sigma_K < WIDEST_K

    @property
    def rests_on(self) -> str:
        """'computed', 'measured', or 'both' where a measured melt speaks with part of its weight."""
        if self.measured is None:
            return COMPUTED
        return MEASURED if self.measured.weight >= 1.0 else BOTH

    @property
    def first_solid(self) -> str:
        """The computed first solid."""
        return self.computed.first_solid

    @property
    def status(self) -> str:
        """'fitted' or 'estimated', of the computed value."""
        return self.computed.status

    @property
    def sources(self) -> tuple[str, ...]:
        """Keys of the sources behind both."""
        rows = () if self.measured is None else self.measured.rows
        held = () if self.dissolved is None else self.dissolved.sources
        return tuple(dict.fromkeys([*self.computed.sources, *(row.source for row in rows), *held]))

    @property
    def notes(self) -> tuple[str, ...]:
        """What is to be said of it: where measured and computed part, then what the computed value says of itself."""
        held = () if self.dissolved is None else (self.dissolved.words,)
        return (*held, *self.apart, *self._wide(), *self.computed.notes)

    @property
    def apart(self) -> tuple[str, ...]:
        """Where what was measured leads far from what is computed; else nothing."""
        if self.measured is None or not self.computed.known:
            return ()
        away = self.measured.T_K - self.computed.T_K
        if abs(away) < CLEARLY_K:
            return ()
        side = "above" if away > 0 else "below"
        return (
            f"published melts up to {100 * self.measured.rows[0].away:.1f} mol% away start to freeze at "
            f"{celsius(self.measured.T_K):.0f} deg C, {abs(away):.0f} K {side} the computed "
            f"{celsius(self.computed.T_K):.0f}: what was measured leads",
        )

    def _wide(self) -> tuple[str, ...]:
        """Why the computed band is wide where it leads."""
        leads = self.computed.known and self.rests_on == COMPUTED
        return why_wide(self.composition, self.sigma_K) if leads else ()

    @cached_property
    def coldest_near(self) -> ColdestNear | None:
        """The second reading; None for one salt and where the computed value is unknown."""
        return None if len(self.composition.salts) == 1 or not self.computed.known else _coldest(self.composition)

    @property
    def sigma_high_K(self) -> float:
        """Upward standard deviation of the leading value."""
        return self.sigma_K

    @property
    def sigma_low_K(self) -> float:
        """Downward one: where nothing was measured the low end reaches that of the coldest melt near."""
        own = 0.0 if self.measured is None else self.measured.weight
        return own * self.sigma_K + (1 - own) * max(self.sigma_K, self.computed_sigma_low_K)

    @property
    def computed_sigma_low_K(self) -> float:
        """Downward standard deviation of the computed value alone."""
        near, sigma = self.coldest_near, self.computed.sigma_K
        if near is None:
            return sigma
        return min(max(sigma, (self.computed.T_K - near.T_K) / NINETY + near.sigma_K), WIDEST_K)


@remembered_last(512)
def start_of_freezing(composition: Composition) -> FreezingStart:
    """Start of freezing of one melt with what it rests on; errors as `liquidus`. Kept while only T moves."""
    melt = composition.present
    computed, said = liquidus(melt), measured_near(melt)
    if said is None:
        return FreezingStart(melt, computed.T_K, computed.sigma_K, computed, None)
    w = said.weight
    if not computed.known:
        leads = said if w > 0.5 else computed
        return FreezingStart(melt, leads.T_K, leads.sigma_K, computed, said)
    return FreezingStart(melt, *led_by(said, computed.T_K, computed.sigma_K), computed, said)


def led_by(said: Measured, T_K: float, sigma_K: float) -> tuple[float, float]:
    """The leading value and its standard deviation from what was measured and a computed value with its own."""
    w, apart = said.weight, said.T_K - T_K
    variance = w * said.sigma_K**2 + (1 - w) * sigma_K**2 + w * (1 - w) * apart**2
    return T_K + w * apart, float(np.sqrt(variance))


@remembered_last(512)
def _coldest(melt: Composition) -> ColdestNear | None:
    system = salt_system(melt.salts)
    found = coldest_near(system, melt.array, WITHIN)
    if bottomless(found.T_K):
        return None
    place = Composition(melt.salts, tuple((found.x / found.x.sum()).tolist()))
    return ColdestNear(found.T_K, coldest_sigma(system, found), place)


def speaking_rows(salts: Sequence[str]) -> list[PublishedMelt]:
    """The published melts that may lead in melts of these salts: three or more of them, sure, with a place."""
    sets = dict.fromkeys(frozenset(point.salts) for point in ternary_points())
    sure = [row for names in sets if names <= set(salts) for row in published_of(*names) if row.sure]
    found = [row for row in sure if not row.fitted]  # terms were fitted to the others
    apart = [pair for pair in combinations(salts, 2) if not shares_an_ion(*pair)]
    return found + [row for pair in apart for row in published_of(*pair) if row.sure]


def weights(away: np.ndarray) -> np.ndarray:
    """w(d) of distances d (any shape), mole fraction."""
    u = np.clip((np.asarray(away) - FULL) / (REACH - FULL), 0.0, 1.0)
    return 1 - u**2 * (3 - 2 * u)


def _distances(salts: Sequence[str], x: np.ndarray, rows: Sequence[PublishedMelt]) -> np.ndarray:
    """Greatest difference of a mole fraction of every melt x (N, n) from every row: (N, rows)."""
    places = np.array([[dict(zip(row.salts, row.fractions, strict=True)).get(f, 0.0) for f in salts] for row in rows])
    places = places / places.sum(axis=1, keepdims=True)  # printed fractions add up to 1 within rounding
    return np.abs(x[:, None, :] - places[None, :, :]).max(axis=2)


def measured_near(melt: Composition) -> Measured | None:
    """What the published melts within REACH say of this one; None where there is none."""
    return said_by(speaking_rows(melt.salts), melt.salts, melt.array)


def said_by(rows: Sequence[PublishedMelt], names: Sequence[str], x: np.ndarray) -> Measured | None:
    """What those of these rows within REACH say of the mix x (n,) of the substances `names`; None without any."""
    if not rows:
        return None
    away = _distances(names, x[None, :], rows)[0]
    w = weights(away)
    near = [int(n) for n in np.argsort(away, kind="stable") if w[n] > 0]
    if not near:
        return None
    T = np.array([rows[n].T_K for n in near])
    variance = _variance([rows[n] for n in near], away[near])
    share = w[near] / variance
    share = share / share.sum()
    mean = float(share @ T)
    scatter = float(share @ (T - mean) ** 2)
    sigma = float(np.sqrt(share @ variance + scatter))  # sources are not independent: not divided by their number
    shown = tuple(_at(rows[n], float(away[n])) for n in near)
    return Measured(mean, sigma, float(w.max()), shown)


def _variance(rows: Sequence[PublishedMelt], away: np.ndarray) -> np.ndarray:
    """How far these rows (R,) speak for melts `away` (..., R) from them, K^2."""
    sigma_K = np.array([row.T_sigma_K for row in rows])
    flank_K = np.array([STEEP_K if _dissolves_little(row.salts) else FLANK_K for row in rows])
    return sigma_K**2 + flank_K**2 * (away**2 + READ_X**2)


def _dissolves_little(salts: Sequence[str]) -> bool:
    """Whether a fluoride of higher charge stands beside chlorides: its branch of the liquidus is steep."""
    names = [f for f in salts if f in known_salts()]  # a bath holds alumina too
    return len(anions(names)) == 2 and any(salt(f).anion == "F" and salt(f).charge > 1 for f in names)


def _at(row: PublishedMelt, away: float) -> PublishedMelt:
    return PublishedMelt(
        row.kind, row.salts, row.fractions, row.T_K, row.T_sigma_K, row.source, row.fitted, row.sure, away
    )


def leading_field(salts: tuple[str, ...], fractions: np.ndarray) -> LiquidusField:
    """`liquidus_field` with what was measured in the lead: T_K as `start_of_freezing` gives it for each melt."""
    fractions = np.asarray(fractions, dtype=float)
    field = liquidus_field(salts, fractions)
    rows = speaking_rows(salts)
    if not rows:
        return field
    away = _distances(salts, fractions, rows)
    w = weights(away)
    near = w.max(axis=1) > 0
    if not near.any():
        return field
    T_row = np.array([row.T_K for row in rows])
    share = w[near] / _variance(rows, away[near])
    mean = (share @ T_row) / share.sum(axis=1)
    T_K, W = field.T_K.copy(), w[near].max(axis=1)
    T_K[near] = W * mean + (1 - W) * T_K[near]
    return LiquidusField(T_K, field.solid_index, field.solids)
