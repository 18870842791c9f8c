"""The drying of a batch as a schedule: for each bottle its steps with grams, hours, gas and the sign of the end.

Water leaves from what the bottle holds down to what the step leaves (moles a mole of salt); ammonium chloride leaves
as NH3 and HCl, which meet again as white fume where it is cold. Litres at 25 deg C and 1 atm (steam counted as if it
were a gas there). Doses: moles a mole of salt, or grams a gram of the dried double salt NH4Cl.MgCl2.
`more` weighs grams of a bottle on top of the charge (for the feed): every figure of its steps grows with it.
Limits: hydrogen chloride from hydrolysis itself is not counted (it comes on top); hours are common practice where the
row says so. Worked value: 85.41 g MgCl2.6H2O: 22.5 g NH4Cl first, then 250 g, 45.4 g of water, 61.6 L of steam.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from thermo.answers.weighing import Weighing
from thermo.laws.faraday import ATM_PA, ROOM_K
from thermo.records.composition import formula_mass
from thermo.records.hydrates import hydrate_named, hydrates
from thermo.records.practice_steps import DryingRow, rows_of
from thermo.records.units import R

MOLAR_L = 1000 * R * ROOM_K / ATM_PA


@dataclass(frozen=True)
class DryingStep:
    """One step of one bottle: grams in, dose, what leaves in grams and litres, until when.

    stays_g: what the dish weighs after it, None while ammonium chloride is in it.
    """

    bottle: str
    salt: str
    step: int
    grams: float
    T_K: float
    hours: float
    cover: str
    do: str
    nh4cl_g: float
    water_g: float
    steam_L: float
    HCl_L: float
    NH3_L: float
    stays_g: float | None
    until: str
    source: str
    caveat: str


@dataclass(frozen=True)
class DryingSchedule:
    """All steps of a batch; unknown: bottles without a published or usual way. hours: bottles side by side."""

    steps: tuple[DryingStep, ...]
    unknown: tuple[str, ...]

    @property
    def hours(self) -> float:
        """Hours when every bottle dries beside the others: the longest one."""
        totals: dict[str, float] = {}
        for step in self.steps:
            totals[step.bottle] = totals.get(step.bottle, 0.0) + step.hours
        return max(totals.values(), default=0.0)

    def total(self, name: str) -> float:
        """Sum of one figure over all steps: nh4cl_g, water_g, steam_L, HCl_L or NH3_L."""
        return sum(getattr(step, name) for step in self.steps)


def drying_schedule(
    weighing: Weighing, bottles: Mapping[str, str] | None = None, more: Mapping[str, float] | None = None
) -> DryingSchedule:
    """The schedule of a weigh-out; bottles: salt -> hydrate as given to it; more: grams on top by bottle label."""
    named, extra = bottles or {}, more or {}
    steps: list[DryingStep] = []
    unknown: list[str] = []
    flake_g = _wet_water(weighing, named)
    for formula in weighing.composition.salts:
        label = named.get(formula, formula)
        label = next((name for name in weighing.weigh_g if name in (label, label.replace("*", "."))), label)
        rows = rows_of(label)
        if weighing.weigh_g.get(label, 0.0) <= 0:
            continue
        if not rows:
            unknown.append(label)
            continue
        grown = 1 + extra.get(label, 0.0) / weighing.weigh_g[label]
        steps += _steps(weighing, formula, label, rows, flake_g.get(formula, 0.0), grown)
    return DryingSchedule(tuple(steps), tuple(unknown))


def dried_g(weighing: Weighing, bottles: Mapping[str, str] | None = None) -> dict[str, float]:
    """Dry grams that come out of each bottle of a weigh-out, both salts of a double salt together."""
    named = {formula: hydrate_named(word, formula) for formula, word in (bottles or {}).items() if word != formula}
    found = {}
    rest = dict(weighing.anhydrous_g)
    for formula, bottle in named.items():
        moles = weighing.anhydrous_g[formula] / (bottle.salts[formula] * formula_mass(formula))
        brought = {other: moles * n * formula_mass(other) for other, n in bottle.salts.items()}
        found[bottle.label] = sum(brought.values())
        for other, grams in brought.items():
            rest[other] = rest.get(other, 0.0) - grams
    found |= {formula: grams for formula, grams in rest.items() if formula not in named and grams > 1e-9}
    return found


def _wet_water(weighing: Weighing, named: Mapping[str, str]) -> dict[str, float]:
    """Water of bottles whose label names the dry salt (wet flake), g: what the bottle weighs over its salt."""
    found = {}
    for formula, grams in weighing.weigh_g.items():
        if formula in weighing.anhydrous_g and formula not in named:
            found[formula] = max(grams - weighing.anhydrous_g[formula], 0.0)
    return found


def _steps(
    weighing: Weighing, formula: str, label: str, rows: tuple[DryingRow, ...], flake_g: float, grown: float
) -> list[DryingStep]:
    moles = grown * weighing.anhydrous_g[formula] / formula_mass(formula)
    hydrate = hydrates().get(label)
    held = grown * flake_g / formula_mass("H2O") / moles if hydrate is None else hydrate.water
    dish = grown * weighing.weigh_g[label]
    dosed = 0.0 if hydrate is None else sum(n for name, n in hydrate.lost.items() if name == "NH4Cl") * moles
    dish -= dosed * formula_mass("NH4Cl")
    found = []
    for row in rows:
        dose = row.nh4cl_mol * moles
        dosed += dose
        left = min(row.water_left_mol, held)
        water = (held - left) * moles
        leaves = dosed if row is rows[-1] else 0.0
        dish -= water * formula_mass("H2O")
        found.append(
            DryingStep(
                bottle=label,
                salt=formula,
                step=row.step,
                grams=grown * weighing.weigh_g[label],
                T_K=row.T_K,
                hours=row.hours,
                cover=row.cover,
                do=row.do,
                nh4cl_g=dose * formula_mass("NH4Cl"),
                water_g=water * formula_mass("H2O"),
                steam_L=water * MOLAR_L,
                HCl_L=leaves * MOLAR_L,
                NH3_L=leaves * MOLAR_L,
                stays_g=None if dosed and not leaves else dish,
                until=row.until,
                source=row.source,
                caveat=row.caveat,
            )
        )
        held = left
    return found
