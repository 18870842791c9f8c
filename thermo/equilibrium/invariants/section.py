"""The section between a fluoride and a chloride of different cations: what freezes first along it, where it is lowest.

Such a section is one diagonal of the square of a reciprocal system and is no system of its own: its salts may react to
the other two,
    w MF_z + z NCl_w = z NF_w + w MCl_z
so solids of the other diagonal may come first, and below the liquidus its melts need not stay on it. If its own two
salts are the stable pair the section's lowest point is a saddle of the square, else only a point of its liquidus.
Limits: one fluoride, one chloride, two cations. Worked value: LiF-KCl is stable; lowest near 713 deg C and 77 mol% KCl.
"""

from dataclasses import dataclass

import numpy as np

from thermo.equilibrium.freezing.liquidus import bottomless, liquid_unmixing, liquidus_sigma
from thermo.equilibrium.invariants.lowest import lowest
from thermo.equilibrium.invariants.pair import Invariant, PairCurve
from thermo.equilibrium.phases.balance import phase_balance
from thermo.equilibrium.phases.conserved import IonComponents
from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.driving_force import Melts, liquidus_field
from thermo.equilibrium.system.two_anions import ReciprocalSystem
from thermo.records.provenance import InputError
from thermo.records.published import melting_points
from thermo.records.remembered import remembered
from thermo.records.reported_gaps import gap_in_print
from thermo.records.substances import listed_salt_of, salt

_POINTS = 1001  # of the section: fields end to 0.1 mol%
_LOOKED_AT = 25  # melts asked whether they part in two


@dataclass(frozen=True)
class Field:
    """A stretch of the section, in mole fractions of the second salt, from which one solid freezes first."""

    solid: str
    low: float
    high: float


@dataclass(frozen=True)
class Section:
    """Fields along a section, its lowest point, the stable pair of salts among the four and how published melts fare.

    points, rms_K: published melts of the section and the root mean square of computed less published liquidus there.
    two_liquids: first and last mole fraction of the second salt, to 4 mol%, at which the melt would separate in two at
    its liquidus; None where it nowhere does.
    """

    salts: tuple[str, str]
    fields: tuple[Field, ...]
    lowest: Invariant
    stable_pair: tuple[str, str]
    points: int
    rms_K: float | None
    two_liquids: tuple[float, float] | None

    @property
    def stable(self) -> bool:
        """Whether the section's own salts are the stable pair."""
        return set(self.salts) == set(self.stable_pair)

    @property
    def note(self) -> str:
        """What kind of section this is, and where its melts would part in two."""
        a, b = self.salts
        kind = f"{a} and {b} turn into {' and '.join(self.stable_pair)}: the section is no system of its own"
        if self.stable:
            kind = f"{a} and {b} are the stable pair: the lowest point is a saddle of the square of their ions"
        if self.two_liquids is None:
            return kind
        low, high = (f"{100 * x:.0f}" for x in self.two_liquids)
        where = f"at {low} mol% {b}" if low == high else f"from some {low} to {high} mol% {b}"
        return f"{kind}; {where} the computed melt would separate into two liquids ({gap_in_print(self.salts)})"


def is_section(a: str, b: str) -> bool:
    """Whether two salts share neither cation nor anion."""
    first, second = salt(a), salt(b)
    return first.anion != second.anion and first.cation != second.cation


@remembered
def section(a: str, b: str) -> Section:
    """The section of two salts that share no ion; InputError for others, or where an ion lacks a salt in the list."""
    if not is_section(a, b):
        raise InputError(f"section {a} {b}: allowed are a fluoride and a chloride of different cations")
    x = np.linspace(0.0, 1.0, _POINTS)
    field = liquidus_field((a, b), np.column_stack([1 - x, x]))
    known = ~np.array([bottomless(T) for T in field.T_K])
    changes = np.flatnonzero(np.diff(field.solid_index)) + 1
    stretches = zip([0, *changes], [*changes, _POINTS], strict=True)
    fields = tuple(
        Field(field.solids[field.solid_index[start]], float(x[start]), float(x[stop - 1]))
        for start, stop in stretches
        if known[start:stop].all()
    )
    low = lowest((a, b))
    misses = _misses(a, b)
    rms = float(np.sqrt(np.mean(np.square(misses)))) if misses else None
    return Section((a, b), fields, low, _stable_pair(a, b, low.T_K), len(misses), rms, _two_liquids(a, b))


@remembered
def section_curve(a: str, b: str, points: int = 201) -> PairCurve:
    """Liquidus of a section, one standard deviation and first solid on an even grid, with its lowest point, to draw."""
    found, system = section(a, b), salt_system((a, b))
    x = np.linspace(0.0, 1.0, points)
    melts = Melts(system, np.column_stack([1 - x, x]))
    T_K, first = melts.liquidus()
    names, sigma = [], np.empty(points)
    for i, s in enumerate(first):
        one, solid = Melts(system, melts.x[i : i + 1]), system.solids[s]
        _, _, y = one.driving_force(solid, T_K[i : i + 1])
        own = None if y is None else y[0]
        names.append(solid.label(own))
        sigma[i] = liquidus_sigma(system, one, solid, float(T_K[i]), own)
    return PairCurve(x, T_K, sigma, tuple(names), (found.lowest,))


def _two_liquids(a: str, b: str) -> tuple[float, float] | None:
    """Between which mole fractions of the second salt the melt would separate at its liquidus."""
    system, x = salt_system((a, b)), np.linspace(0.02, 0.98, _LOOKED_AT)
    melts = Melts(system, np.column_stack([1 - x, x]))
    T_K = melts.liquidus()[0]
    parting = [bool(liquid_unmixing(system, one, T)) for one, T in zip(melts.x, T_K, strict=True)]
    own = x[parting]
    return (float(own.min()), float(own.max())) if len(own) else None


def _misses(a: str, b: str) -> list[float]:
    """Computed less published liquidus of every published melt of the section, K."""
    rows = [
        (x_b, T_K)
        for row in melting_points(a, b)
        if (x_b := row.x_b) is not None and (T_K := row.T_K) is not None and not row.unsure
    ]
    if not rows:
        return []
    x = np.array([x for x, _ in rows])
    found = Melts(salt_system((a, b)), np.column_stack([1 - x, x])).liquidus()[0]
    return [float(T - known) for T, (_, known) in zip(found, rows, strict=True)]


def _stable_pair(a: str, b: str, T_K: float) -> tuple[str, str]:
    """The two of the four solid salts that do not react to the other two at T."""
    system, components = phase_balance((a, b)).system, phase_balance((a, b)).components
    if not isinstance(system, ReciprocalSystem) or not isinstance(components, IonComponents):
        raise TypeError(f"{a}, {b}: no system of two anions")
    per_charge = components.levels(T_K)[: len(system.cations)] / system.charges
    loving = system.cations[int(per_charge.argmin())]
    other = next(cation for cation in system.cations if cation != loving)
    fluoride, chloride = listed_salt_of(loving, "F"), listed_salt_of(other, "Cl")
    return (fluoride, chloride) if salt(a).anion == "F" else (chloride, fluoride)
