"""How large the electrodes are and what current they carry, from the densities of practice and what the supply gives.

Current density: the geometric middle of the range of practice for this metal and cathode, or 0.5 A/cm2; for a solid
deposit the low end. Cathode rod as deep as the pot allows; the anode hangs as deep, its area from its own range. The
current is the least of: what a run of a few hours needs (more where the rod would be a needle), what the supply gives
(nine tenths of its amps; amps at the computed voltage), what the bath's surface has room for.
The hours aimed at and the room: common practice, no source. Limits: one rod each; plates carry more.
Worked value: 25 g of magnesium at 90 % in 4 h wants 15 A: 28 cm2 of cathode at 0.55 A/cm2.
"""

import math
from dataclasses import dataclass

from thermo.answers.plan.pot import Pot
from thermo.answers.plan.wish import PlanWish
from thermo.answers.power import CURRENT_DENSITY, Geometry, current_from_supply
from thermo.records.composition import Composition, halide_at_the_anode
from thermo.records.provenance import InputError

AIM_H = 4.0  # a working day with all around it
PLAIN_A_CM2 = ((0.3, 0.8), (0.3, 0.8))  # where practice says nothing
SUPPLY_SHARE = 0.9
GAP_CM = 3.0
POOL_CM = 0.5  # depth of the first pool: common practice, no source
THIN_CM = 0.3  # no rod thinner than this: common practice, no source
LEAST_DEEP_CM = 1.0  # nor hung less deep: a small wish takes an hour, not a needle
ROOM = 0.35  # share of the pot's width that one electrode may take


@dataclass(frozen=True)
class Electrodes:
    """Current, areas, diameters, depths and gap; limited_by: what held the current down ('' where nothing did)."""

    amps: float
    geometry: Geometry
    cathode_A_cm2: float
    anode_A_cm2: float
    cathode_cm: float
    anode_cm: float
    cathode_deep_cm: float
    anode_deep_cm: float
    limited_by: str


def densities(symbol: str, anion: str, cathode: str, solid: bool) -> tuple[float, float]:
    """Current densities to aim at, cathode and anode, A/cm2."""
    found = CURRENT_DENSITY.get((symbol, anion, cathode), PLAIN_A_CM2)
    own = found[0][0] if solid and cathode == "rod" else math.sqrt(found[0][0] * found[0][1])
    return own, math.sqrt(found[1][0] * found[1][1])


@dataclass(frozen=True)
class PoleWish:
    """What is wished of the electrodes: metal, kind of cathode, whether the deposit is solid, supply, oxide fed."""

    symbol: str
    cathode: str
    solid: bool
    supply_V: float | None = None
    supply_A: float | None = None
    oxide_fed: bool = False

    @classmethod
    def of(cls, wish: PlanWish, cathode: str, solid: bool) -> "PoleWish":
        """That of a whole wish."""
        return cls(wish.symbol, cathode, solid, wish.supply_V, wish.supply_A, wish.feed is not None)


def choose_electrodes(
    melt: Composition, T_K: float, E_V: float, charge_Ah: float, pot: Pot, wish: PoleWish
) -> Electrodes:
    """Electrodes and current of a run. InputError where the supply cannot take the salt apart."""
    own, other = densities(wish.symbol, halide_at_the_anode(melt), wish.cathode, wish.solid)
    least = own * math.pi * THIN_CM * LEAST_DEEP_CM if wish.cathode == "rod" else 0.0
    limits = {"": max(charge_Ah / AIM_H, least), "the room in the pot": _room_A(pot, wish.cathode, own, other)}
    if wish.supply_A is not None:
        limits["the supply's amps"] = SUPPLY_SHARE * wish.supply_A
    if wish.supply_V is not None:
        shape = _shape(min(limits.values()), own, other, wish.cathode, pot)
        given = current_from_supply(melt, T_K, E_V, wish.supply_V, shape, wish.supply_A, wish.oxide_fed).mid
        if given < 1e-3:
            raise InputError(
                f"supply {wish.supply_V:g} V: with overvoltage and leads nothing is left for the bath; take a volt more"
            )
        limits["the supply's volts"] = given
    limited = min(limits, key=limits.__getitem__)
    return _electrodes(limits[limited], limited, own, other, wish.cathode, pot)


def _electrodes(amps: float, limited: str, own: float, other: float, kind: str, pot: Pot) -> Electrodes:
    """Sizes of both poles at a current."""
    shape = _shape(amps, own, other, kind, pot)
    cathode_cm, cathode_deep = _rod(shape.cathode_cm2, kind, pot.immersed_cm)
    anode_cm, anode_deep = _anode(shape.anode_area_cm2, kind, pot)
    return Electrodes(
        amps=amps,
        geometry=shape,
        cathode_A_cm2=amps / shape.cathode_cm2,
        anode_A_cm2=amps / shape.anode_area_cm2,
        cathode_cm=cathode_cm,
        anode_cm=anode_cm,
        cathode_deep_cm=cathode_deep,
        anode_deep_cm=anode_deep,
        limited_by=limited,
    )


def _rod(area_cm2: float, kind: str, most_cm: float) -> tuple[float, float]:
    """Diameter and depth of an electrode: a rod's mantle, hung less deep where it would be too thin; else a disc."""
    if kind != "rod":
        return math.sqrt(4 * area_cm2 / math.pi), 0.0
    thick = max(area_cm2 / (math.pi * most_cm), THIN_CM)
    return thick, area_cm2 / (math.pi * thick)


def _anode(area_cm2: float, kind: str, pot: Pot) -> tuple[float, float]:
    """Diameter and depth of the anode; over a pool it ends the gap above it, and its lower face counts too."""
    if kind != "pool":
        return _rod(area_cm2, "rod", pot.immersed_cm)
    deep = _over_pool_cm(pot)
    thick = 2 * (math.sqrt(deep**2 + area_cm2 / math.pi) - deep)  # pi d h + pi d^2 / 4 = A
    if thick >= THIN_CM:
        return thick, deep
    return THIN_CM, max(area_cm2 / (math.pi * THIN_CM) - THIN_CM / 4, 0.0)


def _over_pool_cm(pot: Pot) -> float:
    """How deep an anode can hang over a pool."""
    return max(pot.depth_cm - POOL_CM - _gap_cm("pool", pot), 0.5)


def _gap_cm(kind: str, pot: Pot) -> float:
    room = 0.4 * (min(pot.diameter_cm, pot.depth_cm) if kind == "pool" else pot.diameter_cm)
    return min(GAP_CM, room)


def _room_A(pot: Pot, cathode: str, own: float, other: float) -> float:
    """Most current that electrodes in this pot can carry at the densities aimed at."""
    thick = ROOM * pot.diameter_cm
    rod = math.pi * thick * pot.immersed_cm
    anode = rod if cathode != "pool" else math.pi * thick * (_over_pool_cm(pot) + thick / 4)
    area = {"rod": rod, "pool": pot.surface_cm2, "contact": 0.05 * pot.surface_cm2}[cathode]
    return min(own * area, other * anode)


def _shape(amps: float, own: float, other: float, cathode: str, pot: Pot) -> Geometry:
    return Geometry(amps / own, _gap_cm(cathode, pot), amps / other, cathode)
