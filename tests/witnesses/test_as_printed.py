"""A row against what its own source prints, where the row quotes it in the source's unit or as a formula.

The columns hold what was converted: deg C from K, J/mol from cal/g, Pa from mmHg, volts from an activity, a line in K
from one in deg C. The words of `locator` and `caveat` hold the print itself; both must say the same.
"""

import math
import re

import pytest
from scipy.constants import R, inch, pound, torr
from scipy.constants import calorie as CAL

from tests.each import NOTHING, each
from tests.witnesses.tables import read_table
from thermo.records.composition import formula_mass

F = 96485.33212
ATM = 101325.0
NUMBER = r"(\d+(?:\.\d+)?(?:e-?\d+)?)"


def words(row: dict[str, str]) -> str:
    """Everything a row says in words."""
    return f"{row['locator']}; {row['caveat']}"


def numbered(table: str) -> list[int]:
    return list(range(len(read_table(table))))


# ---------------------------------------------------------------- kelvin
IN_KELVIN = [
    (table, column, n)
    for table, column in (
        ("diffusion.csv", "T_C"),
        ("oxide_solubility.csv", "T_C"),
        ("alloy_cathodes.csv", "T_low_C"),
        ("published_cells.csv", "T_C"),
        ("drying_steps.csv", "T_C"),
        ("joining_currents.csv", "T_C"),
        ("lower_valences.csv", "T_C"),
    )
    for n in numbered(table)
    if read_table(table)[n][column] and re.search(r"\b\d{3,4} K\b", read_table(table)[n]["locator"])
]


@each(IN_KELVIN, compared=12)
def test_degrees_are_the_kelvin_that_were_printed(table, column, n):
    """One temperature, or a span: both ends where the row has both, within it where the row has one; whole degrees."""
    row = read_table(table)[n]
    ((low, high),) = re.findall(r"\b(\d{3,4})(?: to (\d{3,4}))? K\b", row["locator"])
    printed = [float(T) - 273.15 for T in (low, high or low)]
    upper = column.replace("low", "high")
    if high and upper == column:
        assert printed[0] - 0.5 <= float(row[column]) <= printed[1] + 0.5
    elif high:
        assert [float(row[column]), float(row[upper])] == pytest.approx(printed, abs=0.5)
    else:
        assert min(abs(float(row[end]) - printed[0]) for end in (column, upper) if row[end]) <= 0.5


# ---------------------------------------------------------------- lines of density
LINE = re.compile(rf"(?<![\d.]){NUMBER} - {NUMBER} (?:(t) \(deg C\)|T(?![a-z])|\(([tT]) - {NUMBER}(?: deg C)?\))")
DENSITIES = [(table, n) for table in ("metals", "salts", "mixtures") for n in numbered(f"density/{table}.csv")]


@each(DENSITIES, compared=12)
def test_a_line_in_kelvin_is_the_line_that_was_printed(table, n):
    row = read_table(f"density/{table}.csv")[n]
    if not (found := LINE.search(row["locator"])):
        return NOTHING
    level, slope = float(found[1]), float(found[2])
    zero = 273.15 if found[3] else float(found[5] or 0) + (273.15 if found[4] == "t" else 0.0)
    if level > 100:  # kg/m3
        level, slope = level / 1000, slope / 1000
    assert float(row["b_g_cm3_K"]) == pytest.approx(slope, rel=1e-6)
    assert float(row["a_g_cm3"]) == pytest.approx(level + slope * zero, abs=6e-5)  # written to four or five places
    return None


VOLUMES = re.compile(rf"{NUMBER} cm3/mol at {NUMBER}, {NUMBER} at {NUMBER} deg C")
OF_VOLUMES = [row["salt"] for row in read_table("density/salts.csv") if VOLUMES.search(row["locator"])]


def volumes_agree(salt: str) -> None:
    """Printed to 0.1 cm3/mol at two temperatures, which are the ends of the line."""
    row = next(r for r in read_table("density/salts.csv") if r["salt"] == salt and VOLUMES.search(r["locator"]))
    one, low, other, high = map(float, VOLUMES.search(row["locator"]).groups())
    for volume, t_C in ((one, low), (other, high)):
        density = float(row["a_g_cm3"]) - float(row["b_g_cm3_K"]) * (t_C + 273.15)
        assert formula_mass(salt) / density == pytest.approx(volume, abs=0.051)
    assert (float(row["T_lo_K"]), float(row["T_hi_K"])) == pytest.approx((low + 273.15, high + 273.15), abs=0.5)


@each([salt for salt in OF_VOLUMES if salt != "AlF3"], compared=3)
def test_a_line_passes_through_the_molar_volumes_that_were_printed(salt):
    volumes_agree(salt)


def test_the_line_of_aluminium_fluoride_serves_where_baths_run():
    """26.9 and 30.7 cm3/mol were printed for 600 and 800 deg C. A straight volume is no straight density: the line is
    drawn through the print at 800 and the volume carried on to 1050 deg C. At 600 deg C, where no bath is liquid that
    the program knows to hold much AlF3, the print lies within two standard deviations of 3 %.
    """
    row = next(r for r in read_table("density/salts.csv") if r["salt"] == "AlF3")
    one, low, other, high = map(float, VOLUMES.search(row["locator"]).groups())

    def volume(t_C: float) -> float:
        return formula_mass("AlF3") / (float(row["a_g_cm3"]) - float(row["b_g_cm3_K"]) * (t_C + 273.15))

    assert (one, low, other, high) == (26.9, 600, 30.7, 800)
    assert volume(high) == pytest.approx(other, abs=0.051)
    assert volume(1050) == pytest.approx(one + (other - one) * (1050 - low) / (high - low), abs=0.051)
    assert volume(low) == pytest.approx(one, rel=2 * float(row["sigma_pct"]) / 100)
    assert (float(row["T_lo_K"]), float(row["T_hi_K"])) == pytest.approx((low + 273.15, 1050 + 273.15), abs=0.5)


# ---------------------------------------------------------------- vapour
@each(numbered("volatility.csv"), compared=8)
def test_vapour_equations_are_those_printed(n):
    """mmHg to Pa; or a boiling point with a slope in log10 of so many times it, from 0.7 of it up to it."""
    row = read_table("volatility.csv")[n]
    if found := re.search(rf"log p\(mmHg\) = {NUMBER} - {NUMBER}/T - {NUMBER} log T", row["locator"]):
        assert float(row["A"]) == pytest.approx(float(found[1]) + math.log10(torr), abs=6e-5)
        assert float(row["B_K"]) == -float(found[2])
        assert float(row["C"]) == -float(found[3])
        return None
    if found := re.search(rf"boiling point {NUMBER} K; slope {NUMBER} times the boiling point", row["locator"]):
        boils, times = float(found[1]), float(found[2])
        assert float(row["A"]) == pytest.approx(math.log10(ATM) + times, abs=6e-5)
        assert float(row["B_K"]) == pytest.approx(-times * boils, abs=0.51)
        assert float(row["T_lo_K"]) == pytest.approx(0.7 * boils, abs=0.51)
        assert float(row["T_hi_K"]) == boils
        return None
    if found := re.search(rf"{NUMBER} mmHg at {NUMBER} deg C .* boiling point {NUMBER} deg C", row["locator"]):
        low, high = float(found[2]) + 273.15, float(found[3]) + 273.15
        for T_K, pascal in ((low, torr * float(found[1])), (high, ATM)):
            assert float(row["A"]) + float(row["B_K"]) / T_K == pytest.approx(math.log10(pascal), abs=2e-3)
        assert (float(row["T_lo_K"]), float(row["T_hi_K"])) == (round(low), round(high))
        return None
    return NOTHING


# ---------------------------------------------------------------- heats, activities
@each(numbered("melt_values.csv"), compared=11)
def test_heats_per_mole_are_the_heats_per_gram_that_were_printed(n):
    row = read_table("melt_values.csv")[n]
    mass = sum(float(row[f"x{k}"]) * formula_mass(row[f"salt{k}"]) for k in "1234" if row[f"x{k}"])
    if found := re.match(rf"{NUMBER} (cal|J)/g", row["caveat"]):
        printed = float(found[1]) * (CAL if found[2] == "cal" else 1.0) * mass
        # printed to a whole unit and written to 100 J/mol
        assert float(row["value"]) == pytest.approx(printed, abs=51 + 0.5 * (CAL if found[2] == "cal" else 1.0) * mass)
        return None
    if found := re.match(rf"activity coefficient {NUMBER} on a mole-fraction basis times {NUMBER}", row["caveat"]):
        assert float(row["value"]) == pytest.approx(float(found[1]) * float(found[2]), rel=1e-6)
        return None
    if row["source"] == "janz_tomkins1981" and row["quantity"] == "enthalpy_of_fusion_J_mol":
        kcal = float(row["value"]) / (1000 * CAL)  # printed in kcal to two places
        assert kcal == pytest.approx(round(kcal, 2), abs=1e-4)
        return None
    return NOTHING


@each(numbered("alloy_cathodes.csv"), compared=3)
def test_volts_of_an_alloy_are_its_activity(n):
    """E = -RT/(nF) ln a."""
    row = read_table("alloy_cathodes.csv")[n]
    if not (found := re.search(rf"activity {NUMBER} at {NUMBER} K", row["locator"])):
        return NOTHING
    volts = -R * float(found[2]) / (2 * F) * math.log(float(found[1]))  # calcium and strontium: two electrons
    assert float(row["value_V"]) == pytest.approx(volts, rel=0.02)  # activities are printed to two places
    return None


@each(numbered("oxide_solubility.csv"), compared=4)
def test_mass_shares_of_an_oxide_are_the_mole_shares_that_were_printed(n):
    row = read_table("oxide_solubility.csv")[n]
    if not (found := re.search(rf"{NUMBER} mol% at", row["locator"])):
        return NOTHING
    x = float(found[1]) / 100
    mass = x * formula_mass(row["oxide"]), (1 - x) * formula_mass(row["salt"])
    for column in ("low_mass_pct", "high_mass_pct"):
        assert float(row[column]) == pytest.approx(100 * mass[0] / sum(mass), rel=0.03)  # written to two places
    return None


# ---------------------------------------------------------------- cells
def test_cells_in_the_units_of_their_abstracts():
    """kWh/kg and kWh/lb are 1000 z F V / (3600 M efficiency); A/sq in and inches."""
    rows = {row["source"]: row for row in read_table("published_cells.csv")}
    Ah_kg = 2 * F / 3.6 / formula_mass("MgCl2") * formula_mass("MgCl2") / 24.305
    plates, coaxial, zinc = (rows[key] for key in ("karakaya2012", "demirci2012", "ri8133"))
    assert float(plates["cell_low_V"]) * Ah_kg / 1000 == pytest.approx(7.0, abs=0.05)
    for end in ("low", "high"):
        efficiency = {"low": 0.9, "high": 1.0}[end]
        other = {"low": "low", "high": "high"}[end]
        kWh = float(coaxial[f"cell_{other}_V"]) * Ah_kg / 1000 / efficiency
        assert kWh == pytest.approx(8.0, abs=0.05)
    assert float(zinc["current_low_A_cm2"]) == pytest.approx(5 / (100 * inch) ** 2, abs=6e-4)
    assert float(zinc["gap_cm"]) == pytest.approx(50 * inch, abs=6e-3)
    share = float(zinc["efficiency_low_pct"]) / 100
    per_pound = float(zinc["cell_low_V"]) * 2 * F / 3600 / 65.38 * 1000 * pound / 1000 / share
    assert per_pound == pytest.approx(1.16, abs=0.006)
    for row in (plates, coaxial, zinc):
        assert row["current_low_A_cm2"] == row["current_high_A_cm2"]


@each(numbered("published_cells.csv"), compared=8)
def test_a_range_is_no_range_where_one_value_was_printed(n):
    """ "over 90 %" means 90 to 100; else both ends are the one value."""
    row = read_table("published_cells.csv")[n]
    low, high = row["efficiency_low_pct"], row["efficiency_high_pct"]
    if not low:
        return NOTHING
    if re.search(r"(over|above) (90|averaged)|averaged over 90", row["locator"]):
        assert (float(low), float(high)) == (90, 100)
        return None
    assert float(low) <= float(high) <= 100
    return None


# ---------------------------------------------------------------- hot metals on materials
def cause(row: dict[str, str]) -> tuple[str, str, bool]:
    """Which metal, by what, and whether on steel without nickel."""
    return row["metal"], row["locator"], row["material"] == "mild steel"


ATTACK = [row for row in read_table("metal_attack.csv") if row["from_C"]]


@each(sorted({cause(row) for row in ATTACK}), compared=12)
def test_one_eutectic_has_one_temperature(metal, locator, mild):
    """What melts together does so at one temperature, whichever alloy holds it: rows of one cause agree."""
    rows = [row for row in read_table("metal_attack.csv") if row["from_C"] and cause(row) == (metal, locator, mild)]
    printed = re.search(rf"{NUMBER} C\b", locator)
    found = {float(row["from_C"]) for row in rows}
    assert len(found) == 1
    if printed and "eutectic" in locator:
        assert found == {float(printed[1])}
    if metal in ("Zn", "Li"):  # liquid as such attacks: from the melting point on
        melts = next(float(r["melting_point_K"]) for r in read_table("metals.csv") if r["symbol"] == metal)
        assert found.pop() == pytest.approx(melts - 273.15, abs=1.0)
    return None if len(rows) > 1 or printed else NOTHING
