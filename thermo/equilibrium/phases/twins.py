"""Near twins: two phases of one mixture that hardly differ, where one phase in balance nearly does.

A phase in balance parts where another composition of its mixture is more stable. Newton's rule from there often falls
back to one phase, or the merging of candidates does, so pairs of near twins get starts of their own: one on either side
of the phase, and compositions all along the way from it to what is more stable.
Limits: the twin is the last of the parts. Worked value: CeF3-KCl-CsCl at 780 deg C: liquids of 1.47 and 1.78 mol% Ce.
"""

import numpy as np

from thermo.equilibrium.phases.mixture import Mixture
from thermo.equilibrium.phases.part import Part

_ALONG = np.concatenate([-np.geomspace(0.4, 0.01, 16), np.geomspace(0.01, 0.4, 16)])  # largest step in ln x


def _kin(parts: list[Part]) -> tuple[Part | None, np.ndarray]:
    """The phase most like the last one, and the way from it to the last in ln x."""
    *others, last = parts
    kin = [p for p in others if p.kind == last.kind]
    near = min(kin, key=lambda p: float(np.abs(p.x - last.x).sum()), default=None)
    return near, np.zeros(0) if near is None else np.log(last.x / near.x)


def parted(mixtures: list[Mixture], parts: list[Part]) -> list[Part]:
    """The last phase and its nearest kin as two halves on both sides of where the kin was; none without kin."""
    near, way = _kin(parts)
    if near is None:
        return []
    *others, last = parts
    ends = (mixtures[last.kind].normalised(near.x * np.exp(side * way)) for side in (-1, 1))
    return [*(p for p in others if p is not near), *(Part(last.kind, x, 0.5 * near.amount) for x in ends)]


def united(parts: list[Part]) -> list[Part]:
    """The parts with the first pair of near twins made one phase; none without such a pair.

    Candidates with a hill between them may be one phase all the same, from which a wider pair is found.
    """
    for n, one in enumerate(parts):
        for other in parts[n + 1 :]:
            if one.kind == other.kind and _near(one, other):
                amount = one.amount + other.amount
                both = Part(one.kind, (one.amount * one.x + other.amount * other.x) / amount, amount)
                return [*(p for p in parts if p is not one and p is not other), both]
    return []


def _near(one: Part, other: Part) -> bool:
    return bool((one.x > 0).all() and (other.x > 0).all() and np.abs(np.log(other.x / one.x)).max() < 1)


def along(mixtures: list[Mixture], parts: list[Part]) -> tuple[int, np.ndarray] | None:
    """Kind of the last phase and compositions (N, k) along the way to it from its near twin; None without one."""
    near, way = _kin(parts)
    if near is None or np.abs(way).max() >= 1:
        return None
    return near.kind, mixtures[near.kind].normalised(near.x * np.exp(_ALONG[:, None] * way / np.abs(way).max()))
