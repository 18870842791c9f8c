"""What dissolves of a fluoride, in one line: for the card, the command line and the run sheet.

Worked value: 3.8 mass% of CaF2 (2.9 to 5.1) at 700 deg C, then MgF2 begins to come out; 2.0 mass% is in the bath.
"""


def dissolved_words(row: dict) -> str:
    """One entry of `dissolves` (as_json/melt) in words."""
    at, has = f"at {row['T_C']:.0f} deg C", f"{row['in_the_bath_mass_percent']:.1f} mass% is in the bath"
    if row["mass_percent"] is None:
        return f"any amount of {row['salt']} {at}; {has}"
    if row["mass_percent"] == 0:
        return f"no {row['salt']} {at}: {row['solid']} comes out without it; {has}"
    low, high = row["low_mass_percent"], row["high_mass_percent"]
    band = f"{0 if low is None else low:.1f} to " + ("no end" if high is None else f"{high:.1f}")
    solid = f"then {row['solid']} begins to come out"
    return f"{row['mass_percent']:.1f} mass% of {row['salt']} ({band}) {at}, {solid}; {has}"
