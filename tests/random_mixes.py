"""Mixes drawn at random: of one anion, and of fluoride with chloride."""

import numpy as np

from thermo.records.composition import Composition, anions, from_amounts
from thermo.records.substances import salts


def random_mixes(count: int, seed: int, largest: int = 6) -> list[Composition]:
    """Mixes of 2 to `largest` chlorides or fluorides, spread evenly over the compositions."""
    draw = np.random.default_rng(seed)
    found = []
    for _ in range(count):
        anion = draw.choice(["Cl", "F"])
        size = int(draw.integers(2, largest + 1))
        listed = [f for f, s in salts().items() if s.anion == anion and f != "AlF3"]  # nothing to melt beyond 50 mol%
        found.append(_mix(draw, draw.choice(listed, size, replace=False).tolist()))
    return found


def reciprocal_mixes(count: int, seed: int, largest: int = 6) -> list[Composition]:
    """Mixes of 2 to `largest` salts, fluorides and chlorides both, of cations that have both."""
    draw = np.random.default_rng(seed)
    partners = {(s.cation, s.anion) for s in salts().values()}
    listed = [f for f, s in salts().items() if {(s.cation, "F"), (s.cation, "Cl")} <= partners]
    found = []
    while len(found) < count:
        names = draw.choice(listed, int(draw.integers(2, largest + 1)), replace=False).tolist()
        if len(anions(names)) == 2:
            found.append(_mix(draw, names))
    return found


def _mix(draw: np.random.Generator, names: list[str]) -> Composition:
    return from_amounts(dict(zip(names, draw.dirichlet(np.ones(len(names))).tolist(), strict=True)))
