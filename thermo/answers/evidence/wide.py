"""Why the band of a melt of several salts is wide, in one line, and what would narrow it.

Where these salts were never published together the line parts the variance (equilibrium/freezing/spread_parts): how far
such melts stray from their pairs, and the pair that leaves most open, where that is a fifth of it or more.
Limits: words; melts of three and more salts whose band is wider than WIDE_K. Worked value: NaCl 60, CaCl2 18, MgCl2 22:
21 K of 30 are NaCl-MgCl2's.
"""

from thermo.equilibrium.freezing.spread_parts import OWN, TERMS, spread_parts
from thermo.records.composition import Composition
from thermo.records.published import ternary_points

WIDE_K = 30.0  # a wider band says why
TOLD = 0.2  # share of the variance from which a pair is named: judgement


def why_wide(melt: Composition, sigma_K: float) -> tuple[str, ...]:
    """The line; none where the band is not wide, or melts of these salts were published."""
    salts = melt.salts
    if len(salts) < 3 or sigma_K <= WIDE_K or any(point.fractions for point in ternary_points(*salts)):
        return ()
    parts = spread_parts(melt)
    stray_K = sum(part.sigma_K**2 for part in parts if part.of in ((OWN,), (TERMS,))) ** 0.5
    pair = next((part for part in parts if len(part.of) == 2 and part.share >= TOLD), None)
    cause, curves = f"how far such melts stray from their pairs ({stray_K:.0f} K)", "one cooling curve of this melt"
    if pair is not None:
        name = "-".join(pair.of)
        cause += f" and what is open of {name} ({pair.sigma_K:.0f} K)"
        curves += f", or some of {name},"
    names = f"{', '.join(salts[:-1])} and {salts[-1]}"
    return (f"the data hold no published melt of {names} together: +- {sigma_K:.0f} K is {cause}; "
            f"{curves} would narrow it",)  # fmt: skip
