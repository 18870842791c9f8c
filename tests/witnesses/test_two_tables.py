"""One number in two tables: what was entered twice from one source must be the same there, and second lines agree.

Excess potentials beside the liquidus points they came from, heats of fusion beside the eutectics they belong to,
contaminants, drying, and the second density lines of pure salts.
"""

import math
import re
from pathlib import Path

import numpy as np
import pytest

from tests.each import NOTHING, each
from tests.witnesses.tables import read_table
from tests.witnesses.test_second_lines import chosen, density, melts
from thermo.records.composition import formula_mass
from thermo.records.data_folder import DATA

Row = dict[str, str]


def numbered(table: str) -> list[int]:
    return list(range(len(read_table(table))))


# ---------------------------------------------------------------- mixing and the diagram
LIQUIDUS = {path.stem for path in (Path(DATA) / "liquidus").glob("*.csv")}


def diagram(row: Row) -> list[tuple[float, float]]:
    """(x_b, deg C) of every point of a pair that the same source gives: liquidus and invariants."""
    pair = row["salt_a"], row["salt_b"]
    rows = [r for r in read_table("invariants.csv") if (r["salt_a"], r["salt_b"]) == pair]
    rows += read_table(f"liquidus/{'-'.join(pair)}.csv") if "-".join(pair) in LIQUIDUS else []
    return [(float(r["x_b"]), float(r["T_C"])) for r in rows if r["source"] == row["source"] and r["x_b"] and r["T_C"]]


def from_the_diagram(row: Row) -> bool:
    return "Table II;" in row["locator"] or (row["source"] == "ornl3293" and row["quantity"] == "activity_a")


@each([n for n in numbered("mixing.csv") if from_the_diagram(read_table("mixing.csv")[n])], compared=30)
def test_a_potential_belongs_to_a_point_of_the_diagram(n):
    """Composition and temperature of a row computed from a liquidus are those of that liquidus point."""
    row = read_table("mixing.csv")[n]
    if "digits lost in the scan" in row["caveat"]:
        return NOTHING
    x, t_C = float(row["x_b"]), float(row["T_C"])
    assert any(abs(x - at_x) < 6e-4 and abs(t_C - at_C) < 0.11 for at_x, at_C in diagram(row))
    return None


@each(numbered("mixing.csv"), compared=9)
def test_the_potentials_of_one_table_follow_its_equation(n):
    """Excess potential of LiCl beside KCl and RbCl: table II against the equation of table V, within 3 % or 35 J/mol.

    x^2 (-3544 + 0.65 T + (-1886 + 0.72 T) (1-x)^0.75) and x^2 (-4405 + 2.52 T + (-28000 + 31.54 T) (1-x)^3.25) cal/mol.
    """
    row = read_table("mixing.csv")[n]
    if "Table II;" not in row["locator"] or row["quantity"] != "excess_potential_a_J_mol":
        return NOTHING
    x, T = float(row["x_b"]), float(row["T_C"]) + 273.15
    equation = {
        "KCl": -3544 + 0.65 * T + (-1886 + 0.72 * T) * (1 - x) ** 0.75,
        "RbCl": -4405 + 2.52 * T + (-28000 + 31.54 * T) * (1 - x) ** 3.25,
    }[row["salt_b"]]
    assert float(row["value"]) == pytest.approx(4.184 * x**2 * equation, rel=0.03, abs=35)
    return None


def named(row: Row) -> set[str]:
    return {row[f"salt{k}"] for k in "1234" if row.get(f"salt{k}")}


@each(numbered("melt_values.csv"), compared=16)
def test_a_heat_of_fusion_has_the_temperature_of_its_melt(n):
    """Within 1 K of a published freezing point of the same salts."""
    row = read_table("melt_values.csv")[n]
    if row["quantity"] != "enthalpy_of_fusion_J_mol":
        return NOTHING
    freezing = [r["T_C"] for r in read_table("invariants.csv") if {r["salt_a"], r["salt_b"]} == named(row)]
    freezing += [r["T_C"] for r in read_table("ternary.csv") if named(r) == named(row)]
    assert min(abs(float(t_C) - float(row["T_C"])) for t_C in freezing if t_C) <= 1.01
    return None


@each(numbered("contaminants.csv"), compared=6)
def test_a_contaminant_lowers_the_melting_point_as_the_diagram_says(n):
    """The same point stands in the list of invariants."""
    row = read_table("contaminants.csv")[n]
    found = [
        r
        for r in read_table("invariants.csv")
        if (r["salt_a"], r["salt_b"]) == (row["salt"], row["contaminant"])
        and float(r["T_C"]) == pytest.approx(float(row["eutectic_C"]), abs=0.5)
        and (not row["x_b"] or float(r["x_b"]) == pytest.approx(float(row["x_b"]), abs=5e-4))
    ]
    assert len(found) == 1


# ---------------------------------------------------------------- drying
def salt_of(bottle: str) -> str:
    """NH4MgCl3.6H2O keeps its name: another road to MgCl2."""
    return re.sub(r"\.[\d.]*H2O$", "", bottle)


DRIED = sorted({salt_of(row["bottle"]) for row in read_table("hydrates.csv") if row["dry_by_C"]})


@each(DRIED, compared=6)
def test_hydrates_of_one_salt_are_dry_by_one_temperature(salt):
    """The last water leaves the lowest hydrate, whichever the bottle held."""
    rows = [row for row in read_table("hydrates.csv") if salt_of(row["bottle"]) == salt and row["dry_by_C"]]
    if len(rows) == 1:
        return NOTHING
    assert len({row["dry_by_C"] for row in rows}) == 1
    return None


@each(numbered("hydrates.csv"), compared=15)
def test_a_bottle_is_dry_after_its_last_step(n):
    """The last step is as hot as the table of hydrates asks, or within 50 K of it, and takes its ammonium chloride."""
    row = read_table("hydrates.csv")[n]
    steps = [r for r in read_table("drying_steps.csv") if r["bottle"] == row["bottle"]]
    if not steps:
        return NOTHING
    if row["dry_by_C"]:
        assert float(steps[-1]["T_C"]) >= float(row["dry_by_C"])
    doses = sum(
        float(step["nh4cl_mol_per_mol"] or 0) for step in steps if step["source"] != "practice" or row["dry_by_C"] == ""
    )
    assert doses == pytest.approx(float(row["nh4cl_mol_per_mol"] or 0), abs=1e-9)
    assert float(steps[-1]["water_left_mol"]) == 0
    left = [float(row["water"]), *(float(step["water_left_mol"]) for step in steps)]
    assert left == sorted(left, reverse=True)
    return None


@each(numbered("drying_steps.csv"), compared=10)
def test_a_drying_step_is_as_printed(n):
    """ "the last two waters leave at 200 C", "24 h at 523 K"; the cure of MgCl2 as the list of hydrates has it."""
    row = read_table("drying_steps.csv")[n]
    if found := re.search(r"leave at (\d+) C", row["locator"]):
        assert float(row["T_C"]) == float(found[1])
        return None
    if found := re.search(r"(\d+) h at (\d+) K", row["locator"]):
        assert (float(row["time_h"]), float(row["T_C"])) == pytest.approx(
            (float(found[1]), float(found[2]) - 273.15), abs=0.5
        )
        return None
    if row["source"] == "fcc2006":
        cure = next(r["cure"] for r in read_table("hydrates.csv") if r["bottle"] == "MgCl2.6H2O")
        first, hours, second = map(float, re.search(r"(\d+) C for (\d+) h, then more NH4Cl at (\d+) C", cure).groups())
        assert float(row["T_C"]) == (first if row["step"] == "1" else second)
        assert row["step"] == "2" or float(row["time_h"]) == hours
        assert row["step"] == "1" or float(row["nh4cl_g_per_g"]) == 4  # 1 to 4 by mass
        return None
    return NOTHING


# ---------------------------------------------------------------- lines of pure salts
LIGHT = ("systems 77 and 79 tables 77.1, 79.1", "system 77 table 77.1")  # 6 and 3 % lighter, said in the rows


@each(numbered("density/salts.csv"), compared=37)
def test_second_lines_of_a_salt_agree(n):
    """Over the common span within two standard deviations of both; beside each other, at the nearer ends."""
    row = read_table("density/salts.csv")[n]
    other = chosen("density/salts.csv", salt=row["salt"])
    if row["chosen"] == "yes" or row["locator"] in LIGHT:
        return NOTHING
    allowed = 2 * math.hypot(float(row["sigma_pct"]), float(other["sigma_pct"])) / 100
    low, high = (f(float(row[end]), float(other[end])) for f, end in ((max, "T_lo_K"), (min, "T_hi_K")))
    if low > high:  # molar volumes of mixtures, stated below the melting point
        return NOTHING
    for T in np.linspace(low, high, 3):
        assert density(row, T) == pytest.approx(density(other, T), rel=allowed)
    return None


@each(numbered("density/salts.csv"), compared=18)
def test_two_prints_of_one_evaluation_agree(n):
    """The pages of 1968 and their line quoted elsewhere went into the handbook's table: within 0.3 % over its span.

    MgCl2, KCl and RbCl were evaluated anew in between, ZnCl2 and the fluorides of lithium and rubidium too.
    """
    row = read_table("density/salts.csv")[n]
    other = chosen("density/salts.csv", salt=row["salt"])
    anew = ("MgCl2", "ZnCl2", "LiF", "RbF")
    if row["source"] not in ("janz1968", "ottewitte1982") or other["source"] != "crc" or row["salt"] in anew:
        return NOTHING
    if (row["salt"], row["source"]) in (("KCl", "ottewitte1982"), ("RbCl", "ottewitte1982")):
        return NOTHING  # other measurements, 0.4 to 0.9 % apart
    for T in (float(other["T_lo_K"]), float(other["T_hi_K"])):
        assert density(row, T) == pytest.approx(density(other, T), rel=0.004)
    return None


@each(numbered("density/salts.csv"), compared=12)
def test_a_span_not_stated_is_that_of_the_chosen_line(n):
    """So the row says; of the pages of 1968 the upper end is that of the handbook within 15 K."""
    row = read_table("density/salts.csv")[n]
    other = chosen("density/salts.csv", salt=row["salt"])
    if "that of the chosen line assumed" in row["caveat"]:
        assert (row["T_lo_K"], row["T_hi_K"]) == (other["T_lo_K"], other["T_hi_K"])
        return None
    if row["source"] == "janz1968" and other["source"] == "crc" and row["salt"] != "MgCl2":  # evaluated anew, to 1240 K
        assert float(row["T_hi_K"]) == pytest.approx(float(other["T_hi_K"]), abs=15)
        assert 0 <= float(row["T_lo_K"]) - melts(row["salt"]) <= 31
        return None
    return NOTHING


@each(numbered("volatility.csv"), compared=20)
def test_a_line_fitted_to_tables_starts_where_the_liquid_does(n):
    """Fitted from the first multiple of 50 K at or above the melting point on."""
    row = read_table("volatility.csv")[n]
    if row["source"] != "janaf1998" or row["phase"] != "liquid":
        return NOTHING
    assert 0 <= float(row["T_lo_K"]) - melts(row["formula"]) <= 50
    return None


# ---------------------------------------------------------------- mixing volumes, alloys, bands
@each(numbered("density/mixing_volume.csv"), compared=8)
def test_a_mixing_volume_has_the_temperature_and_spread_printed(n):
    """ "at 1000 deg C", "600 deg C"; "1 % of the volume" of the unmixed melts, written to 0.01 or 0.1 cm3/mol."""
    row = read_table("density/mixing_volume.csv")[n]
    T, words = float(row["T_K"]), f"{row['locator']}; {row['caveat']}"
    done = NOTHING
    if found := re.search(r"\b(\d{3,4}) deg C(?! rows)", words):
        assert pytest.approx(float(found[1]) + 273.15, abs=0.5) == T
        done = None
    found = re.search(r"([\d.]+) % of the (?:additive )?volume", words)
    if found and row["salt2"] != "BaF2":  # rounded to 0.5 beside CaF2
        column = "sigma_cm3_mol" if "sigma" in found.string[: found.start()] else "excess_cm3_mol"
        assert float(row[column]) == pytest.approx(float(found[1]) / 100 * unmixed(row, T), abs=0.01)
        done = None
    return done


def unmixed(row: Row, T_K: float) -> float:
    """Additive molar volume from the chosen lines, cm3/mol."""
    return sum(
        float(row[f"x{k}"])
        * formula_mass(row[f"salt{k}"])
        / density(chosen("density/salts.csv", salt=row[f"salt{k}"]), T_K)
        for k in "12"
    )


NUMBER = r"(-?\d+(?:\.\d+)?)"


@each(numbered("alloy_cathodes.csv"), compared=10)
def test_volts_and_coefficients_of_alloys_are_as_printed(n):
    """ "about 0.77 V", "Nd 0.18 V and ... 0.31 V" (their difference), "about -12", "activity 0.88 x", an energy."""
    row = read_table("alloy_cathodes.csv")[n]
    words = row["locator"]
    if found := re.search(rf"Nd {NUMBER} V and .* {NUMBER} V at", words):
        assert float(row["value_V"]) == pytest.approx(float(found[2]) - float(found[1]), abs=1e-9)
        return None
    if found := re.search(rf"(?:about|nearly) {NUMBER} V", words):
        assert float(row["value_V"]) == float(found[1])
        return None
    if found := re.search(rf"about {NUMBER} at", words):
        assert float(row["A"]) == float(found[1])
        return None
    if found := re.search(rf"activity {NUMBER} x at .* up to {NUMBER} at%", words):
        assert float(row["A"]) == pytest.approx(math.log10(float(found[1])), abs=1e-4)
        assert float(row["x_high"]) == pytest.approx(float(found[2]) / 100)
        return None
    if found := re.search(r"(\d) Nd\(l\) \+ .* -(\d+) \+ (\d+) T", words):
        atoms, enthalpy, slope = map(float, found.groups())
        for t_C, volts in ((1150.0, row["value_V"]),):  # the middle of its span
            energy = enthalpy - slope * (t_C + 273.15)
            assert float(volts) == pytest.approx(energy / (3 * atoms * 96485.33), abs=1e-3)
        return None
    return NOTHING


@each(numbered("alloy_cathodes.csv"), compared=14)
def test_both_ends_are_the_one_temperature_printed(n):
    """One temperature in the words is both ends of the span; two are its ends."""
    row = read_table("alloy_cathodes.csv")[n]
    kelvin = [float(T) - 273.15 for T in re.findall(r"\b(\d{3,4}) K\b", row["locator"])]
    celsius = [float(T) for T in re.findall(r"at (\d{3,4})(?: deg)? C\b", row["locator"])]
    if found := re.search(r"(\d{3,4}) to (\d{3,4}) K", f"{row['locator']}; {row['caveat']}"):
        printed = [float(T) - 273.15 for T in found.groups()]
    elif len(kelvin + celsius) == 1:
        printed = (kelvin + celsius) * 2
    else:
        return NOTHING
    assert [float(row["T_low_C"]), float(row["T_high_C"])] == pytest.approx(printed, abs=0.5)
    return None


@each(numbered("practice_bands.csv"), compared=8)
def test_a_band_of_practice_holds_the_temperature_printed(n):
    """Both ends of a printed range, one temperature inside; an end that the row calls printed is the one."""
    row = read_table("practice_bands.csv")[n]
    low, high = float(row["low_C"]), float(row["high_C"])
    printed = [float(T) for T in re.findall(r"\b(\d{3,4})(?= C| to| and)", row["locator"])]
    if not printed:
        return NOTHING
    assert low <= min(printed)
    assert max(printed) <= high
    if "lower end printed" in row["caveat"]:
        assert low == min(printed)
    if found := re.search(r"(\d+) K either side", row["caveat"]):
        assert (low, high) == (printed[0] - float(found[1]), printed[0] + float(found[1]))
    if found := re.search(r"upper end (\d+) K above", row["caveat"]):
        assert high == max(printed) + float(found[1])
    if len(printed) == 2 and "judgement" not in row["caveat"] and "upper end" not in row["caveat"]:
        assert (low, high) == tuple(printed)
    return None


@each(numbered("practice_bands.csv"), compared=11)
def test_a_band_of_practice_lies_on_the_right_side_of_melting(n):
    """A metal won as a liquid is won above its melting point, one won as a solid below."""
    row = read_table("practice_bands.csv")[n]
    point = melts(row["metal"]) - 273.15
    assert float(row["low_C"]) >= point if row["deposit"] == "liquid" else float(row["high_C"]) <= point
