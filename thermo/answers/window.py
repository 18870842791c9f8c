"""Between which temperatures can the cell run, and what sets each limit?

Low side: start of freezing + superheat, measured where a melt like it was (evidence/start_of_freezing); for a liquid
deposit also the metal's melting point + 20 K. High side: the metal's boiling point; for a solid deposit its melting
point - 20 K; salt vapour at 1000 Pa; the vessel in its atmosphere. The highest low limit and the lowest high limit
bind. Margins, the 1000 Pa and vessel limits are common practice, no source. Metal vapour at 0.1 atm is advice, not a
limit: many baths are run hotter, with losses.
Temperatures in K, pressures in Pa. Limits: 1 atm; a metal dissolving in the bath or attacking the vessel narrows it.
Worked value: pure NaCl, sodium, no superheat: 801 to 883 deg C (NaCl melts, sodium boils).
"""

from dataclasses import dataclass, replace

from thermo.answers.bath_vapour import most_volatile, temperature_of_vapour
from thermo.answers.evidence.start_of_freezing import measured_near
from thermo.answers.little_solid import LITTLE_MASS_PERCENT, LittleSolid
from thermo.answers.preferred import Preferred, preferred, vapour_limit_K
from thermo.records.attack import attack_by
from thermo.records.composition import Composition, halide_at_the_anode
from thermo.records.provenance import InputError, Origin
from thermo.records.substances import Metal, metal, salt
from thermo.records.units import celsius
from thermo.records.vessels import Vessel, vessel_named

DEPOSITS = ("liquid", "solid")
ATMOSPHERES = ("air", "inert")
MARGIN_K = 20.0  # from the metal's melting point: common practice, no source
SALT_VAPOUR_PA = 1000.0  # visible fuming and loss of bath: common practice, no source
PRACTICE = "practice"
LEADS = 0.5  # weight from which a measured start of freezing gives the low end its name
UNKNOWN = "Where this melt starts to freeze is not known"


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


@dataclass(frozen=True)
class Window:
    """Whether a window exists, its ends in K, every limit with the binding ones marked, and the story in words.

    low_K is None where nothing sets a low end because the start of freezing is unknown; no window exists then.
    sigma_low_K is the standard deviation of the low end where the liquidus sets it (0 otherwise). advice holds softer
    limits that do not bind; cautions what the vessel and the atmosphere want watched; preferred is where the trade runs
    it (None without a metal or a window).
    """

    exists: bool
    low_K: float | None
    high_K: float
    limits: tuple[Limit, ...]
    explanation: str
    sigma_low_K: float = 0.0
    advice: tuple[Limit, ...] = ()
    cautions: tuple[str, ...] = ()
    preferred: Preferred | None = None

    @property
    def span_K(self) -> tuple[float, float] | None:
        """Its two ends; None where there is no window."""
        return (self.low_K, self.high_K) if self.exists and self.low_K is not None else None

    def holds(self, T_K: float) -> bool:
        """Whether a cell can run at T, to 1e-6 K."""
        return self.span_K is not None and self.span_K[0] - 1e-6 <= T_K <= self.span_K[1]

    @property
    def words(self) -> str:
        """What there is instead of a window, in two or three words; empty where one exists."""
        return "" if self.exists else "lower end not known" if self.low_K is None else "no window"


def operating_window(
    composition: Composition,
    liquidus_T_K: float | None,
    liquidus_sigma_K: float,
    symbol: str | None = None,
    deposit: str | None = None,
    superheat_K: float = 30.0,
    vessel: str | None = None,
    atmosphere: str = "inert",
    little: LittleSolid | None = None,
) -> Window:
    """The operating window of a melt whose liquidus is given, for a metal, a wanted deposit and a vessel if named.

    liquidus_T_K: None where it is unknown; the window then says so, and ends below where something else limits it.
    little: undissolved fluoride at the working temperature: the window is then that of the melt above it.
    deposit 'liquid' or 'solid' needs a metal; None leaves the metal's melting point out and says which state results.
    InputError for anything not allowed.
    """
    check_wishes(symbol, deposit, superheat_K, vessel, atmosphere)
    element = None if symbol is None else metal(symbol)
    pot = None if vessel is None else vessel_named(vessel)
    limits = [] if liquidus_T_K is None else _liquidus_limits(composition, liquidus_T_K, superheat_K)
    if little is not None:
        limits = [_little_limit(little, superheat_K)]
    limits.append(_salt_vapour_limit(composition))
    if element is not None:
        limits += _metal_limits(element, deposit)
    if pot is not None:
        limits += _vessel_limits(pot, atmosphere, symbol)
    low = max((limit for limit in limits if limit.side == "low"), key=lambda limit: limit.T_K, default=None)
    high = min((limit for limit in limits if limit.side == "high"), key=lambda limit: limit.T_K)
    marked = tuple(replace(limit, binding=limit is low or limit is high) for limit in limits)
    advice = () if element is None else _advice(element, high.T_K)
    cautions = () if pot is None else _vessel_cautions(pot, composition, atmosphere, symbol)
    if low is None:
        return Window(
            False, None, high.T_K, marked, f"{UNKNOWN}, and nothing else sets a lower end.", 0.0, advice, cautions
        )
    sigma = liquidus_sigma_K if low.kind in ("liquidus", "published") else 0.0
    exists = low.T_K < high.T_K
    best = None
    if exists and element is not None:
        best = preferred(element.symbol, halide_at_the_anode(composition), deposit, low.T_K, high.T_K)
    story = _story(low, high, sigma, element, best) if exists else _clash(low, high, element, superheat_K)
    if little is not None:
        at = f"{celsius(little.T_K):.0f} deg C"
        story += f" At {at} {little.words} lies undissolved: this is the window of the melt above it."
    if liquidus_T_K is None:
        story += f" {UNKNOWN}: it may be above the lower end."
    return Window(exists, low.T_K, high.T_K, marked, story, sigma, advice, cautions, best)


def check_wishes(
    symbol: str | None, deposit: str | None, superheat_K: float, vessel: str | None, atmosphere: str
) -> None:
    """InputError for a metal, deposit, superheat, vessel or atmosphere that is not to be had."""
    if symbol is not None:
        metal(symbol)
    if vessel is not None:
        vessel_named(vessel)
    if deposit is not None and deposit not in DEPOSITS:
        raise InputError(f"deposit {deposit!r}: allowed are liquid and solid")
    if deposit is not None and symbol is None:
        raise InputError(f"deposit {deposit}: name the metal too")
    if not 0 <= superheat_K <= 500:
        raise InputError(f"superheat {superheat_K:g} K: allowed is 0 to 500")
    check_atmosphere(atmosphere)


def check_atmosphere(word: str) -> None:
    """InputError for an atmosphere that is not in the list."""
    if word not in ATMOSPHERES:
        raise InputError(f"atmosphere {word!r}: allowed are {' and '.join(ATMOSPHERES)}")


def _liquidus_limits(composition: Composition, T_K: float, superheat_K: float) -> list[Limit]:
    """The start of freezing, hot or cold as it was measured where a published melt like it leads."""
    more = f" + {superheat_K:g} K superheat" if superheat_K else ", no superheat"
    said = measured_near(composition.present)
    if said is None or said.weight < LEADS:
        return [Limit("low", T_K + superheat_K, f"liquidus{more}", False, Origin.FITTED, PRACTICE, "liquidus")]
    near = said.rows[0]
    reason = f"published melt {100 * near.away:.1f} mol% away, {round(celsius(T_K), 1):g} deg C{more}"
    return [Limit("low", T_K + superheat_K, reason, False, Origin.MEASURED, near.source, "published")]


def _little_limit(little: LittleSolid, superheat_K: float) -> Limit:
    """Where the melt above a little undissolved fluoride freezes itself, or the solid becomes more than a little."""
    if little.freezes_K is None:
        reason = f"more than {LITTLE_MASS_PERCENT:g} mass% of solid fluoride below"
        return Limit("low", little.too_much_K or little.T_K, reason, False, Origin.FITTED, PRACTICE, "liquidus")
    more = f" + {superheat_K:g} K superheat" if superheat_K else ", no superheat"
    reason = f"liquidus of the melt above the undissolved fluoride{more}"
    return Limit("low", little.freezes_K + superheat_K, reason, False, Origin.FITTED, PRACTICE, "liquidus")


def _salt_vapour_limit(composition: Composition) -> Limit:
    T_K = temperature_of_vapour(composition, SALT_VAPOUR_PA)
    reason = f"salt vapour at {SALT_VAPOUR_PA:.0f} Pa, mostly {most_volatile(composition, T_K)}"
    return Limit("high", T_K, reason, False, Origin.ESTIMATED, PRACTICE, "salt vapour")


def _metal_limits(element: Metal, deposit: str | None) -> list[Limit]:
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


def _vessel_limits(pot: Vessel, atmosphere: str, symbol: str | None) -> list[Limit]:
    """Its service limit, and the temperature from which the metal dissolves it."""
    T_K = pot.air_limit_K if atmosphere == "air" else pot.inert_limit_K
    where = "in air" if atmosphere == "air" else "under inert gas"
    limits = [Limit("high", T_K, f"{pot.name} {where}", False, Origin.ESTIMATED, pot.source, "vessel")]
    found = attack_by(symbol, pot.name)
    if found is not None and found.kind == "dissolves" and found.from_K is not None:
        reason = f"{pot.name} unfit above: {found.words}"
        limits.append(Limit("high", found.from_K, reason, False, Origin.ESTIMATED, found.source, "vessel"))
    return limits


def _vessel_cautions(pot: Vessel, composition: Composition, atmosphere: str, symbol: str | None) -> tuple[str, ...]:
    held = {salt(f).anion for f in composition.present.salts}
    notes = []
    for anion, kind, stands in (("F", "fluorides", pot.fluorides), ("Cl", "chlorides", pot.chlorides)):
        if anion in held and stands == "no":
            notes.append(f"{pot.name} is dissolved by molten {kind} and may leak: use graphite, nickel or molybdenum")
        elif anion in held and stands != "yes":
            notes.append(f"{pot.name} in molten {kind}: {stands}")
    notes.append(f"{pot.name}: {pot.attack}")
    found = attack_by(symbol, pot.name)
    if found is not None:
        above = "" if found.from_K is None else f" from {celsius(found.from_K):.0f} deg C"
        notes.append(f"{pot.name}{above}: {found.words}")
    if atmosphere == "air":
        notes.append("air over the bath: metal burns, and damp air makes HCl or HF and oxide sludge")
    return tuple(notes)


def _advice(element: Metal, high_K: float) -> tuple[Limit, ...]:
    T_K = vapour_limit_K(element.symbol)
    reason = f"{element.name} vapour at 0.1 atm: losses, fog and fire risk grow above"
    soft = Limit("high", T_K, reason, False, Origin.ESTIMATED, PRACTICE, "metal vapour")
    return (soft,) if high_K > soft.T_K else ()


def _story(low: Limit, high: Limit, sigma_K: float, element: Metal | None, best: Preferred | None) -> str:
    text = ""
    if best is not None:
        text = f"Best {celsius(best.low_K):.0f} to {celsius(best.high_K):.0f} deg C ({best.reason}). Possible "
    text += (
        f"{celsius(low.T_K):.0f} to {celsius(high.T_K):.0f} deg C: the low end is set by {low.reason}, "
        f"the high end by {high.reason}."
    )
    width = high.T_K - low.T_K
    if sigma_K > 0 and width < 2 * sigma_K:
        text += f" It is narrower than the doubt in the liquidus ({sigma_K:.0f} K): it may not exist."
    return f"{text} {_state(low.T_K, high.T_K, element)}".strip()


def _state(low_K: float, high_K: float, element: Metal | None) -> str:
    if element is None:
        return ""
    melts = element.melting_point_K
    if low_K < melts < high_K:
        return f"{element.name.capitalize()} deposits solid below {celsius(melts):.0f} deg C and liquid above."
    return f"{element.name.capitalize()} deposits {'liquid' if low_K >= melts else 'solid'}."


def _clash(low: Limit, high: Limit, element: Metal | None, superheat_K: float) -> str:
    text = (
        f"No window: the bath must be above {celsius(low.T_K):.0f} deg C ({low.reason}) "
        f"but below {celsius(high.T_K):.0f} deg C ({high.reason})."
    )
    return f"{text} What would open one: {_opener(low, high, element, superheat_K)}."


def _opener(low: Limit, high: Limit, element: Metal | None, superheat_K: float) -> str:
    ways = []
    if low.kind in ("liquidus", "published"):
        ways.append(f"a lower-melting mix, liquidus below {celsius(high.T_K - superheat_K):.0f} deg C")
        if superheat_K > 0 and low.T_K - superheat_K < high.T_K:
            ways.append("less superheat")
    if high.kind == "freezing":
        ways.append("taking the metal liquid instead of solid")
    if low.kind == "melting" and element is not None:
        ways.append(f"taking the {element.name} solid, or into a lower-melting alloy")
    if high.kind == "vessel":
        ways.append(f"a vessel that stands {celsius(low.T_K):.0f} deg C or more")
        if " unfit above: " in high.reason:
            ways[-1] = "a vessel that the metal leaves alone"
        if high.reason.endswith("in air"):
            ways.append("inert gas, if the vessel stands more there")
    if high.kind == "salt vapour":
        ways.append("less of the volatile salt, or a closed and vented pot")
    return "; or ".join(ways) if ways else "nothing simple; choose another metal or bath"
