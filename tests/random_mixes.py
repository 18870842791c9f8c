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
        listed = [f for f, s in salts().items() if s.anion == anion]
        found.append(_mix(draw, draw.choice(listed, size, replace=False).tolist()))
    return found


def aluminium_baths(count: int, seed: int, largest: int = 5) -> list[Composition]:
    """Fluoride mixes with up to half AlF3, in which compounds of two and of three salts freeze."""
    draw = np.random.default_rng(seed)
    others = [f for f, s in salts().items() if s.anion == "F" and f != "AlF3"]
    found = []
    for _ in range(count):
        names = draw.choice(others, int(draw.integers(1, largest)), replace=False).tolist()
        share = draw.uniform(0.02, 0.5)
        rest = (1 - share) * draw.dirichlet(np.ones(len(names)))
        found.append(from_amounts({"AlF3": share} | dict(zip(names, rest.tolist(), strict=True))))
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
