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

from thermo.answers.evidence.start_of_freezing import DissolvedOxide
from thermo.answers.little_solid import LittleSolid
from thermo.answers.preferred import Preferred, preferred
from thermo.answers.window_limits import (
    Limit,
    advice_of,
    liquidus_limit,
    little_limit,
    metal_limits,
    salt_vapour_limit,
    vessel_limits,
)
from thermo.records.attack import attack_by
from thermo.records.composition import Composition, halide_at_the_anode
from thermo.records.provenance import InputError
from thermo.records.substances import Metal, metal, salt
from thermo.records.units import celsius
from thermo.records.vessels import Vessel, vessel_named

DEPOSITS = ("liquid", "solid")
ATMOSPHERES = ("air", "inert")
AIR = "air over the bath: metal burns, and damp air makes HCl or HF and oxide sludge"
UNKNOWN = "Where this melt starts to freeze is not known"


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
    dissolved: DissolvedOxide | None = None,
) -> Window:
    """The operating window of a melt whose liquidus is given, for a metal, a wanted deposit and a vessel if named.

    liquidus_T_K: None where it is unknown; the window then says so, and ends below where something else limits it.
    little: undissolved fluoride at the working temperature: the window is then that of the melt above it.
    dissolved: oxide that a fed bath holds, already counted in liquidus_T_K: named in the reason.
    deposit 'liquid' or 'solid' needs a metal; None leaves the metal's melting point out and says which state results.
    InputError for anything not allowed.
    """
    check_wishes(symbol, deposit, superheat_K, vessel, atmosphere)
    element = None if symbol is None else metal(symbol)
    limits = _vessel_and_metal(element, deposit, vessel, atmosphere)
    limits.insert(0, salt_vapour_limit(composition))
    if little is not None:
        limits.insert(0, little_limit(little, superheat_K))
    elif liquidus_T_K is not None:
        limits.insert(0, liquidus_limit(composition, liquidus_T_K, superheat_K, dissolved))
    window = _between(composition, limits, liquidus_sigma_K, element, deposit, superheat_K)
    stands = () if vessel is None else _vessel_cautions(vessel_named(vessel), composition, symbol)
    window = replace(window, cautions=(*stands, AIR) if atmosphere == "air" else stands)
    if window.low_K is None:
        return window
    story = window.explanation
    if little is not None:
        at = f"{celsius(little.T_K):.0f} deg C"
        story += f" At {at} {little.words} lies undissolved: this is the window of the melt above it."
    if liquidus_T_K is None:
        story += f" {UNKNOWN}: it may be above the lower end."
    return replace(window, explanation=story)


def _vessel_and_metal(element: Metal | None, deposit: str | None, vessel: str | None, atmosphere: str) -> list[Limit]:
    """The limits that the metal and the vessel set."""
    limits = [] if element is None else metal_limits(element, deposit)
    if vessel is not None:
        limits += vessel_limits(vessel_named(vessel), atmosphere, None if element is None else element.symbol)
    return limits


def _between(
    composition: Composition,
    limits: list[Limit],
    liquidus_sigma_K: float,
    element: Metal | None,
    deposit: str | None,
    superheat_K: float,
) -> Window:
    """The window between the highest low limit and the lowest high limit, with its story."""
    low = max((limit for limit in limits if limit.side == "low"), key=lambda limit: limit.T_K, default=None)
    high = min((limit for limit in limits if limit.side == "high"), key=lambda limit: limit.T_K)
    marked = tuple(replace(limit, binding=limit is low or limit is high) for limit in limits)
    advice = () if element is None else advice_of(element, high.T_K)
    if low is None:
        return Window(False, None, high.T_K, marked, f"{UNKNOWN}, and nothing else sets a lower end.", 0.0, advice)
    sigma = liquidus_sigma_K if low.kind in ("liquidus", "published") else 0.0
    exists = low.T_K < high.T_K
    best = None
    if exists and element is not None:
        best = preferred(element.symbol, halide_at_the_anode(composition), deposit, low.T_K, high.T_K)
    story = _story(low, high, sigma, element, best) if exists else _clash(low, high, element, superheat_K)
    return Window(exists, low.T_K, high.T_K, marked, story, sigma, advice, (), best)


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


def _vessel_cautions(pot: Vessel, composition: Composition, symbol: str | None) -> tuple[str, ...]:
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
    return tuple(notes)


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
