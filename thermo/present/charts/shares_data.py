"""The shares of two to six salts as plain data: a track and a knob a salt.

Limits: words only; the drawing is shares.js, where a knob that moves leaves the other salts in their proportions.
Worked value: shares_diagram(("NaCl", "KCl"))["names"] = ["NaCl", "KCl"].
"""

from thermo.present.charts.pair_data import named
from thermo.present.words.written import pretty


def shares_diagram(salts: tuple[str, ...]) -> dict:
    """A drawing of the kind "shares" for these salts, in their order."""
    return named(
        {
            "kind": "shares",
            "summary": f"Shares of {', '.join(salts)} in mole percent; moving one keeps the others in proportion",
            "names": [pretty(salt) for salt in salts],
        }
    )
