"""Numbers of our tables read a second time, in another print or anew in the same one (second_prints.csv here).

`row` names one row of a table by what it holds; `printed` is the number there (with K: kelvin, where our column is
deg C); `within` is how far ours may lie off: nothing, or half a degree where kelvin were written as whole degrees; more
has its reason in `where`.
"""

import csv
from pathlib import Path

import pytest
from scipy.constants import zero_Celsius

from tests.each import each
from tests.witnesses.tables import read_table
from thermo.records.composition import formula_mass

with (Path(__file__).with_name("second_prints.csv")).open(encoding="utf-8", newline="") as file:
    PRINTS = list(csv.DictReader(file))


def alike(cell: str, wanted: str) -> bool:
    """Equal as numbers where both are, else as words."""
    try:
        return float(cell) == float(wanted)
    except ValueError:
        return cell == wanted


def named(table: str, words: str) -> dict[str, str]:
    """The one row that holds all of 'column=value;column=value' (a bath holds = itself)."""
    wanted = dict(part.split("=", 1) for part in words.split(";"))
    found = [row for row in read_table(table) if all(alike(row[column], value) for column, value in wanted.items())]
    assert len(found) == 1, f"{table} {words}: {len(found)} rows"
    return found[0]


@each(range(len(PRINTS)), compared=len(PRINTS))
def test_a_number_is_the_one_printed_elsewhere(n):
    read = PRINTS[n]
    printed = read["printed"].removesuffix(" K")
    value = float(printed) - (zero_Celsius if printed != read["printed"] else 0.0)
    row = named(read["table"], read["row"])
    assert float(row[read["column"]]) == pytest.approx(value, rel=1e-9, abs=float(read["within"]))


IN_MG = {  # mg/m3 that the documentation of 1994 prints beside ppm, with the digit to which it prints them
    ("Cl2", "REL"): (1.45, 0.005),
    ("Cl2", "PEL"): (3, 0.5),
    ("HCl", "REL"): (7, 0.5),
    ("HF", "REL"): (2.5, 0.05),
    ("CO", "REL"): (40, 0.5),
    ("NH3", "REL"): (17, 0.5),
}


@each(sorted(IN_MG), compared=len(IN_MG))
def test_parts_per_million_are_the_milligrams_printed_beside_them(gas, limit):
    """mg/m3 = ppm M / 24.45, the litres of a mole at 25 deg C; the first of two limits is the one for the day."""
    printed, digit = IN_MG[gas, limit]
    rows = [row for row in read_table("exposure.csv") if (row["gas"], row["limit"]) == (gas, limit)]
    row = next((row for row in rows if row["averaging"] == "8 h"), rows[0])
    assert float(row["value_ppm"]) * formula_mass(gas) / 24.45 == pytest.approx(printed, abs=digit)
