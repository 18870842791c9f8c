"""Published cryolite baths that hold alumina, and what they say of one near them.

Rows of data/ternary.csv name such baths by compounds (Na3AlF6, AlF3, Al2O3); taken apart into salts and alumina they
are fractions of the same substances as a bath, and speak with the weights of `start_of_freezing`. Alumina counts by its
three oxygens, since a mole of it lowers the start as much as three of a salt.
Limits: sure rows of eutectics, peritectics and liquidus points. Worked value: 175.2 NaF, 58.4
AlF3 and 34.2 CaF2 to 7.4 Al2O3 by moles: 927 deg C, as published.
"""

import numpy as np

from thermo.answers.evidence.near import STARTS, PublishedMelt
from thermo.answers.evidence.start_of_freezing import Measured, said_by
from thermo.equilibrium.freezing.cryolite import OXYGENS
from thermo.records.composition import Composition, formula_mass
from thermo.records.published import MeltPoint, ternary_points
from thermo.records.remembered import remembered
from thermo.records.substances import double_salts, salts

ALUMINA = "Al2O3"


def measured_with_alumina(melt: Composition, alumina_pct: float) -> Measured | None:
    """What published baths with alumina near this one say; alumina_pct: mass% of the whole bath. None without any."""
    names = (*melt.salts, ALUMINA)
    moles = OXYGENS * alumina_pct / formula_mass(ALUMINA)
    of_salts = (100 - alumina_pct) / melt.mean_formula_mass
    x = np.array([*(of_salts * melt.array), moles])
    rows = [row for row in baths_with_alumina() if set(row.salts) <= set(names)]
    return said_by(rows, names, x / x.sum())


@remembered
def baths_with_alumina() -> tuple[PublishedMelt, ...]:
    """Every sure published bath with alumina, taken apart into salts and alumina."""
    return tuple(
        _taken_apart(point)
        for point in ternary_points()
        if ALUMINA in point.salts and point.fractions and point.kind in STARTS and not point.unsure
    )


def _taken_apart(point: MeltPoint) -> PublishedMelt:
    moles: dict[str, float] = {}
    for formula, x in zip(point.salts, point.fractions, strict=True):
        parts = double_salts()[formula].stoichiometry if formula in double_salts() else {formula: 1}
        for part, count in parts.items():
            moles[part] = moles.get(part, 0.0) + (OXYGENS if part == ALUMINA else count) * x
    order = [f for f in salts() if f in moles] + [ALUMINA]
    total = sum(moles.values())
    shares = tuple(moles[f] / total for f in order)
    return PublishedMelt(point.kind, tuple(order), shares, point.T_K, point.T_sigma_K, point.source, False, True)
