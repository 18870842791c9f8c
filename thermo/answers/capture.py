"""Air against the gas of an anode: what dilution would take, and why the gas is caught instead.

Worked value: 10 A of chlorine to 0.5 ppm: 152 m3/min of perfectly mixed air.
"""

from thermo.laws.ventilation import HOOD_M3_MIN, MIXING, ExposureLimit, dilution_air, limits_of


def dilution_table(gas: str, release_L_min: float) -> tuple[tuple[ExposureLimit, float], ...]:
    """Air in m3/min that would hold the uncaptured gas at each published limit, perfectly mixed (K = 1)."""
    known = ((limit, limit.ppm) for limit in limits_of(gas))
    return tuple((limit, dilution_air(release_L_min, ppm) / 1000) for limit, ppm in known if ppm is not None)


def capture_note(air_m3_min: tuple[tuple[ExposureLimit, float], ...]) -> str:
    """One line: why the gas is caught at the anode and not diluted; '' where no limit is known."""
    if not air_m3_min:
        return ""
    limit, flow = max(air_m3_min, key=lambda entry: entry[1])
    return (
        f"uncaptured, it would take {flow:.3g} m3/min of perfectly mixed air to stay at {limit.name}, "
        f"{MIXING[0]:g} to {MIXING[1]:g} times that in a real room, "
        f"against about {HOOD_M3_MIN:g} m3/min of a fume hood: capture at the anode and scrub"
    )
