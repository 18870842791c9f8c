"""Every limit of an operating window, one by one: which side, how hot, why, and what it rests on.

Low side: start of freezing + superheat, the metal's melting point + 20 K for a liquid deposit. High side: the metal's
boiling point, its melting point - 20 K for a solid deposit, salt vapour at 1000 Pa, the vessel in its atmosphere.
Margins, the 1000 Pa and vessel limits are common practice, no source.
Limits: 1 atm. Worked value: a liquid deposit of magnesium: 670 deg C or more.
"""

from dataclasses import dataclass

from thermo.answers.bath_vapour import most_volatile, sigma_of_vapour_temperature, temperature_of_vapour
from thermo.answers.evidence.start_of_freezing import DissolvedOxide, measured_near
from thermo.answers.little_solid import LITTLE_MASS_PERCENT, LittleSolid
from thermo.answers.preferred import vapour_limit_K
from thermo.records.attack import attack_by
from thermo.records.composition import Composition
from thermo.records.provenance import Origin
from thermo.records.substances import Metal
from thermo.records.units import celsius
from thermo.records.vessels import Vessel

MARGIN_K = 20.0  # from the metal's melting point: common practice, no source
SALT_VAPOUR_PA = 1000.0  # visible fuming and loss of bath: common practice, no source
PRACTICE = "practice"
LEADS = 0.5  # weight from which a measured start of freezing gives the low end its name


@dataclass(frozen=True)
class Limit:
    """One limit of the window.

    kind: liquidus, published, melting, freezing, boiling, salt vapour, metal vapour or vessel.
    """

    side: str
    T_K: float
    reason: str
    binding: bool
    origin: Origin
    source: str
    kind: str


def liquidus_limit(
    composition: Composition, T_K: float, superheat_K: float, dissolved: DissolvedOxide | None = None
) -> Limit:
    """The start of freezing, hot or cold as it was measured where a published melt like it leads; T_K counts the oxide
    dissolved.
    """
    more = f" + {superheat_K:g} K superheat" if superheat_K else ", no superheat"
    said = measured_near(composition.present)
    if dissolved is not None and dissolved.mass_percent is not None:
        reason = f"liquidus with {dissolved.mass_percent:.1f} mass% {dissolved.formula} dissolved{more}"
        return Limit("low", T_K + superheat_K, reason, False, Origin.FITTED, PRACTICE, "liquidus")
    if said is None or said.weight < LEADS:
        return Limit("low", T_K + superheat_K, f"liquidus{more}", False, Origin.FITTED, PRACTICE, "liquidus")
    near = said.rows[0]
    reason = f"published melt {100 * near.away:.1f} mol% away, {round(celsius(T_K), 1):g} deg C{more}"
    return Limit("low", T_K + superheat_K, reason, False, Origin.MEASURED, near.source, "published")


def little_limit(little: LittleSolid, superheat_K: float) -> Limit:
    """Where the melt above a little undissolved fluoride freezes itself, or the solid becomes more than a little."""
    if little.freezes_K is None:
        reason = f"more than {LITTLE_MASS_PERCENT:g} mass% of solid fluoride below"
        return Limit("low", little.too_much_K or little.T_K, reason, False, Origin.FITTED, PRACTICE, "liquidus")
    more = f" + {superheat_K:g} K superheat" if superheat_K else ", no superheat"
    reason = f"liquidus of the melt above the undissolved fluoride{more}"
    return Limit("low", little.freezes_K + superheat_K, reason, False, Origin.FITTED, PRACTICE, "liquidus")


def salt_vapour_limit(composition: Composition) -> Limit:
    """Where the bath fumes visibly."""
    T_K = temperature_of_vapour(composition, SALT_VAPOUR_PA)
    spread = sigma_of_vapour_temperature(composition, T_K)
    reason = f"salt vapour at {SALT_VAPOUR_PA:.0f} Pa (+- {spread:.0f} K), mostly {most_volatile(composition, T_K)}"
    return Limit("high", T_K, reason, False, Origin.ESTIMATED, PRACTICE, "salt vapour")


def metal_limits(element: Metal, deposit: str | None) -> list[Limit]:
    """The metal's boiling point, and its melting point where the deposit is to be liquid or solid."""
    source = element.sources[0]
    limits = [
        Limit(
            "high",
            element.boiling_point_K,
            f"boiling point of {element.name} (1 atm)",
            False,
            Origin.MEASURED,
            source,
            "boiling",
        )
    ]
    melts = element.melting_point_K
    if deposit == "liquid":
        reason = f"melting point of {element.name} + {MARGIN_K:.0f} K, for a liquid deposit"
        limits.append(Limit("low", melts + MARGIN_K, reason, False, Origin.MEASURED, source, "melting"))
    if deposit == "solid":
        reason = f"melting point of {element.name} - {MARGIN_K:.0f} K, for a solid deposit"
        limits.append(Limit("high", melts - MARGIN_K, reason, False, Origin.MEASURED, source, "freezing"))
    return limits


def vessel_limits(pot: Vessel, atmosphere: str, symbol: str | None) -> list[Limit]:
    """Its service limit, and the temperature from which the metal dissolves it."""
    T_K = pot.air_limit_K if atmosphere == "air" else pot.inert_limit_K
    where = "in air" if atmosphere == "air" else "under inert gas"
    limits = [Limit("high", T_K, f"{pot.name} {where}", False, Origin.ESTIMATED, pot.source, "vessel")]
    found = attack_by(symbol, pot.name)
    if found is not None and found.kind == "dissolves" and found.from_K is not None:
        reason = f"{pot.name} unfit above: {found.words}"
        limits.append(Limit("high", found.from_K, reason, False, Origin.ESTIMATED, found.source, "vessel"))
    return limits


def advice_of(element: Metal, high_K: float) -> tuple[Limit, ...]:
    """Softer limits that do not bind: the metal's own vapour."""
    T_K = vapour_limit_K(element.symbol)
    reason = f"{element.name} vapour at 0.1 atm: losses, fog and fire risk grow above"
    soft = Limit("high", T_K, reason, False, Origin.ESTIMATED, PRACTICE, "metal vapour")
    return (soft,) if high_K > soft.T_K else ()
