"""How large the electrodes are and what current they carry, from the densities of practice and what the supply gives.

Current density: the geometric middle of the range of practice for this metal and cathode, or 0.5 A/cm2; for a solid
deposit the low end. Cathode rod as deep as the pot allows; the anode hangs as deep, its area from its own range. The
current is the least of: what a run of a few hours needs, what the supply gives (nine tenths of its amps; amps at the
computed voltage), what the bath's surface has room for.
The hours aimed at and the room: common practice, no source. Limits: one rod each; plates carry more.
Worked value: 25 g of magnesium at 90 % in 4 h wants 15 A: 28 cm2 of cathode at 0.55 A/cm2.
"""

import math
from dataclasses import dataclass

from thermo.answers.plan.pot import Pot
from thermo.answers.power import CURRENT_DENSITY, Geometry, current_from_supply
from thermo.records.composition import Composition, halide_at_the_anode
from thermo.records.provenance import InputError

AIM_H = 4.0  # a working day with all around it
PLAIN_A_CM2 = ((0.3, 0.8), (0.3, 0.8))  # where practice says nothing
SUPPLY_SHARE = 0.9
GAP_CM = 3.0
THIN_CM = 0.2  # no rod thinner than this: common practice, no source
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


def choose_electrodes(
    melt: Composition,
    symbol: str,
    T_K: float,
    E_V: float,
    charge_Ah: float,
    pot: Pot,
    cathode: str,
    solid: bool,
    supply_V: float | None,
    supply_A: float | None,
    oxide_fed: bool,
) -> Electrodes:
    """Electrodes and current of a run. InputError where the supply cannot take the salt apart."""
    own, other = densities(symbol, halide_at_the_anode(melt), cathode, solid)
    limits = {"": charge_Ah / AIM_H, "the room in the pot": _room_A(pot, cathode, own, other)}
    if supply_A is not None:
        limits["the supply's amps"] = SUPPLY_SHARE * supply_A
    amps = min(limits.values())
    if supply_V is not None:
        shape = _shape(amps, own, other, cathode, pot)
        given = current_from_supply(melt, T_K, E_V, supply_V, shape, supply_A, oxide_fed).mid
        if given < 1e-3:
            raise InputError(
                f"supply {supply_V:g} V: with overvoltage and leads nothing is left for the bath; take a volt more"
            )
        limits["the supply's volts"] = given
    amps = min(limits.values())
    limited = min(limits, key=limits.__getitem__)
    shape = _shape(amps, own, other, cathode, pot)
    cathode_cm, cathode_deep = _rod(shape.cathode_cm2, cathode, pot.immersed_cm)
    anode_cm, anode_deep = _rod(shape.anode_area_cm2, "rod", pot.immersed_cm)
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


def _room_A(pot: Pot, cathode: str, own: float, other: float) -> float:
    """Most current that electrodes in this pot can carry at the densities aimed at."""
    rod = math.pi * ROOM * pot.diameter_cm * pot.immersed_cm
    area = {"rod": rod, "pool": pot.surface_cm2, "contact": 0.05 * pot.surface_cm2}[cathode]
    return min(own * area, other * rod)


def _shape(amps: float, own: float, other: float, cathode: str, pot: Pot) -> Geometry:
    gap = min(GAP_CM, 0.4 * pot.diameter_cm)
    return Geometry(amps / own, gap, amps / other, cathode)
